"""Car and circuit: a launch or a stop with the hydraulic circuit of the car beside it, sound or
with one faulty part.
"""

from dataclasses import replace

import numpy as np

from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    ALL_WHEELS,
    PICTURE_STEP,
    WORDS,
    car_scene,
    ending,
    moving,
    percent,
    pressure_lines,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
)
from tractionlab.panels.stop import Stop, locking, stands
from tractionlab.run.scenario import Scenario
from tractionlab.units import BAR
from tractionlab.view import Chart, View
from tractionlab.wheels import WHEELS

CARS = {"A": "rear_petrol", "B": "front_petrol"}
DRIVES = (("launch", "Pulling away"), ("stop", "Braking hard"))
_LAUNCH_S, _STOP_S, _STOP_FROM = 5.0, 8.0, 50.0
_QUICK = 10  # cycles between two frames of the circuit while a slider moves
_BRAKED_BAR = 3.0  # less only brings the pads to the disc
_ON_SPLIT = (
    " The sides differ, so both rear wheels get only what the slippery side bears (select low). A"
    " rear brake that holds less can let the other one do more, and the stop can even get shorter:"
    " compare faults on an even road."
)
_AFTER_ROWS = 40  # of 10 ms, shown after the car stands
#: Faults of each layout: key -> (words, faults of the scenario).
FAULTS = {
    "A": {
        "none": ("none, all parts sound", {}),
        "feed": ("feed valve stuck closed", {"feed_valve": "stuck_closed"}),
        "cut_off": ("cut-off valve stuck open", {"cut_off_valve": "stuck_open"}),
        "hold": ("wheel valve rear left stuck in hold", {"wheel_valve_RL": "stuck_hold"}),
        "plug": (
            "wheel valve rear left, bad plug: 1.5 ohm",
            {"wheel_valve_RL": ("extra_resistance", 1.5)},
        ),
        "air": ("2 cm\u00b3 of air in the rear left brake", {"wheel_RL": ("air", 2.0)}),
        "ring": ("ring with 44 teeth rear left", {"sensor_RL": ("teeth", 44)}),
        "sensor": ("sensor lead open rear left", {"sensor_RL": "open"}),
    },
    "B": {
        "none": ("none, all parts sound", {}),
        "priming": ("priming valve 1 stuck closed", {"priming_valve_1": "stuck_closed"}),
        "isolating": ("isolating valve 1 stuck open", {"isolating_valve_1": "stuck_open"}),
        "inlet": ("inlet valve front left stuck closed", {"inlet_FL": "stuck_closed"}),
        "outlet": ("outlet valve front left leaks, 0.2 mm", {"outlet_FL": ("leak", 0.2)}),
        "pump": ("return pump gives a third of its flow", {"return_pump": ("weak", 0.33)}),
        "air": ("2 cm\u00b3 of air in the front left brake", {"wheel_FL": ("air", 2.0)}),
        "ring": ("ring with 44 teeth front left", {"sensor_FL": ("teeth", 44)}),
        "sensor": ("sensor lead open front left", {"sensor_FL": "open"}),
    },
}


#: The panel's values as it opens.
START = {
    "drive": "launch",
    "left": "ice",
    "right": "wet_asphalt",
    "stop_left": "wet_asphalt",
    "stop_right": "wet_asphalt",
    "throttle": 100.0,
    "brake": 100.0,
    "control": True,
    "fault": "none",
}


def scenario_of(key, values):
    """Scenario of the panel's values: drive, throttle [%], brake [bar], control (bool), fault, and
    the road of each drive: left, right and stop_left, stop_right."""
    launch, control = values["drive"] == "launch", values["control"]
    left, right = (values[("" if launch else "stop_") + side] for side in ("left", "right"))
    common = dict(
        vehicle=CARS[key],
        left=left,
        right=right,
        tyre=tyre_of(values),
        step_s=PICTURE_STEP,
        faults=FAULTS[key][values["fault"]][1],
        control="both" if control else "off",
        antilock=control,
    )
    if launch:
        return Scenario(pedal_percent=values["throttle"], duration_s=_LAUNCH_S, **common)
    return Scenario(
        initial_speed_kmh=_STOP_FROM,
        pedal_percent=0.0,
        brake_bar=values["brake"],
        brake_from_s=0.2,
        brake_until_s=120.0,
        duration_s=_STOP_S,
        **common,
    )


