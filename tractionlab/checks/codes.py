"""Checks of self-diagnosis: bytes and meanings of trouble codes, the status byte, the warning lamp,
and rules of road tests. The computed side.
"""

from tractionlab.diagnosis import status_byte as s
from tractionlab.textbook import road_test_rules as rules
from tractionlab.wheels import WHEEL_WORDS

_LISTED_TWICE = (
    "P0500 P0501 P0503 P0504 P0562 P0563 P0571 P0572 P0573 P0856 P0857 P0858 P0859 U0001 U0073"
    " U0100 U0121 U0122 U0129 U0415 U0416"
).split()


def warning_lamp():
    """ABS lamp with ignition on and the car standing: sound, and with the lead of one sensor open.

    1 = on.
    """
    from tractionlab.workshop.drive.diagnosis import diagnose
    from tractionlab.workshop.drive.world import still
    from tractionlab.workshop.part_values import changed, part_values

    healthy = part_values("rear_petrol")
    world = still("rear_petrol", 600)
    sound = diagnose("rear_petrol", healthy, world).lamps["abs"]
    faulty = diagnose("rear_petrol", changed(healthy, {"sensor_fl.coil_ohm": 1e9}), world).lamps[
        "abs"
    ]
    return {
        "at ignition on": float(sound[0]),
        "after the check, sound": float(sound[-1]),
        "after the check, one sensor open": float(faulty[-1]),
    }


def adhesion_curve():
    return {f"adhesion {k:g}": rules.least_braking_rate(k) for k in (0.2, 0.5, 0.8)}


def dwell():
    cases = {
        "at all three limits": (10.0, 3.5, 2.0, 1.83),
        "yaw over 35 % after 1.00 s": (10.0, 3.51, 2.0, 1.83),
        "yaw over 20 % after 1.75 s": (10.0, 3.5, 2.01, 1.83),
        "side step too short": (10.0, 3.5, 2.0, 1.82),
    }
    return {name: float(rules.stable_after_dwell(*case)) for name, case in cases.items()}


def wet_friction():
    return {
        "0.75 at 10 degC": rules.friction_at_20(0.75, 10.0),
        "0.75 at 20 degC": rules.friction_at_20(0.75, 20.0),
    }


def code_bytes():
    from tractionlab.workshop.codes import code_of, two_bytes

    values = {
        code: float(two_bytes(code))
        for code in ("P0143", "P0500", "C0031", "C0123", "B1234", "U0121", "U3FFF")
    }
    return values | {
        "codes that come back from their bytes": float(
            sum(two_bytes(code_of(number)) == number for number in range(1, 65536))
        )
    }


def generic_meanings():
    from tractionlab.workshop.codes import code_list

    codes = code_list().codes
    return {
        "codes of the second table in our list": float(
            sum(codes[code].evidence == "listed twice" for code in _LISTED_TWICE if code in codes)
        )
    }


def chassis_meanings():
    from tractionlab.workshop.codes import code_list

    codes = code_list().codes
    named = (
        (("0010", "0014", "0018", "001C"), "Inlet valve"),
        (("0011", "0015", "0019", "001D"), "Outlet valve"),
        (("0030", "0033", "0036", "0039"), "Ring of the wheel speed sensor"),
        (("0031", "0034", "0037", "003A"), "Wheel speed sensor"),
    )
    values = {
        f"{what}: wheels in the listed order": float(
            sum(
                codes[f"C{number}"].text == f"{what}, {wheel}"
                for number, wheel in zip(numbers, WHEEL_WORDS)
            )
        )
        for numbers, what in named
    }
    others = {
        "C0020": "pump",
        "C0040": "Brake pedal",
        "C0051": "Steering",
        "C0061": "Lateral",
        "C0062": "Longitudinal",
        "C0063": "Yaw",
    }
    return values | {
        "pump, pedal, steering, accelerations, yaw rate": float(
            sum(word in codes[code].text for code, word in others.items())
        )
    }


def status_bytes():
    confirmed = s.failed(s.CLEARED, lamp=False)
    old = s.next_cycle(s.passed(s.next_cycle(s.passed(confirmed))))
    pending = s.next_cycle(s.passed(s.failed(s.CLEARED, confirm=False)))
    values = {f"bit {k}": float(bit) for k, (bit, _) in enumerate(s.BITS)}
    return values | {
        "after clearing": float(s.CLEARED),
        "present and confirmed": float(confirmed),
        "the same with lamp": float(s.failed(s.CLEARED)),
        "confirmed long ago": float(s.passed(old)),
        "pending from the drive before": float(s.passed(pending)),
    }


CHECKS = {
    "S06": warning_lamp,
    "S09": adhesion_curve,
    "S10": dwell,
    "S12": wet_friction,
    "S13": code_bytes,
    "S14": generic_meanings,
    "S15": chassis_meanings,
    "S16": status_bytes,
}
