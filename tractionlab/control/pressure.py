"""The unit's own count of the fluid in a driven wheel's brake, and of the heat in its disc: it has
no pressure sensor there, so it works out what its valves let through.
"""

from math import sqrt

from tractionlab.control.hydraulics import CODED_A, gap_of, slope_of
from tractionlab.control.settings import (
    ASK_VALVES,
    M_DISC,
    M_FLUID,
    M_PAUSED,
    M_PRESSURE,
    M_PUMP,
    M_SPEED,
)
from tractionlab.physics.brake import FOLLOW_PEDAL, cooling_rate

#: Parts of a pulse in which the count goes.
PARTS = 4


def build_flow(pressure, memory, h):
    """Flow [m^3/s] into a brake at a pressure [Pa] from accumulator or pump."""
    if h.layout == CODED_A:
        return h.feed_flow * sqrt(max(0.0, h.supply - pressure))
    return h.pump_flow * memory[M_PUMP] if pressure < h.supply else 0.0


def count_pump(memory, settings):
    """The pump's speed as a share: it starts with the first order and runs on after the last."""
    h = settings.hydraulics
    memory[M_PUMP] += settings.cycle * h.pump_start * (1.0 - memory[M_PUMP])
    memory[M_PUMP] = min(1.0, memory[M_PUMP])


def count_fluid(i, memory, outputs, settings):
    """Fluid [m^3] and pressure [Pa] of brake i after this cycle's order."""
    h, share = settings.hydraulics, outputs[ASK_VALVES + i]
    gap, slope = gap_of(i, h), slope_of(i, h)
    fluid = memory[M_FLUID + i]
    if share == FOLLOW_PEDAL:
        fluid = 0.0
    else:
        for _ in range(PARTS):
            pressure = max(0.0, (fluid - gap) / slope)
            if share > 0.0:
                flow = build_flow(pressure, memory, h)
            else:
                flow = h.out_flow * sqrt(pressure)
            fluid = max(0.0, fluid + flow * share * settings.cycle / PARTS)
    memory[M_FLUID + i] = fluid
    memory[M_PRESSURE + i] = max(0.0, (fluid - gap) / slope)


def step_up_time(i, step, memory, settings):
    """Time [s] that accumulator or pump need for a step of pressure [Pa] at brake i; the first
    step fills the clearance too.
    """
    h = settings.hydraulics
    flow = max(build_flow(memory[M_PRESSURE + i], memory, h), 0.1 * h.pump_flow, 1e-9)
    missing = max(0.0, gap_of(i, h) - memory[M_FLUID + i])
    return (missing + step * slope_of(i, h)) / flow


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
