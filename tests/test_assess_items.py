"""The item bank: its counts, its wording, and what is said of a mistake in one of its files."""

import re
import tomllib
from collections import Counter

import pytest
from assess_answers import item_from
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.blueprint import blueprint
from tractionlab.assess.bank.draw import combination, fair_draws, variant
from tractionlab.assess.bank.effort import seconds
from tractionlab.assess.bank.item import KINDS, OUTCOMES, items, read_item
from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError

CHOICE = """
kind = "choice"
level = "apply"
minutes = 2
marks = 2
title = "T"
text = "Which of {n}?"
draws = { n = [1, 2] }
options = [{ text = "a", right = true }, { text = "b", idea = "i" }, { text = "c", idea = "j" }]
source = "S"
"""
NUMBER = """
kind = "number"
level = "apply"
minutes = 2
marks = 2
title = "T"
text = "Force of {mass} kg?"
draws = { mass = [10, 20], rate = [2, 3] }
tolerance = "formula"
source = "S"
label = "Force"
unit = "N"
limits = [1, 100]
key = "grip.acceleration(mass, rate)"
"""


def test_there_are_enough_items_for_every_outcome():
    bank = items().values()
    by_outcome = Counter(item.outcome for item in bank)
    assert len(bank) >= 120 and set(by_outcome) == set(OUTCOMES) and min(by_outcome.values()) >= 8
    assert {item.kind for item in bank} == set(KINDS)


def test_a_third_is_spare_and_every_cell_of_the_blueprint_can_be_sat_again():
    bank = items().values()
    assert sum(item.spare for item in bank) >= len(bank) / 3
    for outcome, kinds in blueprint().marks.items():
        for kind, marks in kinds.items():
            assert (
                sum(
                    item.marks
                    for item in bank
                    if item.spare and (item.outcome, item.kind) == (outcome, kind)
                )
                >= marks
            ), (outcome, kind)


def test_levels_are_those_of_the_blueprint():
    found, wanted = Counter(item.level for item in items().values()), blueprint().levels
    for level, percent in wanted.items():
        assert abs(100 * found[level] / len(items()) - percent) <= 3, level


def test_every_distractor_has_an_idea_and_every_item_a_source():
    for item in items().values():
        wrong = sum(
            len(part.traps) + sum(not option.right for option in part.options)
            for part in item.fields
        )
        assert len(item.misconceptions) == wrong, item.id
        assert item.source and item.minutes > 0


def test_every_drawn_value_is_used():
    for item in items().values():
        texts = [
            item.text,
            *(cell for row in item.given for cell in row),
            *(text for part in item.fields for text in part.texts()),
        ]
        calls = [
            *item.words.values(),
            item.figure,
            item.possible,
            *(part.key for part in item.fields),
            *(trap.key for part in item.fields for trap in part.traps),
        ]
        used = {name for text in texts for name in re.findall(r"\{(\w+)", text)} | {
            name for call in calls if call for name in call.names
        }
        by_kind = {
            "path": {"mode", "start", "goal"},
            "states": {"mode"},
            "case": {"fault", "vehicle"},
        }
        used |= set().union(*(by_kind.get(part.kind, set()) for part in item.fields))
        assert set(combination(item, 0)) <= used, item.id


def test_texts_are_plain():
    for item in items().values():
        text = variant(item, "key", "reader").text
        sentences = [piece for piece in re.split(r"[.?!:;](?:\s|$)", text) if piece.strip()]
        words = re.findall(r"[A-Za-z']+", text)
        assert len(words) / len(sentences) <= 17, item.id
        assert sum(map(len, words)) / len(words) <= 5, item.id


def test_no_question_asks_for_the_exception():
    for item in items().values():
        asked = re.findall(r"[^.?!]*\?", item.text)
        assert not any(
            re.search(r"\b(not|never|except|wrong one|false)\b", question, re.IGNORECASE)
            for question in asked
        ), item.id


