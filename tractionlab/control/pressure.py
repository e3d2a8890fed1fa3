"""The unit's own count of the fluid in a driven wheel's brake, and of the heat in its disc: it has
no pressure sensor there, so it works out what its valves let through.
"""

from math import sqrt

from tractionlab.control.hydraulics import CODED_A, gap_of, slope_of
from tractionlab.control.settings import (
    ASK_VALVES,
    M_BRAKING,
    M_DISC,
    M_FLUID,
    M_PAUSED,
    M_PRESSURE,
    M_PUMP,
    M_SPEED,
    SENSE_PEDAL_PRESSURE,
)
from tractionlab.physics.brake import FOLLOW_PEDAL, cooling_rate

#: Parts of a pulse in which the count goes.
PARTS = 4
#: How a driver is taken to push where nothing measures it [Pa]. Chosen for this course.
HARD_PEDAL = 80e5
#: No step lasts longer [s].
LONGEST = 0.3


def pedal_pressure(sensors, h):
    """Pressure from the pedal [Pa]: measured where there is a sensor, which layout A lacks. There
    the unit takes a hard pedal for granted.
    """
    return HARD_PEDAL if h.layout == CODED_A else sensors[SENSE_PEDAL_PRESSURE]


def build_flow(i, pressure, pedal, memory, h):
    """Flow [m^3/s] into brake i at a pressure [Pa]: from the pedal [Pa] while the driver brakes,
    else from accumulator or pump.
    """
    if memory[M_BRAKING] == 1.0:
        coefficient = h.front_flow if i < 2 else h.rear_flow
        return coefficient * sqrt(max(0.0, pedal - pressure))
    if h.layout == CODED_A:
        return h.feed_flow * sqrt(max(0.0, h.supply - pressure))
    return h.pump_flow * memory[M_PUMP] if pressure < h.supply else 0.0


def count_pump(memory, settings):
    """The pump's speed as a share: it starts with the first order and runs on after the last."""
    start = settings.cycle * settings.hydraulics.pump_start
    memory[M_PUMP] = min(1.0, memory[M_PUMP] + start * (1.0 - memory[M_PUMP]))


def count_fluid(i, pedal, memory, outputs, settings):
    """Fluid [m^3] and pressure [Pa] of brake i after this cycle's order."""
    h, share = settings.hydraulics, outputs[ASK_VALVES + i]
    gap, slope = gap_of(i, h), slope_of(i, h)
    fluid = memory[M_FLUID + i]
    if share == FOLLOW_PEDAL:
        share = memory[M_BRAKING]
        fluid *= share
    for _ in range(PARTS):
        pressure = max(0.0, (fluid - gap) / slope)
        if share > 0.0:
            flow = build_flow(i, pressure, pedal, memory, h)
        else:
            flow = h.out_flow * sqrt(pressure)
        fluid = max(0.0, fluid + flow * share * settings.cycle / PARTS)
    memory[M_FLUID + i] = fluid
    memory[M_PRESSURE + i] = max(0.0, (fluid - gap) / slope)


def step_up_time(i, step, pedal, memory, settings):
    """Time [s] that a step of pressure [Pa] takes at brake i; the first step fills the clearance
    too.
    """
    h = settings.hydraulics
    flow = build_flow(i, memory[M_PRESSURE + i] + 0.5 * step, pedal, memory, h)
    missing = max(0.0, gap_of(i, h) - memory[M_FLUID + i])
    return min(LONGEST, (missing + step * slope_of(i, h)) / max(flow, 1e-9))


def step_down_time(i, step, memory, settings):
    """Time [s] in which the outlet lets a step of pressure [Pa] out of brake i."""
    h = settings.hydraulics
    flow = h.out_flow * sqrt(max(step, memory[M_PRESSURE + i]))
    return step * slope_of(i, h) / flow


def watch_heat(i, memory, brakes, settings):
    """Keep the estimate of disc temperature of wheel i; brake action pauses when it is too hot,
    until it has cooled enough.
    """
    speed = memory[M_SPEED + i]
    torque = (brakes.front_torque if i < 2 else brakes.rear_torque) * memory[M_PRESSURE + i]
    disc = memory[M_DISC + i]
    disc += settings.cycle * (
        torque * speed / settings.radius / brakes.disc_heat - cooling_rate(disc, speed, brakes)
    )
    memory[M_DISC + i] = disc
    if disc >= settings.heat_pause:
        memory[M_PAUSED + i] = 1.0
    elif disc <= settings.heat_resume:
        memory[M_PAUSED + i] = 0.0