def drive_view(key, values, every=2):
    """Picture of a launch or stop of the car with layout `key`, and its circuit with a frame for
    every so many cycles.
    """
    (trace,) = runs([scenario_of(key, values)])
    if values["drive"] == "stop":
        trace = trace.until(Stop(trace).end + 1 + _AFTER_ROWS)
    launch = values["drive"] == "launch"
    charts = (
        speed_chart(*speed_lines(trace, wheels=None if launch else ALL_WHEELS)),
        Chart(
            title="Pressure at the brakes",
            x="time [s]",
            y="pressure [bar]",
            over_time=True,
            lines=pressure_lines(trace, ALL_WHEELS),
        ),
    )
    scene = car_scene(trace)
    scene = replace(scene, lamp=np.maximum(scene.lamp, trace.antilock[::2]))
    return View(
        charts=charts,
        scenes=(scene,),
        circuit=trace.circuit.scene(every),
        phases=phase_strip(trace),
        sentence=_sentence(key, values, trace),
    )


def _sentence(key, values, trace):
    fault = FAULTS[key][values["fault"]][0]
    text = f"Fault: {fault}. " if values["fault"] != "none" else "All parts are sound. "
    control = "on" if values["control"] else "off"
    if values["drive"] == "launch":
        merit = trace.merit()
        return (
            text + f"Traction control {control}: after {_LAUNCH_S:g} s the car"
            f" {moving(merit.final_speed_kmh)}, has gone {merit.distance_m:.1f} m and used"
            f" {percent(merit.grip_share)} of the grip under its driven wheels; {_braked(trace)}."
            f"{ending(trace)}"
        )
    stop = Stop(trace)
    text += (
        f"From {_STOP_FROM:g} km/h, anti-lock {control}: {stands(stop, _STOP_S)} and uses"
        f" {percent(stop.grip_used)} of the grip; {locking(stop)}.{stop.ended}"
    )
    return text + (
        _ON_SPLIT if values["stop_left"] != values["stop_right"] and values["control"] else ""
    )


def _braked(trace):
    top = trace.pressure.max(axis=0) / BAR
    found = [
        f"the {WORDS[name]} with up to {top[i]:.0f} bar"
        for i, name in enumerate(WHEELS)
        if top[i] >= _BRAKED_BAR
    ]
    return "it braked " + " and ".join(found) if found else "it braked no wheel"


def drive_panel(layout, locked_by=None, **changes):
    """Car and circuit of layout "A" or "B" side by side along one drive; `changes` replace values
    of START. A stop begins on an even road.
    """
    begin = {**START, **changes}
    launch, stop = ("drive", "launch"), ("drive", "stop")
    roads = [
        surface_choice(name + side, f"Road on the {side}", begin[name + side], when)
        for name, when in (("", launch), ("stop_", stop))
        for side in ("left", "right")
    ]
    controls = [
        Choice("drive", "Drive", DRIVES, begin["drive"]),
        *roads,
        tyre_choice(),
        Slider("throttle", "Throttle", "%", 5, 100, 5, begin["throttle"], when=launch),
        Slider("brake", "Pedal pressure", "bar", 10, 150, 5, begin["brake"], when=stop),
        Choice(
            "fault",
            "Fault",
            tuple((name, words) for name, (words, _) in FAULTS[layout].items()),
            begin["fault"],
        ),
        Switch("control", "Control on", begin["control"]),
    ]
    return Panel(
        f"The circuit in the moving car, layout {layout}",
        controls,
        lambda values: drive_view(layout, values),
        first=lambda values: drive_view(layout, values, _QUICK),
        locked_by=locked_by,
    )
