"""Wheel-speed sensor over a toothed ring: how strong its signal is, and which teeth it shows while
the wheel turns.
"""

from math import cos, floor, pi, sin, sqrt
from typing import NamedTuple

TURN = 2.0 * pi


class WheelSensor(NamedTuple):
    """A sensor and its ring. Lengths in m, times in s, voltages in V peak to peak.

    active : 1.0 = two current levels, electronics in the sensor; 0.0 = passive, a coil and a magnet
    connected : 1.0, or 0.0 when a lead is open or shorted: no tooth is seen
    teeth : teeth on the ring; also pole pairs of a magnetised ring
    gap, reference_gap : gap to the ring, and the one at which `volts_per_hertz` holds
    threshold : least amplitude that the control unit's input takes for a signal (passive)
    gap_limit, frequency_limit [Hz] : beyond them the electronics show nothing (active)
    pitch_error : largest error of a tooth's place, as a share of the tooth pitch
    missing : number of a missing tooth, or -1.0
    crack : how much wider one space is than it should be, as a share of the tooth pitch; the ring
        is cracked there
    runout, ring_radius : eccentricity of the ring, and its radius
    tick : step of the clock that times the teeth, or 0.0
    """

    active: float
    connected: float
    teeth: float
    gap: float
    reference_gap: float
    volts_per_hertz: float
    threshold: float
    gap_limit: float
    frequency_limit: float
    pitch_error: float
    missing: float
    crack: float
    runout: float
    ring_radius: float
    tick: float


def passive_amplitude(frequency, gap, sensor):
    """Voltage [V peak to peak] of a passive sensor at a tooth frequency [Hz] and gap [m]: it rises
    with the speed of the flux change.

    Source: proportional to frequency by Faraday's law; the power of the gap and the constant are
    the course's own model."""
    share = sensor.reference_gap / gap
    return sensor.volts_per_hertz * frequency * share * sqrt(share)


def tooth_frequency(speed, sensor):
    """Teeth per second [Hz] at a wheel speed [rad/s] of either sign."""
    return sensor.teeth * abs(speed) / TURN


def seen_at(frequency, gap, sensor):
    """True if teeth passing at this frequency [Hz] and gap [m] give a signal that the control unit
    can use.
    """
    if sensor.connected == 0.0:
        return False
    if sensor.active == 1.0:
        return gap <= sensor.gap_limit and frequency <= sensor.frequency_limit
    return passive_amplitude(frequency, gap, sensor) >= sensor.threshold


def gives_signal(speed, sensor):
    """True if the sensor shows the teeth of a sound ring at a wheel speed [rad/s]."""
    return seen_at(tooth_frequency(speed, sensor), sensor.gap, sensor)


def tooth_gap(number, sensor):
    """Gap [m] when tooth `number` (0 to teeth - 1) is below the sensor.

    An eccentric ring comes near and goes away once a turn.
    """
    if sensor.runout == 0.0:
        return sensor.gap
    return max(0.1 * sensor.gap, sensor.gap - sensor.runout * cos(TURN * number / sensor.teeth))


def tooth_shift(number, sensor):
    """How far tooth `number` stands from its place, as a share of the tooth pitch.

    The making error is a fixed pattern by tooth number. A crack opens the space before tooth 0 and
    narrows all others alike. An eccentric ring shows its teeth too early on one half and too late
    on the other."""
    shift = 0.0
    if sensor.pitch_error > 0.0:
        shift += sensor.pitch_error * ((number * (number + 29.0) * 17.0) % 101.0 / 50.0 - 1.0)
    if sensor.crack > 0.0:
        shift -= sensor.crack * number / sensor.teeth
    if sensor.runout > 0.0:
        shift += (
            sensor.runout
            / sensor.ring_radius
            * sensor.teeth
            / TURN
            * sin(TURN * number / sensor.teeth)
        )
    return shift


def edges_between(angle_before, angle_after, t_before, t_after, sensor, evenness=1.0):
    """Teeth shown while the wheel turns from one angle [rad] to the other, either way round,
    between two times [s].

    The sensor does not know the direction: teeth that pass backwards count alike. Within the step
    the wheel speeds up evenly.

    `evenness` is the speed at the beginning over the mean speed: 1 = the wheel turns evenly.

    Returns
    -------
    (count, time) : number of teeth as a float, and time [s] of the last one; `t_before` when there
    is none
    """
    turned = angle_after - angle_before
    if turned == 0.0:
        return 0.0, t_before
    pitch = TURN / sensor.teeth
    frequency = tooth_frequency(turned / (t_after - t_before), sensor)
    low, high = min(angle_before, angle_after), max(angle_before, angle_after)
    count, last = 0.0, t_before
    reach = 0.0
    if sensor.pitch_error > 0.0 or sensor.crack > 0.0 or sensor.runout > 0.0:
        reach = 1.0
    k = floor(low / pitch) - reach
    end = floor(high / pitch) + reach
    while k <= end:
        number = k - sensor.teeth * floor(k / sensor.teeth)
        place = pitch * (k + tooth_shift(number, sensor))
        if (
            low < place
            and place <= high
            and number != sensor.missing
            and seen_at(frequency, tooth_gap(number, sensor), sensor)
        ):
            count += 1.0
            way = (place - angle_before) / turned
            root = sqrt(max(0.0, evenness * evenness + 4.0 * (1.0 - evenness) * way))
            last = max(
                last, t_before + min(1.0, 2.0 * way / (evenness + root)) * (t_after - t_before)
            )
        k += 1.0
    if sensor.tick > 0.0 and count > 0.0:
        last = sensor.tick * floor(last / sensor.tick)
    return count, last
