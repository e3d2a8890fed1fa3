"""Pressure supply along a drive: accumulator, its switch and charge pump of layout A, and the motor
of the return pump.
"""

from math import pi, sqrt

import numpy as np

from tractionlab.diagnosis.fault_memory import CYCLE
from tractionlab.hydraulics.values import hydraulics

COAST_S = 0.1  #: time constant of the motor that runs out; as motor_coast_s of data/hydraulics.toml
CALLED_V = 6.0  # below it a contact of the pressure switch counts as closed
IDLE_SHARE = 1.2  # speed of a pump without load over that of one with load; invented
_STEP = 25  # samples in which the accumulator is worked out
_OLD_BAR, _RELIEF_BAR = 95.0, 230.0
_CM3_PER_BAR = 0.02  # of a driven caliper


def pump_motor(wiring, values, world, check, layout_a, noise):
    """pump_on (bool) and pump_voltage [V] at the unit: the feed while it runs, the voltage of the
    turning motor after that.
    """
    braking = (
        np.zeros(len(world), bool) if layout_a else np.any(world.valve != 2, axis=1) & world.control
    )
    on = check.pump | check.relay | braking | world.antilock
    emf = (
        abs(wiring.pump_A)
        * values["return_pump.running_ohm"]
        * (values["return_pump_body.seized"] < 0.5)
    )
    rest = wiring.rest["pump_voltage"][world.key]
    place = np.arange(len(world))
    last = np.maximum.accumulate(np.where(on, place, -1))
    first = np.maximum.accumulate(np.where(on & ~np.concatenate(([False], on[:-1])), place, -1))
    ran = np.where(last >= 0, (last - first + 1) * CYCLE, 0.0)
    turning = (
        emf
        * (1.0 - np.exp(-ran / values["return_pump.run_up_s"]))
        * np.exp(-(place - last) * CYCLE / COAST_S)
    )
    off = np.maximum(rest, np.where(last >= 0, turning, 0.0))
    load = np.where(_unloaded(world, values), IDLE_SHARE, 1.0)
    return {
        "pump_on": on,
        "pump_ran": ran,
        "pump_voltage": np.where(on, wiring.pumps["pump_voltage"], off) + noise(0.04),
        "pump_emf": emf * load + noise(0.05),
    }


def _unloaded(world, values):
    """True where the circuit of every braked wheel has a priming valve that stays shut, so that its
    pump element has nothing to pump.
    """
    if "priming_valve_1_body.stuck" not in values:
        return np.zeros(len(world), bool)
    shut = [values[f"priming_valve_{k}_body.stuck"] < 0.0 for k in (1, 2)]
    left, right = world.valve[:, 0] != 2, world.valve[:, 1] != 2
    return (left | right) & (~left | shut[0]) & (~right | shut[1])


def pressure_supply(wiring, values, world, awake):
    """charge_call and pressure_low (bool): what the unit sees of both contacts of the pressure
    switch; stored_bar for pictures.

    Gas at constant temperature; the pump runs while the unit sees a call. A leaking feed valve
    passes what an orifice of its size passes."""
    layout = hydraulics()["layout_a"]
    see = {
        name: (wiring.rest[pin][3] < CALLED_V, wiring.far[pin] < CALLED_V)
        for name, pin in (("call", "pressure_pump"), ("low", "pressure_warning"))
    }
    motor = min(1.5, wiring.charge_V / _sound_emf(values))
    flow = layout["charge_pump_cm3_per_s"] * values["charge_pump_body.flow_share"] * motor
    tank = _Tank(values, layout["gas_cm3"])
    bar = _start(world, see, flow)
    volume = tank.volume(bar)
    used = (
        np.maximum(np.diff(world.wheel_bar, axis=0, prepend=0.0), 0.0).sum(axis=1)
        * _CM3_PER_BAR
        * world.control
    )
    used = np.add.reduceat(used, np.arange(0, len(used), _STEP)).tolist()
    call, low, stored = (
        np.empty(len(world), bool),
        np.empty(len(world), bool),
        np.empty(len(world)),
    )
    wanted, short = (
        bar <= values["pressure_switch.pump_on_bar"],
        bar <= values["pressure_switch.warning_on_bar"],
    )
    for step, k in enumerate(range(0, len(world), _STEP)):
        seen = see["call"][wanted] and awake[k]
        span = slice(k, k + _STEP)
        call[span], low[span], stored[span] = seen, see["low"][short], bar
        volume += _STEP * CYCLE * ((flow if seen else 0.0) - tank.leak(bar)) - used[step]
        bar = tank.bar(volume)
        wanted = bar <= values["pressure_switch.pump_on_bar"] or (
            wanted and bar < values["pressure_switch.pump_off_bar"]
        )
        short = bar <= values["pressure_switch.warning_on_bar"] or (
            short and bar < values["pressure_switch.warning_off_bar"]
        )
    return {"charge_call": call, "pressure_low": low, "stored_bar": stored}


def _sound_emf(values):
    """Voltage [V] that the motor of a sound charge pump makes in a running car."""
    return 13.5 * values["charge_pump.running_ohm"] / (values["charge_pump.running_ohm"] + 0.2)


def _start(world, see, flow):
    """Pressure at ignition on [bar]: what the last drives left.

    A supply that cannot fill is found nearly empty, one that cannot stop at its relief.
    """
    if see["call"][0]:
        return _RELIEF_BAR
    return _OLD_BAR if flow < 0.1 or not see["call"][1] else world.stored_bar


class _Tank:
    """The accumulator: gas at constant temperature behind a membrane, and a leaking feed valve."""

    def __init__(self, values, gas_cm3):
        self.gas, self.precharge = gas_cm3, values["accumulator.precharge_bar"] + 1.0
        bore = 1e-3 * values["feed_valve_body.leak_mm"]
        self.orifice = (
            0.62 * 0.25 * pi * bore**2 * 1e6 * sqrt(2.0 * 1e5 / 1060.0)
        )  # cm3/s for each root bar

    def volume(self, bar):
        return max(0.0, self.gas * (1.0 - self.precharge / (bar + 1.0)))

    def bar(self, volume):
        if volume <= 0.0:
            return 0.0
        return min(
            _RELIEF_BAR, self.precharge * self.gas / (self.gas - min(volume, 0.99 * self.gas)) - 1.0
        )

    def leak(self, bar):
        return self.orifice * sqrt(max(bar, 0.0))
