"""What the driver's feet do: lifting off on ice, and braking while a wheel still spins."""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.gears import overall_ratios
from tractionlab.control.phases import BUILD_UP
from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    ALL_WHEELS,
    car_scene,
    control_choice,
    driven_wheels,
    ending,
    percent,
    pressure_lines,
    push_chart,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.run.driver_assembly import driver_of
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import CONTROLS
from tractionlab.run.surfaces import surface_words
from tractionlab.units import BAR, IN_KMH, KMH, RPM
from tractionlab.view import Chart, Figure, Line, View

_LIFT_S, _LIFT_AT = 4.0, 1.0
_SPIN_S, _BRAKE_AT = 6.0, 2.0
_PASSED = 0.9  # share of the pedal's pressure that counts as arrived
_GEARS = (("1", "first"), ("2", "second"), ("3", "third"))


def lift_scenario(values):
    """Scenario of a foot that lifts; values: vehicle, surface, speed [km/h], gear ("1" to "3"),
    drag (bool).
    """
    return Scenario(
        vehicle=values["vehicle"],
        left=values["surface"],
        tyre=tyre_of(values),
        initial_speed_kmh=values["speed"],
        gear=_gear(values),
        clutch="shut",
        control="off",
        drag_control=values["drag"],
        pedal_percent=15.0,
        pedal_from_s=0.0,
        pedal_rise_s=0.1,
        pedal_until_s=_LIFT_AT,
        pedal_fall_s=0.1,
        duration_s=_LIFT_S,
    )


def _gear(values):
    """The gear chosen, or the next one that the car has and that is long enough for its speed."""
    car = catalogue.in_use().vehicles()[values["vehicle"]]
    ratios = overall_ratios(car.values)
    chosen = min(int(values["gear"]), len(ratios))
    for gear in range(chosen, len(ratios) + 1):
        turning = values["speed"] * KMH / car["tyre_radius_m"] * ratios[gear - 1]
        if turning <= car["top_speed_rpm"] * RPM:
            return gear
    return len(ratios)


def lift_view(values):
    """Picture of a foot that lifts; see `lift_scenario`."""
    (trace,) = runs([lift_scenario(values)])
    after = trace.time > _LIFT_AT
    slip = braking_slip(trace)
    push = float(trace.drive_force[after][:, np.array(trace.driven)].sum(axis=1).min())
    turned = float(np.degrees(np.abs(trace.yaw - trace.yaw[0]).max()))
    gear = trace.scenario.gear
    charts = (
        speed_chart(*speed_lines(trace)),
        push_chart(trace),
        Chart(
            title="Engine",
            x="time [s]",
            y="torque [N m]",
            over_time=True,
            lines=(Line(label="engine", x=trace.time, y=trace.engine_torque, style=0),),
        ),
    )
    text = (
        f"{surface_words(values['surface'])}, {values['speed']:g} km/h in gear {gear}, drag control"
        f" {'on' if values['drag'] else 'off'}: when the foot lifts, the engine holds back with up"
        f" to {max(0.0, -push):.0f} N at the driven wheels"
    )
    held = f", and they turn up to {percent(slip)} slower than the road"
    return View(
        charts=charts,
        sentence=f"{text}{held}.{ending(trace)}",
        held=(held,),
        scenes=(car_scene(trace),),
        figures=(
            Figure(label="Largest braking slip", value=f"{100 * slip:.0f}", unit="%", held=True),
            Figure(label="Engine holds back with", value=f"{max(0.0, -push):.0f}", unit="N"),
            Figure(label="Turned by", value=f"{turned:.0f}", unit="°"),
        ),
        phases=phase_strip(trace),
    )


def braking_slip(trace):
    """Largest braking slip of the driven wheels after the foot has lifted, as a share."""
    driven = [i for i, _ in driven_wheels(trace)]
    return max(0.0, float(-trace.slip[trace.time > _LIFT_AT][:, driven].min()))


def lifted(drag):
    """Largest braking slip [%] of the panel as it opens, with or without drag control."""
    (trace,) = runs([lift_scenario({**lift_panel().values, "drag": drag})])
    return 100 * braking_slip(trace)


def lift_panel(locked_by=None):
    """Lifting off on ice."""
    controls = [
        surface_choice("surface", "Road", "ice"),
        tyre_choice("summer"),
        Slider("speed", "Speed", "km/h", 10, 40, 5, 30),
        Choice("gear", "Gear", _GEARS, "1"),
        Switch("drag", "Engine-drag control on", False),
        vehicle_choice("front_petrol"),
    ]
    return Panel("Lifting off on ice", controls, lift_view, locked_by=locked_by)


