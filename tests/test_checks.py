"""The outside checks: each value agrees, the table can be read, and a wrong value is noticed."""

import argparse
import json
import re
import subprocess
import sys

import pytest

from tractionlab import __version__, checks
from tractionlab.catalogue.places import data_folder
from tractionlab.checks.row import STATUSES, Expectations
from tractionlab.errors import UserError

EXPECTED = data_folder() / "checks" / "outside.toml"
NAMES = [
    (name, quantity)
    for name, check in Expectations().checks.items()
    for quantity in check["values"]
]


def run(capsys, *, as_json=False, expectations=None, topic="", differs=False):
    asked = argparse.Namespace(json=as_json, topic=topic, differs=differs)
    code = checks.main(asked, expectations)
    return code, capsys.readouterr().out


WITHOUT_TEST_LIBRARIES = """
import sys
for name in ("scipy", "control", "vehiclemodels", "hypothesis"):
    sys.modules[name] = None
from tractionlab.checks import CHECKS
for name, computed in CHECKS.items():
    if "own cars" not in name and not name.startswith("U"):
        computed()
assert "numba" not in sys.modules
CHECKS["S03 own cars"]()
"""


@pytest.fixture(scope="module")
def rows():
    return checks.run_checks()


@pytest.mark.parametrize("name", NAMES, ids=" ".join)
def test_value_agrees_with_the_outside(name, rows):
    (row,) = (row for row in rows if (row.id, row.quantity) == name)
    assert row.agrees != bool(row.outside), (
        f"expected {row.expected} +- {row.tolerance} {row.unit}, computed {row.computed}"
    )


def test_enough_checks_and_every_status_is_said(rows):
    assert len({row.id for row in rows}) >= 95 and len(rows) >= 480
    assert {row.status for row in rows} == set(STATUSES)
    assert all(row.source and row.reason and row.title for row in rows)


def test_no_tolerance_swallows_its_value(rows):
    """A check that would also accept zero or twice the value says nothing; where that is meant it
    stands here.
    """
    rough = {("T23", "black ice"), ("T24", "ice")}
    empty = [
        (row.id, row.quantity)
        for row in rows
        if row.expected != 0.0 and abs(row.expected) > 1e-3 and row.tolerance >= abs(row.expected)
    ]
    assert set(empty) <= rough


def test_table_fits_and_ends_with_the_count(capsys, rows):
    code, text = run(capsys)
    assert code == 0
    assert max(map(len, text.splitlines())) <= 110
    *_, count, statuses = text.splitlines()
    agree = sum(row.agrees for row in rows)
    assert count == f"{len({row.id for row in rows})} checks, {len(rows)} values: {agree} agree"
    assert all(f"  {row.id} {row.quantity}: " in text for row in rows if not row.agrees)
    counted = dict(part.rsplit(" ", 1) for part in statuses.split(", "))
    assert list(counted) == list(STATUSES) and sum(map(int, counted.values())) == len(rows)
    assert all(f"\n{name}  " in text for name in checks.CHECKS)


def test_json_says_the_same(capsys, rows):
    code, text = run(capsys, as_json=True)
    assert code == 0
    found = json.loads(text)
    assert found["version"] == __version__
    assert [(row["id"], row["computed"]) for row in found["values"]] == [
        (row.id, row.computed) for row in rows
    ]
    assert all(row["agrees"] or row["outside"] for row in found["values"])


def test_a_check_that_cannot_be_computed_hides_no_other(capsys, monkeypatch, rows):
    def broken():
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(
        checks, "CHECKS", checks.CHECKS | {"T03": broken, "T07": lambda: nan_of("T07")}
    )
    code, text = run(capsys, topic="tyre")
    assert code == 1 and "not computed, ZeroDivisionError: division by zero" in text
    assert "T07 " in text.split("differ\n")[1] and "computed none" in text
    code, text = run(capsys, topic="tyre", differs=True)
    assert code == 1 and "\nT03  " in text and "\nT07  " in text and "\nT01  " not in text
    code, text = run(capsys, topic="tyre", as_json=True, differs=True)
    found = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert code == 1 and {row["id"] for row in found["values"]} == {"T03", "T07"}
    assert all(row["computed"] is None and not row["agrees"] for row in found["values"])


def nan_of(name):
    return dict.fromkeys(Expectations().checks[name]["values"], float("nan"))


