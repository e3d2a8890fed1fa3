"""Trouble codes: their two bytes, their words and lists, the status byte and its laws, and a
diagnostic library that reads the same.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from udsoncan import Dtc

from tractionlab.catalogue.places import data_folder
from tractionlab.diagnosis import status_byte as s
from tractionlab.errors import UserError
from tractionlab.workshop.codes import EVIDENCE, code_list, code_of, defined_by, two_bytes

FILE = data_folder() / "workshop" / "codes.toml"
BYTES = st.integers(0, 255)
#: What can happen to a status byte.
STEPS = st.lists(
    st.sampled_from(
        (
            s.failed,
            lambda b: s.failed(b, confirm=False),
            lambda b: s.failed(b, lamp=False),
            s.passed,
            lambda b: s.passed(b, True),
            s.next_cycle,
            lambda b: s.next_cycle(b, True),
            s.aged,
            lambda b: s.CLEARED,
        )
    ),
    max_size=30,
)


def reached(steps):
    status = s.CLEARED
    for step in steps:
        status = step(status)
    return status


def test_all_values_both_ways():
    codes = [code_of(number) for number in range(65536)]
    assert len(set(codes)) == 65536
    assert [two_bytes(code) for code in codes] == list(range(65536))


@pytest.mark.parametrize(
    "code, number",
    [
        ("C0031", 0x4031),
        ("U0100", 0xC100),
        ("P2135", 0x2135),
        ("B1234", 0x9234),
        ("U3FFF", 0xFFFF),
        ("P0000", 0),
    ],
)
def test_published_examples(code, number):
    assert two_bytes(code) == number and code_of(number) == code


@pytest.mark.parametrize(
    "code", ["", "C003", "C00311", "c0031", "X0031", "C4031", "C003G", None, 0x4031]
)
def test_what_is_no_code_is_said_so(code):
    with pytest.raises(UserError, match="a trouble code is P, C, B or U"):
        two_bytes(code)


@pytest.mark.parametrize("number", [-1, 65536, 1.5, True, "4031"])
def test_what_are_no_two_bytes_is_said_so(number):
    with pytest.raises(UserError, match="whole number from 0 to 65535"):
        code_of(number)


def test_who_defines_a_code():
    assert [defined_by(code) for code in ("C0031", "C1F10", "P2135", "P3400", "U2000")] == [
        "standard",
        "maker",
        "standard",
        "either",
        "maker",
    ]


def test_the_lesson_teaches_all_first_digits_as_the_code_reads_them():
    path = data_folder().parent / "lessons" / "09_self_diagnosis.ipynb"
    assert (
        "0 all makers' in every case, 1 the maker's own. 2 is all makers' after P, but the maker's"
        " own after C, B and U. 3 can be either" in path.read_text(encoding="utf-8")
    )
    whose = {letter: [defined_by(f"{letter}{digit}031") for digit in range(4)] for letter in "PCBU"}
    assert whose.pop("P") == ["standard", "maker", "standard", "either"]
    assert all(found == ["standard", "maker", "maker", "either"] for found in whose.values())


def test_every_text_says_how_sure_it_is_and_own_codes_stand_in_the_range_of_makers():
    found = code_list()
    assert {meaning.evidence for meaning in found.codes.values()} >= {
        "list",
        "listed twice",
        "memory",
        "own",
    }
    assert all(
        meaning.evidence in EVIDENCE and meaning.text
        for meaning in (*found.codes.values(), *found.failure_types.values())
    )
    for code, meaning in found.codes.items():
        assert (meaning.evidence == "own") == (defined_by(code) == "maker"), code


def test_two_editions_contradict_each_other():
    found = code_list()
    assert (
        "front left" in found.old_codes["C0035"].text and "front right" in found.codes["C0035"].text
    )
    assert "pedal" in found.codes["C0040"].text and "Wheel speed" in found.old_codes["C0040"].text
    assert found.edition != found.older


def test_words_with_and_without_failure_type():
    assert code_list().words("C0031", "13") == "Wheel speed sensor, front left: open"
    assert code_list().words("C0031") == "Wheel speed sensor, front left"
    assert "not in this list" in code_list().words("B1234")


@pytest.mark.parametrize(
    "old, new, message",
    [
        ("[codes]\n", "[codez]\n", r"the table \[codes\] is missing"),
        ("C0020 = {", "C0O20 = {", "is no trouble code"),
        ('evidence = "own"', 'evidence = "sure"', "evidence, which is one of"),
        ("\n13 = {", "\n1Z = {", "must be two characters"),
        ('name = "list', 'nome = "list', "name must be a text"),
        ("[codes]\n", "[codes\n", "not readable as TOML"),
    ],
)
def test_broken_list_is_named(tmp_path, old, new, message):
    text = FILE.read_text(encoding="utf-8")
    broken = tmp_path / "codes.toml"
    broken.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert old in text
    with pytest.raises(UserError, match=message) as caught:
        code_list(broken)
    assert str(broken) in str(caught.value)


@given(BYTES)
def test_a_diagnostic_library_reads_the_same_bits(status):
    theirs = Dtc.Status.from_byte(status)
    named = {
        s.FAILED: theirs.test_failed,
        s.FAILED_THIS_CYCLE: theirs.test_failed_this_operation_cycle,
        s.PENDING: theirs.pending,
        s.CONFIRMED: theirs.confirmed,
        s.NOT_TESTED_SINCE_CLEAR: theirs.test_not_completed_since_last_clear,
        s.FAILED_SINCE_CLEAR: theirs.test_failed_since_last_clear,
        s.NOT_TESTED_THIS_CYCLE: theirs.test_not_completed_this_operation_cycle,
        s.LAMP: theirs.warning_indicator_requested,
    }
    assert {bit: bool(status & bit) for bit, _ in s.BITS} == named
    assert theirs.get_byte_as_int() == sum(bit for bit, on in named.items() if on)


@given(STEPS)
def test_bits_never_contradict_each_other(steps):
    status = reached(steps)
    has = lambda bit: bool(status & bit)
    assert 0 <= status <= 255
    assert not has(s.FAILED) or has(s.FAILED_THIS_CYCLE)
    assert not has(s.FAILED_THIS_CYCLE) or not has(s.NOT_TESTED_THIS_CYCLE)
    assert not has(s.FAILED_SINCE_CLEAR) or not has(s.NOT_TESTED_SINCE_CLEAR)
    assert not has(s.NOT_TESTED_SINCE_CLEAR) or has(s.NOT_TESTED_THIS_CYCLE)
    assert not has(s.CONFIRMED) or has(s.FAILED_SINCE_CLEAR)
    assert not has(s.PENDING) or has(s.FAILED_SINCE_CLEAR)
    assert not has(s.LAMP) or has(s.CONFIRMED)


@given(STEPS)
def test_each_result_says_what_it_must(steps):
    status = reached(steps)
    bad, good, later = s.failed(status), s.passed(status), s.next_cycle(status)
    assert (
        bad
        & (s.FAILED | s.FAILED_THIS_CYCLE | s.PENDING | s.CONFIRMED | s.FAILED_SINCE_CLEAR | s.LAMP)
        == 0xAF
        and not bad & s.CLEARED
    )
    assert not good & (s.FAILED | s.CLEARED | s.LAMP) and good & s.CONFIRMED == status & s.CONFIRMED
    assert (
        later & s.NOT_TESTED_THIS_CYCLE
        and not later & (s.FAILED | s.FAILED_THIS_CYCLE)
        and later & s.CONFIRMED == status & s.CONFIRMED
    )
    assert s.failed(bad) == bad and s.passed(good) == good


@given(STEPS)
def test_pending_ends_with_a_cycle_that_was_tested_and_good(steps):
    status = s.next_cycle(s.failed(reached(steps)))
    assert status & s.PENDING
    assert s.next_cycle(status) & s.PENDING, "a cycle without a test proves nothing"
    assert not s.next_cycle(s.passed(status)) & s.PENDING


def test_lamp_is_held_only_where_asked():
    there = s.failed(s.CLEARED)
    assert s.passed(there, hold_lamp=True) & s.LAMP and not s.passed(there) & s.LAMP
    assert s.next_cycle(there) & s.LAMP and not s.next_cycle(there, hold_lamp=True) & s.LAMP


def test_words_of_known_bytes():
    assert s.words(0x50) == (
        "not tested since the memory was cleared",
        "not tested since ignition on",
    )
    assert len(s.words(0xAF)) == 6 and s.words(0) == ("tested, never present",)
