"""Ten launches in a row on a hill with one side on ice: the disc gets hotter until the control
rests the brake.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Panel, Slider
from tractionlab.panels.runs import (
    driven_wheels,
    moving,
    runs,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.physics.brake import temperature_after
from tractionlab.run.assembly import car_of
from tractionlab.run.scenario import Scenario
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View

LAUNCHES = 10
_SECONDS = 10.0


def _scenario(values, disc, resting):
    settings = {
        "heat_pause_degC": values["limit"],
        "heat_resume_degC": min(values["limit"], _resume()),
    }
    if resting:
        settings["heat_pause_degC"] = settings["heat_resume_degC"]
    return Scenario(
        vehicle=values["vehicle"],
        left="ice",
        right="dry_asphalt",
        tyre=tyre_of(values),
        slope_percent=values["slope"],
        control="brake",
        duration_s=_SECONDS,
        disc_degC=tuple(disc),
        settings=settings,
    )


def _resume():
    return catalogue.in_use().control_values()["heat_resume_degC"]


def launches(values):
    """Traces of ten launches one after the other; the discs cool at standstill between them.

    A pause lasts until the disc is cool.
    """
    disc, resting, traces = np.full(4, 20.0), False, []
    for _ in range(LAUNCHES):
        (trace,) = runs([_scenario(values, disc.tolist(), resting)])
        traces.append(trace)
        hottest = trace.disc_temperature.max()
        disc = np.array(
            [
                temperature_after(t, 0.0, values["rest"], 0.0, car_of(trace.scenario).brakes)
                for t in trace.disc_temperature[-1]
            ]
        )
        resting = (hottest >= values["limit"] or resting) and disc.max() > _resume()
    return traces


def heat_view(values):
    """Picture of ten launches; values: vehicle, slope [%], rest [s], limit [degC]."""
    traces = launches(values)
    slipping, _ = driven_wheels(traces[0])[0]
    number = np.arange(1.0, LAUNCHES + 1.0)
    peak = np.array([trace.disc_temperature[:, slipping].max() for trace in traces])
    speed = np.array([trace.speed[-1] * IN_KMH for trace in traces])
    paused = np.flatnonzero(peak >= values["limit"])
    temperatures = Chart(
        title="Disc in each launch",
        x="launch [-]",
        y="temperature [°C]",
        lines=(
            Line(label="disc", x=number, y=peak, style=0),
            Line(label="limit", x=number, y=np.full(LAUNCHES, float(values["limit"])), style=2),
        ),
        marks=(Mark(label="brake rests", x=float(number[paused[0]])),) if len(paused) else (),
        x_range=(1.0, LAUNCHES),
    )
    speeds = Chart(
        title=f"Speed after {_SECONDS:g} s",
        x="launch [-]",
        y="speed [km/h]",
        lines=(Line(label="car", x=number, y=speed, style=0),),
        x_range=(1.0, LAUNCHES),
    )
    figures = (
        Figure(label="Disc after launch 1", value=f"{peak[0]:.0f}", unit="°C"),
        Figure(label="Hottest disc", value=f"{peak.max():.0f}", unit="°C"),
        Figure(
            label="Brake rests from launch",
            value=str(int(number[paused[0]])) if len(paused) else "none",
            held=True,
        ),
    )
    text = (
        f"In the first launch the disc gets {peak[0]:.0f} °C hot and the car {moving(speed[0])}"
        f" after {_SECONDS:g} s. "
    )
    held = ""
    if len(paused):
        first = paused[0]
        held = (
            f"In launch {first + 1} the disc reaches {values['limit']:g} °C and the control rests"
            " the brake."
        )
        if first + 1 < LAUNCHES and speed[first + 1] < 0.9 * speed[0]:
            held += f" In launch {first + 2} the car {moving(speed[first + 1])}."
    else:
        held = (
            f"In ten launches the disc stays below {values['limit']:g} °C: it gets {peak.max():.0f}"
            " °C at most."
        )
    return View(charts=(temperatures, speeds), sentence=text + held, figures=figures, held=(held,))


def heat_panel(locked_by=None):
    """Ten launches in a row."""
    controls = [
        Slider("rest", "Pause between launches", "s", 0, 600, 10, 10),
        Slider("slope", "Slope, uphill", "%", 0, 15, 1, 10),
        Slider("limit", "The control rests the brake at", "°C", 200, 600, 20, 480),
        tyre_choice(),
        vehicle_choice(),
    ]
    return Panel("Ten launches in a row", controls, heat_view, locked_by=locked_by)
