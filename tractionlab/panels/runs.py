"""What the run panels share: computed runs kept for a while, choices of car and road, and a run as
a car seen from above.
"""

from collections import OrderedDict
from dataclasses import fields

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Choice
from tractionlab.physics.tyre import PEAK
from tractionlab.run.assembly import front_axle_share, vehicle_values
from tractionlab.run.circuit_assembly import never_braked
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import CONTROLS
from tractionlab.run.simulation import simulate_many
from tractionlab.run.surfaces import row_of, surface_words
from tractionlab.units import BAR, IN_KMH
from tractionlab.view import CarScene, Chart, Line
from tractionlab.wheels import WHEEL_WORDS, WHEELS

#: Step [s] of runs that follow a slider: twice the usual one, for half the time; figures change by
#: less than a hundredth.
PICTURE_STEP = 0.002
_KEPT = OrderedDict()
_MOST_KEPT = 60
_OWN = [[]]
WORDS = {wheel: f"{words} wheel" for wheel, words in zip(WHEELS, WHEEL_WORDS)}
#: (style of its line, index, words) of each wheel.
ALL_WHEELS = [(i + 1, i, WORDS[wheel]) for i, wheel in enumerate(WHEELS)]


def runs(scenarios):
    """Traces of the scenarios; those computed lately are not computed again."""
    _forget_old_files()
    keys = [scenario.key for scenario in scenarios]
    missing = {key: one for key, one in zip(keys, scenarios) if key not in _KEPT}
    _KEPT.update(zip(missing, simulate_many(missing.values())))
    for key in keys:
        _KEPT.move_to_end(key)
    traces = [_KEPT[key] for key in keys]
    while len(_KEPT) > _MOST_KEPT:
        _KEPT.popitem(last=False)
    return traces


def _forget_old_files():
    """Runs of a vehicle or road of one's own that has been changed since are not shown again."""
    files = list(catalogue.in_use().own_files())
    if _OWN[0] != files:
        _OWN[0] = files
        _KEPT.clear()


def newest_kept(scenario, apart_from):
    """The trace kept last whose scenario equals this one apart from some fields; None if there is
    none.
    """
    _forget_old_files()
    tight = [field.name for field in fields(Scenario) if field.name not in apart_from]
    return next(
        (
            trace
            for trace in reversed(_KEPT.values())
            if all(getattr(trace.scenario, name) == getattr(scenario, name) for name in tight)
        ),
        None,
    )


def vehicle_choice(value="rear_petrol"):
    """Choice of the vehicle."""
    return Choice(
        "vehicle",
        "Vehicle",
        tuple((key, entry.name) for key, entry in catalogue.in_use().vehicles().items()),
        value,
    )


def surface_choice(name, label, value, when=()):
    """Choice of a road surface: every surface by its default curve, then the other curves there
    are.
    """
    found = catalogue.in_use().surfaces()
    others = (
        f"{key}:{curve}"
        for key, surface in found.items()
        for curve in surface.curves
        if curve != surface.default
    )
    options = tuple((key, surface_words(key)) for key in (*found, *others))
    return Choice(name, label, options, value, when)


def tyre_choice(value=Scenario.tyre):
    """Choice of the tyres."""
    found = catalogue.in_use().tyres()
    return Choice("tyre", "Tyres", tuple((key, tyre.name) for key, tyre in found.items()), value)


def tyre_of(values):
    """Key of the tyre among a panel's values; the course's tyre where nobody chose one."""
    return values.get("tyre", Scenario.tyre)


def control_choice(value="both"):
    """Choice of what the control may do."""
    return Choice("control", "Control", tuple(CONTROLS.items()), value)


def moving(speed_kmh):
    """A speed in words: 'does 12.0 km/h', 'rolls back at 3.0 km/h' or 'stands'."""
    if abs(speed_kmh) < 0.1:
        return "stands"
    return f"does {speed_kmh:.1f} km/h" if speed_kmh > 0 else f"rolls back at {-speed_kmh:.1f} km/h"


def ending(trace):
    """Why a run ends before its time, a sentence with a space before it; else nothing."""
    return f" {trace.ended}" if trace.ended else ""


