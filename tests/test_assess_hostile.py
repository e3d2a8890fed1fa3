"""Marking under attack: more than 200 kinds of hostile files.

None crashes, none gains a mark, each is named, all others are marked.
"""

import os

import pytest
from hostile_files import kinds
from sittings import file_of, ids_of, right_answers, sitting_of

from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here

HONEST = [f"honest-{n}" for n in range(5)]
#: Kinds that lose nothing, what a mail program does to a file: it is undone, and all counts.
UNDONE = ("edited_byte_order_mark", "edited_carriage_returns")
#: Kinds that lose the end of an honest file, or carry something harmless: what is left of them
#: counts, and they are named.
LESS = ("cut_at_", "only_", "time_clock_back", "all_too_late", "formula_", "time_far_future")


@pytest.fixture(scope="module")
def attack(tmp_path_factory):
    """A folder of hostile and honest files, marked: (sitting, {name: (kind, candidate, honest
    total)}, Told, Book, lines by name).
    """
    folder, numbers = tmp_path_factory.mktemp("attack"), iter(f"h{n:03d}" for n in range(1000))
    ids = ids_of("choice", most=5)
    roll = [f"h{n:03d}" for n in range(300)] + HONEST
    sitting, other = sitting_of(ids, roll), sitting_of(ids, roll)
    made, used = {}, []

    def number_of():
        used.append(next(numbers))
        return used[-1]

    for kind, content in kinds(
        sitting, other, number_of, lambda number: right_answers(sitting, number)
    ):
        name = f"{kind}.jsonl"
        (folder / name).write_bytes(content)
        made[name] = (kind, used[-1])
    for number in HONEST:
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number))
        )
    made |= _special(folder)
    store = Store(str(tmp_path_factory.mktemp("book") / "m.sqlite"))
    told = mark_folder(folder, sitting, store, Here())
    yield sitting, made, told, open_book(store)
    store.close()


def _special(folder):
    """Things that are no ordinary files, and names that could harm a terminal or a table."""
    (folder / "link_out.jsonl").symlink_to("/dev/zero")
    (folder / "link_round.jsonl").symlink_to(folder / "link_round.jsonl")
    (folder / "folder_round").symlink_to(folder)
    os.mkfifo(folder / "pipe.jsonl")
    copy = (folder / "honest-0.jsonl").read_bytes()
    for name in (
        "copy.jsonl",
        "=1+1.jsonl",
        "-rf",
        "\x1b[2J.jsonl",
        "line\nbreak.jsonl",
        "\u202egnp.jsonl",
        "a" * 250,
        "<b>.jsonl",
    ):
        (folder / name).write_bytes(copy)
    with open(os.path.join(os.fsencode(folder), b"\xff\xfe.jsonl"), "wb") as file:
        file.write(copy)
    names = [
        "link_out.jsonl",
        "link_round.jsonl",
        "folder_round",
        "pipe.jsonl",
        "copy.jsonl",
        "=1+1.jsonl",
        "-rf",
        "\\x1b[2J.jsonl",
        "line\\nbreak.jsonl",
        "\\u202egnp.jsonl",
        "<b>.jsonl",
        "\\udcff\\udcfe.jsonl",
    ]
    return {name: (name, "") for name in names}


def test_there_are_enough_kinds(attack):
    assert len({kind for kind, _ in attack[1].values()}) >= 200


def test_each_is_named_and_the_names_are_printable(attack):
    _, made, told, _ = attack
    named = [name for name, _ in told.named]
    assert set(made) - set(named) == {"-rf", *(f"{kind}.jsonl" for kind in UNDONE)}, (
        "the first of the equal files counts, the others are its duplicates"
    )
    assert all(name.isprintable() and words.isprintable() for name, words in told.named)
    assert not set(named) & {f"{number}.jsonl" for number in HONEST[1:]}


def test_none_gains_a_mark(attack):
    sitting, made, told, book = attack
    most = sum(row.out_of for row in book.marks[HONEST[1]].values())
    for kind, number in made.values():
        got = sum(row.marks for row in book.marks.get(number, {}).values())
        if kind in UNDONE:
            assert got == most
        elif kind.startswith(LESS):
            assert got == 0 if kind.startswith(("all_too_late", "formula_")) else got <= most, kind
        else:
            assert got == 0, kind


def test_all_others_are_marked(attack):
    book = attack[3]
    for number in HONEST:
        assert book.status(number) == "marked" and all(
            row.marks == row.out_of for row in book.marks[number].values()
        )


def test_what_is_cut_off_counts_only_as_far_as_it_is_there(attack):
    sitting, made, _, book = attack
    for kept in (2, 4):
        number = made[f"only_{kept}_lines.jsonl"][1]
        there = {(item, field) for item, field, _ in right_answers(sitting, number)[: kept - 1]}
        for item, row in book.marks[number].items():
            whole = all((item, name) in there for name in sitting.fields[item])
            assert (row.marks == row.out_of) if whole else row.marks < row.out_of


def test_tables_and_pages_stay_harmless(attack, tmp_path):
    import csv

    from tractionlab.assess.markbook.export import write_csv, write_json
    from tractionlab.assess.markbook.reports.assessors_record import record
    from tractionlab.assess.markbook.reports.overview import overview

    book = attack[3]
    for path in write_csv(book, tmp_path):
        for row in csv.reader(path.read_text(encoding="utf-8").splitlines()):
            assert not any(cell.lstrip().startswith(("=", "+", "@")) for cell in row)
    assert write_json(book, tmp_path).stat().st_size > 1000
    for document in (overview(book), record(book)):
        assert "<script" not in document.html() and document.pdf().startswith(b"%PDF")