def test_slip_is_defined_where_a_number_of_it_is_asked():
    for item in items().values():
        words = " ".join([item.text, *(cell for row in item.given for cell in row)])
        for part in item.fields:
            if part.kind in ("number", "sketch") and re.search(
                r"\bslip\b", part.label, re.IGNORECASE
            ):
                assert re.search(r"Slip = \(|divided by (wheel|car) speed", words), item.id


def test_variants_take_an_expert_nearly_the_same_time():
    for item in items().values():
        base = seconds(item, combination(item, 0), keys(item, combination(item, 0)))
        for params, _ in zip(fair_draws(item, 5), range(15)):
            assert abs(seconds(item, params, keys(item, params)) / base - 1) <= 0.15, item.id


def test_minutes_fit_the_work():
    """Typed minutes are three times an expert's; the count of steps may differ from the author's
    judgement by a factor, not by an order.
    """
    for item in items().values():
        if item.kind not in ("case", "checklist", "tuning"):
            params = combination(item, 0)
            assert (
                0.4 <= item.minutes * 60 / (3 * seconds(item, params, keys(item, params))) <= 2.5
            ), item.id


@pytest.mark.parametrize(
    "old, new, words",
    [
        (
            'level = "apply"',
            'level = "hard"',
            "level must be one of remember, apply, analyse; got 'hard'",
        ),
        ('kind = "choice"', 'kind = "essay"', "kind must be one of choice, number"),
        ("minutes = 2", "minutes = nan", "minutes must be a number from 0.5 to 120, got nan"),
        ("minutes = 2", 'minutes = "two"', "minutes must be a number from 0.5 to 120, got 'two'"),
        ("marks = 2", "marks = 1.5", "marks must be a whole number from 1 to 60, got 1.5"),
        ('title = "T"', 'title = " "', "title must be a text that is not empty"),
        ('title = "T"', 'title = "T"\ncolour = "red"', "unknown field 'colour'; allowed are"),
        ('source = "S"', 'source = "X"', "source must be one of S of [sources]; got 'X'"),
        ("{n}", "{m}", "neither drawn nor one of its words"),
        ("{n}", "{n", "the braces in 'Which of {n?' do not fit"),
        (
            "{n}",
            "{n:>99999}",
            "{n} in 'Which of {n:>99999}?' is neither drawn nor one of its words",
        ),
        ("n = [1, 2]", "n = []", "draws.n must be a list with at least one value"),
        ("n = [1, 2]", "N = [1, 2]", "draws.N: a name has small letters, digits and _"),
        (
            "n = [1, 2]",
            "n = [{ a = 1 }, { b = 2 }]",
            "draws.n: all its tables must have the same keys",
        ),
        (", right = true", "", "exactly one is marked right"),
        ('idea = "i"', "right = true", "exactly one is marked right"),
        (', idea = "i"', "", "every other one says the idea behind it"),
        ('text = "b"', 'text = "a"', "two have the same id or the same text"),
        (', { text = "c", idea = "j" }', "", "options must be a list of at least 3 tables"),
        ('source = "S"', 'source = "S"\nspare = "yes"', "spare must be true or false, got 'yes'"),
        (
            'source = "S"',
            'source = "S"\ngiven = [["one"]]',
            "given must be a list of [label, value] pairs of text",
        ),
    ],
)
def test_a_mistake_in_a_choice_is_named(old, new, words):
    assert old in CHOICE
    with pytest.raises(UserError) as caught:
        item_from(CHOICE.replace(old, new, 1))
    assert words in str(caught.value) and "LO1.toml, [items.1-test]" in str(caught.value)


