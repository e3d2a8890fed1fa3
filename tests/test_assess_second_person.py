"""A second person who has the page of second marking and nothing else comes to the first marks:
sketches, settings, and repair cases worked well, badly, and not at all.
"""

import pytest
from assess_answers import perfect_rows
from second_person import marks_from
from sittings import Steps, file_of, sitting_of
from technicians import average_route, last_reading

from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.second_sheets import sheet
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.faults import fault
from tractionlab.workshop.tests.base import tests as bench

CASE = "11-case-lead"
SKETCHES = [item.id for item in items().values() if item.kind == "sketch"]
SETTINGS = [item.id for item in items().values() if item.kind == "tuning"]
ASKED = [*SKETCHES, *SETTINGS, CASE]
NUMBERS = ("1", "2", "3", "4", "5", "6")


def take(case, test, condition="", left_out=(), more=()):
    entry = bench()[test]
    minor = [key for key in entry.minor if key not in left_out]
    case.take(test, (*entry.critical_on(case.vehicle), *minor, *more), condition)


def by_the_book(case):
    route = route_to(case.fault.id, case.symptom, case.vehicle).tests
    for test in route:
        take(case, test)
    case.note(last_reading(case))
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    for test in dict.fromkeys((*route, "T04")):
        if test != "T28":
            take(case, test)
    case.clear_memory()
    take(case, "T28", case.symptom)
    take(case, "T04")
    case.note(last_reading(case))


def average(case):
    """Its own way, a hint, another fault first, notes without a value, a preparation too many."""
    route, left = average_route(case.fault.id, case.symptom, case.vehicle)
    for test in route[:-1]:
        take(case, test, more=("unplugged",) if test == "T01" else ())
    case.hint()
    take(case, route[-1], left_out=bench()[route[-1]].minor)
    case.note("looked at it")
    wrong = next(name for name in case.candidates() if fault(name).place != case.fault.place)
    case.repair(fault(wrong).place, fault(wrong).kind, fault(wrong).why)
    case.repair(case.fault.place, case.fault.kind, "age" if case.fault.why != "age" else "wear")
    case.clear_memory()
    take(case, "T04")


def guess(case):
    take(case, "T01")
    wrong = fault(case.candidates()[-1])
    case.repair(wrong.place, wrong.kind, wrong.why)


def unsafe(case):
    take(case, "T01")
    case.take("T06", ())


def stop(case):
    for test in ("T01", "T02", "T03"):
        take(case, test)
    case.stop_honestly([case.fault.id], "T08")


def looked_only(case):
    take(case, "T01")
    take(case, "T04")


CONDUCT = dict(zip(NUMBERS, (by_the_book, average, guess, unsafe, stop, looked_only)))


def log_of(sitting, number):
    field = sitting.variant(items()[CASE], number).fields[0]
    case = case_for(field)
    case.acknowledge()
    CONDUCT[number](case)
    if not case.over:
        case.finish()
    return Steps(stored(entry, field.car) for entry in case.log)


def answered(sitting, number):
    """Sketches and settings right, flat, upside down, with a hole, one value off, or left out."""
    rows, other = [], {"2": 0.4, "3": 1.0, "5": 0.2}
    for item, field, value in perfect_rows(sitting, number, [*SKETCHES, *SETTINGS]):
        part = next(part for part in items()[item].fields if part.name == field)
        if part.kind == "sketch" and number in other:
            low, high = part.y_range
            flat = (low + high) / 2
            value = [one + other[number] * (flat - one) for one in value]
        elif part.kind == "sketch" and number == "4":
            value = ["", *value[1:]]
        elif part.kind == "sketch" and number == "6":
            value = [sum(part.y_range) - one for one in value]
        elif part.kind == "tuning" and number in ("2", "3"):
            value = {
                row["name"]: f"{row['high' if number == '2' else 'low']:g}" for row in part.settings
            }
        if number != "5" or part.kind == "sketch":
            rows.append((item, field, value))
    return rows


@pytest.fixture(scope="module")
def marked(tmp_path_factory):
    """{number: ({item: first marks}, {item: second marks})}"""
    folder = tmp_path_factory.mktemp("person")
    sitting = sitting_of(ASKED, list(NUMBERS))
    (folder / "in").mkdir()
    for number in NUMBERS:
        case = (CASE, "answer", log_of(sitting, number))
        (folder / "in" / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, [*answered(sitting, number), case], step=30)
        )
    store = Store(str(folder / "m.sqlite"))
    told = mark_folder(folder / "in", sitting, store, Here())
    assert told.counts["counted"] == len(NUMBERS)
    book = open_book(store)
    found = {}
    for number in NUMBERS:
        first = {item: row.marks for item, row in book.marks[number].items()}
        found[number] = first, marks_from(sheet(book, number).html())
    store.close()
    return found


@pytest.mark.parametrize("number", NUMBERS)
def test_the_page_alone_leads_to_the_first_marks(marked, number):
    first, second = marked[number]
    blank = set(SETTINGS) if number == "5" else set()
    assert set(second) >= set(ASKED) - blank
    for item in second:
        assert second[item] == pytest.approx(first[item], rel=0.02, abs=0.02), item


def test_the_candidates_are_not_all_alike(marked):
    totals = [sum(first.values()) for first, _ in marked.values()]
    assert max(totals) > 2 * min(totals)
    for item in ASKED:
        assert len({first[item] for first, _ in marked.values()}) > 1, item
