"""Launch: pulling away with and without control, on even or split grip, on the flat or uphill."""

from math import isfinite

from tractionlab.panels.base import Panel, Slider, Switch
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    PICTURE_STEP,
    car_scene,
    control_choice,
    driven_wheels,
    ending,
    moving,
    newest_kept,
    percent,
    push_chart,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
    unbraked,
    vehicle_choice,
)
from tractionlab.run.merit import brakes
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import CONTROLS
from tractionlab.units import BAR
from tractionlab.view import Chart, Figure, Line, View

_SECONDS = 8.0
#: Value of the panel -> control value that it replaces.
_SETTINGS = {"limit": "limit_offset_kmh", "brake_until": "brake_speed_limit_kmh"}


def scenario_of(values, control):
    """Scenario of the panel's values with this kind of control."""
    settings = {key: values[name] for name, key in _SETTINGS.items() if name in values}
    switched_off = values.get("switched_off", False)
    return Scenario(
        vehicle=values["vehicle"],
        left=values["left"],
        right=values["right"],
        tyre=tyre_of(values),
        slope_percent=values["slope"],
        pedal_percent=values["pedal"],
        control=control,
        duration_s=_SECONDS,
        step_s=PICTURE_STEP,
        settings=settings,
        switched_off=switched_off,
    )


def launch_view(values):
    """Picture of a launch; values: vehicle, left, right, slope [%], pedal [%], control, compare,
    and perhaps limit, brake_until [km/h] and switched_off."""
    return run_view(*runs([scenario_of(values, kind) for kind in _kinds(values)]))


def _kinds(values):
    return [values["control"]] + (
        ["off"] if values["compare"] and values["control"] != "off" else []
    )


def first_view(values):
    """The same with the newest run for comparison that is there already; None if none fits the car
    and the road.
    """
    kinds = _kinds(values)
    ghosts = [
        newest_kept(scenario_of(values, kind), ("pedal_percent", "slope_percent", "settings"))
        for kind in kinds[1:]
    ]
    return None if None in ghosts else run_view(*runs([scenario_of(values, kinds[0])]), *ghosts)


def run_view(trace, ghost=None):
    """Picture of a run; a second one without control may lie beside it."""
    control, seconds = trace.scenario.control, _seconds(trace)
    merit = trace.merit()
    wheels = driven_wheels(trace)[:2]
    charts = [
        speed_chart(*speed_lines(trace, ghost)),
        push_chart(trace),
    ]
    if control in ("brake", "both"):
        charts.append(
            Chart(
                title="Brake pressure by the control",
                x="time [s]",
                y="pressure [bar]",
                over_time=True,
                lines=tuple(
                    Line(label=words, x=trace.time, y=trace.pressure[:, i] / BAR, style=n)
                    for n, (i, words) in enumerate(wheels, 1)
                ),
            )
        )
    else:
        charts.append(
            Chart(
                title="Engine torque",
                x="time [s]",
                y="torque [N m]",
                over_time=True,
                lines=(Line(label="engine", x=trace.time, y=trace.engine_torque, style=0),),
            )
        )
    figures = [
        Figure(
            label=f"Speed after {seconds:g} s", value=f"{merit.final_speed_kmh:.1f}", unit="km/h"
        ),
        Figure(label="Way", value=f"{merit.distance_m:.1f}", unit="m"),
        *(
            [Figure(label="Grip used", value=f"{100 * merit.grip_share:.0f}", unit="%")]
            if isfinite(merit.grip_share)
            else []
        ),
        Figure(label="Energy lost in spin", value=f"{merit.spin_energy_kJ:.1f}", unit="kJ"),
        Figure(label="Brake heat", value=f"{merit.brake_heat_kJ:.1f}", unit="kJ"),
    ]
    scenes = [car_scene(trace, CONTROLS[control])] + (
        [car_scene(ghost, CONTROLS["off"])] if ghost is not None else []
    )
    return View(
        charts=tuple(charts),
        sentence=_sentence(trace, merit, ghost),
        scenes=tuple(scenes),
        figures=tuple(figures),
        phases=phase_strip(trace),
    )


def _seconds(trace):
    return round(float(trace.time[-1]), 1) if trace.ended else trace.scenario.duration_s


def _sentence(trace, merit, ghost):
    scenario = trace.scenario
    text = (
        f"{CONTROLS[scenario.control]}: after {_seconds(trace):g} s the car"
        f" {moving(merit.final_speed_kmh)}; "
    )
    text += f"{_grip_words(trace, merit)}.{ending(trace)}{unbraked(scenario)}"
    if ghost is None:
        return text
    without = ghost.merit()
    gain = merit.final_speed_kmh - without.final_speed_kmh
    return text + (
        f" Without control it {moving(without.final_speed_kmh)} and used"
        f" {percent(without.grip_share)}. "
        + (
            f"Control gains {gain:.1f} km/h."
            if gain > 0.05
            else (
                f"Control loses {-gain:.1f} km/h."
                if gain < -0.05
                else "Control makes no difference here."
            )
        )
    )


def _grip_words(trace, merit):
    """What a run made of the grip; a stop uses that of all four wheels, a launch that of the driven
    ones.
    """
    if not isfinite(merit.grip_share):
        return "it ends before the throttle pedal goes down"
    if brakes(trace):
        return f"it held back with {percent(merit.grip_share)} of the grip under its four wheels"
    return f"it used {percent(merit.grip_share)} of the grip under its driven wheels"


def launch_panel(
    locked_by=None,
    thresholds=False,
    left="packed_snow",
    right="packed_snow",
    control="off",
    slope=0,
):
    """The launch panel; with `thresholds` the learner may set as well where control begins and up
    to which speed the brake acts, and press TC-off.
    """
    controls = [
        control_choice(control),
        Slider("pedal", "Throttle", "%", 5, 100, 5, 100),
        surface_choice("left", "Road on the left", left),
        surface_choice("right", "Road on the right", right),
        tyre_choice(),
        Slider("slope", "Slope, uphill", "%", 0, 20, 1, slope),
        vehicle_choice(),
        Switch("compare", "Compare with no control", True),
    ]
    if thresholds:
        controls += [
            Slider("limit", "Control begins over 1.05 x car speed plus", "km/h", 1, 15, 1, 3),
            Slider("brake_until", "Brake action up to a car speed of", "km/h", 5, 80, 5, 40),
            Switch("switched_off", "Driver has pressed TC-off", False),
        ]
    return Panel("Pulling away", controls, launch_view, first=first_view, locked_by=locked_by)


_BASE = {
    "vehicle": "rear_petrol",
    "left": "packed_snow",
    "right": "packed_snow",
    "slope": 0,
    "pedal": 100,
}


def outcome(control, **values):
    """Figures of merit of the panel's run, for statements in a lesson."""
    (trace,) = runs([scenario_of({**_BASE, **values}, control)])
    return trace.merit()


def split_pushes(pedal):
    """Mean push [N] of the driven wheel on ice and of the one on dry asphalt, without control, from
    the second second on.
    """
    (trace,) = runs(
        [scenario_of({**_BASE, "left": "ice", "right": "dry_asphalt", "pedal": pedal}, "off")]
    )
    return tuple(
        trace.drive_force[trace.time > 2.0][:, [i for i, _ in driven_wheels(trace)]].mean(axis=0)
    )
