"""The answer file: what is acknowledged is on the disk, what is not true is found, and nothing in
it makes reading fail.
"""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.file import AnswerFile
from tractionlab.assess.answers.reading import Sheet, claimed, read_answers
from tractionlab.assess.answers.worked import late_work
from tractionlab.written.line_file import Strange, strict_json

SHEET = Sheet(
    "sitting-1",
    "paper-1",
    "007",
    "a" * 64,
    60.0,
    {"1-a": {"answer": "answer"}, "1-b": {"x": "answer", "y": "answer"}},
)
plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**11), 10**11)
    | st.floats(-1e11, 1e11)
    | st.text("abc ,.äß=-+\n", max_size=30),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text("abc", max_size=4), inner, max_size=4)
    ),
    max_leaves=12,
)


def codes(reading):
    return [finding.code for finding in reading.findings]


@pytest.fixture
def begun(tmp_path):
    file = AnswerFile(tmp_path / "answers.jsonl", SHEET)
    file.start()
    file.add("answer", item="1-a", field="answer", value="B")
    file.add("answer", item="1-b", field="x", value="12,5 N")
    return file


def test_answers_survive_reopening_and_the_newest_counts(begun):
    again = AnswerFile(begun.path, SHEET)
    again.add("answer", item="1-b", field="x", value="13")
    reading = read_answers(begun.path.read_bytes(), SHEET)
    assert reading.answers() == {"1-a": {"answer": "B"}, "1-b": {"x": "13"}} and codes(reading) == [
        "not_handed_in"
    ]
    assert [line["kind"] for line in reading.lines] == [
        "start",
        "answer",
        "answer",
        "opened",
        "answer",
    ]


def test_each_line_is_on_the_disk_before_it_is_acknowledged(begun, monkeypatch):
    synced = []
    monkeypatch.setattr(
        "tractionlab.written.line_file.os.fsync",
        lambda handle: synced.append(begun.path.read_bytes()),
    )
    begun.add("answer", item="1-a", field="answer", value="C")
    assert b'"C"' in synced[0]


@given(value=plain)
@settings(max_examples=150, deadline=None)
def test_any_plain_value_comes_back(value):
    raw, digest = answer_line.make(3, "answer", "b" * 64, item="i", field="f", value=value)
    line, found = answer_line.read(raw[:-1])
    assert line["value"] == value and found == digest


@pytest.mark.parametrize(
    "value",
    [
        "\x00",
        "a\x1b[31m",
        "\u202e",
        "\ud800",
        "x" * 5000,
        1e13,
        float("nan"),
        float("inf"),
        [[[[[[[[1]]]]]]]],
        list(range(2000)),
        {1: 2},
        b"x",
        {"\x07": 1},
    ],
)
def test_a_value_that_would_not_be_read_is_not_written(begun, value):
    before = begun.path.read_bytes()
    with pytest.raises((Strange, ValueError)):
        begun.add("answer", item="1-a", field="answer", value=value)
    assert begun.path.read_bytes() == before
    begun.add("answer", item="1-a", field="answer", value="D")


@pytest.mark.parametrize("cut", [1, 5, 40, 74, 76, 150])
def test_a_torn_tail_is_set_aside_by_name_and_the_file_goes_on(begun, cut):
    whole = begun.path.read_bytes()
    begun.path.write_bytes(whole[:-cut])
    again = AnswerFile(begun.path, SHEET)
    again.add("answer", item="1-b", field="y", value="7")
    reading = read_answers(begun.path.read_bytes(), SHEET)
    if cut == 1:
        assert reading.answers() == {
            "1-a": {"answer": "B"},
            "1-b": {"x": "12,5 N", "y": "7"},
        } and codes(reading) == ["not_handed_in"]
        return
    (aside,) = begun.path.parent.glob("*.aside-*")
    assert aside.read_bytes() == whole.splitlines(keepends=True)[-1][:-cut]
    assert reading.answers() == {"1-a": {"answer": "B"}, "1-b": {"y": "7"}} and codes(reading) == [
        "mended",
        "not_handed_in",
    ]
    assert aside.name in reading.findings[0].words


def test_a_damaged_middle_is_set_aside_too(begun):
    begun.path.write_bytes(begun.path.read_bytes().replace(b'"B"', b'"X"'))
    again = AnswerFile(begun.path, SHEET)
    assert again.reading.answers() == {} and len(list(begun.path.parent.glob("*.aside-*"))) == 1