def percent(share):
    """A share as '94 %'."""
    return f"{round(100 * share)} %"


def unbraked(scenario):
    """A sentence on driven wheels that the car's hydraulics cannot brake though the control might,
    with a space before it; else nothing.
    """
    axle = never_braked(scenario)
    if not axle or scenario.control not in ("brake", "both"):
        return ""
    acts = (
        "only torque reduction acts on them"
        if scenario.control == "both"
        else "no control acts on them"
    )
    return (
        f" The hydraulics of this car cannot brake the driven {axle} wheels by themselves: {acts}."
    )


def driven_wheels(trace):
    """(index, name in words) of the driven wheels, left before right."""
    return [(i, WORDS[WHEELS[i]]) for i in range(4) if trace.driven[i]]


def speed_lines(trace, ghost=None, ghost_name="car without control", wheels=None):
    """Lines of car and driven wheels in km/h, or of `wheels` (style, index, words); with a second
    run, its car as well.
    """
    radius = vehicle_values(trace.scenario)["tyre_radius_m"]
    lines = [Line(label="car", x=trace.time, y=trace.speed * IN_KMH, style=0)]
    shown = wheels or [(n, i, words) for n, (i, words) in enumerate(driven_wheels(trace)[:2], 1)]
    lines += [
        Line(label=words, x=trace.time, y=trace.wheel_speed[:, i] * radius * IN_KMH, style=n)
        for n, i, words in shown
    ]
    if ghost is not None:
        lines.append(Line(label=ghost_name, x=ghost.time, y=ghost.speed * IN_KMH, style=3))
    return tuple(lines)


def pressure_lines(trace, wheels):
    """Lines of the pressure in bar at wheels: (style, index, words) of each."""
    return tuple(
        Line(label=words, x=trace.time, y=trace.pressure[:, i] / BAR, style=n)
        for n, i, words in wheels
    )


def speed_chart(*lines):
    """Chart of speeds over time."""
    return Chart(title="Speeds", x="time [s]", y="speed [km/h]", over_time=True, lines=lines)


def push_chart(trace):
    """Chart of the push of each driven wheel over time."""
    lines = tuple(
        Line(label=words, x=trace.time, y=trace.drive_force[:, i], style=n)
        for n, (i, words) in enumerate(driven_wheels(trace)[:2], 1)
    )
    return Chart(
        title="Push of each driven wheel", x="time [s]", y="force [N]", over_time=True, lines=lines
    )


def car_scene(trace, label=""):
    """The run as a car from above, 50 frames a second."""
    t = slice(None, None, 2)
    values, scenario = vehicle_values(trace.scenario), trace.scenario
    base, step = values["wheelbase_m"], np.diff(trace.time, prepend=trace.time[0])[:, None]
    return CarScene(
        time=trace.time[t],
        x=trace.x[t],
        y=trace.y[t],
        yaw=trace.yaw[t],
        steer=trace.steer[t],
        wheel_angle=np.cumsum(trace.wheel_speed * step, axis=0)[t],
        drive_force=trace.drive_force[t],
        side_force=trace.side_force[t],
        grip_limit=trace.grip_limit[t],
        pressure=trace.pressure[t] / BAR,
        lamp=trace.lamp[t],
        wheelbase=base,
        track=values["track_m"],
        to_front=base * (1.0 - front_axle_share(scenario)),
        tyre_radius=values["tyre_radius_m"],
        driven=trace.driven,
        road=_road(scenario, trace),
        slope=scenario.slope_percent / 100.0,
        label=label,
    )


def _road(scenario, trace):
    first, last = trace.x.min() - 30.0, trace.x.max() + 40.0
    if not scenario.right or scenario.right == scenario.left:
        return ((first, last, -4.0, 4.0, *_surface(scenario, scenario.left)),)
    return (
        (first, last, 0.0, 4.0, *_surface(scenario, scenario.left)),
        (first, last, -4.0, 0.0, *_surface(scenario, scenario.right)),
    )


def _surface(scenario, name):
    return surface_words(name), row_of(name, scenario.tyre)[PEAK]