@pytest.mark.parametrize(
    "old, new, words",
    [
        (
            'key = "grip.acceleration(mass, rate)"',
            "key = 5.0",
            "key must be written as module.function(name, name), got 5.0",
        ),
        (
            'key = "grip.acceleration(mass, rate)"',
            'key = "5"',
            "key must be written as module.function(name, name), got '5'",
        ),
        (
            'key = "grip.acceleration(mass, rate)"',
            "",
            "key is missing: a number is always computed",
        ),
        ("grip.acceleration", "grip.guess", "there is no function guess in assess/keys/grip.py"),
        ("grip.acceleration", "os.system", "there is no function system in assess/keys/os.py"),
        ("(mass, rate)", "(mass)", "grip.acceleration takes 2 values, got 1"),
        (
            "(mass, rate)",
            "(mass, speed)",
            "'speed' is neither drawn nor an earlier field; known are mass, rate",
        ),
        ('unit = "N"', 'unit = "stone"', "unit must be one of N, kN"),
        ("limits = [1, 100]", "limits = [100, 1]", "limits must be 2 rising numbers, got [100, 1]"),
        ('tolerance = "formula"', 'tolerance = "loose"', "tolerance must be one of exact, formula"),
        (
            'label = "Force"',
            'label = "Force"\nunit_asked = 1',
            "unit_asked must be true or false, got 1",
        ),
        (
            'label = "Force"',
            'label = "Force"\ntraps = [{ key = "grip.acceleration(mass, rate)" }]',
            "traps: idea is missing",
        ),
    ],
)
def test_a_mistake_in_a_number_is_named(old, new, words):
    assert old in NUMBER
    with pytest.raises(UserError) as caught:
        item_from(NUMBER.replace(old, new, 1))
    assert words in str(caught.value) and "LO1.toml, [items.1-test]" in str(caught.value)


def test_marks_of_fields_must_add_up():
    fields = (
        '[{ name = "a", label = "A", unit = "N", limits = [1, 9], marks = 1, key ='
        ' "grip.acceleration(mass, rate)" }]'
    )
    text = NUMBER[: NUMBER.index("label")] + f"fields = {fields}"
    with pytest.raises(UserError, match="marks is 2, but those of its fields add up to 1"):
        item_from(text)


def test_a_broken_file_is_named(tmp_path):
    for outcome in OUTCOMES:
        (tmp_path / f"{outcome}.toml").write_text('[sources]\nS = "s"\n', encoding="utf-8")
    (tmp_path / "LO3.toml").write_text("[items", encoding="utf-8")
    with pytest.raises(UserError, match="LO3.toml"):
        items(tmp_path)
    (tmp_path / "LO3.toml").write_text("[extra]\n", encoding="utf-8")
    with pytest.raises(UserError, match="unknown table 'extra'"):
        items(tmp_path)


ONE_OF_EACH = (
    "1-ease-off",
    "1-push-rear",
    "6-way-end",
    "6-states-traction",
    "3-read-passive",
    "8-tune-snow",
    "1-curve",
    "11-case-lead",
    "12-do-valves",
)
ODD = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 10**9) | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["text", "id", "name", "key", "marks", "kind"]), inner, max_size=3
        )
    ),
    max_leaves=6,
)


def places(table, way=()):
    """Ways to every value in a nested table."""
    for key, value in table.items() if isinstance(table, dict) else enumerate(table):
        yield (*way, key)
        if isinstance(value, (dict, list)) and value:
            yield from places(value, (*way, key))


@given(st.sampled_from(ONE_OF_EACH), st.data())
@settings(max_examples=250, deadline=None)
def test_any_odd_value_in_a_file_is_a_sentence_or_an_item(name, data):
    outcome = f"LO{name.split('-')[0]}"
    file = tomllib.loads((data_folder() / "items" / f"{outcome}.toml").read_text(encoding="utf-8"))
    table = file["items"][name]
    *way, last = data.draw(st.sampled_from(list(places(table))))
    inner = table
    for key in way:
        inner = inner[key]
    inner[last] = data.draw(ODD)
    try:
        read = read_item("LO.toml", outcome, name, table, file["sources"])
    except UserError as error:
        assert str(error).startswith(f"LO.toml, [items.{name}]") and "\n" not in str(error)
    else:
        assert read.id == name
