"""Phases and decisions of the control unit along a run, as the strip under its time charts."""

import numpy as np

from tractionlab.catalogue.reasons import reason_words
from tractionlab.run.decisions import SUBJECTS, TORQUE, decisions, phases_of
from tractionlab.view.rows import PhaseKind, PhaseLane, Phases


def phase_strip(trace, wheels=None):
    """Strip of a run: `wheels` (numbers; None: the driven ones, and all four when the driver
    brakes), and the torque where the driver wants some.
    """
    scenario = trace.scenario
    if wheels is None:
        wheels = [i for i in range(4) if scenario.brake_bar > 0.0 or trace.driven[i]]
    lanes = [*wheels, TORQUE] if scenario.pedal_percent > 0.0 else list(wheels)
    words = reason_words()
    kinds = [*words.wheel_phases[1:], *words.torque_phases[1:]]
    return Phases(
        title="Phases of the control unit",
        kinds=tuple(PhaseKind(letter=k.letter, name=k.name, pattern=k.pattern) for k in kinds),
        lanes=tuple(_lane(trace, subject) for subject in lanes),
        decisions=tuple(
            (round(one.time, 4), lanes.index(one.subject), one.sentence)
            for one in decisions(trace)
            if one.subject in lanes
        ),
    )


def _lane(trace, subject):
    torque = subject == TORQUE
    phase = trace.torque_phase if torque else trace.phase[:, subject]
    first = len(reason_words().wheel_phases) - 2 if torque else -1
    begins = np.flatnonzero(np.diff(phase, prepend=0.0))
    times = trace.time[[*begins, len(phase) - 1]].tolist()
    return PhaseLane(
        label=SUBJECTS[subject],
        rest=phases_of(subject)[0].name,
        spans=tuple(
            (round(begin, 4), round(end, 4), kind + first)
            for begin, end, kind in zip(times, times[1:], phase[begins].astype(int).tolist())
            if kind > 0
        ),
    )
