"""Wheel speeds as the control unit reads them: sensors and rings by their part values, circuits by
the wiring.
"""

import numpy as np

from tractionlab.diagnosis.fault_memory import CYCLE
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import TURN
from tractionlab.units import MM
from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.drive.edges import Pickup, edge_times, speed_of

RIM_M = 0.2032  #: radius of a 16-inch rim
NEW_TREAD_MM = 8.0
NEW_RADIUS_M = RIM_M + MM * 205.0 * 0.55  #: of the tyres that the unit is coded for
MEASURING_OHM = 100.0  #: that the unit assumes
ACCESSORY_BESIDE = "fl"  #: sensor lead that the lead of a fitted accessory runs beside
_SWITCHES_MA = (9.5, 11.5)
_PEAK_TO_PEAK = 8.0**0.5  # of a sine wave over its rms value
_FULL_PLAY_MM, _FULL_SIDE = (
    0.5,
    2.5,
)  # play and side acceleration [m/s^2] at which the gap swings by twice its size; invented


def tyre_radius(values, wheel):
    """Radius [m] of a tyre by its marking: rim, width times share of height, less what is worn."""
    v = {name: values[f"tyre_{wheel}.{name}"] for name in ("width_mm", "aspect", "tread_mm")}
    return RIM_M + MM * (v["width_mm"] * v["aspect"] - (NEW_TREAD_MM - v["tread_mm"]))


def read_wheels(leads, values, world, car):
    """wheel_speed [m/s] and teeth (n, 4), and the voltages or currents (n, 4) of the sensor
    circuits.
    """
    n = len(world)
    active = car["layout"] == "B"
    pins = np.stack([_pin(leads, f"sensor_{w}", world.key) for w in WHEEL_KEYS], axis=1)
    speed, teeth, high = np.empty((n, 4)), np.empty((n, 4), int), np.zeros((n, 4), bool)
    crossed = values["rear_plugs.crossed"] >= 0.5
    powered = world.key > 0
    for i, wheel in enumerate(WHEEL_KEYS):
        channel = {2: 3, 3: 2}.get(i, i) if crossed else i
        rng = np.random.default_rng([world.seed, 11, i])
        on_tyre = 1.0 if world.lifted else NEW_RADIUS_M / tyre_radius(values, wheel)
        angle = rng.uniform(0.0, TURN) + np.cumsum(world.wheel_speed[:, i]) * CYCLE * on_tyre
        pickup = _pickup(leads, values, world, i, channel, active)
        edges = edge_times(world.time, angle, pickup, rng, CYCLE)
        speed[:, channel], teeth[:, channel] = speed_of(
            edges, world.time, TURN * car["tyre_radius_m"] / car["teeth"]
        )
        if active:
            away = values[f"ring_{wheel}.turned_away"] >= 0.5
            high[:, channel] = (angle * values[f"ring_{wheel}.teeth"] / TURN % 1.0 < 0.5) & ~away
    speed *= powered[:, None]
    noise = np.random.default_rng([world.seed, 11]).standard_normal((n, 4))
    if not active:
        return {"wheel_speed": speed, "teeth": teeth, "bias": pins + 0.004 * noise}
    far = np.stack([_pin(leads, f"sensor_{w}", world.key, far=True) for w in WHEEL_KEYS], axis=1)
    supply = np.stack([_pin(leads, f"supply_{w}", world.key) for w in WHEEL_KEYS], axis=1)
    current = np.where(high, far, pins) / MEASURING_OHM * 1e3
    return {
        "wheel_speed": speed,
        "teeth": teeth,
        "current": current + 0.05 * noise,
        "sensor_supply": supply + 0.02 * noise,
    }


def _pin(leads, name, key, far=False):
    if far:
        return leads.read(lambda wiring: np.where(key > 0, wiring.far[name], 0.0))
    return leads.read(lambda wiring: wiring.rest[name][key])


def _pickup(leads, values, world, i, channel, active):
    """Pickup of wheel `i`, whose sensor is plugged into `channel`."""
    wheel = WHEEL_KEYS[i]
    ring, part = f"ring_{wheel}", f"sensor_{wheel}"
    n = len(world)
    sensor = wheel_sensor(
        "active" if active else "passive",
        teeth=values[f"{ring}.teeth"],
        gap=values[f"{part}.gap_mm"] * MM,
        runout=values[f"{ring}.runout_mm"] * MM,
    )
    gain, alive = 1.0, world.key > 0
    if active:
        sensor = sensor._replace(gap_limit=values[f"{part}.gap_limit_mm"] * MM)
        alive = alive & (values[f"{ring}.turned_away"] < 0.5)
        alive = alive & leads.read(lambda wiring: switches(wiring, channel))
        lost = range(int(values[f"{ring}.missing"] + values[f"{ring}.merged"]))
    else:
        sensor = sensor._replace(
            crack=values[f"{ring}.crack_share"], volts_per_hertz=values[f"{part}.volts_per_hertz"]
        )
        gain = leads.read(lambda wiring: wiring.gain[i])
        lost = range(int(values[f"{ring}.missing"]))
    play = values[f"hub_{wheel}.play_mm"]
    swing = (
        play / _FULL_PLAY_MM * np.minimum(1.0, np.abs(world.lateral) / _FULL_SIDE)
        if play > 0.1
        else np.zeros(n)
    )
    disturbance = (
        _PEAK_TO_PEAK
        * values["accessory_lead.noise_V"]
        * world.accessory
        * (not active and wheel == ACCESSORY_BESIDE)
    )
    return Pickup(
        sensor=sensor,
        lost=tuple(lost),
        gain=gain,
        alive=alive,
        swing=swing,
        disturbance=disturbance,
    )


def switches(wiring, channel):
    """Do both levels of an active sensor lie on either side of what the input switches at?"""
    pin = f"sensor_{WHEEL_KEYS[channel]}"
    low, high = wiring.rest[pin][3] / MEASURING_OHM * 1e3, wiring.far[pin] / MEASURING_OHM * 1e3
    return low <= _SWITCHES_MA[0] and high >= _SWITCHES_MA[1]
