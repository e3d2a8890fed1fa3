"""Finding faults: a broken lead to split, what is left to suspect minute by minute, and when a
cleared code is back.
"""

import numpy as np

from tractionlab.panels.base import Choice, Panel
from tractionlab.panels.diagnosis_page import lamp_lanes
from tractionlab.panels.measuring import measuring_panel
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View
from tractionlab.workshop.case.suspects import (
    AFTER_REPAIR,
    BASE,
    candidates,
    car_with,
    predicted,
    still_possible,
)
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.drive.bay import customer_drives
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.faults import faults
from tractionlab.workshop.tests.base import tests

_BROKEN = {"lead_sensor_fl_signal_2.ohm": 1e9}
_ROUTES = (
    "passive-sensor-wide-gap",
    "passive-sensors-swapped-left-right",
    "cut-off-valve-stuck-closed",
    "outlet-valve-leaks",
    "inlet-valve-blocked",
)
_CLEARED = (
    ("passive-sensor-open-circuit", "open coil of a sensor"),
    ("return-pump-seized", "seized return pump"),
    ("space-saver-left-fitted", "small spare wheel"),
    ("passive-sensor-intermittent-lead", "lead that breaks on bumps"),
    ("tone-ring-cracked", "cracked ring"),
)
_DRIVES = (("0", "town and main road"), ("1", "a long straight road"), ("2", "a rough road"))


def split_panel(locked_by=None):
    """The lead of a wheel sensor is open in one of its sections; the meter finds which."""
    return measuring_panel("rear_petrol", "wheel_sensors", changes=_BROKEN, locked_by=locked_by)


def suspects_over_time(fault_id, order):
    """(minutes, faults still possible) after each test of `order`, from the complaint on."""
    entry = faults()[fault_id]
    vehicle = entry.vehicles[0]
    left = candidates(entry.symptoms[0], vehicle)
    minutes, count = [0.0], [float(len(left))]
    for test in order:
        minutes.append(minutes[-1] + tests()[test].minutes)
        left = still_possible(left, test, predicted(test, fault_id, vehicle), vehicle)
        count.append(float(len(left)))
        if len(left) == 1:
            break
    return np.array(minutes), np.array(count)


def routes_view(values):
    """Picture of two routes to one fault; values: case, key of one of the routes."""
    entry = faults()[values["case"]]
    method = suspects_over_time(
        entry.id, route_to(entry.id, entry.symptoms[0], entry.vehicles[0]).tests
    )
    listed = suspects_over_time(entry.id, [test for test in tests() if test not in AFTER_REPAIR])
    chart = Chart(
        title="Faults that are still possible",
        x="time [min]",
        y="faults [1]",
        lines=(
            Line(label="by the method", x=_steps(*method)[0], y=_steps(*method)[1], style=0),
            Line(label="by the list", x=_steps(*listed)[0], y=_steps(*listed)[1], style=1),
        ),
    )
    names = [
        tests()[test].name.lower()
        for test in route_to(entry.id, entry.symptoms[0], entry.vehicles[0]).tests[len(BASE) :]
    ]
    text = (
        f"The customer says: {entry.story} {method[1][0]:.0f} faults fit. The method is down to one"
        f" after {method[0][-1]:.0f} minutes, the list after {listed[0][-1]:.0f}. After the general"
        f" tests the method takes: {', '.join(names) or 'nothing more'}."
    )
    figures = (
        Figure(label="By the method", value=f"{method[0][-1]:.0f}", unit="min"),
        Figure(label="By the list", value=f"{listed[0][-1]:.0f}", unit="min"),
    )
    return View(charts=(chart,), sentence=text, figures=figures)


def _steps(x, y):
    return np.repeat(x, 2)[1:], np.repeat(y, 2)[:-1]


def routes_panel(locked_by=None):
    """How fast two ways of testing shorten the list of suspects."""
    options = tuple((key, f"case {i}") for i, key in enumerate(_ROUTES, 1))
    return Panel(
        "Two ways to one fault",
        [Choice("case", "Car", options, _ROUTES[0])],
        routes_view,
        locked_by=locked_by,
    )


def _drive_after_clearing(fault_id, number):
    """(drive, Diagnosis, first event of a fault found or None) with the fault still on the car and
    an empty memory.
    """
    vehicle = faults()[fault_id].vehicles[0]
    world = customer_drives(vehicle)[number]
    found = diagnose(vehicle, car_with(fault_id, vehicle), world)
    return world, found, next((event for event in found.events if event.failed), None)


def _speed_at(world, time):
    return IN_KMH * world.speed[min(len(world) - 1, int(100 * time))]


def code_back(fault_id, number):
    """(code, seconds until it is back, speed then [km/h]) in drive `number` after clearing with the
    fault still there.
    """
    world, _, back = _drive_after_clearing(fault_id, number)
    return back.code, back.time, _speed_at(world, back.time)


def cleared_view(values):
    """Picture of a drive after the memory was cleared with the fault still there; values: fault,
    drive.
    """
    entry = faults()[values["fault"]]
    world, found, back = _drive_after_clearing(entry.id, int(values["drive"]))
    marks = (Mark(label=f"{back.code} back", x=back.time),) if back else ()
    speed = Chart(
        title="Drive after clearing",
        x="time [s]",
        y="speed [km/h]",
        over_time=True,
        marks=marks,
        lines=(Line(label="car", x=world.time, y=IN_KMH * world.speed, style=0),),
    )
    words = dict(_CLEARED)[entry.id]
    text = f"Memory cleared, fault still there: {words}. " + (
        f"The code {back.code} is back after {back.time:.1f} s, at"
        f" {_speed_at(world, back.time):.0f} km/h."
        if back
        else "No code comes back in this drive. That proves nothing."
    )
    return View(
        charts=(speed,),
        lanes=lamp_lanes(found),
        sentence=text,
        figures=(
            Figure(
                label="Code back after",
                value=f"{back.time:.1f}" if back else "never",
                unit="s" if back else "",
            ),
        ),
    )


def cleared_panel(locked_by=None):
    """When a code comes back that was cleared while the fault was still there."""
    return Panel(
        "Cleared too early",
        [
            Choice("fault", "Fault that is still there", _CLEARED, "space-saver-left-fitted"),
            Choice("drive", "Drive", _DRIVES, "0"),
        ],
        cleared_view,
        locked_by=locked_by,
    )
