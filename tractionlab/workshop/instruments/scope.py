"""The two-channel oscilloscope: voltages between points over time, while wheels turn, a plate is
swept, a pump starts, a valve is pulsed or the network talks.
"""

from dataclasses import dataclass, replace

import numpy as np

from tractionlab.errors import UserError
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import TURN
from tractionlab.sensors.waveform import sensor_voltage, switching_levels, tooth_phase
from tractionlab.units import MM
from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.drive.edges import NOTHING_FROM, lost_share
from tractionlab.workshop.drive.inputs_supply import COAST_S
from tractionlab.workshop.instruments.meter import INPUT_OHM, refusal
from tractionlab.workshop.wiring.elements import emf_ohm
from tractionlab.workshop.wiring.nodal import Resistor

#: What is done while the oscilloscope records, by key.
SCENES = {
    "turn": "a wheel is turned by hand",
    "sweep": "the throttle plates are swept",
    "pump": "the return pump is switched on and off",
    "pulse": "the valve drivers are pulsed",
    "bus": "the network talks",
}
_MERGED_FROM = 10  # number of the first pole that metal dust joins to the next
_BIT = 2e-6  # s; 500 kbit/s
_PULSE = 0.03  # s; one control step
_ON = 1.0 / 3.0  # share of it a pulsed driver is on
_BAND = (
    0.0,
    0.1499,
    0.15,
    0.2,
    0.2001,
    1.0,
)  # places of a plate between which its voltage is a straight line


@dataclass(frozen=True, kw_only=True)
class Record:
    """What the oscilloscope shows: time [s] (n,), voltages [V] (channels, n)."""

    time: np.ndarray
    volt: np.ndarray

    def figures(self, channel):
        """(lowest, highest, peak to peak, mean, rms of the alternating part) of a channel [V]."""
        v = self.volt[channel]
        return float(v.min()), float(v.max()), float(np.ptp(v)), float(v.mean()), float(v.std())


def ring_sensor(values, wheel):
    """WheelSensor of a wheel ("fl", ...) with its ring, as the part values make it; the lead is
    taken as whole.
    """
    sensor, ring = f"sensor_{wheel}", f"ring_{wheel}"
    swing = values[f"{ring}.runout_mm"] + values[f"hub_{wheel}.play_mm"]
    common = {
        "teeth": values[f"{ring}.teeth"],
        "gap": values[f"{sensor}.gap_mm"] * MM,
        "runout": swing * MM,
        "tick": 0.0,
    }
    if f"{sensor}.low_mA" in values:
        limit = NOTHING_FROM * values[f"{sensor}.gap_limit_mm"] * MM
        far = 0.0 if values[f"{ring}.turned_away"] >= 0.5 else limit
        return wheel_sensor("active", gap_limit=far, **common)
    return wheel_sensor(
        "passive",
        volts_per_hertz=values[f"{sensor}.volts_per_hertz"],
        crack=values[f"{ring}.crack_share"],
        **common,
    )


def turned_by_hand(wheel, turns_per_s, time):
    """Angles [rad] (n, 4) of the wheels when one of them is turned evenly and the others stand."""
    angle = np.zeros((len(time), 4))
    angle[:, WHEEL_KEYS.index(wheel)] = TURN * turns_per_s * np.asarray(time)
    return angle


def angles_of_run(trace, time):
    """Angles [rad] (n, 4) of the wheels at times [s] of a run."""
    steps = np.diff(trace.time)[:, None] * 0.5 * (trace.wheel_speed[1:] + trace.wheel_speed[:-1])
    turned = np.vstack((np.zeros(4), np.cumsum(steps, axis=0)))
    return np.stack([np.interp(time, trace.time, turned[:, i]) for i in range(4)], axis=1)


def wheel_waves(network, moment, pairs, time, angle):
    """Voltages [V] (pairs, n) while the wheels turn; what is joined to the probes loads the circuit
    with 10 Mohm.

    time : array (n,) [s], evenly spaced; angle : (n, 4) [rad], order FL, FR, RL, RR, of a run or
        turned by hand
    """
    _allowed(network, moment, pairs)
    given = {}
    for i, wheel in enumerate(WHEEL_KEYS):
        sensor = ring_sensor(network.values, wheel)
        signal, number = (
            sensor_voltage(time, angle[:, i], sensor),
            tooth_phase(angle[:, i], sensor)[0],
        )
        there = number >= network.values[f"ring_{wheel}.missing"]
        if sensor.active == 1.0:
            low, high = (
                1e-3 * network.values[f"sensor_{wheel}.{level}_mA"] for level in ("low", "high")
            )
            merged = (number >= _MERGED_FROM) & (
                number < _MERGED_FROM + network.values[f"ring_{wheel}.merged"]
            )
            there &= ~_missed(network.values, wheel, i, angle[:, i], number)
            given[f"sensor_{wheel}.current"] = np.where(
                there & ((signal > sum(switching_levels(sensor)) / 2) | merged), high, low
            )
        else:
            given[f"sensor_{wheel}.emf"] = signal * there
    return network.response(list(pairs), list(given), moment, _probes(pairs)).at(**given)


def _missed(values, wheel, i, angle, number):
    """Where an active sensor misses the pole in front of it (n,), for its gap is too wide."""
    gap, limit = (values[f"sensor_{wheel}.{name}"] for name in ("gap_mm", "gap_limit_mm"))
    pole = (np.floor(angle / TURN) * values[f"ring_{wheel}.teeth"] + number).astype(int)
    pole -= pole.min()
    return (np.random.default_rng([11, i]).random(pole.max() + 1) < lost_share(gap, limit))[pole]


