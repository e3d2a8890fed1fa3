"""What the panels show of the predictions on the two hydraulic layouts."""

import numpy as np

from tractionlab.lesson.layout_facts import (
    gauge_after,
    pump_for_a_second,
    rise_without_foot,
    stop,
    wheel_valve_steps,
    without_foot,
)
from tractionlab.lesson.outcome import Outcome
from tractionlab.panels.drive import START, scenario_of
from tractionlab.panels.runs import runs
from tractionlab.units import BAR


def _pedal():
    left, *_ = without_foot(0.25)
    return Outcome(
        f"A quarter of a second after the valves switch, the rear left brake has {left:.0f} bar.",
        left,
    )


def _off():
    bar, _ = gauge_after(strokes=40)
    return Outcome(
        f"The gauge shows {bar:.0f} bar after forty strokes: in this layout the pedal has no way to"
        " the accumulator.",
        bar,
    )


def _current():
    _, hold, between, _ = wheel_valve_steps()
    return Outcome(
        f"At 2.0 A the brake holds {hold:.0f} bar, at 3.5 A it has {between:.0f} bar.",
        2 if abs(between - hold) < 2 else 3 if between < hold else 1,
    )


def _fault(key, **values):
    """Trace of the car with layout `key` in the panel of car and circuit."""
    (trace,) = runs([scenario_of(key, {**START, **values})])
    return trace


def _lead():
    sound, broken = (
        _fault("A", fault=fault).pressure[:, 2].max() / BAR for fault in ("none", "sensor")
    )
    return Outcome(
        f"With a sound lead the rear left brake gets up to {sound:.0f} bar, with the broken one"
        f" {broken:.0f} bar.",
        3 if broken < 3 < sound else 1,
    )


def _pump():
    bar = pump_for_a_second(isolating_valve_1="open", priming_valve_1="closed")
    return Outcome(
        f"After one second the brake has {abs(bar):.0f} bar: the pump has nothing to draw, and its"
        " line is open.",
        bar,
    )


def _stop():
    ways = [stop(antilock).way for antilock in (True, False)]
    return Outcome(
        "The car stands after {:.1f} m with anti-lock, after {:.1f} m with locked wheels.".format(
            *ways
        ),
        3 if ways[0] < 0.98 * ways[1] else 1 if ways[0] > 1.02 * ways[1] else 2,
    )


def _inlet():
    turn = float(np.degrees(_fault("B", drive="stop", fault="inlet").yaw[-1]))
    side = "right" if turn < 0 else "left"
    return Outcome(
        f"The car turns by {abs(turn):.0f}° to the {side}: only the other front brake holds it"
        " back.",
        1 if abs(turn) < 1 else 3 if turn < 0 else 2,
    )


#: Prediction -> its computed curve.
CURVES = {"6.pedal": rise_without_foot}
#: Prediction -> function that works its outcome out.
OUTCOMES = {
    "6.pedal": _pedal,
    "6.current": _current,
    "6.drive": _lead,
    "6.off": _off,
    "7.pump": _pump,
    "7.stop": _stop,
    "7.drive": _inlet,
}
