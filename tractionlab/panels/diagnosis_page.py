"""Lamps over a drive as lanes, and the code memory and what is left of the control as tables."""

import numpy as np

from tractionlab.diagnosis import status_byte as s
from tractionlab.diagnosis.lamps import FLASHING, LAMPS, OFF, ON
from tractionlab.diagnosis.reduced import MODES
from tractionlab.view.rows import Lane, Lanes, Table
from tractionlab.wheels import WHEELS
from tractionlab.workshop.codes import code_list

LAMP_WORDS = {"abs": "ABS", "tc": "TC", "tc_off": "TC off", "brake": "brake"}
_LONG = {
    "abs": "ABS (amber)",
    "tc": "TC (amber)",
    "tc_off": "TC off (amber)",
    "brake": "Brake (red)",
}
#: Colours as on the screen; on paper and for whoever cannot tell them the words are beside.
_COLOURS = {"abs": "#f2a900", "tc": "#f2a900", "tc_off": "#f2a900", "brake": "#d32f1e"}
#: State of a lamp -> number of the state in its lane.
_STATES = {ON: 0, FLASHING: 1}
_MOST_MODES = 4


def lamp_lanes(found):
    """Lanes of the warning lamps of a Diagnosis."""
    return Lanes(
        title="Warning lamps over the drive",
        x="time [s]",
        x_range=(0.0, float(found.time[-1])),
        states=("on", "flashing"),
        idle="dark all the time",
        lanes=tuple(
            Lane(
                label=_LONG[name],
                spans=tuple(_lit(found.time, found.lamps[name])),
                lamp=_COLOURS[name],
            )
            for name in LAMPS
        ),
    )


def memory_tables(found, memory):
    """Tables of the Memory that is read after a Diagnosis, and of what the control still does."""
    return (
        Table(
            title=f"Code memory ({code_list().edition})",
            head=("Code", "What it says", "Status byte", "Snapshot of the first time"),
            rows=tuple(_entry(entry) for entry in (*memory.stored, *memory.pending)),
            empty=f"No code is stored.{_untested(memory)}",
            widths=(2, 4, 5, 5),
        ),
        Table(
            title="What is left of the control",
            head=("From [s]", "Mode"),
            rows=tuple(
                (f"{found.time[first]:.1f}", MODES[f"R{mode}"])
                for first, _, mode in spans(found.mode)[:_MOST_MODES]
            ),
            widths=(1, 7),
        ),
    )


def spans(state):
    """(first, last + 1, state) of each stretch of samples in which a lamp stays as it is."""
    edges = np.flatnonzero(np.diff(state)) + 1
    starts = np.concatenate(([0], edges))
    return [
        (int(a), int(b), int(state[a]))
        for a, b in zip(starts, np.concatenate((edges, [len(state)])))
    ]


def _lit(time, lamp):
    """(begin [s], end [s], number of the state) of each stretch in which a lamp is not dark."""
    for first, end, state in spans(lamp):
        if state != OFF:
            yield float(time[first]), float(time[min(end, len(time) - 1)]), _STATES[state]


def _untested(memory):
    untested = sum(entry.status == s.CLEARED for entry in memory.entries.values())
    if not untested:
        return " All tests that ran have passed."
    return f" But {untested} tests have not run since the memory was cleared: their status is 50."


def _entry(entry):
    return (
        f"{entry.code}\ntype {entry.failure_type}",
        f"{code_list().words(entry.code, entry.failure_type)}\ndrives with it: {entry.count}",
        "\n".join((f"{entry.status:02X} = {entry.status:08b}", *s.words(entry.status))),
        "\n".join(_snapshot(entry.snapshot)),
    )


def _snapshot(snapshot):
    if not snapshot:
        return ("none",)
    wheels = ", ".join(f"{snapshot[f'{wheel} [km/h]']:.0f}" for wheel in WHEELS)
    pedal = "pressed" if snapshot["pedal pressed"] else "free"
    return (
        f"at {snapshot['time [s]']:.1f} s and {snapshot['mileage [km]']:.0f} km",
        f"car {snapshot['speed [km/h]']:.0f} km/h, wheels {wheels} km/h",
        f"supply {snapshot['supply [V]']:.1f} V, pedal {pedal}",
    )
