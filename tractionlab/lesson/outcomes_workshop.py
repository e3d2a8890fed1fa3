"""What the panels show of the predictions on diagnosis, measuring, finding faults and service."""

import numpy as np

from tractionlab.lesson.diagnosis_facts import five_causes
from tractionlab.lesson.finding_facts import air_facts, half_split, three_routes
from tractionlab.lesson.measuring_facts import cut_strands, live_ohm
from tractionlab.lesson.outcome import Outcome
from tractionlab.panels.finding import code_back
from tractionlab.panels.self_diagnosis import stored_after_repair
from tractionlab.workshop.hydraulic_bay import air_travel


def _lead_split():
    few, many = half_split(2), half_split(8)
    return Outcome(
        f"With two sections it makes no difference: {few[0]:g} measurement either way. With eight,"
        f" halving needs {many[0]:g}, along the lead it is {many[1]:.1f} on average.",
        None,
    )


def _routes():
    _, renewing, listed, method = three_routes()
    return Outcome(
        f"The method takes {method} min, the list {listed} min, renewing parts {renewing} min.",
        method,
    )


def _air():
    _, travel, *_ = air_facts()
    return Outcome(f"The pedal goes {travel:.0f} mm lower.", travel)


def _back():
    code, seconds, speed = code_back("space-saver-left-fitted", 0)
    return Outcome(f"The code {code} is back after {seconds:.0f} s, at {speed:.0f} km/h.", seconds)


def _names():
    types, _ = five_causes()
    return Outcome(
        "A broken coil, a broken lead, a lead on the body, corrosion: four causes, one code. The"
        f" failure types are {', '.join(types)}.",
        2,
    )


def _mended():
    code, present = stored_after_repair()
    return Outcome(
        f"After the repair and another drive the tester shows {code},"
        f" {'present' if present else 'stored, not present'}.",
        3 if present else 2,
    )


def _ohm():
    shown = live_ohm()
    return Outcome(
        f"With the ignition on the display shows {shown}, though the coil has 1100 ohm: the unit's"
        " own voltage spoils the reading.",
        3,
    )


def _strands():
    _, _, current, lost, sound = cut_strands()
    return Outcome(
        f"The pump draws {current:.1f} A in place of {sound:.1f} A: the strand eats {lost:.1f} V.",
        current,
    )


def _lower():
    bars = np.linspace(0.0, 50.0, 201)
    return bars, [air_travel(1.0, bar)[1] for bar in bars]


#: Prediction -> its computed curve.
CURVES = {"12.air": _lower}
#: Prediction -> function that works its outcome out.
OUTCOMES = {
    "9.names": _names,
    "9.mended": _mended,
    "10.ohm": _ohm,
    "10.strands": _strands,
    "11.split": _lead_split,
    "11.routes": _routes,
    "12.air": _air,
    "12.back": _back,
}
