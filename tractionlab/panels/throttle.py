"""Throttle sweep: pulling away without control with more and more throttle, on an even surface."""

import numpy as np

from tractionlab.panels.base import Panel, Slider, Switch
from tractionlab.panels.runs import (
    car_scene,
    moving,
    percent,
    push_chart,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.panels.worked_out import once
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import surface_words
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View

PEDALS = (*range(1, 9), *range(10, 51, 2), *range(60, 101, 10))
_SECONDS = 5.0


def _scenario(vehicle, surface, tyre, pedal):
    return Scenario(
        vehicle=vehicle,
        left=surface,
        tyre=tyre,
        pedal_percent=pedal,
        control="off",
        duration_s=_SECONDS,
    )


@once
def sweep(vehicle, surface, tyre=Scenario.tyre):
    """Speed of the car [km/h] at the end for each pedal position of PEDALS."""
    scenarios = [_scenario(vehicle, surface, tyre, pedal) for pedal in PEDALS]
    return np.array([trace.speed[-1] * IN_KMH for trace in runs(scenarios)])


def throttle_view(values):
    """Picture of a launch without control; values: vehicle, surface, pedal [%], sweep (bool: all
    throttle positions as well).
    """
    road = values["vehicle"], values["surface"], tyre_of(values)
    (trace,) = runs([_scenario(*road, values["pedal"])])
    merit = trace.merit()
    charts = [
        speed_chart(*speed_lines(trace)),
        push_chart(trace),
    ]
    here = trace.speed[-1] * IN_KMH
    name = surface_words(values["surface"])
    text = (
        f"{name}, {values['pedal']:g} % throttle: after {_SECONDS:g} s the car {moving(here)}, "
        f"and its wheels slip {percent(merit.mean_slip)} on average."
    )
    if values["sweep"]:
        speeds = sweep(*road)
        charts.append(
            Chart(
                title="All throttle positions",
                x="throttle [%]",
                y="speed [km/h]",
                lines=(
                    Line(
                        label=f"speed after {_SECONDS:g} s",
                        x=np.array(PEDALS, dtype=float),
                        y=speeds,
                        style=0,
                    ),
                ),
                marks=(Mark(label="this run", x=values["pedal"], y=here),),
                x_range=(0.0, 100.0),
            )
        )
        text += _compared(values["pedal"], here, speeds)
    figures = (
        Figure(label=f"Speed after {_SECONDS:g} s", value=f"{here:.1f}", unit="km/h"),
        Figure(label="Grip used", value=f"{100 * merit.grip_share:.0f}", unit="%"),
        Figure(label="Energy lost in spin", value=f"{merit.spin_energy_kJ:.1f}", unit="kJ"),
    )
    return View(
        charts=tuple(charts), sentence=text, scenes=(car_scene(trace, "this run"),), figures=figures
    )


def _compared(pedal, here, speeds):
    best = int(speeds.argmax())
    if here >= 0.98 * speeds[best]:
        return " No other throttle position is clearly better."
    return (
        f" {'Less' if PEDALS[best] < pedal else 'More'} throttle is better: {PEDALS[best]} % brings"
        f" {speeds[best]:.1f} km/h."
    )


def throttle_panel(locked_by=None):
    """Launch without control, and on request the sweep over all throttle positions."""
    controls = [
        Slider("pedal", "Throttle", "%", 1, 100, 0.5, 10, fine=True),
        surface_choice("surface", "Surface", "packed_snow"),
        tyre_choice(),
        vehicle_choice("front_electric"),
        Switch("sweep", "Show all throttle positions", False),
    ]
    return Panel("More throttle, more push?", controls, throttle_view, locked_by=locked_by)
