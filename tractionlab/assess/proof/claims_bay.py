"""Statements about faults, codes and readings, tested one by one on the workshop's car: see
`claims`.
"""

from functools import lru_cache

from tractionlab.diagnosis.status_byte import NOT_TESTED_SINCE_CLEAR
from tractionlab.wheels import WHEEL_KEYS, WHEEL_WORDS
from tractionlab.workshop.case.suspects import car_with
from tractionlab.workshop.drive import bay
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.world import on_rollers, still
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.tests.base import run, telling

_CAR, _ACTIVE = "rear_petrol", "front_petrol"
_OPEN, _CRACKED, _MISSING = 1e9, "tone-ring-cracked", "tone-ring-missing-tooth"
_KEYS = {**dict(zip(WHEEL_WORDS, WHEEL_KEYS)), "front": "fl", "rear": "rl"}


@lru_cache(maxsize=64)
def _codes_at_rest(changes):
    """Codes after ignition on at standstill, for a tuple of (part value, number)."""
    return diagnose(_CAR, changed(part_values(_CAR), dict(changes)), bay.ignition_on(_CAR)).codes


@lru_cache(maxsize=8)
def _codes_of_life(fault):
    """(code, failure type) stored over the days before, of a car with a fault of the catalogue; ""
    = none.
    """
    return tuple(
        (entry.code, entry.failure_type)
        for record in bay.life(_CAR, car_with(fault, _CAR) if fault else part_values(_CAR))
        for entry in record.memory.stored
    )


def ohmmeter(p):
    """Ohms between the two pins of an active sensor: a good one, one whose electronics are dead,
    and a lead that is open.
    """
    wheel = _KEYS[p["place"]]
    good = part_values(_ACTIVE)

    def shows_open(values):
        return (
            next(
                reading.value
                for reading in run("T09", _ACTIVE, values)
                if reading.key == f"coil_{wheel}"
            )
            > 1e6
        )

    sound, dead = (
        shows_open(good),
        shows_open(changed(good, {f"sensor_{wheel}.low_mA": 0.0, f"sensor_{wheel}.high_mA": 0.0})),
    )
    return sound and dead, dead and not sound, sound and not dead, not sound


def instrument(p):
    """What differs between a sound ring and a cracked one: scope, ohms, codes, volts at pins."""

    def tells(test):
        return bool(
            telling(run(test, _CAR, car_with(_CRACKED, _CAR)), run(test, _CAR, part_values(_CAR)))
        )

    return tells("T12"), tells("T08") or tells("T09"), bool(_codes_of_life(_CRACKED)), tells("T10")


def roller_codes(p):
    """A sound car on rollers and on the road; a weak battery on the rollers."""
    on_roller = diagnose(_CAR, part_values(_CAR), on_rollers(_CAR, p["speed"])).codes
    on_road = _codes_of_life("")
    faster = max(float(drive.speed.max()) for drive in bay.customer_drives(_CAR)) * 3.6 > p["speed"]
    weak = diagnose(
        _CAR,
        changed(part_values(_CAR), {"battery.rest_V": 9.0, "battery.charging_V": 9.0}),
        on_rollers(_CAR, p["speed"]),
    ).codes
    return (
        bool(on_roller) and not on_road,
        not on_roller,
        not (faster and not on_road),
        weak == on_roller,
    )


def names_part(p):
    """Codes of an open sensor, an open lead and an open plug; and of a car whose control unit is
    all that differs: none does.
    """
    wheel = _KEYS[p["place"]]
    sensor, lead, plug = (
        _codes_at_rest(((name, _OPEN),))
        for name in (
            f"sensor_{wheel}.coil_ohm",
            f"lead_sensor_{wheel}_signal_2.ohm",
            f"plug_sensor_{wheel}.1_ohm",
        )
    )
    return (
        bool(sensor) and sensor == lead == plug,
        sensor not in (lead, plug),
        lead not in (sensor, plug),
        sensor == _codes_at_rest(()),
    )


def after_clear(p):
    """A ring with a missing tooth, memory cleared, so many minutes at standstill; then the drives
    of some days.
    """
    values = car_with(_MISSING, _CAR)
    yard = diagnose(_CAR, values, still(_CAR, int(60 * p["minutes"] / 0.01)))
    code = _codes_of_life(_MISSING)[0]
    untested = bool(yard.memory[code].status & NOT_TESTED_SINCE_CLEAR)
    first_drive = bool(bay.life(_CAR, values)[0].memory.stored)
    return not yard.codes and untested, bool(yard.codes), code in yard.codes, not first_drive


def start_check(p):
    """Four faults of one sensor, each at ignition on and standing: which one leaves no code."""
    wheel = _KEYS[p["place"]]
    found = [
        _codes_at_rest((change,))
        for change in (
            (f"sensor_{wheel}.gap_mm", 2.0),
            (f"sensor_{wheel}.coil_ohm", _OPEN),
            (f"lead_sensor_{wheel}_signal_2.to_ground_ohm", 2.0),
            (f"plug_sensor_{wheel}.1_ohm", _OPEN),
        )
    ]
    return tuple(not codes for codes in found)


def no_code(p):
    """A cracked ring, with a control unit in order: it stores nothing, and the scope shows it."""
    silent = not _codes_of_life(_CRACKED)
    seen = bool(
        telling(run("T12", _CAR, car_with(_CRACKED, _CAR)), run("T12", _CAR, part_values(_CAR)))
    )
    return silent and seen, not silent, not silent, not seen


CLAIMS = {
    "3-ohmmeter": ohmmeter,
    "3-instrument": instrument,
    "4-roller-codes": roller_codes,
    "9-names-part": names_part,
    "9-after-clear": after_clear,
    "9-start-check": start_check,
    "11-no-code": no_code,
}