def test_two_kernels_on_one_file_keep_one_chain(begun):
    other = AnswerFile(begun.path, SHEET)
    for number in range(20):
        (begun if number % 2 else other).add("answer", item="1-b", field="x", value=str(number))
    reading = read_answers(begun.path.read_bytes(), SHEET)
    assert not reading.grave and reading.answers()["1-b"]["x"] == "19"


def test_a_full_disk_is_told_and_harms_nothing(begun, monkeypatch):
    before = begun.path.read_bytes()

    def full(handle):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr("tractionlab.written.line_file.os.fsync", full)
        with pytest.raises(OSError):
            begun.add("answer", item="1-a", field="answer", value="C")
    assert begun.path.read_bytes() == before
    begun.add("answer", item="1-a", field="answer", value="D")
    assert read_answers(begun.path.read_bytes(), SHEET).answers()["1-a"]["answer"] == "D"


def test_nothing_follows_hand_in(begun):
    begun.add("hand_in", own_work=True)
    with pytest.raises(Strange):
        begun.add("answer", item="1-a", field="answer", value="C")
    assert (
        AnswerFile(begun.path, SHEET).reading.handed_in
        and codes(read_answers(begun.path.read_bytes(), SHEET)) == []
    )


def test_late_answers_do_not_count(monkeypatch):
    times = iter(
        [
            "2026-03-02T09:00:00Z",
            "2026-03-02T09:59:59Z",
            "2026-03-02T10:00:29Z",
            "2026-03-02T10:00:31Z",
        ]
    )
    raw, last = b"", SHEET.seal
    for n, (kind, entries) in enumerate(
        [
            (
                "start",
                {"format": 1, "sitting": "sitting-1", "paper": "paper-1", "candidate": "007"},
            ),
            *(("answer", {"item": "1-a", "field": "answer", "value": value}) for value in "ABC"),
        ]
    ):
        line, last = answer_line.make(n, kind, last, time=next(times), **entries)
        raw += line
    reading = read_answers(raw, SHEET)
    assert reading.answers(late_work(reading, SHEET)) == {
        "1-a": {"answer": "B"}
    } and "late" in codes(reading)


@given(junk=st.binary(max_size=400))
@settings(max_examples=300, deadline=None)
def test_reading_never_fails_and_any_damage_is_found(junk):
    reading = read_answers(junk, SHEET)
    assert reading.grave and reading.answers() == {} and claimed(junk) is None


@given(place=st.integers(0, 10**6), value=st.integers(0, 255))
@settings(max_examples=300, deadline=None)
def test_no_changed_byte_goes_unseen(place, value):
    raw, last = b"", SHEET.seal
    for n, (kind, entries) in enumerate(
        [
            (
                "start",
                {"format": 1, "sitting": "sitting-1", "paper": "paper-1", "candidate": "007"},
            ),
            ("answer", {"item": "1-a", "field": "answer", "value": "B"}),
            ("hand_in", {"own_work": True}),
        ]
    ):
        line, last = answer_line.make(n, kind, last, **entries)
        raw += line
    place %= len(raw)
    changed = raw[:place] + bytes([value]) + raw[place + 1 :]
    assert read_answers(raw, SHEET).findings == []
    if changed != raw:
        assert read_answers(changed, SHEET).findings, (place, value)


@pytest.mark.parametrize(
    "text, code",
    [
        ('{"a":1,"a":2}', "duplicate_key"),
        ("NaN", "not_finite"),
        ("[1e999]", "not_finite"),
        ("-Infinity", "not_finite"),
        ("9" * 20, "too_big"),
        ("[" * 100_000, "too_deep"),
        ('"\x01"', "control_character"),
        ("{'a':1}", "not_json"),
        ("", "not_json"),
        ("1 2", "not_json"),
    ],
)
def test_strange_json_is_named(text, code):
    with pytest.raises(Strange) as found:
        strict_json(text)
    assert found.value.code == code


def test_lines_are_readable_by_any_json_reader(begun):
    for line in begun.path.read_text(encoding="utf-8").splitlines():
        assert {"n", "time", "kind", "before", "hash"} <= set(json.loads(line))
