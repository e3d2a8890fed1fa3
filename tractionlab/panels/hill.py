"""Hill start with one side on ice: brake pressure at the slipping wheel by hand, or by control."""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Choice, Panel, Slider
from tractionlab.panels.runs import (
    car_scene,
    driven_wheels,
    runs,
    speed_chart,
    speed_lines,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.physics.tyre import PEAK
from tractionlab.run.assembly import front_axle_share, vehicle_values
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import row_of
from tractionlab.textbook.formulas import slope_force
from tractionlab.textbook.longitudinal import GRAVITY, open_axle_force
from tractionlab.units import BAR, IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View

PRESSURES = np.linspace(0.0, 100.0, 51)
_SECONDS = 6.0


def scenario_of(values, by):
    """Scenario of the hill start with the slipping wheel braked by 'hand', by 'control', or not at
    all."""
    front = catalogue.in_use().vehicles()[values["vehicle"]]["drive"] == "front"
    hand = [0.0, 0.0, 0.0, 0.0]
    if by == "hand":
        hand[0 if front else 2] = values["pressure"]
    return Scenario(
        vehicle=values["vehicle"],
        left="ice",
        right="dry_asphalt",
        tyre=tyre_of(values),
        slope_percent=values["slope"],
        pedal_percent=values["pedal"],
        control="brake" if by == "control" else "off",
        hand_brake_bar=tuple(hand),
        brake_bar=30.0,
        brake_until_s=0.8,
        pedal_from_s=0.5,
        duration_s=_SECONDS,
    )


def pull(values):
    """(push [N] for each of PRESSURES by hand formula, force [N] that holds the hill), engine
    torque not the limit.
    """
    scenario = scenario_of(values, "none")
    car = vehicle_values(scenario)
    front = car["drive"] == "front"
    share = front_axle_share(scenario) if front else 1.0 - front_axle_share(scenario)
    shift = values["slope"] / 100.0 * car["centre_of_mass_height_m"] / car["wheelbase_m"]
    load = car["mass_kg"] * GRAVITY * (share - shift if front else share + shift) / 2.0
    low, high = (row_of(name, scenario.tyre)[PEAK] for name in ("ice", "dry_asphalt"))
    push = [
        open_axle_force(low, high, load, p * car["driven_brake_Nm_per_bar"], car["tyre_radius_m"])
        for p in PRESSURES
    ]
    return (
        np.array(push),
        slope_force(car["mass_kg"], values["slope"] / 100.0)
        + car["rolling_coefficient"] * car["mass_kg"] * GRAVITY,
    )


def enough_bar(push, needed):
    """Pressure [bar] at which the line of the push crosses the force that is needed; None if it
    never does.
    """
    return (
        None
        if push[-1] < needed
        else float(np.interp(needed, push[: push.argmax() + 1], PRESSURES[: push.argmax() + 1]))
    )


def hill_view(values):
    """Picture of a hill start; values: vehicle, slope [%], pedal [%], by (hand or control),
    pressure [bar].
    """
    kinds = [values["by"], "control" if values["by"] == "hand" else "none"]
    trace, other = runs([scenario_of(values, kind) for kind in kinds])
    push, needed = pull(values)
    slipping, _ = driven_wheels(trace)[0]
    enough = enough_bar(push, needed)
    against = "by the control" if values["by"] == "hand" else "wheel not braked"
    found = float(trace.pressure[trace.time > 3.0, slipping].mean() / BAR)
    paper = Chart(
        title="By hand formula",
        x="brake pressure [bar]",
        y="force [N]",
        lines=(
            Line(label="push of both wheels", x=PRESSURES, y=push, style=0),
            Line(label="needed to climb", x=PRESSURES, y=np.full_like(push, needed), style=2),
        ),
        marks=(Mark(label="pressure in this run", x=min(found, 100.0)),),
        x_range=(0.0, 100.0),
    )
    ghost = "car, by the control" if values["by"] == "hand" else "car, no brake"
    speeds = speed_chart(*speed_lines(trace, other, ghost))
    pressure = Chart(
        title="Brake at the wheel on ice",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        lines=(
            Line(label="this run", x=trace.time, y=trace.pressure[:, slipping] / BAR, style=0),
            Line(label=against, x=other.time, y=other.pressure[:, slipping] / BAR, style=3),
        ),
    )
    figures = (
        Figure(
            label="Way uphill", value=f"{round(trace.x[-1] - trace.x[0], 1) + 0.0:.1f}", unit="m"
        ),
        Figure(label="Pressure", value=f"{found:.0f}", unit="bar"),
        Figure(
            label="Enough by hand formula",
            value="none" if enough is None else f"{enough:.0f}",
            unit="" if enough is None else "bar",
            held=True,
        ),
        Figure(
            label="Engine torque",
            value=f"{trace.engine_torque[trace.time > 3.0].mean():.0f}",
            unit="N m",
        ),
        Figure(label="Brake heat", value=f"{trace.merit().brake_heat_kJ:.0f}", unit="kJ"),
    )
    scenes = (car_scene(trace, "this run"), car_scene(other, against))
    return View(
        charts=(paper, speeds, pressure),
        sentence=_sentence(values, trace, other, found),
        scenes=scenes,
        figures=figures,
    )


def _sentence(values, trace, other, found):
    way = (
        f"with {values['pressure']:g} bar by hand"
        if values["by"] == "hand"
        else f"with the control, which uses about {found:.0f} bar,"
    )
    against = (
        "Left to itself, the control brings it"
        if values["by"] == "hand"
        else "With the wheel not braked it comes"
    )
    return (
        f"On a slope of {values['slope']:g} % {way} the car {_moves(trace)} in {_SECONDS:g} s. "
        f"{against} {_way(other)}."
    )


def _moves(trace):
    way = trace.x[-1] - trace.x[0]
    if abs(way) < 0.3:
        return "hardly moves"
    return (
        f"{'climbs' if way > 0 else 'rolls back'} {abs(way):.1f} m and does"
        f" {abs(trace.speed[-1]) * IN_KMH:.1f} km/h"
    )


def _way(trace):
    way = trace.x[-1] - trace.x[0]
    return f"{abs(way):.1f} m {'up' if way >= 0 else 'back down'}"


def climbs(pressure):
    """(way uphill [m], engine torque [N m]) of the panel's first hill with so many bar by hand at
    the wheel on ice.
    """
    (trace,) = runs(
        [
            scenario_of(
                {"vehicle": "rear_petrol", "slope": 8, "pedal": 60, "pressure": pressure}, "hand"
            )
        ]
    )
    return trace.x[-1] - trace.x[0], trace.engine_torque[trace.time > 3.0].mean()


def hill_panel(locked_by=None):
    """Hill start on split grip."""
    controls = [
        Choice(
            "by",
            "The wheel on ice is braked",
            (("hand", "by hand, as you set it"), ("control", "by the control")),
            "hand",
        ),
        Slider("pressure", "Brake pressure by hand", "bar", 0, 100, 1, 0),
        Slider("slope", "Slope, uphill", "%", 0, 30, 1, 8),
        Slider("pedal", "Throttle", "%", 5, 100, 5, 60),
        tyre_choice(),
        vehicle_choice(),
    ]
    return Panel("Hill start, left side on ice", controls, hill_view, locked_by=locked_by)
