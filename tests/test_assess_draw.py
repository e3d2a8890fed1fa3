"""Drawn variants: always the same for the same keys, fair, different for neighbours, and without a
key in what the candidate gets.
"""

import json
from collections import Counter

import pytest
from assess_answers import item_from, letter_of
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.draw import CLEAR, combination, count, fair_draws, variant, why_unfair
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.neighbours import SHARED, draw_class, shared_items, turns
from tractionlab.assess.bank.paper import papers
from tractionlab.assess.bank.shown import public
from tractionlab.errors import UserError

CLASS = [f"person {number}" for number in range(30)]
TRAP = """
kind = "number"
level = "apply"
minutes = 2
marks = 2
title = "T"
text = "{mass} {rate}"
draws = { mass = [100, 200, 300], rate = [2, 50] }
tolerance = "formula"
source = "S"
label = "Force"
unit = "N"
places = 1
limits = [1, 1000]
key = "grip.acceleration(mass, rate)"
traps = [{ key = "grip.push_at_rest(mass, rate, mass)", idea = "i" }]
"""


def test_the_same_keys_give_the_same_numbers():
    for item in items().values():
        first, again = variant(item, "key", "c 7"), variant(item, "key", "c 7")
        assert first == again and json.dumps(public(item, first)) == json.dumps(public(item, again))


def test_numbers_stay_the_same_from_edition_to_edition():
    """If this fails, drawn papers of earlier sittings can no longer be marked: raise the version of
    the item instead.
    """
    drawn = variant(items()["1-slope"], "a sitting", "candidate 1")
    assert dict(drawn.params) == {"mass": 1650, "slope": 12, "share": 46}
    assert variant(items()["2-price"], "a sitting", "candidate 1").fields[0].choices[0] == (
        "A",
        "The differential gets worn, but no power is lost",
    )


def test_another_candidate_sitting_or_turn_gets_other_numbers():
    item = items()["1-push-rear"]
    drawn = {
        json.dumps(dict(variant(item, *key).params)) for key in (("k", "a"), ("k", "b"), ("l", "a"))
    }
    assert len(drawn | {json.dumps(dict(variant(item, "k", "a", turn=1).params))}) == 4


def test_another_version_cannot_be_marked():
    with pytest.raises(UserError, match="was issued in version 2, this item bank has version 1"):
        variant(items()["1-slope"], "k", "c", version=2)


def test_every_fair_draw_keeps_distractors_off_and_keys_inside():
    for item in items().values():
        for params, _ in zip(fair_draws(item, 11), range(12)):
            values = keys(item, params)
            for part in item.fields:
                if part.kind == "number":
                    assert part.limits[0] <= values[part.name] <= part.limits[1]
                    for trap in part.traps:
                        wrong = trap.key.run({**params, **values})
                        assert abs(wrong - values[part.name]) > CLEAR * tolerance(
                            part, values[part.name]
                        ), (item.id, params)


def test_a_draw_that_breaks_a_rule_is_rejected_and_says_why():
    item = item_from(TRAP)
    near = item_from(
        TRAP.replace("grip.push_at_rest(mass, rate, mass)", "grip.acceleration(mass, rate)")
    )
    assert "distractor" in why_unfair(near, {"mass": 100, "rate": 2}) and not list(fair_draws(near))
    assert "outside" in why_unfair(
        item_from(TRAP.replace("[1, 1000]", "[60, 1000]")), {"mass": 100, "rate": 2}
    )
    assert not why_unfair(item, {"mass": 100, "rate": 2})
    limit = item_from(
        TRAP.replace('source = "S"', 'source = "S"\npossible = "sensing.faster(mass, rate)"')
    )
    assert "physical limit" in why_unfair(limit, {"mass": 20, "rate": 50})
    with pytest.raises(UserError, match="no draw passes its rules"):
        variant(near, "k", "c")


def test_all_draws_are_walked_once():
    item = items()["2-which-brake"]
    walked = [tuple(params.values()) for params in fair_draws(item, 12345)]
    assert len(walked) == len(set(walked))
    fair = [combination(item, index) for index in range(count(item))]
    assert sorted(walked) == sorted(
        tuple(params.values()) for params in fair if not why_unfair(item, params)
    )


def test_the_right_option_stands_anywhere():
    item = items()["6-pedal-not-needed"]
    right = next(option.id for option in item.fields[0].options if option.right)
    places = Counter(
        letter_of(item, variant(item, "key", f"c {number}"), "answer", right)
        for number in range(400)
    )
    assert (
        set(places) == set("ABCD") and min(places.values()) > 60
    )  # 100 each expected; 60 is more than four standard deviations off


