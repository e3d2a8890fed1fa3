"""Notes of a repair case: usual spellings of what was read count, what was never read does not."""

import pytest

from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.notes import holds_a_reading
from tractionlab.workshop.case.score import score
from tractionlab.workshop.tests.base import tests as bench_tests


def reading(value, unit, name="Something"):
    return {"name": name, "value": value, "unit": unit}


TAKEN = [
    {
        "do": "test",
        "readings": [
            reading(2.04, "ohm"),
            reading(2013.0, "ohm", "Coil"),
            reading(12.53, "V"),
            reading(48.0, "pulses"),
            reading(7.0, "mA"),
            reading(0.205, "V rms"),
            reading(21.4, "degC"),
            reading(5.8, "deg"),
            reading(1e9, "ohm", "To body"),
            reading("The customer's words", ""),
            reading(1074.0, "N", "Brake force front left"),
            reading(2670.0, "N", "Brake force front right"),
            reading(3.1, "N m", "Drag"),
            reading(30.4, "km/h", "Speed"),
        ],
    }
]


@pytest.mark.parametrize(
    "text",
    [
        "difference 60 % across the axle",
        "2.0 Ohm",
        "2.0 ohm.",
        "2 kΩ",
        "2 k\u2126 at the plug",
        "2,0 kilohm",
        "12.5 Volt",
        "12.5V",
        "48 teeth",
        "48 pulses, one turn",
        "7 mA",
        "0.007 A",
        "Wave 0.2 V rms",
        "21 °C",
        "5.8 deg",
        "OL against body",
        "over 1 Mohm",
        "1596 N apart",
        "3 Nm",
        "3 N m of drag",
        "30 km/h",
        "Brake force 2670 newtons",
        "Lead: 2.04 ohm, T08",
        "U = 12,53 V (pin 4)",
        "at 60 km/h: 12.5 V",
    ],
)
def test_a_value_that_was_read_counts_in_any_usual_spelling(text):
    assert holds_a_reading(text, TAKEN)


@pytest.mark.parametrize(
    "text",
    [
        "difference 35 % across the axle",
        "3.0 ohm",
        "2.0 mohm",
        "12.5 MV",
        "12.5",
        "12.5 A",
        "47 teeth",
        "48 V",
        "T08",
        "all fine",
        "",
        "5 volts",
        "0.54 V",
        "700 N m",
        "12.5 apples",
    ],
)
def test_a_value_that_was_never_read_does_not(text):
    assert not holds_a_reading(text, TAKEN)


def test_nothing_read_nothing_noted():
    assert not holds_a_reading("5.00 V", [{"do": "note", "text": "5.00 V"}])


def case_with(before, after):
    """The record points of a case in which T10 was taken before and after the repair."""
    case, prepared = (
        Case("passive-sensor-open-circuit", "rear_petrol"),
        (
            *bench_tests()["T10"].critical,
            *bench_tests()["T10"].minor,
        ),
    )
    case.acknowledge()
    case.take("T10", prepared)
    case.note(before)
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    case.take("T10", prepared)
    case.note(after)
    return score(case.log).points["record"]


@pytest.mark.parametrize(
    "before, after, points",
    [
        ("front left 5 volts", "now 0.54 Volt", 5.0),
        ("front left 5.0 V", "as good as new", 3.0),
        ("Reading 2.0 ohm, T08", "0.54 V", 3.0),
        ("Reading 2.0 ohm, T08", "17 bar", 1.0),
        ("front left 5.0 V", "it was 48 km/h", 3.0),
    ],
)
def test_the_record_of_a_case(before, after, points):
    assert case_with(before, after) == points
