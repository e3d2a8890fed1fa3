"""Ten launches in a row on a hill with one side on ice: the disc gets hotter until the control
rests the brake.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.control.phases import DISC_HOT
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
from tractionlab.textbook.heat_colours import glow, heat_colours
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View
from tractionlab.view.closeups import Disc, DiscCloseup

LAUNCHES = 10
_SECONDS = 10.0
_EVERY, _PAUSES = 20, 12  # every so many samples of a run are shown, so many points of a pause
_PLAY, _TOP = 20.0, 700.0  # s: so long all launches last; degC: end of the scale


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
        disc = np.array(
            [
                temperature_after(t, 0.0, values["rest"], 0.0, car_of(trace.scenario).brakes)
                for t in trace.disc_temperature[-1]
            ]
        )
        resting = (rests(trace) or resting) and disc.max() > _resume()
    return traces


def rests(trace):
    """True if the control rests a brake in this launch, by its own count of the heat."""
    return bool(np.any(trace.reason == DISC_HOT))


def heat_view(values):
    """Picture of ten launches; values: vehicle, slope [%], rest [s], limit [degC]."""
    traces = launches(values)
    slipping, wheel = driven_wheels(traces[0])[0]
    number = np.arange(1.0, LAUNCHES + 1.0)
    peak = np.array([trace.disc_temperature[:, slipping].max() for trace in traces])
    speed = np.array([trace.speed[-1] * IN_KMH for trace in traces])
    paused = np.flatnonzero([rests(trace) for trace in traces])
    time, discs = discs_over(traces, values["rest"])
    warm = discs[:, slipping]
    temperatures = Chart(
        title=f"Disc of the {wheel}",
        x="time [s]",
        y="temperature [°C]",
        over_time=True,
        lines=(
            Line(label="disc", x=time, y=warm, style=0),
            Line(label="limit", x=time[[0, -1]], y=np.full(2, float(values["limit"])), style=2),
        ),
        marks=_first_rest(paused, traces, values["rest"]),
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
            f"In launch {first + 1} the control counts {values['limit']:g} °C and rests the brake."
        )
        if first + 1 < LAUNCHES and speed[first + 1] < 0.9 * speed[0]:
            held += f" In launch {first + 2} the car {moving(speed[first + 1])}."
    else:
        held = (
            f"In ten launches the control never rests the brake: the disc gets {peak.max():.0f} °C"
            " at most."
        )
    return View(
        charts=(temperatures, speeds),
        sentence=text + held + _glow_words(peak.max()),
        figures=figures,
        held=(held,),
        closeup=_closeup(time, discs, driven_wheels(traces[0])[:2], values["limit"]),
    )


def _first_rest(paused, traces, rest):
    """Mark of the moment at which the control first rests the brake; in which launch that is, the
    learner counts.
    """
    if not len(paused):
        return ()
    first = paused[0]
    begin = sum(trace.time[-1] + rest for trace in traces[:first])
    hot = traces[first].time[np.any(traces[first].reason == DISC_HOT, axis=1)][0]
    return (Mark(label="brake rests", x=float(begin + hot)),)


def discs_over(traces, rest):
    """(time [s], temperature of the four discs [degC], (n, 4)) through all launches and the pauses
    of `rest` [s] between them.
    """
    times, discs, begin = [], [], 0.0
    for number, trace in enumerate(traces, 1):
        times.append(begin + trace.time[::_EVERY])
        discs.append(trace.disc_temperature[::_EVERY])
        begin += float(trace.time[-1])
        if rest and number < LAUNCHES:
            pause = np.linspace(0.0, rest, _PAUSES)[1:-1]
            brakes, still = car_of(trace.scenario).brakes, trace.disc_temperature[-1]
            times.append(begin + pause)
            discs.append(
                [[temperature_after(t, 0.0, s, 0.0, brakes) for t in still] for s in pause]
            )
        begin += rest
    return np.concatenate(times), np.concatenate(discs)


def _closeup(time, discs, wheels, limit):
    table = heat_colours()
    return DiscCloseup(
        time=time,
        discs=tuple(
            Disc(label=words, temperature=discs[:, i], colour=colour, heat=heat)
            for i, words in wheels
            for colour, heat in [glow(discs[:, i])]
        ),
        heats=table.names,
        marks=(
            (float(limit), "limit"),
            (table.dull_light, "perhaps a red in the dark"),
            (float(table.temperature[1]), table.names[1]),
        ),
        top=_TOP,
        rate=float(time[-1]) / _PLAY,
    )


def _glow_words(hottest):
    """Whether a disc of this temperature [degC] glows, with a space before it."""
    table = heat_colours()
    _, heat = glow(hottest)
    if heat[0]:
        return f" The hottest disc would glow in the dark: {table.names[heat[0]]}."
    seen = "there is no red"
    if hottest >= table.dull_light:
        seen = "only a dark-adapted eye might see a red"
    glows = f"{table.temperature[1]:.0f} °C"
    return f" A disc glows from about {glows} on; at the hottest of these launches {seen}."


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
