"""Typed numbers and units."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractionlab.written.numbers import UNITS, Unreadable, convert, read, show


@given(
    st.decimals(-99999, 99999, places=3),
    st.sampled_from(".,"),
    st.sampled_from(["", " "]),
    st.sampled_from(["", *(u for u in UNITS if u != "1")]),
)
def test_comma_and_point_read_alike_with_any_unit(number, mark, space, unit):
    reading = read(f" {number:f}{space}{unit} ".replace(".", mark))
    assert reading.number == float(number) and reading.unit == unit


@given(st.integers(1000, 9_999_999), st.sampled_from([" ", "'", "’", "\u00a0", "\u202f"]))
def test_separators_between_thousands_are_refused(number, mark):
    with pytest.raises(Unreadable, match="thousands"):
        read(f"{number:,}".replace(",", mark))


@pytest.mark.parametrize("text", ["1,250.0", "1.250,0", "1.250.000", "1,2,3", "1..2"])
def test_two_marks_are_refused(text):
    with pytest.raises(Unreadable, match="thousands"):
        read(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  ",
        "abc",
        "nan",
        "inf",
        "-",
        ".",
        "1e400",
        "٣",
        "1/2",
        "12 apples",
        "x" * 5000,
        "1" * 5000,
        "0x10",
    ],
)
def test_anything_else_is_one_sentence(text):
    with pytest.raises(Unreadable) as caught:
        read(text)
    assert len(str(caught.value)) < 200


@given(st.text(max_size=60))
def test_no_text_makes_it_fall_over(text):
    try:
        reading = read(text)
    except Unreadable:
        return
    assert reading.number == reading.number and abs(reading.number) < 1e40


@pytest.mark.parametrize(
    "text, unit",
    [
        ("5 Nm", "N m"),
        ("5kmh", "km/h"),
        ("5 M/S2", "m/s²"),
        ("5 m/s^2", "m/s²"),
        ("5 MPa", "MPa"),
        ("5 kpa", "kPa"),
        ("5 percent", "%"),
        ("5 °C", "°C"),
        ("5 BAR", "bar"),
        ("25 /s", "Hz"),
        ("25 1/s", "Hz"),
        ("25 1/min", "rpm"),
        ("5 Ampere", "A"),
        ("5 amps", "A"),
        ("5 Volt", "V"),
        ("5 millivolts", "mV"),
        ("5 sec", "s"),
        ("5 sec.", "s"),
        ("5 Seconds", "s"),
        ("5 milliohm", "mohm"),
        ("5 Ohms", "ohm"),
        ("5 kΩ", "kohm"),
        ("5 k\u2126", "kohm"),
        ("5 KOHM", "kohm"),
        ("5 newton metres", "N m"),
        ("5 degC", "°C"),
        ("5 per cent", "%"),
        ("5 MIN", "min"),
        ("5 MM", "mm"),
    ],
)
def test_spellings(text, unit):
    assert read(text).unit == unit


@pytest.mark.parametrize(
    "small, capital",
    [
        ("mohm", "Mohm"),
        ("mΩ", "MΩ"),
        ("mA", "MA"),
        ("ms", "Ms"),
        ("mOhm", "MOHM"),
        ("mv", "MV"),
        ("milliohm", "megaohm"),
    ],
)
def test_small_m_is_milli_and_capital_m_is_mega(small, capital):
    milli, mega = read(f"5 {small}").unit, read(f"5 {capital}").unit
    assert convert(1.0, mega, milli) == pytest.approx(1e9)


def test_milli_of_a_pressure_is_no_unit_of_the_course():
    assert read("5 Mpa").unit == "MPa"
    with pytest.raises(Unreadable, match="unit 'mpa'"):
        read("5 mpa")


def test_conversion():
    assert convert(36, "km/h", "m/s") == pytest.approx(10)
    assert convert(2.3, "MPa", "bar") == pytest.approx(23)
    assert convert(25, "%", "1") == pytest.approx(0.25)
    assert convert(1, "N", "N m") is None


@pytest.mark.parametrize(
    "value, text",
    [
        (1860.55, "1861"),
        (0.60273, "0.603"),
        (23.308, "23.3"),
        (0.0, "0"),
        (-7.1, "-7.10"),
        (99.96, "100.0"),
    ],
)
def test_show_keeps_three_digits(value, text):
    assert show(value) == text