def record(network, moment, scene, pairs, *, wheel="fl", turns_per_s=1.0, seconds=0.2):
    """Record of one or two channels while something is done; SCENES lists what.

    pairs : points (a, b) of each channel. `wheel`, `turns_per_s`: for "turn". `seconds`: length of
        the record ("bus": shown 1000 times slower).
    """
    if scene not in SCENES:
        raise UserError(f"the oscilloscope has no record of {scene!r}; it has {', '.join(SCENES)}")
    if not 1 <= len(pairs) <= 2:
        raise UserError(f"the oscilloscope has two channels, got {len(pairs)}")
    _allowed(network, moment, pairs)
    time = np.linspace(0.0, seconds, 4001)
    if scene == "turn":
        return Record(
            time=time,
            volt=wheel_waves(
                network, moment, pairs, time, turned_by_hand(wheel, turns_per_s, time)
            ),
        )
    return Record(
        time=time * (1e-3 if scene == "bus" else 1.0),
        volt=_SCENES[scene](network, moment, pairs, time),
    )


def pump_current(network, moment, lead, time, on=0.0, off=np.inf, motor="return_pump"):
    """Current [A] (n,) in a lead, as a clamp gives it to the oscilloscope, while a pump motor is
    switched on, runs up, and coasts down.
    """
    return _with_motor(
        network, moment, time, on, off, motor, lambda solution: np.array([solution.current(lead)])
    )[0]


def _with_motor(network, moment, time, on, off, motor, read, more=()):
    """What `read` takes from the network's solutions (k,), as arrays (k, n), while a motor is
    switched on and off.

    The turning motor gives a voltage e that follows de/dt = (R i - e) / T: R i is where the load
    lets it settle, T its mechanical time, one for running up and one for coasting. All readings are
    straight lines in e, so two solutions are enough for each place of the switch."""
    values, two_volts = network.values, (0.0, 5.0)
    seized = motor == "return_pump" and values["return_pump_body.seized"] >= 0.5
    running = (time >= on) & (time < off)
    lines = {}
    for state in (True, False):
        commands = {**moment.commands, motor: float(state)}
        solved = [
            network.solve(
                replace(moment, brief=True, commands=commands, motor_emf={motor: e}), more
            )
            for e in two_volts
        ]
        rows = np.array([np.append(read(s), s.current(motor)) for s in solved])
        lines[state] = rows[0], (rows[1] - rows[0]) / two_volts[1]
    resistance = emf_ohm(motor, values)
    time_constant = {True: values[f"{motor}.run_up_s"], False: COAST_S}
    e = np.zeros(len(time))
    for k in range(1, len(time)):
        if seized:
            break
        on_now = bool(running[k - 1])
        start, slope = (part[-1] for part in lines[on_now])
        stiff = 1.0 - resistance * slope
        settled = resistance * start / stiff
        e[k] = settled + (e[k - 1] - settled) * np.exp(
            -stiff * (time[k] - time[k - 1]) / time_constant[on_now]
        )
    rows = np.where(
        running,
        *((lines[state][0][:, None] + lines[state][1][:, None] * e) for state in (True, False)),
    )
    return rows[:-1]


def _allowed(network, moment, pairs):
    for point in (point for pair in pairs for point in pair):
        reason = refusal(network, moment, point)
        if reason:
            raise UserError(reason)


def _probes(pairs):
    return tuple(Resistor(f"probe {k}", a, b, INPUT_OHM) for k, (a, b) in enumerate(pairs))


def _volts(network, moment, pairs):
    solution = network.solve(moment, _probes(pairs))
    return np.array([solution.voltage(*pair) for pair in pairs])


def _sweep(network, moment, pairs, time):
    """Both plates run from closed to open and back."""
    plate = 1.0 - np.abs(1.0 - 2.0 * time / time[-1])
    at = np.array(
        [
            _volts(network, replace(moment, plates={"main": place, "second": place}), pairs)
            for place in _BAND
        ]
    )
    return np.array([np.interp(plate, _BAND, at[:, k]) for k in range(len(pairs))])


def _pump(network, moment, pairs, time):
    """On after a tenth of the record, off after six tenths."""
    return _with_motor(
        network,
        moment,
        time,
        0.1 * time[-1],
        0.6 * time[-1],
        "return_pump",
        lambda solution: np.array([solution.voltage(*pair) for pair in pairs]),
        _probes(pairs),
    )


def _pulse(network, moment, pairs, time):
    """All valve drivers that are commanded are on for a third of each control step."""
    valves = {
        e.more["command"]
        for e in network.plan.elements.values()
        if e.kind == "driver" and e.group == "valves" and not e.key.startswith("driver_relay")
    }
    rest = {name: share for name, share in moment.commands.items() if name not in valves}
    on, off = (
        _volts(network, replace(moment, commands=commands, brief=True), pairs)
        for commands in (moment.commands, rest)
    )
    return np.where(np.mod(time, _PULSE) < _ON * _PULSE, on[:, None], off[:, None])


def _bus(network, moment, pairs, time):
    """Bits of a message, the same ones at each record, one after the other."""
    bits = np.random.default_rng(1).integers(0, 2, int(time[-1] * 1e-3 / _BIT) + 2).astype(bool)
    dominant, idle = (
        _volts(network, replace(moment, bus=state), pairs) for state in ("dominant", "idle")
    )
    return np.where(bits[(time * 1e-3 / _BIT).astype(int)], dominant[:, None], idle[:, None])


_SCENES = {"sweep": _sweep, "pump": _pump, "pulse": _pulse, "bus": _bus}
