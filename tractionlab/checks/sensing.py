"""Checks of the wheel-speed sensors: tooth frequency, current levels, coil, amplitude, least speed.

The computed side.
"""

from tractionlab.catalogue import entries as catalogue
from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import passive_amplitude, tooth_frequency
from tractionlab.sensors.waveform import level_of, start_speed
from tractionlab.units import IN_KMH, KMH, MM

RADIUS = 0.30


def tooth_frequencies():
    values = {}
    for teeth in (48, 96):
        sensor = wheel_sensor("active", teeth=float(teeth))
        for kmh in (1, 5, 50, 100):
            values[f"{teeth} teeth, {kmh} km/h"] = tooth_frequency(kmh * KMH / RADIUS, sensor)
    return values


def frequency_ceiling():
    values = {}
    for teeth in (48, 96):
        sensor = wheel_sensor("active", teeth=float(teeth))
        values[f"{teeth} teeth"] = sensor.frequency_limit / tooth_frequency(KMH / RADIUS, sensor)
    return values


def current_levels():
    levels = wheel_sensors()["active"]
    values = {}
    for name in ("low", "high"):
        nominal, share = levels[f"{name}_mA"], levels["level_tolerance"]
        values |= {
            f"{name} level, least": nominal * (1.0 - share),
            f"{name} level, most": nominal * (1.0 + share),
        }
    bands = {
        100: ((0.59, 0.84), (1.18, 1.68)),
        120: ((0.7, 1.0), (1.4, 2.0)),
        75: ((0.44, 0.63), (0.885, 1.26)),
    }
    taken = [
        level_of(1e3 * volts / ohm) == name
        for ohm, both in bands.items()
        for name, band in zip(("low", "high"), both)
        for volts in band
    ]
    return values | {
        "band ends over three resistors, taken as meant": float(sum(taken)),
        "0, 10 and 20 mA, taken as no level": float(
            sum(level_of(current) == "none" for current in (0.0, 10.0, 20.0))
        ),
    }


def coil_resistance():
    return {"coil of the course's passive sensor": wheel_sensors()["passive"]["coil_ohm"] / 1000.0}


def amplitude_over_speed():
    sensor = wheel_sensor("passive")
    ratio = passive_amplitude(5.0 * sensor.teeth, sensor.gap, sensor) / passive_amplitude(
        sensor.teeth, sensor.gap, sensor
    )
    return {"130 mV at one turn speed, at five times that": 130.0 * ratio}


def least_speed():
    car = catalogue.shipped().vehicles()["rear_petrol"]
    sensor = wheel_sensor(car["wheel_sensors"], teeth=car["teeth"], gap=car["sensor_gap_mm"] * MM)
    return {"rear-drive car, gap of its table": IN_KMH * start_speed(sensor, car["tyre_radius_m"])}


CHECKS = {
    "E01": tooth_frequencies,
    "E02": frequency_ceiling,
    "E03": current_levels,
    "E04": coil_resistance,
    "E05": amplitude_over_speed,
    "E06": least_speed,
}