def test_one_topic_is_computed_alone(capsys, monkeypatch):
    def never():
        pytest.fail("a check of another topic was computed")

    stopping = Expectations().of_topic("Stopping")
    others = {name: never for name in checks.CHECKS if name not in stopping}
    monkeypatch.setattr(checks, "CHECKS", checks.CHECKS | others)
    code, text = run(capsys, topic="stopping")
    assert code == 0 and text.startswith("Stopping\n") and f"{len(stopping)} checks, " in text
    with pytest.raises(UserError, match="No topic holds 'boats'; there are Tyre friction"):
        run(capsys, topic="boats")


@pytest.mark.parametrize("as_json", [False, True])
def test_one_wrong_value_is_noticed(tmp_path, capsys, as_json):
    text = EXPECTED.read_text(encoding="utf-8")
    wrong = text.replace('"dry asphalt" = 30.19\n', '"dry asphalt" = 30.29\n')
    assert wrong != text
    changed = tmp_path / "outside.toml"
    changed.write_text(wrong, encoding="utf-8")
    code, printed = run(capsys, as_json=as_json, expectations=changed)
    assert code == 1
    if as_json:
        wrong = [
            row["quantity"]
            for row in json.loads(printed)["values"]
            if not (row["agrees"] or row["outside"])
        ]
        assert wrong == ["dry asphalt"]
    else:
        assert (
            "1 differs" in printed
            and "T03 dry asphalt: expected 30.29" in printed
            and "DIFFERS" in printed
        )


def test_every_value_would_be_noticed(rows):
    """Moving any expected value by 2.5 tolerances turns its row, and no other."""
    for row in rows:
        if row.outside:
            continue
        moved = checks.CheckResult(**{**vars(row), "expected": row.expected + 2.5 * row.tolerance})
        assert not moved.agrees


@pytest.mark.parametrize(
    "old, new, message",
    [
        ('"dry asphalt" = 30.19\n', '"dry asfalt" = 30.19\n', "quantities differ"),
        ('"dry asphalt" = 30.19\n', '"dry asphalt" = "thirty"\n', "expected must be a number"),
        ('"dry asphalt" = 30.19\n', '"dry asphalt" = nan\n', "expected must be a number"),
        ('status = "derived"\n', 'status = "sure"\n', "status must be one of"),
        ("[T03]\n", "[T99]\n", r"T99|T03"),
        ('reason = "last printed digit"\n', 'reason = ""\n', "reason is missing"),
    ],
)
def test_broken_file_is_named(tmp_path, old, new, message):
    changed = tmp_path / "outside.toml"
    text = EXPECTED.read_text(encoding="utf-8")
    changed.write_text(
        text.replace(old, new).replace(
            "[T03.values]", "[T99.values]" if "T99" in new else "[T03.values]"
        ),
        encoding="utf-8",
    )
    with pytest.raises(UserError, match=message) as caught:
        checks.run_checks(changed)
    assert str(changed) in str(caught.value)


def test_published_tables_say_where_they_come_from():
    for path in sorted((data_folder() / "checks").glob("*.csv")):
        head = "".join(
            line
            for line in path.read_text(encoding="utf-8").splitlines(True)
            if line.startswith("#")
        )
        for part in ("source", "units", "tolerance", "status", "looked up"):
            assert re.search(rf"^# {part}: \S", head, re.M), f"{path.name}: no {part}"


def test_only_stops_of_our_own_cars_need_the_compiled_loop_and_nothing_needs_a_test_library():
    """All checks in a fresh process, without the libraries that only the tests use."""
    subprocess.run([sys.executable, "-c", WITHOUT_TEST_LIBRARIES], check=True)


def test_most_of_what_the_unit_does_lies_in_its_band(rows):
    unit = [row for row in rows if row.id.startswith("U")]
    assert len(unit) > 60 and sum(row.agrees for row in unit) >= 0.7 * len(unit)


def test_an_outside_value_needs_a_number_and_a_band_needs_two(tmp_path):
    lost = checks.CheckResult(
        **{**vars(checks.run_checks(topic="stopping")[0]), "computed": float("nan"), "outside": "x"}
    )
    assert not lost.settled
    changed = tmp_path / "outside.toml"
    text = EXPECTED.read_text(encoding="utf-8")
    changed.write_text(text.replace("band = [10, 45]", "band = [45, 10]"), encoding="utf-8")
    with pytest.raises(UserError, match="expected must be a number"):
        checks.run_checks(changed)
