"""Numbers that the lessons on sensors and reference speed state, computed by the package."""

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.knowledge import on_rollers
from tractionlab.panels.reference import after_pedal, knowledge
from tractionlab.panels.sensor import reading_of
from tractionlab.panels.worked_out import once
from tractionlab.run.scenario import Scenario
from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import passive_amplitude, tooth_frequency
from tractionlab.sensors.waveform import level_voltages, start_speed
from tractionlab.units import IN_KMH, MM


def signal_starts(*gaps):
    """Car speeds [km/h] from which the passive course sensor gives a signal, for gaps [mm] on the
    rear-drive course car.
    """
    radius = catalogue.in_use().vehicles()["rear_petrol"]["tyre_radius_m"]
    return [IN_KMH * start_speed(wheel_sensor("passive", gap=gap * MM), radius) for gap in gaps]


def read_with_gap(gap):
    """(speed of the rear-drive course car, speed that is read with the passive sensor at a gap
    [mm]), both [km/h]: nothing before the signal is strong enough.
    """
    (start,) = signal_starts(gap)
    return (0.0, start, start, 20.0), (0.0, 0.0, start, 20.0)


def active_levels():
    """(low, high) voltage [V] of the active course sensor, and the largest gap [mm] it works at."""
    return *level_voltages(), wheel_sensors()["active"]["gap_limit_mm"]


def tooth_rate(speed_kmh):
    """Teeth on the ring, tyre radius [m], teeth in a second [Hz] and voltage of the passive sensor
    peak to peak [V], for the rear-drive course car."""
    sensor, radius = (
        wheel_sensor("passive"),
        catalogue.in_use().vehicles()["rear_petrol"]["tyre_radius_m"],
    )
    frequency = tooth_frequency(speed_kmh / IN_KMH / radius, sensor)
    return sensor.teeth, radius, frequency, passive_amplitude(frequency, sensor.gap, sensor)


def ring_reading(ring, speed):
    """(mean, lowest, highest) speed [km/h] that the control unit reads with a passive sensor over
    this ring of 48 teeth.
    """
    held = reading_of(
        {
            "kind": "passive",
            "gap": 0.8,
            "teeth": 48,
            "speed": speed,
            "ring": ring,
            "noise": 0,
            "window": "250",
        }
    ).held
    return held.mean(), held.min(), held.max()


_ON_ICE = {
    "drive": "two",
    "vehicle": "rear_petrol",
    "surface": "ice",
    "pedal": 100,
    "start": 10,
    "control": False,
    "rise": 8,
}


def belief(drive):
    """(time [s], reference speed [km/h]) of the panel's run with these driven wheels."""
    _, known = knowledge({**_ON_ICE, "drive": drive})
    return known.time, known.reference


@once
def believed(**values):
    """(time [s], car, reference [km/h], true slip, slip as worked out [%]) where the reference
    speed of the panel's run is furthest off, and how long after the pedal acceleration and slip
    tell of spin [s]."""
    _, known = knowledge({**_ON_ICE, **values})
    k = int(abs(known.error).argmax())
    return (
        known.time[k],
        known.car[k],
        known.reference[k],
        100 * known.true_slip[k],
        100 * known.slip[k],
        *after_pedal(known),
    )


def on_two_rollers(speed):
    """(reference [km/h], slip [%], time until control would act [s]) with only the driven wheels
    turned on rollers.
    """
    known = on_rollers(Scenario(), speed, False, 6.0)
    return known.reference[-1], 100 * known.slip[-1], known.slip_tells()
