"""Brake application: pressure at a driven wheel that turns too fast, and protection of its disc against heat."""
from tractionlab.control.settings import (
    M_DISC,
    M_EXCESS,
    M_PAUSED,
    M_PRESSURE,
    VALVES,
    WHEELS,
)
from tractionlab.physics.brake import INCREASE, PEDAL, REDUCE, cooling_rate, pressure_rate


def pressure_step(i, excess, memory, settings):
    """Wanted change of pressure at wheel i in this cycle [Pa]: in step with the excess speed [m/s] and with how it changes."""
    change = settings.brake_gain * excess * settings.cycle + settings.brake_lead * (excess - memory[M_EXCESS + i])
    return min(settings.brake_ramp * settings.cycle, max(-settings.brake_release * settings.cycle, change))


def open_valves(i, step, pressure, line, brakes, outputs, settings):
    """Open the valves of wheel i for the share of the cycle that a step of pressure [Pa] takes; the pressure the model then has [Pa].

    `line` is the pressure of the pedal [Pa], or 0 where the supply builds up.
    """
    valve = INCREASE if step >= 0.0 else REDUCE
    reach = abs(pressure_rate(pressure, valve, line, brakes)) * settings.cycle
    share = min(1.0, abs(step) / max(reach, 1.0))
    outputs[VALVES + i] = valve * share
    return pressure + valve * share * reach


def brake_wheel(i, excess, over_limit, allowed, memory, brakes, outputs, settings):
    """Set the valves of driven wheel i.

    The unit has no pressure sensor at the wheel: it keeps its own model of the pressure from what it has commanded, opens the valves
    to the pedal again when that model is back at zero, and never asks for more than `brake_most`.
    """
    pressure = memory[M_PRESSURE + i]
    step = pressure_step(i, excess, memory, settings)
    if not allowed:
        step = -settings.brake_release * settings.cycle
    if pressure <= 0.0 and (step <= 0.0 or not over_limit):
        outputs[VALVES + i] = PEDAL
        memory[M_PRESSURE + i] = 0.0
        return
    step = min(step, settings.brake_most - pressure)
    pressure = open_valves(i, step, pressure, 0.0, brakes, outputs, settings)
    memory[M_PRESSURE + i] = pressure if pressure > 1e4 else 0.0


def watch_heat(i, sensors, memory, brakes, torque_per_pressure, settings):
    """Keep the estimate of disc temperature of wheel i; pause brake action when it is too hot, until it has cooled enough."""
    speed = sensors[WHEELS + i]
    power = torque_per_pressure * memory[M_PRESSURE + i] * speed / settings.radius
    disc = memory[M_DISC + i]
    disc += settings.cycle * (power / brakes.disc_heat - cooling_rate(disc, speed, brakes))
    memory[M_DISC + i] = disc
    if disc >= settings.heat_pause:
        memory[M_PAUSED + i] = 1.0
    elif disc <= settings.heat_resume:
        memory[M_PAUSED + i] = 0.0