def test_what_the_candidate_gets_tells_no_key():
    secret = {
        "right",
        "idea",
        "key",
        "traps",
        "params",
        "tolerance",
        "limits",
        "features",
        "fault",
        "misconceptions",
        "source",
        "spare",
    }

    def names(value):
        if isinstance(value, dict):
            assert set(value.get("trial", ())) <= {
                "vehicle",
                "left",
                "right",
                "control",
                "pedal_percent",
                "duration_s",
            }  # a road has a right side
            return set(value) | set().union(
                *(names(inner) for name, inner in value.items() if name != "trial"), set()
            )
        return set().union(*map(names, value), set()) if isinstance(value, list) else set()

    for item in items().values():
        assert not names(public(item, variant(item, "k", "c"))) & secret, item.id


def test_a_case_does_not_name_its_fault():
    item = items()["11-case-lead"]
    drawn = variant(item, "k", "c")
    assert drawn.params["fault"] not in json.dumps(public(item, drawn))


def test_a_number_says_how_many_digits_are_asked():
    labels = [field.label for field in variant(items()["2-hill"], "k", "c").fields]
    assert labels == [
        "Force along the slope (whole number)",
        "Pressure on the icy wheel (1 decimal)",
        "Engine torque (1 decimal)",
    ]


def test_a_picture_has_its_points_and_axes():
    for item in items().values():
        if item.kind == "waveform":
            charts = public(item, variant(item, "k", "c"))["charts"]
            assert charts and all(
                len(line["x"]) == len(line["y"]) > 500
                for chart in charts
                for line in chart["lines"]
            )
            assert all(chart["x"].endswith("]") and chart["y"].endswith("]") for chart in charts)


def shares(paper, drawn):
    """Largest number of items on which two of a class share a numeric key within its tolerance."""
    numeric = [
        items()[name]
        for name in paper.items
        if any(part.kind == "number" for part in items()[name].fields)
    ]
    rows = []
    for variants in drawn.values():
        row = []
        for item in numeric:
            values = keys(item, variants[item.id].params)
            row.append(
                [
                    (values[part.name], tolerance(part, values[part.name]))
                    for part in item.fields
                    if part.kind == "number"
                ]
            )
        rows.append(row)
    return max(shared_items(a, b) for number, a in enumerate(rows) for b in rows[:number])


@pytest.mark.parametrize("name", papers())
def test_a_class_of_thirty_shares_few_keys(name):
    paper = papers()[name]
    chosen = [items()[item] for item in paper.items]
    drawn = draw_class(chosen, "the key of this sitting", CLASS)
    assert list(drawn) == CLASS and all(
        list(variants) == list(paper.items) for variants in drawn.values()
    )
    assert shares(paper, drawn) <= SHARED * len(paper.items)


@given(st.text(min_size=1, max_size=12))
@settings(max_examples=8, deadline=None)
def test_few_keys_are_shared_whatever_the_key(key):
    paper = papers()["graded_1"]
    assert shares(
        paper, draw_class([items()[item] for item in paper.items], key, CLASS[:20])
    ) <= SHARED * len(paper.items)


def test_marking_needs_only_the_turn():
    chosen = [items()[item] for item in papers()["graded_2"].items]
    kept = turns(chosen, "k", CLASS)
    drawn = draw_class(chosen, "k", CLASS)
    assert max(kept.values()) > 0  # this class needs redraws, else the test shows nothing
    assert all(
        variant(item, "k", who, turn=kept[who]) == drawn[who][item.id]
        for who in CLASS
        for item in chosen
    )


def test_a_marker_s_own_surfaces_and_cars_move_no_key(tmp_path, monkeypatch):
    from tractionlab.catalogue import entries as catalogue
    from tractionlab.catalogue.places import data_folder

    before = {item.id: keys(item, variant(item, "k", "c").params) for item in items().values()}
    text = (
        (data_folder() / "surfaces.toml")
        .read_text(encoding="utf-8")
        .replace("c1 = { value = 0.9826", "c1 = { value = 0.9")
    )
    (tmp_path / "my_surfaces.toml").write_text(text, encoding="utf-8")
    control = (
        (data_folder() / "control.toml")
        .read_text(encoding="utf-8")
        .replace("brake_speed_limit_kmh = { value = 40.0", "brake_speed_limit_kmh = { value = 5.0")
    )
    (tmp_path / "my_control.toml").write_text(control, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert (
        catalogue.in_use().control_settings()["course"]["brake_speed_limit_kmh"] == 5.0
    )  # the folder's own values count elsewhere
    assert catalogue.in_use().surfaces()["dry_asphalt"].curves["course"].values["c1"] == 0.9
    assert before == {
        item.id: keys(item, variant(item, "k", "c").params) for item in items().values()
    }


def test_what_counts_as_shared():
    assert (
        shared_items(
            [[(100.0, 2.0)], [(5.0, 0.1), (7.0, 0.1)]], [[(101.0, 2.0)], [(6.0, 0.1), (7.05, 0.1)]]
        )
        == 2
    )
    assert shared_items([[(100.0, 2.0)]], [[(103.0, 2.0)]]) == 0
