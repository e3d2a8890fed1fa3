"""Numbers that lessons 11 and 12 state: three ways to the same fault, what a crack looks like, what
service work is about. All computed.
"""

from tractionlab.diagnosis.start_up import PUMP_TEST_KMH, SIGNALS_KMH
from tractionlab.lesson.exercises_finding import working_along
from tractionlab.lesson.facts import say
from tractionlab.workshop.case.case import PART_MINUTES, Case
from tractionlab.workshop.case.suspects import AFTER_REPAIR, predicted, still_possible
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.consequences import (
    accumulator_energy_J,
    comes_back_after,
    jet_speed,
    rise_with_air,
    signal_from,
)
from tractionlab.workshop.faults import fault, faults, symptoms
from tractionlab.workshop.hydraulic_bay import air_travel
from tractionlab.workshop.tests.base import tests

_TRIAL_MINUTES = 15  # a drive after each part, to see whether it helped


def three_routes(fault_id="passive-sensor-wide-gap", vehicle="rear_petrol"):
    """(parts, minutes) by renewing parts in the order of the list, minutes by taking the tests in
    the order of the list, and minutes by the method.
    """
    case = Case(fault_id, vehicle)
    places = []
    for place in (
        entry
        for entry in case.places()
        if entry in {fault(name).place for name in case.candidates()}
    ):
        places.append(place)
        if place == case.fault.place:
            break
    parts = len(places)
    left, listed = case.candidates(), 0
    for test in (name for name in tests() if name not in AFTER_REPAIR):
        listed += tests()[test].minutes
        left = still_possible(left, test, predicted(test, fault_id, vehicle), vehicle)
        if len(left) == 1:
            break
    return (
        parts,
        parts * (PART_MINUTES + _TRIAL_MINUTES),
        listed,
        route_to(fault_id, case.symptom, vehicle).minutes,
    )


def routes_by_test(fault_id="passive-sensor-wide-gap", vehicle="rear_petrol"):
    """Names of the tests of the method's route to a fault."""
    case = Case(fault_id, vehicle)
    return [tests()[name].name.lower() for name in route_to(fault_id, case.symptom, vehicle).tests]


def crack_on_the_screen():
    """(longest tooth space over the mean [%] of the cracked ring, of a sound one, codes in the
    memory) of the rear-drive car.
    """
    shown = {
        reading.key: reading.value
        for reading in predicted("T12", "tone-ring-cracked", "rear_petrol")
    }
    memory = predicted("T04", "tone-ring-cracked", "rear_petrol")[0].value
    return shown["spread_fr"], shown["spread_fl"], memory


def half_split(sections):
    """(measurements by halving, on average working along) for so many sections; a power of two."""
    return (sections - 1).bit_length(), working_along(sections)


def pressure_facts():
    """(energy in the accumulator [kJ], speed of a jet at 185 bar [m/s])."""
    return accumulator_energy_J() / 1e3, jet_speed(185.0)


def air_facts(air=1.0, bar=50.0):
    """(volume that gives way [cm3], pedal travel [mm], time to 40 bar bled and with air [s])."""
    return *air_travel(air, bar), rise_with_air(0.0), rise_with_air(air)


def gap_facts():
    """Speeds [km/h] from which the passive sensor gives a signal at 0.8, 1.2 and 2.0 mm, and
    seconds until a cleared open circuit is back.
    """
    return signal_from(0.8), signal_from(1.2), signal_from(2.0), comes_back_after()


def drive_plan():
    """Table: what belongs to a verification drive, and which check of the control unit runs then;
    speeds as the start-up check has them.
    """
    rows = (
        ("Brake test at walking speed", "yours"),
        ("Ignition on", "lamp check, circuits"),
        (f"{PUMP_TEST_KMH:g} km/h", "pump test"),
        (f"{SIGNALS_KMH:g} km/h and more", "all four wheel signals"),
        ("Half a minute straight on", "wheels against each other, steering zero"),
        ("One bend to each side", "yaw rate, bearing, leads"),
        ("Three stops", "pedal switch, pressure sensor"),
        ("The conditions of the complaint", "what the customer came for"),
        ("Afterwards", "memory, temperatures left and right, record"),
    )
    return say(
        "\n".join(
            [
                "| What | Which check runs |",
                "|:--|:--|",
                *(f"| {what} | {check} |" for what, check in rows),
            ]
        )
    )


def symptom_table():
    """Table: for each complaint without a code, the places of the faults that fit it."""
    rows = [
        (
            words,
            sorted(
                {
                    entry.place
                    for entry in faults().values()
                    if key in entry.symptoms and entry.detectable != "yes"
                }
            ),
        )
        for key, words in symptoms().items()
        if key in ("spins", "acts", "buzz", "soft_pedal", "hot_pull", "noted")
    ]
    return say(
        "\n".join(
            [
                "| The driver says | Places to look at |",
                "|:--|:--|",
                *(f"| {words} | {'; '.join(places)} |" for words, places in rows),
            ]
        )
    )
