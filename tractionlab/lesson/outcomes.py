"""What the panels show of each prediction: the result in words, computed when it is asked for, and
the guess that came true.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.errors import UserError
from tractionlab.run.assembly import BAR

_NEAR = 0.2  #: of the true number: as near a guess counts as come true
_NEAR_ZERO = 1.0  #: in the unit of the guess, where the true number is nought


@dataclass(frozen=True)
class Outcome:
    """`words` say what the panel shows.

    `truth` is the number of the right option, the true number, or None where no guess is wrong.
    """

    words: str
    truth: float | None

    def came_true(self, guess, options):
        """True or False for a guess (option number or number in the prediction's unit), None if it
        cannot be told.
        """
        if self.truth is None:
            return None
        if options:
            return int(guess) == self.truth
        return abs(guess - self.truth) <= max(
            _NEAR * abs(self.truth), _NEAR_ZERO if round(self.truth) == 0 else 0.0
        )


def outcome_of(name):
    """Outcome of the prediction with this name; UserError if it has none."""
    if name not in _OUTCOMES:
        raise UserError(f"no outcome of a prediction {name!r}; there are {', '.join(_OUTCOMES)}")
    return _OUTCOMES[name]()


def _throttle():
    from tractionlab.lesson.facts import best_throttle

    best, there, full = best_throttle("packed_snow")
    return Outcome(
        f"About {best:g} % throttle brings {there:.0f} km/h in 5 s, full throttle only {full:.0f}"
        " km/h.",
        3 if full < 0.9 * there else 1,
    )


def _side():
    from tractionlab.panels.friction import forces

    values = {"load": 3600.0, "speed": 10.0, "surface": "packed_snow"}
    rolling, spinning = (forces(slip, 4.0, values)[1] for slip in (0.0, 1.0))
    return Outcome(
        f"At a side slip angle of 4° the rolling tyre holds {rolling:.0f} N to the side, the"
        f" spinning one {spinning:.0f} N.",
        3 if spinning < 0.5 * rolling else 2 if spinning < 0.97 * rolling else 1,
    )


def _split():
    from tractionlab.lesson.facts import split_push
    from tractionlab.panels.launch import split_pushes

    ice, dry = split_pushes(100)
    return Outcome(
        "Both sides push alike, so the two limits do not add up. By hand formula that is 350 + 350"
        f" = {split_push(0):.0f} N. In the run it is even less, {ice:.0f} and {dry:.0f} N: the icy"
        " wheel spins fast, and a fast sliding tyre holds less.",
        split_push(0),
    )


def _hill():
    from tractionlab.panels.hill import climbs

    (free, torque), (braked, more) = climbs(0.0), climbs(60.0)
    return Outcome(
        f"Not braked, the car rolls {abs(free):.1f} m back in 6 s. With 60 bar at the icy wheel it"
        f" climbs {braked:.1f} m, and the engine gives {more:.0f} in place of {torque:.0f} N m.",
        3 if braked > 0 > free and more > torque else 1,
    )


def _gap():
    from tractionlab.lesson.sensor_facts import signal_starts

    near, far = signal_starts(0.8, 2.0)
    return Outcome(
        f"With 0.8 mm the signal starts at {near:.1f} km/h, with 2 mm at {far:.1f} km/h.",
        2 if far > 1.2 * near else 1,
    )


def _ring():
    from tractionlab.lesson.sensor_facts import ring_reading

    _, low, high = ring_reading("missing", 30)
    return Outcome(
        f"The control unit reads {high:.0f} km/h, and once a turn for a moment {low:.0f} km/h.",
        3 if low < 0.8 * high else 1,
    )


def _all():
    from tractionlab.lesson.sensor_facts import believed

    time, car, reference, *_ = believed(drive="all")
    return Outcome(
        f"After {time:.1f} s the car does {car:.0f} km/h, and the control unit believes"
        f" {reference:.0f} km/h.",
        2 if reference > car + 2 else 1 if reference > car - 2 else 3,
    )


def _rollers():
    from tractionlab.lesson.sensor_facts import on_two_rollers

    reference, slip, acts = on_two_rollers(20)
    return Outcome(
        f"The unit believes that the car does {reference:.0f} km/h and that the driven wheels slip"
        f" {slip:.0f} %. After {acts:.1f} s it would act.",
        2 if slip > 90 else 1,
    )


def _delay():
    from tractionlab.panels.delay import spin_by

    most, time = spin_by("throttle")
    return Outcome(
        f"The wheels run up to {most:.0f} km/h faster than the car, and it takes {time:.1f} s to"
        " catch them.",
        2 if time > 0.2 else 1,
    )


def _path():
    from tractionlab.panels.delay import spin_by

    throttle, ignition = (spin_by(path)[0] for path in ("throttle", "ignition"))
    return Outcome(
        f"By throttle alone the wheels run {throttle:.1f} km/h faster than the car, with ignition"
        f" first {ignition:.1f} km/h.",
        2 if ignition < 0.95 * throttle else 1 if throttle < 0.95 * ignition else 3,
    )


def _best():
    from tractionlab.lesson.facts import by_control

    (_, torque, brake, _), (_, _, heat, _) = by_control("packed_snow", "packed_snow")
    return Outcome(
        f"The brake brings {brake:.0f} km/h and makes {round(heat, -1):.0f} kJ of heat. Torque"
        f" reduction brings {torque:.0f} km/h with cold brakes.",
        3 if heat > 50 and brake > 0.8 * torque else 2,
    )


def _launches():
    from tractionlab.lesson.facts import first_pause

    launch = first_pause(10)
    return Outcome(
        f"With 10 s between the launches the control rests the brake at launch {launch}.", launch
    )


def _pedal():
    from tractionlab.lesson.layout_facts import without_foot

    left, *_ = without_foot(0.25)
    return Outcome(
        f"A quarter of a second after the valves switch, the rear left brake has {left:.0f} bar.",
        left,
    )


def _off():
    from tractionlab.lesson.layout_facts import gauge_after

    bar, _ = gauge_after(strokes=40)
    return Outcome(
        f"The gauge shows {bar:.0f} bar after forty strokes: in this layout the pedal has no way to"
        " the accumulator.",
        bar,
    )


def _current():
    from tractionlab.lesson.layout_facts import wheel_valve_steps

    _, hold, between, _ = wheel_valve_steps()
    return Outcome(
        f"At 2.0 A the brake holds {hold:.0f} bar, at 3.5 A it has {between:.0f} bar.",
        2 if abs(between - hold) < 2 else 3 if between < hold else 1,
    )


def _fault(key, **values):
    """Trace of the car with layout `key` in the panel of car and circuit."""
    from tractionlab.panels.drive import START, scenario_of
    from tractionlab.panels.runs import runs

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
    from tractionlab.lesson.layout_facts import pump_for_a_second

    bar = pump_for_a_second(isolating_valve_1="open", priming_valve_1="closed")
    return Outcome(
        f"After one second the brake has {abs(bar):.0f} bar: the pump has nothing to draw, and its"
        " line is open.",
        bar,
    )


def _stop():
    from tractionlab.lesson.layout_facts import stop

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


def _lead_split():
    from tractionlab.lesson.finding_facts import half_split

    few, many = half_split(2), half_split(8)
    return Outcome(
        f"With two sections it makes no difference: {few[0]:g} measurement either way. With eight,"
        f" halving needs {many[0]:g}, along the lead it is {many[1]:.1f} on average.",
        None,
    )


def _routes():
    from tractionlab.lesson.finding_facts import three_routes

    _, renewing, listed, method = three_routes()
    return Outcome(
        f"The method takes {method} min, the list {listed} min, renewing parts {renewing} min.",
        method,
    )


def _air():
    from tractionlab.lesson.finding_facts import air_facts

    _, travel, *_ = air_facts()
    return Outcome(f"The pedal goes {travel:.0f} mm lower.", travel)


def _back():
    from tractionlab.panels.finding import code_back

    code, seconds, speed = code_back("space-saver-left-fitted", 0)
    return Outcome(f"The code {code} is back after {seconds:.0f} s, at {speed:.0f} km/h.", seconds)


def _names():
    from tractionlab.lesson.diagnosis_facts import five_causes

    types, _ = five_causes()
    return Outcome(
        "A broken coil, a broken lead, a lead on the body, corrosion: four causes, one code. The"
        f" failure types are {', '.join(types)}.",
        2,
    )


def _mended():
    from tractionlab.panels.self_diagnosis import stored_after_repair

    code, present = stored_after_repair()
    return Outcome(
        f"After the repair and another drive the tester shows {code},"
        f" {'present' if present else 'stored, not present'}.",
        3 if present else 2,
    )


def _ohm():
    from tractionlab.lesson.measuring_facts import live_ohm

    shown = live_ohm()
    return Outcome(
        f"With the ignition on the display shows {shown}, though the coil has 1100 ohm: the unit's"
        " own voltage spoils the reading.",
        3,
    )


def _strands():
    from tractionlab.lesson.measuring_facts import cut_strands

    _, _, current, lost, sound = cut_strands()
    return Outcome(
        f"The pump draws {current:.1f} A in place of {sound:.1f} A: the strand eats {lost:.1f} V.",
        current,
    )


_OUTCOMES = {
    "1.throttle": _throttle,
    "1.side": _side,
    "2.split": _split,
    "2.hill": _hill,
    "3.gap": _gap,
    "3.ring": _ring,
    "4.all": _all,
    "4.rollers": _rollers,
    "5.delay": _delay,
    "5.path": _path,
    "6.pedal": _pedal,
    "6.current": _current,
    "6.drive": _lead,
    "6.off": _off,
    "7.pump": _pump,
    "7.stop": _stop,
    "7.drive": _inlet,
    "8.best": _best,
    "8.launches": _launches,
    "9.names": _names,
    "9.mended": _mended,
    "10.ohm": _ohm,
    "10.strands": _strands,
    "11.split": _lead_split,
    "11.routes": _routes,
    "12.air": _air,
    "12.back": _back,
}
