"""What every test of the bench reads on the car of a case, for who teaches it without a screen."""

from tractionlab.paint.blocks import Heading, Page, Rows, Text
from tractionlab.workshop.case.suspects import predicted
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import run, tests


def all_readings(case):
    """Blocks: a row for each test with its readings; those that a sound car gives otherwise have a
    star.
    """
    rows = tuple(_row(test, case.fault.id, case.vehicle) for test in tests().values())
    return [
        Page(),
        Heading("What each test reads"),
        Text("To answer the class without a screen. A star: a sound car reads something else."),
        Rows("All readings of this car (computed)", ("Test", "Readings"), rows, (2, 9)),
    ]


def _row(test, fault_id, vehicle):
    sound = {one.key: one.words for one in run(test.id, vehicle, part_values(vehicle))}
    found = predicted(test.id, fault_id, vehicle)
    words = (one.words if one.words == sound.get(one.key) else f"* {one.words}" for one in found)
    return f"{test.id} {test.name}", "; ".join(words)
