"""Marking under attack by repair cases: none gains over its honest file, all get reports."""

import pytest
from case_candidates import BASES, CASE, Candidate
from hostile_cases import kinds
from sittings import ids_of, long_sitting

from tractionlab.assess.markbook import held, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.write import write
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.worked_once import mark_alone
from tractionlab.assess.markbook.workers import Here

ROLL = [f"h{n:03d}" for n in range(230)]


def paper():
    """One item of most kinds, a repair case, settings and a practical."""
    some = [
        ids_of(kind, most=1)[0]
        for kind in ("number", "path", "states", "sketch", "tuning", "checklist")
    ]
    return [*ids_of("choice", most=2), *some, CASE]


@pytest.fixture(scope="module")
def attack(tmp_path_factory):
    """(sitting, [(kind, base, Candidate, files)], inbox)"""
    sitting, numbers = long_sitting(paper(), ROLL, minutes=300), iter(ROLL)
    made = list(kinds(lambda: Candidate(sitting, next(numbers))))
    inbox = tmp_path_factory.mktemp("inbox")
    for kind, _, one, files in made:
        for n, content in enumerate(files):
            (inbox / f"{one.number}-{kind}-{n}.jsonl").write_bytes(content)
    return sitting, made, inbox


@pytest.fixture(scope="module")
def book(attack, tmp_path_factory):
    """The class, marked."""
    sitting, _, inbox = attack
    store = Store(str(tmp_path_factory.mktemp("book") / "m.sqlite"))
    mark_folder(inbox, sitting, store, Here())
    yield open_book(store)
    store.close()


def row(result):
    """(total, marks of the case, gate, exact)"""
    marks, _, _, gate, exact = result[CASE]
    return sum(one[0] for one in result.values()), marks, gate, exact


def test_there_are_enough_kinds(attack):
    assert len({kind for kind, *_ in attack[1]}) >= 120


def test_none_gains_over_the_honest_file_it_was_made_from(attack):
    """Marks, gate and exact fault; of files that are held too, as if a person accepted them."""
    sitting, made, _ = attack
    honest = {}
    for kind, base, one, files in made:
        if (one.fault.id, base) not in honest:
            fair = mark_alone(sitting, "honest", one.file(one.log(base)))
            assert fair.status == "counted" and not fair.findings
            honest[one.fault.id, base] = row(fair.result)
        for content in files:
            marked = mark_alone(sitting, kind, content)
            assert "fault" not in [finding.code for finding in marked.findings], (
                kind,
                marked.findings,
            )
            gained = [
                a - b
                for a, b in zip(row(marked.result), honest[one.fault.id, base])
                if a > b + 1e-9
            ]
            assert not gained, (kind, row(marked.result), honest[one.fault.id, base])
    assert {base for _, base in honest} == set(BASES)


def test_a_log_that_the_bench_does_not_write_is_held(attack, book):
    kinds = {kind for kind, _, one, _ in attack[1] if book.status(one.number) == "held"}
    assert {
        "second_try",
        "all_twice",
        "repair_after_unsafe",
        "start_0",
        "another_complaint",
        "do_0",
        "test_0",
        "wiped_with_0",
        "log_as_an_answer",
        "steps_for_a_choice",
        "too_many_steps",
    } <= kinds
    assert (
        not {"all_places", "right_first_then_wrong", "cut_after_8", "hints_by_the_hundred"} & kinds
    )


def test_every_report_of_the_class_is_made(attack, book, tmp_path):
    """Held files are accepted or rejected, the marks released; all pages and PDFs are there."""
    waiting = [number for number in book.roll if book.status(number) == "held"]
    for n, number in enumerate(waiting):
        files = [file for file in book.files(number) if file.status == "held"]
        if n % 2 and len(files) == 1:
            held.accept(book, number, "A", "as far as it can be trusted", files[0].check_number)
        else:
            held.reject(book, number, "A", "not a file of the desk")
    state.release(open_book(book.store), "A", unfinished=True)
    made = write(open_book(book.store), tmp_path)
    assert not made.failed, made.failed[:3]
    numbers = {one.number for _, _, one, _ in attack[1]}
    assert len(made.paths) == 2 * (2 + len(numbers)) and len(numbers) >= 120
    assert all(path.read_bytes()[:4] == b"%PDF" for path in made.paths if path.suffix == ".pdf")
