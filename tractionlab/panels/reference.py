"""Reference speed: what the control unit believes of car speed, slip and wheel acceleration,
against the truth.
"""

from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.knowledge import of_run, on_rollers
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    car_scene,
    percent,
    runs,
    surface_choice,
    tyre_choice,
    tyre_of,
    unbraked,
    vehicle_choice,
)
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import surface_words
from tractionlab.view import Chart, Figure, Line, View

_SECONDS = 6.0
_PEDAL = 0.2  # s
_CLOSE = 2.0  # km/h: the reference follows the car when it is never further away


def scenario_of(values):
    """Scenario of full or part throttle, at rest or on the move, two or four driven wheels."""
    return Scenario(
        vehicle=values["vehicle"],
        left=values["surface"],
        tyre=tyre_of(values),
        drive="all" if values["drive"] == "all" else "",
        control="both" if values["control"] else "off",
        initial_speed_kmh=values["start"],
        pedal_percent=values["pedal"],
        pedal_from_s=_PEDAL,
        duration_s=_SECONDS,
        settings={"reference_rise_m_per_s2": values["rise"]},
    )


def knowledge(values):
    """(trace, Knowledge) of the panel's run."""
    (trace,) = runs([scenario_of(values)])
    return trace, of_run(trace)


def reference_view(values):
    """Picture of a run; values: drive (two or all), vehicle, surface, pedal [%], start [km/h],
    control (bool), rise [m/s2].
    """
    trace, known = knowledge(values)
    rate = Chart(
        title="Acceleration of the driven wheel",
        x="time [s]",
        y="acceleration [m/s²]",
        over_time=True,
        lines=(
            Line(label="as worked out", x=known.time, y=known.rate, style=2),
            Line(
                label="most the road can give",
                x=known.time[[0, -1]],
                y=known.rate[[0, -1]] * 0.0 + known.most,
                style=3,
            ),
        ),
    )
    worst, (after_rate, after_slip) = int(abs(known.error).argmax()), after_pedal(known)
    figures = (
        Figure(label="Car at the end", value=f"{known.car[-1]:.1f}", unit="km/h"),
        Figure(label="Reference at the end", value=f"{known.reference[-1]:.1f}", unit="km/h"),
        Figure(
            label="Largest error of the reference",
            value=f"{known.error[worst]:z.1f}",
            unit="km/h",
            held=True,
        ),
        Figure(label="Wheel gains speed too fast after", **_after(after_rate)),
        Figure(label="Slip beyond the limit after", **_after(after_slip)),
    )
    first, error, rest = _sentence(values, known, worst)
    return View(
        charts=(_speeds(known), _slips(known), rate),
        sentence=first + error + rest,
        figures=figures,
        held=(error,),
        scenes=(car_scene(trace, "Control on" if values["control"] else "Control off"),),
        phases=phase_strip(trace),
    )


def _speeds(known):
    return Chart(
        title="Speeds",
        x="time [s]",
        y="speed [km/h]",
        over_time=True,
        main=2,
        lines=(
            Line(label="car, true", x=known.time, y=known.car, style=0),
            Line(label="driven wheel, as read", x=known.time, y=known.wheel, style=1),
            Line(label="reference speed", x=known.time, y=known.reference, style=2),
        ),
    )


def _slips(known):
    lowest = float(min(known.true_slip.min(), known.slip.min()))
    return Chart(
        title="Slip of the driven wheel",
        x="time [s]",
        y="slip [%]",
        over_time=True,
        main=1,
        y_range=(min(-5.0, 100.0 * lowest), 105.0),
        lines=(
            Line(label="true", x=known.time, y=100 * known.true_slip, style=0),
            Line(label="as worked out", x=known.time, y=100 * known.slip, style=2),
        ),
    )


def after_pedal(known):
    """Times [s] from the pedal until wheel acceleration and until slip tell of spin; None where
    they do not.
    """
    return tuple(
        None if time is None else time - _PEDAL for time in (known.rate_tells(), known.slip_tells())
    )


