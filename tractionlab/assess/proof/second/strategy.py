"""The second routes of `keys/strategy.py` for the proof: small steps, counting samples, bits as
text. Same names and units.
"""

from tractionlab.catalogue.entries import shipped
from tractionlab.textbook.formulas import bend_speeds


def part_of(total, share):
    """Hundredths."""
    return total / 100 * share


def threshold(car):
    """The printed rule."""
    return car + car / 20 + 3


def slip_at_threshold(limit, car):
    """What is lost of 100 turns."""
    return 100 - 100 * car / limit


def heat_power(torque, speed, radius):
    """Force of the brake at the tread times the speed there."""
    return torque / radius * (speed / 3.6) / 1000


def warming(power, duration, disc):
    """Heat in small steps."""
    steps = 1000
    return sum(power * 1000 * duration / steps / (disc * 460) for _ in range(steps))


def bend_difference(car, bend, track):
    """Both wheels from the package's own formula."""
    inner, outer = bend_speeds(car, bend, track)
    return outer - inner


def end_from_cold(rise, number):
    """One after the other."""
    return sum(rise for _ in range(number))


def end_temperature(start, rise, number):
    """One after the other from the start."""
    for _ in range(number):
        start += rise
    return start


def counter_time(limit, sample):
    """Samples counted."""
    count, time = 0, 0
    while count < limit:
        count, time = count + 1, time + sample
    return time / 1000


def counter_time_part(limit, sample, bad):
    """A counter fifty times as long run over evenly spread samples until it is full: the grain of
    single samples is gone then.
    """
    count, share, time = 0, 0.0, 0
    while count < 50 * limit:
        share += bad / 100
        time += sample
        if share >= 1.0 - 1e-9:
            share, count = share - 1.0, count + 1
        else:
            count = max(0, count - 1)
    return time / 1000 / 50


def bias(supply, pull_up, coil):
    """Current through both, times the coil."""
    return supply / (pull_up + coil) * coil


def window(supply, pull_up, coil, extra, low, high):
    """Resistances at which the voltage is at its limits, against the loop."""
    least, most = (pull_up * limit / (supply - limit) for limit in (low, high))
    return "below" if coil + extra < least else "above" if coil + extra > most else "inside"


def days(clean, daily):
    """One day, over the share of the trips that it brings."""
    return 1 / (daily / clean)


def correlation(teeth, coded):
    """Teeth that are still allowed."""
    return "none" if coded * 0.88 <= teeth <= coded * 1.12 else "code"


def power_factor(speed, faster):
    """Heat at both speeds with any torque and radius."""
    return {1.0: "same", 2.0: "double", 4.0: "four"}[
        heat_power(100, faster, 0.3) / heat_power(100, speed, 0.3)
    ]


def action(speed, left, right):
    """Rule of lesson 8: one poor side and slow, the brake; else torque."""
    one_poor = max(left, right) / min(left, right) > 1.0
    limit = shipped().control_values()["brake_speed_limit_kmh"]
    return "torque" if not one_poor or speed >= limit else "brake" if 2 * speed < limit else "both"


def acts(car, wheel):
    """Slip above that at the limit."""
    return "acts" if wheel - car > 0.05 * car + 3 else "waits"


def status_bits(status):
    """Bits as a text, read from the right."""
    bits = f"{int(status, 16):08b}"[::-1]
    return (
        "untested"
        if bits[4] == "1"
        else "present"
        if bits[0] == "1"
        else "stored"
        if bits[3] == "1"
        else "clear"
    )


def which_code(first, second, shown):
    """The first byte as eight bits: letter, digit, digit."""
    bits = f"{int(first, 16):08b}"
    code = (
        {"00": "P", "01": "C", "10": "B", "11": "U"}[bits[:2]]
        + str(int(bits[2:4], 2))
        + f"{int(bits[4:], 2):X}"
        + second
    )
    return "yes" if code == shown else "no"


def missing_signal(others, this, duration):
    """Any condition that is not met stops it."""
    return "none" if this > 0 or others <= 12 or duration < 2 else "code"


def confirmed(bad):
    """The counter after a long run."""
    count, share = 0, 0.0
    for _ in range(20000):
        share += bad / 100
        if share >= 1.0 - 1e-9:
            share, count = share - 1.0, count + 1
        else:
            count = max(0, count - 1)
    return "yes" if count > 100 else "never"


def pause(temperature, was_paused):
    """The limit that counts, from the course settings."""
    course = shipped().control_values()
    limit = {"yes": course["heat_resume_degC"], "no": course["heat_pause_degC"]}[was_paused]
    return "ready" if temperature < limit else "paused"


def lamps(anti_lock, traction, switch):
    """The table of lesson 9."""
    return {
        ("off", "flashes", "off"): "works",
        ("off", "off", "on"): "off",
        ("on", "on", "off"): "fault",
        ("off", "off", "off"): "fine",
    }[(anti_lock, traction, switch)]
