"""Keys of the items on wheel-speed sensors, reference speed, slip and wheel acceleration.

Units as in the items: km/h, Hz, rpm, ms, mm, V.
"""

from math import pi

from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import TURN, passive_amplitude, tooth_frequency
from tractionlab.sensors.waveform import level_of, start_speed
from tractionlab.textbook.formulas import bend_speeds
from tractionlab.units import IN_KMH, KMH, MM


def rpm(speed, radius):
    """Turning speed [rpm] of a wheel that rolls at a speed [km/h]."""
    return 60 * speed * KMH / (TURN * radius)


def rpm_kmh(speed, radius):
    """Trap: km/h put in for m/s."""
    return 60 * speed / (TURN * radius)


def rpm_half_turn(speed, radius):
    """Trap: one turn taken as pi x radius."""
    return 2 * rpm(speed, radius)


def frequency(turning, teeth):
    """Teeth a second [Hz] at a turning speed [rpm]."""
    return tooth_frequency(turning / 60 * TURN, wheel_sensor("passive", teeth=float(teeth)))


def frequency_per_minute(turning, teeth):
    """Trap: teeth a minute."""
    return turning * teeth


def frequency_at(speed, radius, teeth):
    """Teeth a second [Hz] at a speed [km/h]."""
    return frequency(rpm(speed, radius), teeth)


def reading(speed, teeth, coded):
    """Speed [km/h] that the unit reads over a ring with the wrong count."""
    return speed * teeth / coded


def reading_turned(speed, teeth, coded):
    """Trap: fraction turned round."""
    return speed * coded / teeth


def reading_error(read, speed):
    """Error of a reading [%]."""
    return 100 * (read - speed) / speed


def minus(read, speed):
    """Trap: the difference itself."""
    return float(read - speed)


def amplitude(hertz, gap):
    """Voltage peak to peak [V] of the passive course sensor at a tooth frequency and a gap [mm]."""
    return passive_amplitude(hertz, gap * MM, wheel_sensor("passive"))


def amplitude_at_reference(hertz):
    """Trap: the gap left out."""
    return wheel_sensors()["passive"]["volts_per_hertz"] * hertz


def amplitude_in_proportion(hertz, gap):
    """Trap: power 1 in place of 1.5."""
    v = wheel_sensors()["passive"]
    return v["volts_per_hertz"] * hertz * v["reference_gap_mm"] / gap


def start_frequency(gap):
    """Frequency [Hz] from which the passive course sensor gives its threshold."""
    return wheel_sensors()["passive"]["threshold_V"] / amplitude(1.0, gap)


def start_kmh(hertz, teeth, radius):
    """Speed [km/h] at a tooth frequency."""
    return hertz / teeth * TURN * radius / KMH


def start_ms(hertz, teeth, radius):
    """Trap: m/s given for km/h."""
    return hertz / teeth * TURN * radius


def gap_code(gap, limit):
    """Does a wide gap trip a monitor that looks for a missing signal from a speed [km/h] on: "code"
    or "none".
    """
    sensor = wheel_sensor("passive", gap=gap * MM)
    return "code" if start_speed(sensor, 0.305) / KMH > limit else "none"


def level(current):
    """What a current [mA] is taken for: "low", "high" or "none"."""
    return level_of(current)


def top_speed(limit, teeth, radius):
    """Car speed [km/h] at which the tooth frequency reaches a limit [Hz]."""
    return start_kmh(limit, teeth, radius)


def tooth_time(speed, teeth, radius):
    """Time of a tooth [ms] at a speed [km/h]."""
    return 1000 / frequency_at(speed, radius, teeth)


def tooth_time_ms(speed, teeth, radius):
    """Trap: km/h put in for m/s."""
    return tooth_time(speed, teeth, radius) / IN_KMH


def pitch(radius, teeth):
    """Length of one tooth at the tread [mm]."""
    return 1000 * TURN * radius / teeth


def pitch_half(radius, teeth):
    """Trap: one turn taken as pi x radius."""
    return 1000 * pi * radius / teeth


def tooth_speed(length, time):
    """Speed [m/s] from the length of one tooth [mm] and its time [ms]."""
    return length / time


def rate(slow, fast, apart):
    """Acceleration [m/s²] between two speeds [m/s], so many ms apart."""
    return 1000 * (fast - slow) / apart


def rate_by_tooth_times(slow, fast, first, second):
    """Trap: divided by the difference of the tooth times."""
    return 1000 * (fast - slow) / (first - second)


def slip(wheel, car):
    """Slip [%] by wheel speed."""
    return 100 * (wheel - car) / wheel


def slip_by_car(wheel, car):
    """Slip [%] by car speed."""
    return 100 * (wheel - car) / car


def spins(gain, most):
    """Is a wheel acceleration possible for the car: "spin" or "real"."""
    return "spin" if gain > 1.5 * most else "real"


def reference(rise, time):
    """Reference [km/h] that climbs as fast as it may [m/s²] for a time [s] from standstill."""
    return rise * time / KMH


def car_after(rate_, time):
    """True speed [km/h]."""
    return rate_ * time / KMH


def ahead(reference_, car):
    """How far the reference is ahead [km/h]."""
    return reference_ - car


def mean(left, right):
    """Mean of two wheels."""
    return (left + right) / 2


def sum_of(left, right):
    """Trap: not halved."""
    return float(left + right)


def reference_source(drive):
    """Wheels from which the reference is taken on the flat road: "front" or "rear", those that are
    not driven.
    """
    return "front" if drive == "rear" else "rear"


def roller_slip(driven, undriven):
    """What the unit works out on rollers: "full", "some" or "none" slip."""
    value = slip(driven, undriven)
    return "full" if value >= 99.5 else "none" if value < 1 else "some"


def seen_slip(true_car, reference_, wheel):
    """Slip as the unit works it out against the true one: "less", "more", "same"."""
    seen, true = slip(wheel, reference_), slip(wheel, true_car)
    return "same" if abs(seen - true) < 1 else "less" if seen < true else "more"


def inner_wheel(car, bend, track):
    """Speed [km/h] of the inner wheel in a bend."""
    return bend_speeds(car, bend, track)[0]


def outer_wheel(car, bend, track):
    """Speed [km/h] of the outer wheel in a bend."""
    return bend_speeds(car, bend, track)[1]


def grows_clearly(wheel, car):
    """True if the wheel is clearly faster."""
    return wheel >= 1.12 * car


def differs(left, right, driven):
    """True if the driven wheel is faster than both others."""
    return driven > 1.1 * max(left, right)


def faster(first, second):
    """True if the second tooth time is clearly shorter."""
    return second <= 0.9 * first


def rim_ms(turning, radius):
    """Trap: speed of the tread [m/s]."""
    return turning / 60 * TURN * radius


def gain_of_teeth(length, first, second, apart):
    """Acceleration [m/s²] from the length of one tooth [mm] and two tooth times [ms], so many ms
    apart.
    """
    return rate(tooth_speed(length, first), tooth_speed(length, second), apart)


def gain_of_teeth_wrong(length, first, second):
    """Trap: divided by the difference of the tooth times."""
    return rate_by_tooth_times(
        tooth_speed(length, first), tooth_speed(length, second), first, second
    )


def reference_ms(rise, time):
    """Trap: m/s given for km/h."""
    return rise * time