def spin_scenario(values):
    """Scenario of a foot that changes over to the brake while wheels spin; values: vehicle, left,
    right, pedal [%], brake [bar], control, both_feet (bool).
    """
    return Scenario(
        vehicle=values["vehicle"],
        left=values["left"],
        right=values["right"],
        tyre=tyre_of(values),
        control=values["control"],
        pedal_percent=values["pedal"],
        brake_bar=values["brake"],
        brake_from_s=_BRAKE_AT,
        brake_until_s=_SPIN_S,
        both_feet=values["both_feet"],
        duration_s=_SPIN_S,
    )


def spin_view(values):
    """Picture of braking while a wheel spins; see `spin_scenario`."""
    (trace,) = runs([spin_scenario(values)])
    begins = driver_of(trace.scenario).brake_from
    arrived = [_arrives(trace, i, begins) for i in range(4)]
    driven = [i for i in range(4) if trace.driven[i]]
    at = int(np.searchsorted(trace.time, _BRAKE_AT))
    spin = float(trace.slip[min(at, len(trace) - 1), driven].max())
    speeds = speed_chart(
        *speed_lines(trace),
        Line(label="reference", x=trace.time, y=trace.reference_speed * IN_KMH, style=3),
    )
    pressures = Chart(
        title="Brake pressure",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        lines=(
            Line(label="pedal", x=trace.time, y=trace.pedal_pressure / BAR, style=0),
            *pressure_lines(trace, ALL_WHEELS),
        ),
    )
    words = surface_words(values["left"])
    if values["right"] != values["left"]:
        words += f" on the left, {surface_words(values['right']).lower()} on the right"
    got = sum(time is not None for time in arrived)
    slowest = max((time for time in arrived if time is not None), default=0.0)
    text = (
        f"{words}, {CONTROLS[values['control']].lower()}: when the foot leaves the accelerator"
        f" after {_BRAKE_AT:g} s, the fastest driven wheel has {percent(max(0.0, spin))} slip. The"
        f" foot is on the brake {begins - _BRAKE_AT:.1f} s later."
    )
    held = " The pedal's pressure" + (
        f" arrives at {got} of 4 brakes, at the last of them after {slowest:.2f} s."
        if got
        else " arrives at no brake: the control unit lets none have it."
    )
    return View(
        charts=(speeds, pressures),
        sentence=text + held + ending(trace),
        held=(held,),
        scenes=(car_scene(trace),),
        figures=(
            Figure(label="Slip when the foot lifts", value=f"{100 * max(0.0, spin):.0f}", unit="%"),
            Figure(
                label="Brakes that get the pedal's pressure",
                value=f"{got}",
                unit="of 4",
                held=True,
            ),
        ),
        phases=phase_strip(trace),
    )


def _arrives(trace, wheel, begins):
    """Time [s] from the pedal until a wheel's brake has the pedal's pressure; None if it never
    has.
    """
    full = trace.scenario.brake_bar * BAR
    rows = (trace.time >= begins) & (trace.pressure[:, wheel] >= _PASSED * full)
    return float(trace.time[rows][0] - begins) if rows.any() else None


def foot_on_brake():
    """(time from the pedal until traction control brakes no wheel any more [s], times until each
    brake that gets the pedal's pressure has it, rising [s]) of the panel as it opens.
    """
    (trace,) = runs([spin_scenario(spin_panel().values)])
    begins = driver_of(trace.scenario).brake_from
    brakes = (trace.phase >= BUILD_UP).any(axis=1)
    after = (trace.time >= begins) & ~brakes
    arrived = [_arrives(trace, i, begins) for i in range(4)]
    return float(trace.time[after][0] - begins), sorted(
        time for time in arrived if time is not None
    )


def spin_panel(locked_by=None):
    """Braking while a wheel spins."""
    controls = [
        control_choice("both"),
        surface_choice("left", "Road on the left", "ice"),
        surface_choice("right", "Road on the right", "wet_asphalt"),
        tyre_choice(),
        Slider("pedal", "Throttle", "%", 20, 100, 5, 100),
        Slider("brake", "Pedal pressure", "bar", 10, 100, 5, 30),
        Switch("both_feet", "One foot on each pedal", False),
        vehicle_choice(),
    ]
    return Panel("Braking while a wheel spins", controls, spin_view, locked_by=locked_by)
