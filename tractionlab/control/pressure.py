"""The unit's own count of the fluid in a driven wheel's brake, and of the heat in its disc: it has
no pressure sensor there, so it works out what its valves let through.
"""

from math import sqrt

from tractionlab.control.hydraulics import CODED_A, gap_of, neighbour, slope_of
from tractionlab.control.settings import (
    ASK_VALVES,
    M_BRAKING,
    M_DISC,
    M_FLUID,
    M_FOOT,
    M_KEPT,
    M_PAUSED,
    M_PRESSURE,
    M_PUMP,
    M_SINCE,
    M_SPEED,
    SENSE_PEDAL_PRESSURE,
)
from tractionlab.physics.brake import FOLLOW_PEDAL, cooling_rate

#: Parts of a pulse in which the count goes.
PARTS = 4


def pedal_pressure(sensors, memory, settings):
    """Pressure from the pedal [Pa]: measured where there is a sensor, which layout A lacks. There,
    and where the sensor says what no pedal can do, three times a hard one or less than nothing by a
    tenth, the unit takes a hard pedal for granted.
    """
    memory[M_FOOT] += settings.cycle
    measured, hard = sensors[SENSE_PEDAL_PRESSURE], settings.pedal_pressure
    if settings.hydraulics.layout == CODED_A or not -0.1 * hard < measured < 3.0 * hard:
        return hard * min(1.0, memory[M_FOOT] / settings.pedal_time)
    return measured


def from_line(pressure, h):
    """Flow [m^3/s] into a brake at a pressure [Pa] out of a line at the pressure of its supply."""
    return h.inlet_flow * sqrt(max(0.0, h.supply - pressure))


def is_empty(i, memory, settings):
    """True if brake i holds hardly more than what the store behind its outlet keeps back."""
    return memory[M_PRESSURE + i] <= settings.brake_empty * settings.hydraulics.store


def build_flow(i, pressure, pedal, full, memory, h):
    """Flow [m^3/s] into brake i at a pressure [Pa]: from the pedal [Pa] while the driver brakes,
    else from accumulator or pump. A line behind the feed valve that is `full` fills the brake fast;
    once it is drawn on, the feed valve is what limits.
    """
    if memory[M_BRAKING] == 1.0:
        coefficient = h.front_flow if i < 2 else h.rear_flow
        return coefficient * sqrt(max(0.0, pedal - pressure))
    if h.layout == CODED_A:
        return from_line(pressure, h) if full else h.feed_flow * sqrt(max(0.0, h.supply - pressure))
    return h.pump_flow * memory[M_PUMP] if pressure < h.supply else 0.0


def let_out(pressure, h):
    """Flow [m^3/s] out of a brake at a pressure [Pa] through its outlet, against the spring of the
    store behind it.
    """
    return h.out_flow * sqrt(max(0.0, pressure - h.store))


def line_is_full(i, memory, settings):
    """True if the line of layout A to brake i is full between two steps: fluid has come past the
    clearance of this brake, or of the other one on it.
    """
    gap = gap_of(i, settings.hydraulics)
    return max(memory[M_FLUID + i], memory[M_FLUID + neighbour(i)]) > gap


def count_pump(memory, settings):
    """The pump's speed as a share: it starts with the first order and runs on after the last."""
    start = settings.cycle * settings.hydraulics.pump_start
    memory[M_PUMP] = min(1.0, memory[M_PUMP] + start * (1.0 - memory[M_PUMP]))


def count_fluid(i, pedal, memory, outputs, settings):
    """Fluid [m^3] and pressure [Pa] of brake i after this cycle's order.

    What layout B lets out for traction control is not gone: the return pump puts it into the line,
    shut off from the pedal, and the next increase takes it from there."""
    h, share = settings.hydraulics, outputs[ASK_VALVES + i]
    gap, slope = gap_of(i, h), slope_of(i, h)
    braking = memory[M_BRAKING] == 1.0
    fluid, kept = memory[M_FLUID + i], memory[M_KEPT + i]
    if share == FOLLOW_PEDAL:
        share, kept = memory[M_BRAKING], 0.0
        fluid *= share
    part = abs(share) * settings.cycle / PARTS
    full = memory[M_SINCE + i] < 1.5 * settings.cycle and line_is_full(i, memory, settings)
    for _ in range(PARTS):
        pressure = max(0.0, (fluid - gap) / slope)
        if share > 0.0:
            taken = min(kept, from_line(pressure, h) * part)
            kept -= taken
            fluid += taken + build_flow(i, pressure, pedal, full, memory, h) * part
        else:
            left = min(fluid, let_out(pressure, h) * part)
            fluid -= left
            if h.layout != CODED_A and not braking:
                kept += left
    memory[M_FLUID + i] = fluid
    memory[M_KEPT + i] = kept
    memory[M_PRESSURE + i] = max(0.0, (fluid - gap) / slope)


def step_up_time(i, step, pedal, memory, settings):
    """Time [s] that a step of pressure [Pa] takes at brake i; the first step fills the clearance
    too. What lies ready near the inlet goes in fast: what was let out, or a full line for a cycle.
    """
    h = settings.hydraulics
    middle = memory[M_PRESSURE + i] + 0.5 * step
    needed = step * slope_of(i, h) + max(0.0, gap_of(i, h) - memory[M_FLUID + i])
    ready = memory[M_KEPT + i]
    if h.layout == CODED_A and memory[M_BRAKING] == 0.0 and line_is_full(i, memory, settings):
        ready = from_line(middle, h) * settings.cycle
    taken = min(needed, ready)
    flow = build_flow(i, middle, pedal, False, memory, h)
    quick = taken / max(from_line(middle, h), 1e-9)
    return min(settings.settle, quick + (needed - taken) / max(flow, 1e-9))


def step_down_time(i, step, memory, settings):
    """Time [s] in which the outlet lets a step of pressure [Pa] out of brake i."""
    h = settings.hydraulics
    flow = let_out(max(h.store + step, memory[M_PRESSURE + i]), h)
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
