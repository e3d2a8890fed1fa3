"""Delay: how fast each path takes torque away when the wheels break loose, and what a slow path
costs.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Choice, Panel, Slider
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    car_scene,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.run.assembly import vehicle_values
from tractionlab.run.scenario import Scenario
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, View

PATHS = {
    "throttle": ("throttle",),
    "ignition": ("ignition", "throttle"),
    "fuel": ("fuel", "throttle"),
    "all": ("ignition", "fuel", "throttle"),
}
_WORDS = {
    "throttle": "Throttle alone",
    "ignition": "Ignition first, then throttle",
    "fuel": "Fuel first, then throttle",
    "all": "Ignition, fuel and throttle",
}
_SECONDS = 6.0
_ALIKE = 0.3  # km/h: what is nearer is called the same
_CALM = 5.0  # km/h faster than the car: below this the wheels count as caught again


def scenario_of(values, paths, extra):
    """Scenario of a full-throttle launch with torque reduction by these paths, each `extra` seconds
    later than the car's own delay.
    """
    settings = {
        key: value + extra
        for key, value in catalogue.in_use().control_values().values.items()
        if key in ("message_delay_s", "ignition_delay_s", "fuel_delay_s")
    }
    return Scenario(
        vehicle=values["vehicle"],
        left=values["surface"],
        tyre=tyre_of(values),
        control="torque",
        paths=PATHS[paths],
        settings=settings,
        pedal_rise_s=0.1,
        duration_s=_SECONDS,
    )


def overshoot(trace):
    """(largest surplus of the faster driven wheel over the car [km/h], time from breaking loose
    until caught again [s] or NaN).
    """
    surplus = _surplus(trace)
    loose = np.flatnonzero(surplus > _CALM)
    if not len(loose):
        return float(surplus.max()), 0.0
    caught = np.flatnonzero(surplus[loose[0] :] < _CALM)
    time = trace.time[loose[0] + caught[0]] - trace.time[loose[0]] if len(caught) else float("nan")
    return float(surplus.max()), float(time)


def _surplus(trace):
    """How much faster than the car its faster driven wheel turns [km/h], over the run."""
    rim = trace.wheel_speed[:, np.array(trace.driven)].max(axis=1)
    return (rim * vehicle_values(trace.scenario)["tyre_radius_m"] - trace.speed) * IN_KMH


def _on_snow(paths):
    (trace,) = runs([scenario_of({"vehicle": "rear_petrol", "surface": "packed_snow"}, paths, 0.0)])
    return trace


def spin_by(paths):
    """`overshoot` of the rear-drive car on packed snow by these paths, without extra delay."""
    return overshoot(_on_snow(paths))


def spin_over_time():
    """(time since the pedal [s], how much faster than the car the wheels turn [km/h]) of the same
    car by throttle alone.
    """
    trace = _on_snow("throttle")
    return trace.time - trace.scenario.pedal_from_s, _surplus(trace)


def delay_view(values):
    """Picture of torque reduction; values: vehicle, surface, paths, extra [ms].

    All three ways at once, without extra delay, lie beside it.
    """
    trace, quick = runs(
        [
            scenario_of(values, values["paths"], values["extra"] / 1000.0),
            scenario_of(values, "all", 0.0),
        ]
    )
    electric = catalogue.in_use().vehicles()[values["vehicle"]]["motor"] == "electric"
    way = "The electric motor" if electric else _WORDS[values["paths"]]
    late = f", {values['extra']:g} ms late" if values["extra"] else ""
    (most, time), (least, _) = overshoot(trace), overshoot(quick)
    same = trace.scenario.key == quick.scenario.key or (electric and not values["extra"])
    speeds = speed_chart(*speed_lines(trace))
    lines = [
        Line(label="engine", x=trace.time, y=trace.engine_torque, style=0),
        Line(label="asked for by the control", x=trace.time, y=trace.torque_request, style=1),
    ]
    if not same:
        lines.append(
            Line(
                label="engine, without delay" if electric else "engine, all three at once",
                x=quick.time,
                y=quick.engine_torque,
                style=3,
            )
        )
    torque = Chart(
        title="Engine torque", x="time [s]", y="torque [N m]", over_time=True, lines=tuple(lines)
    )
    text = f"{way}{late}: the driven wheels run up to {most:.1f} km/h faster than the car"
    text += f", and it takes {_duration(time)} to catch them. " if time else ". "
    best = "the motor without extra delay" if electric else "all three at once"
    if same:
        held = "Nothing on this car acts sooner."
    else:
        less = f"{abs(most - least):.1f} km/h {'less' if least <= most else 'more'}"
        held = (
            f"With {best} it is {least:.1f} km/h,"
            f" {less if abs(most - least) >= _ALIKE else 'about the same'}."
        )
    figures = (
        Figure(label="Wheel faster than car by", value=f"{most:.1f}", unit="km/h"),
        Figure(label="Caught after", value=_figure(time), unit="s"),
        Figure(label="Energy lost in spin", value=f"{trace.merit().spin_energy_kJ:.1f}", unit="kJ"),
    )
    scenes = (car_scene(trace, way),) if same else (car_scene(trace, way), car_scene(quick, best))
    return View(
        charts=(speeds, torque),
        sentence=text + held,
        scenes=scenes,
        figures=figures,
        held=(held,),
        phases=phase_strip(trace, wheels=()),
    )


def _duration(time):
    return f"{time:.2f} s" if np.isfinite(time) else f"more than {_SECONDS:g} s"


def _figure(time):
    return f"{time:.2f}" if np.isfinite(time) else f"> {_SECONDS:g}"


def delay_panel(locked_by=None, choose_path=True):
    """Delay and path of torque reduction; without `choose_path` it is always the throttle alone."""
    controls = [
        Slider("extra", "Extra delay", "ms", 0, 400, 10, 0),
        surface_choice("surface", "Surface", "packed_snow"),
        tyre_choice(),
        vehicle_choice(),
    ]
    if choose_path:
        controls.insert(
            0, Choice("paths", "Torque is taken away by", tuple(_WORDS.items()), "throttle")
        )
    title = "Which path is fastest?" if choose_path else "Shutting the throttle"
    return Panel(
        title,
        controls,
        lambda values: delay_view({"paths": "throttle", **values}),
        locked_by=locked_by,
    )
