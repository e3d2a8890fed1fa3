"""Self-diagnosis of a drive: lamps, what the unit reads, counters of its monitors, and what its
memory holds afterwards.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.fault_memory import counter_of, debounce
from tractionlab.diagnosis.lamps import FLASHING, LAMPS, ON
from tractionlab.panels.base import Choice, Panel, Slider
from tractionlab.panels.diagnosis_page import LAMP_WORDS, lamp_lanes, memory_tables
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View
from tractionlab.wheels import WHEEL_WORDS
from tractionlab.workshop.codes import code_list
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.world import KINDS, drive
from tractionlab.workshop.faults import faults
from tractionlab.workshop.part_values import changed, part_values

SECONDS = 60.0
#: Stories of the memory panel: what happened before the drive that is shown.
STORIES = {
    "first": "first drive with the fault",
    "again": "next drive, fault still there",
    "mended": "next drive, repaired",
    "cleared": "repaired, and memory cleared",
    "at_once": "cleared and read at once",
}
_STEP = 0.02  # s between points of a picture
_MOST_CODES, _MOST_COUNTERS = 3, 3


@dataclass(frozen=True)
class Cause:
    """A car to choose: words, vehicle, changes of its part values."""

    words: str
    vehicle: str
    changes: dict


#: Five causes that set the code of the same sensor circuit, and a sound car to compare.
FIVE = {
    "sound": Cause("nothing: a sound car", "rear_petrol", {}),
    "coil": Cause("coil in the sensor is broken", "rear_petrol", {"sensor_fl.coil_ohm": 1e9}),
    "plug": Cause(
        "lead to the sensor is broken", "rear_petrol", {"lead_sensor_fl_signal_2.ohm": 1e9}
    ),
    "body": Cause(
        "lead touches the body", "rear_petrol", {"lead_sensor_fl_signal_2.to_ground_ohm": 2.0}
    ),
    "corroded": Cause(
        "green corrosion in the plug", "rear_petrol", {"lead_sensor_fl_signal_2.ohm": 2200.0}
    ),
    "loose": Cause(
        "lead breaks now and then", "rear_petrol", {"lead_sensor_fl_signal_2.broken_share": 0.05}
    ),
}


@lru_cache(maxsize=1)
def all_causes():
    """A sound car of each kind and every entry of the catalogue, as key -> Cause."""
    found = {
        f"sound {key}": Cause(f"{catalogue.shipped().vehicles()[key].name}: sound", key, {})
        for key in ("rear_petrol", "front_petrol", "front_electric")
    }
    for name, fault in faults().items():
        for vehicle in fault.vehicles:
            found[f"{name} {vehicle}"] = Cause(
                f"{catalogue.shipped().vehicles()[vehicle].name}: {fault.place}, {fault.kind}",
                vehicle,
                fault.on(vehicle),
            )
    return found


@lru_cache(maxsize=8)
def _diagnosis(key, kind, number, story, five):
    """Diagnosis of the drive that is shown, and the memory as it was read."""
    cause = (FIVE if five else all_causes())[key]
    sound = part_values(cause.vehicle)
    bad = changed(sound, cause.changes)
    first = diagnose(cause.vehicle, bad, drive(cause.vehicle, number, kind, SECONDS))
    if story == "first":
        return first, first.memory
    memory = first.memory.clear() if story in ("cleared", "at_once") else first.memory
    now = diagnose(
        cause.vehicle,
        bad if story == "again" else sound,
        drive(cause.vehicle, number + 100, kind, SECONDS),
        memory,
    )
    return now, memory if story == "at_once" else now.memory


def diagnosis_view(values, five=False):
    """Picture of a drive; values: cause, kind, number, story."""
    found, memory = _diagnosis(
        values["cause"], values["kind"], int(values["number"]), values.get("story", "first"), five
    )
    thin = slice(None, None, max(1, round(_STEP / 0.01)))
    time = found.time[thin]
    charts = (_speed_chart(found, time, thin), *_counter_chart(found, time, thin))
    return View(
        charts=charts,
        sentence=_sentence(found, memory),
        figures=_figures(found, memory, five),
        lanes=lamp_lanes(found),
        tables=memory_tables(found, memory),
    )


def _marks(found):
    first = next((event for event in found.events if event.failed), None)
    return (Mark(label=f"{first.code} found", x=first.time),) if first else ()


def _speed_chart(found, time, thin):
    speed = found.seen["wheel_speed"][thin] * IN_KMH
    return Chart(
        title="Wheel speeds as the control unit reads them",
        x="time [s]",
        y="speed [km/h]",
        over_time=True,
        marks=_marks(found),
        lines=tuple(
            Line(label=words, x=time, y=speed[:, i], style=i) for i, words in enumerate(WHEEL_WORDS)
        ),
    )


def _counter_chart(found, time, thin):
    """Counters of the tests that came at least half way to a fault, the fullest first."""
    counters = []
    for w in found.watches:
        if w.code and w.bad.any():
            counter = counter_of(w.steps, w.limit, debounce(w.steps, w.limit)) / w.limit
            counters.append((float(counter.max()), f"{w.code} {w.failure_type}", counter))
    counters = [entry for entry in counters if entry[0] >= 0.5]
    counters.sort(key=lambda entry: -entry[0])
    if not counters:
        return ()
    return (
        Chart(
            title="Counters of the tests: 100 % = fault, back at 0 % = passed",
            x="time [s]",
            y="counter [%]",
            over_time=True,
            y_range=(0.0, 110.0),
            lines=tuple(
                Line(label=label, x=time, y=100.0 * counter[thin], style=i)
                for i, (_, label, counter) in enumerate(counters[:_MOST_COUNTERS])
            ),
        ),
    )


def _figures(found, memory, five):
    first = next((event for event in found.events if event.failed), None)
    figures = [
        Figure(
            label="First fault found after" if first else "Faults found",
            value=f"{first.time:.1f}" if first else "none",
            unit="s" if first else "",
        ),
        Figure(label="Stored codes", value=str(len(memory.stored))),
    ]
    if five:
        figures.append(
            Figure(
                label="At the unit, front left",
                value=f"{round(np.median(found.seen['bias'][100:200, 0]), 2) + 0.0:.2f}",
                unit="V",
            )
        )
    return tuple(figures)


def _sentence(found, memory):
    lit = [LAMP_WORDS[name] for name in LAMPS if found.lamps[name][-1] == ON]
    text = f"At the end of the drive {_lamps(lit)}. "
    if worked := float(np.sum(found.lamps["tc"] == FLASHING)) * 0.01:
        text += f"Traction control works for {worked:.1f} s, and its lamp flashes. "
    first = next((event for event in found.events if event.failed), None)
    if first:
        text += f"The first fault is found {first.time:.1f} s after ignition on. "
    if not memory.stored:
        return text + "No code is stored."
    said = [
        f"{entry.code} {entry.failure_type}, {code_list().words(entry.code, entry.failure_type)},"
        f" {'present' if entry.present else 'stored, not present'}"
        for entry in memory.stored[:_MOST_CODES]
    ]
    return text + "In the memory: " + "; ".join(said) + "."


def _lamps(lit):
    if not lit:
        return "no lamp is on"
    return f"the {' and the '.join(lit)} lamp{'s are' if len(lit) > 1 else ' is'} on"


#: What a panel without a control for it shows.
_FIXED = {"kind": "rough", "number": 1.0, "story": "first"}


def _panel(title, causes, controls, five, locked_by):
    """Panel of a drive: wheel speeds and counters, the lamps over time, the memory in words."""
    words = tuple((key, cause.words) for key, cause in causes.items())
    return Panel(
        title,
        [Choice("cause", "What is wrong", words, next(iter(causes))), *controls],
        lambda values: diagnosis_view({**_FIXED, **values}, five),
        locked_by=locked_by,
    )


def stored_after_repair():
    """(first code in the memory, is it present?) after the drive with the repaired car, nothing
    cleared.
    """
    entry = _diagnosis("coil", "rough", 1, "mended", True)[1].stored[0]
    return f"{entry.code} {entry.failure_type}", entry.present


def self_diagnosis_panel(locked_by=None):
    """Any car of the catalogue on any kind of road: lamps, counters, memory."""
    controls = [
        Choice("kind", "Road", tuple(KINDS.items()), "mixed"),
        Slider("number", "Drive number", "", 1, 50, 1, 1),
        Choice("story", "What is read", tuple(STORIES.items()), "first"),
    ]
    return _panel("Self-diagnosis of a drive", all_causes(), controls, False, locked_by)


def same_code_panel(locked_by=None):
    """One sensor circuit and five causes: which codes, which voltage at the unit."""
    return _panel("One circuit, five causes", FIVE, [], True, locked_by)


def memory_panel(locked_by=None):
    """The same circuit over two drives: what is stored, what is present, what clearing does."""
    return _panel(
        "The memory after another drive",
        {key: FIVE[key] for key in ("coil", "body", "loose")},
        [Choice("story", "What is read", tuple(STORIES.items()), "first")],
        True,
        locked_by,
    )
