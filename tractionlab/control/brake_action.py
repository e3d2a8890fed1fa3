"""Brake application: pressure at a driven wheel that turns too fast, and protection of its disc
against heat.
"""

from tractionlab.control.fluid import let_fluid
from tractionlab.control.hydraulics import NO_CIRCUIT
from tractionlab.control.settings import ASK_VALVES, M_DISC, M_PAUSED, M_PRESSURE, M_SPEED
from tractionlab.physics.brake import FOLLOW_PEDAL, INCREASE, REDUCE, cooling_rate, pressure_rate

#: Pressure [Pa] below which a brake that lets go counts as free; its last fluid leaves by the
#: path to the pedal.
FREE_BELOW = 5e4


def pressure_step(excess, before, settings):
    """Wanted change of pressure in this cycle [Pa]: in step with the excess speed of a wheel [m/s]
    and with how it changes from `before`.

    With a circuit the change counts in full only for a wheel that is much too fast, and not for one
    that is too slow: its fluid comes and goes some hundredths of a second late, and a brake that
    answers every small change swings."""
    lead, last, now = settings.brake_lead, before, excess
    if settings.hydraulics.layout != NO_CIRCUIT:
        lead *= max(settings.brake_lead_least, min(1.0, abs(excess) / settings.brake_lead_full))
        last, now = max(0.0, before), max(0.0, excess)
    change = settings.brake_gain * excess * settings.cycle + lead * (now - last)
    return min(
        settings.brake_ramp * settings.cycle, max(-settings.brake_release * settings.cycle, change)
    )


def open_valves(i, step, pressure, line, memory, brakes, outputs, settings):
    """Open the valves of wheel i for the share of the cycle that a step of pressure [Pa] takes; the
    pressure the model then has [Pa].

    `line` is the pressure of the pedal [Pa], or 0 where the supply builds up. With a circuit the
    model counts fluid."""
    if settings.hydraulics.layout != NO_CIRCUIT:
        return let_fluid(i, step, line, memory, outputs, settings.cycle, settings.hydraulics)
    valve = INCREASE if step >= 0.0 else REDUCE
    reach = abs(pressure_rate(pressure, valve, line, brakes)) * settings.cycle
    share = min(1.0, abs(step) / max(reach, 1.0))
    outputs[ASK_VALVES + i] = valve * share
    return pressure + valve * share * reach


def brake_wheel(i, excess, before, over_limit, allowed, memory, brakes, outputs, settings):
    """Set the valves of driven wheel i by how much too fast it turns [m/s], now and in the cycle
    `before`.

    The unit has no pressure sensor at the wheel: it keeps its own model of the pressure from what
    it has commanded, opens the valves to the pedal again when that model is back at zero, and never
    asks for more than `brake_most`."""
    pressure = memory[M_PRESSURE + i]
    step = pressure_step(excess, before, settings)
    if not allowed:
        step = -settings.brake_release * settings.cycle
    if pressure <= 0.0 and (step <= 0.0 or not over_limit):
        outputs[ASK_VALVES + i] = FOLLOW_PEDAL
        memory[M_PRESSURE + i] = 0.0
        return
    step = min(step, settings.brake_most - pressure)
    pressure = open_valves(i, step, pressure, 0.0, memory, brakes, outputs, settings)
    none = 1e4 if settings.hydraulics.layout == NO_CIRCUIT else 0.0 if step >= 0.0 else FREE_BELOW
    memory[M_PRESSURE + i] = pressure if pressure > none else 0.0


def watch_heat(i, memory, brakes, torque_per_pressure, settings):
    """Keep the estimate of disc temperature of wheel i; pause brake action when it is too hot,
    until it has cooled enough.
    """
    speed = memory[M_SPEED + i]
    power = torque_per_pressure * memory[M_PRESSURE + i] * speed / settings.radius
    disc = memory[M_DISC + i]
    disc += settings.cycle * (power / brakes.disc_heat - cooling_rate(disc, speed, brakes))
    memory[M_DISC + i] = disc
    if disc >= settings.heat_pause:
        memory[M_PAUSED + i] = 1.0
    elif disc <= settings.heat_resume:
        memory[M_PAUSED + i] = 0.0