def _after(time):
    return {"value": "never"} if time is None else {"value": f"{time:.2f}", "unit": "s"}


def _sentence(values, known, worst):
    surface = surface_words(values["surface"])
    text = (
        f"{surface}, {'four' if values['drive'] == 'all' else 'two'} driven wheels, control"
        f" {'on' if values['control'] else 'off'}: "
    )
    if abs(known.error[worst]) < _CLOSE:
        error = f"the reference speed stays within {abs(known.error[worst]):.1f} km/h of the car. "
        worst = int(known.true_slip.argmax())
    else:
        side = "fast" if known.error[worst] > 0 else "slow"
        error = (
            f"after {known.time[worst]:.1f} s the reference speed is {abs(known.error[worst]):.1f}"
            f" km/h too {side}, {known.reference[worst]:.1f} instead of {known.car[worst]:.1f}"
            " km/h. "
        )
    rest = (
        f"At {known.time[worst]:.1f} s the wheel slips {percent(known.true_slip[worst])}, and the"
        f" control unit sees {percent(known.slip[worst])}."
    )
    return text, error, rest + _first_sign(known) + unbraked(scenario_of(values))


def _first_sign(known):
    rate, slip = after_pedal(known)
    text = " The wheel gains speed faster than the road can give "
    text += "at no time" if rate is None else f"{rate:.2f} s after the pedal"
    return text + (
        ", and its slip never passes the limit at which the control steps in."
        if slip is None
        else f", and its slip passes the limit of the control after {slip:.2f} s."
    )


def reference_panel(locked_by=None):
    """What the control unit believes of a launch with two or four driven wheels."""
    controls = [
        Choice(
            "drive",
            "Driven wheels",
            (("two", "two, as this car is built"), ("all", "all four")),
            "two",
        ),
        surface_choice("surface", "Surface", "ice"),
        tyre_choice(),
        Slider("pedal", "Throttle", "%", 5, 100, 5, 100),
        Slider("start", "Speed at the start", "km/h", 0, 60, 5, 10),
        Switch("control", "Control on", False),
        Slider("rise", "Reference may rise by (four-wheel drive)", "m/s²", 1, 10, 0.5, 8),
        vehicle_choice(),
    ]
    return Panel("What the control unit believes", controls, reference_view, locked_by=locked_by)


def roller_view(values):
    """Picture of a roller test; values: wheels (driven or all), vehicle, speed [km/h]."""
    known = on_rollers(
        Scenario(vehicle=values["vehicle"]), values["speed"], values["wheels"] == "all", _SECONDS
    )
    acts = known.slip_tells()
    text = (
        f"{'All four' if values['wheels'] == 'all' else 'Only the driven'} wheels turn on rollers,"
        f" up to {values['speed']:g} km/h; the car stands. "
    )
    text += (
        f"The reference speed is {known.reference[-1]:.1f} km/h, so the control unit sees"
        f" {percent(known.slip[-1])} slip, though no tyre spins. "
    )
    text += (
        "It does nothing."
        if acts is None
        else f"After {acts:.1f} s it would take torque away and brake the driven wheels."
    )
    figures = (
        Figure(label="Reference speed", value=f"{known.reference[-1]:.1f}", unit="km/h"),
        Figure(label="Slip as worked out", value=f"{100 * known.slip[-1]:.0f}", unit="%"),
        Figure(
            label="Control acts after",
            value="never" if acts is None else f"{acts:.1f}",
            unit="" if acts is None else "s",
        ),
    )
    return View(charts=(_speeds(known), _slips(known)), sentence=text, figures=figures)


def roller_panel(locked_by=None):
    """What the control unit believes on rollers."""
    controls = [
        Choice(
            "wheels",
            "On the rollers",
            (("driven", "the driven wheels"), ("all", "all four wheels")),
            "driven",
        ),
        Slider("speed", "Rollers turn up to", "km/h", 1, 60, 1, 20),
        vehicle_choice(),
    ]
    return Panel("On rollers", controls, roller_view, locked_by=locked_by)
