"""Keys of the items on control strategy, start-up check, monitors and fault memory.

Units as in the items: km/h, degC, N m, kW, s.
"""

from tractionlab.catalogue.entries import shipped
from tractionlab.textbook.formulas import brake_power, disc_warming, slip_threshold
from tractionlab.units import KMH


def part_of(total, share):
    """A share [%] of a total."""
    return total * share / 100


def rest_of(total, share):
    """Trap: what is left of it."""
    return total * (100 - share) / 100


def heat_power(torque, speed, radius):
    """Heat [kW] of a brake torque [N m] at a wheel speed [km/h]."""
    return brake_power(torque, speed * KMH, radius) / 1000


def heat_power_kmh(torque, speed, radius):
    """Trap: km/h put in for m/s."""
    return brake_power(torque, speed, radius) / 1000


def warming(power, duration, disc):
    """Warming [K] of a disc [kg] by a power [kW] for a time [s]."""
    return disc_warming(1000 * power, duration, disc)


def warming_of_a_second(power, disc):
    """Trap: the time forgotten."""
    return disc_warming(1000 * power, 1.0, disc)


def end_temperature(start, rise, number):
    """Disc [degC] after so many applications without cooling."""
    return start + number * rise


def end_from_cold(rise, number):
    """Trap: the start temperature forgotten."""
    return float(number * rise)


def threshold(car):
    """Wheel speed [km/h] at which control steps in."""
    return slip_threshold(car * KMH) / KMH


def threshold_without_offset(car):
    """Trap: the 3 km/h left out."""
    return 1.05 * car


def bend_difference(car, bend, track):
    """Outer wheel faster than inner [km/h]."""
    return car * track / bend


def bend_half(car, bend, track):
    """Trap: one wheel against the middle of the car."""
    return car * track / bend / 2


def slip_at_threshold(limit, car):
    """Slip [%] by wheel speed of a wheel at the limit."""
    return 100 * (limit - car) / limit


def counter_time(limit, sample):
    """Time [s] until a counter that grows by one each sample [ms] is full."""
    return limit * sample / 1000


def counter_time_part(limit, sample, bad):
    """Time [s] when a share [%] of the samples is bad: +1 for a bad, -1 for a good one."""
    return limit / (2 * bad / 100 - 1) * sample / 1000


def counter_time_bad_only(limit, sample, bad):
    """Trap: good samples do not count down."""
    return limit / (bad / 100) * sample / 1000


def bias(supply, pull_up, coil):
    """Bias voltage [V] at the input: supply through a resistor [kohm] over a coil [kohm]."""
    return supply * coil / (pull_up + coil)


def bias_upside_down(supply, pull_up, coil):
    """Trap: the voltage over the resistor."""
    return supply * pull_up / (pull_up + coil)


def bias_without_coil(supply, pull_up, coil):
    """Trap: coil over resistor, not over both."""
    return supply * coil / pull_up


def window(supply, pull_up, coil, extra, low, high):
    """What a window monitor says of coil plus extra resistance [kohm]: "below", "inside" or
    "above".
    """
    value = bias(supply, pull_up, coil + extra)
    return "below" if value < low else "above" if value > high else "inside"


def power_factor(speed, faster):
    """Heat of the same brake torque at another wheel speed: "same", "double" or "four" times."""
    ratio = faster / speed
    return {1: "same", 2: "double", 4: "four"}[round(ratio)]


def action(speed, left, right):
    """What helps on left and right grip at a car speed [km/h] on the course car: "torque", "brake"
    or "both".
    """
    limit = shipped().control_values()["brake_speed_limit_kmh"]
    if left == right:
        return "torque"
    return "brake" if speed < limit / 2 else "both" if speed < limit else "torque"


def acts(car, wheel):
    """Does control step in: "acts" or "waits"."""
    return "acts" if wheel > threshold(car) else "waits"


def pause(temperature, was_paused):
    """Is brake action paused at a disc temperature [degC]: "paused" or "ready"."""
    course = shipped().control_values()
    limit = course["heat_resume_degC"] if was_paused == "yes" else course["heat_pause_degC"]
    return "paused" if temperature >= limit else "ready"


def status_bits(status):
    """What a status byte says: "present", "stored", "untested" or "clear".

    Bits: 0 fails now, 3 confirmed, 4 not tested since clearing.
    """
    value = int(status, 16)
    if value & 0x10:
        return "untested"
    return "present" if value & 0x01 else "stored" if value & 0x08 else "clear"


def code_of(first, second):
    """Trouble code from two bytes in hexadecimal: two bits letter, two bits first digit, the rest
    as they are.
    """
    high = int(first, 16)
    return f"{'PCBU'[high >> 6]}{high >> 4 & 3}{high & 15:X}{second}"


def which_code(first, second, shown):
    """Is `shown` the code of the two bytes: "yes" or "no"."""
    return "yes" if code_of(first, second) == shown else "no"


def missing_signal(others, this, duration):
    """Does the missing-signal monitor trip: one wheel 0 while the others are over 12 km/h for 2 s:
    "code" or "none".
    """
    return "code" if this == 0 and others > 12 and duration >= 2 else "none"


def correlation(teeth, coded):
    """Whether a comparison with a limit of 12 % sees a ring with another tooth count: "code" or
    "none".
    """
    return "code" if abs(teeth / coded - 1) > 0.12 else "none"


def confirmed(bad):
    """Is a fault that is bad in a share [%] of the samples ever confirmed: "yes" or "never"."""
    return "yes" if bad > 50 else "never"


def one_sided(left, right):
    """True if one side has clearly more grip."""
    return max(left, right) > 2 * min(left, right)


def counter_time_ms(limit, sample):
    """Trap: ms given for s."""
    return float(limit * sample)


def days(clean, daily):
    """Days for so many trips."""
    return clean / daily


def product(clean, daily):
    """Trap: multiplied."""
    return float(clean * daily)


def near_enough(car, wheel):
    """True if the wheel is not far from the limit, and not at it."""
    return wheel > car and 0.8 < abs(wheel - threshold(car)) < 8


def lamps(anti_lock, traction, switch):
    """What the lamps of the course car say: "works", "off", "fault" or "fine".

    Each is "on", "off" or "flashes".
    """
    if traction == "flashes":
        return "works"
    if anti_lock == "on" or traction == "on":
        return "fault"
    return "off" if switch == "on" else "fine"
