"""One odd file, or one page that cannot be made, stops neither reports nor release of a class."""

import pytest
from sittings import clock, file_of, ids_of, lines_of, right_answers, sitting_of, written

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import amend, held, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports import write as writing
from tractionlab.assess.markbook.reports.assessors_record import record
from tractionlab.assess.markbook.reports.feedback import feedback
from tractionlab.assess.markbook.reports.overview import overview
from tractionlab.assess.markbook.reports.write import write
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.cli.main import main
from tractionlab.errors import UserError
from tractionlab.lesson import office_marks
from tractionlab.paint.blocks import Rows
from tractionlab.paint.card import Card
from tractionlab.paint.document import Document

NUMBERS = [f"{n}" for n in range(6)]
PRACTICAL = next(item.id for item in items().values() if item.kind == "checklist")


def formulas(sitting, number):
    """An apprentice who writes the equals sign before each answer."""
    rows = [(item, field, f"= {value}") for item, field, value in right_answers(sitting, number)]
    return file_of(sitting, number, (rows * 25)[:25])


def clock_steps(sitting, number):
    """A clock that goes back forty times."""
    rows = (right_answers(sitting, number) * 80)[:80]
    raw, last = [], sitting.seal(number)
    for n, (kind, entries) in enumerate(lines_of(sitting, number, rows)):
        line, last = answer_line.make(n, kind, last, time=clock(600 + n % 2 * 6), **entries)
        raw.append(line)
    return b"".join(raw)


@pytest.fixture
def folder(tmp_path):
    """(sitting, inbox): odd files, sixty growing copies of one candidate, one that was changed."""
    sitting, inbox = sitting_of(ids_of("choice", most=8), NUMBERS), tmp_path / "inbox"
    inbox.mkdir()
    (inbox / "0.jsonl").write_bytes(formulas(sitting, "0"))
    (inbox / "1.jsonl").write_bytes(clock_steps(sitting, "1"))
    long = file_of(sitting, "2", (right_answers(sitting, "2") * 9)[:62]).splitlines(keepends=True)
    for n in range(2, 62):
        (inbox / f"2-{n}.jsonl").write_bytes(b"".join(long[:n]))
    edited = file_of(sitting, "3", right_answers(sitting, "3")).replace(b'"n":2,', b'"n":2 ,')
    (inbox / "3.jsonl").write_bytes(edited)
    (inbox / "4.jsonl").write_bytes(file_of(sitting, "4", right_answers(sitting, "4")))
    return sitting, inbox


@pytest.fixture
def store(tmp_path):
    found = Store(str(tmp_path / "m.sqlite"))
    yield found
    found.close()


def marked(folder, store):
    sitting, inbox = folder
    mark_folder(inbox, sitting, store, Here())
    return open_book(store)


def again(book):
    return open_book(book.store)


def words(*rest):
    return {"by": "A. Marker", "reason": "the file was written anew", **dict(rest)}


def test_odd_files_stop_no_report(folder, store, tmp_path):
    book = marked(folder, store)
    assert record(book).pdf().startswith(b"%PDF"), "held files do not stop it either"
    held.reject(book, "3", **words())
    state.release(again(book), "A")
    made = write(again(book), tmp_path / "out")
    assert not made.failed and {path.name for path in made.paths} == {
        f"{name}.{form}"
        for form in ("html", "pdf")
        for name in ("class_overview", "assessors_record", *(f"feedback_{n}" for n in range(5)))
    }
    assert all(path.parent.name == book.row.id and path.stat().st_size > 500 for path in made.paths)
    html = (tmp_path / "out" / book.row.id / "assessors_record.html").read_text("utf-8")
    assert "Lines 2, 3, 4, 5, 6 and 20 more: the answer begins like a spreadsheet formula" in html
    assert "and 35 more: the clock of the machine went back by 240 s in all" in html
    assert "56 more older" in html


def test_a_cell_that_is_higher_than_a_sheet_is_cut_in_print_and_whole_on_the_page():
    long = " ".join(f"word{n}" for n in range(9000))
    page = Document(
        "High", [Rows("Cells", ("a", "b"), (("1", long), ("2", "x\n" * 900), ("3", "y" * 40000)))]
    )
    assert page.pdf().startswith(b"%PDF") and "word8999" in page.html()
    from tractionlab.paint import pdf

    cut = pdf._cell(long, pdf._styles()["cell"], 200)
    assert cut.text.endswith("has all of it)") and cut.text.startswith("word0 word1 ")
    assert cut.wrap(200, 9999)[1] <= pdf._HIGHEST_CELL


@pytest.fixture
def one_page_fails(monkeypatch):
    real = writing.feedback

    def broken(book, number):
        if number == "4":
            raise ArithmeticError("no such width")
        return real(book, number)

    monkeypatch.setattr(writing, "feedback", broken)


def test_a_page_that_fails_is_named_and_stops_no_other(
    folder, store, tmp_path, capsys, monkeypatch, one_page_fails
):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    book = marked(folder, store)
    held.reject(book, "3", **words())
    state.release(again(book), "A")
    command = [
        "markbook",
        "report",
        "--store",
        str(tmp_path / "m.sqlite"),
        "--out",
        str(tmp_path / "out"),
    ]
    assert main(command) == 1
    said = capsys.readouterr()
    assert "feedback_4.pdf could not be made (ArithmeticError: no such width)" in said.err
    assert "Traceback" not in said.err and "feedback_2.pdf" in said.out
    names = {path.name for path in (tmp_path / "out" / book.row.id).iterdir()}
    assert {"feedback_2.pdf", "assessors_record.pdf", "class_overview.pdf"} <= names
    assert "feedback_4.pdf" not in names


def form_for(folder, tmp_path, make):
    """A form with the fields of this markbook filled in."""
    sitting, inbox = folder
    key = tmp_path / "sitting.json"
    key.write_text(sitting.to_json(), encoding="utf-8")
    form, given = (
        make("graded_1"),
        {
            "key": str(key),
            "store": str(tmp_path / "m.sqlite"),
            "inbox": str(inbox),
            "reports": str(tmp_path / "out"),
            "by": "A",
        },
    )

    def press(command, **more):
        values = {field["name"]: field["value"] for field in form.face["fields"]}
        values |= {name: value for name, value in given.items() if name in values} | more
        form._hear(None, {"command": command, "values": values}, None)
        return form.face["message"]

    return form, press


def test_the_forms_name_a_page_that_fails_and_end_a_hold(folder, store, tmp_path, one_page_fails):
    form, press = form_for(folder, tmp_path, office_marks.MarkForm)
    assert press("mark") == "Marked." and "held" in press("release")
    form_of_held, decide = form_for(folder, tmp_path, office_marks.HeldForm)
    assert decide("look", candidate="3") == "1 file."
    assert "changed after it was written" in form_of_held.below.value
    assert "the reason first" in decide("reject", candidate="3")
    assert "no held file" in decide("reject", candidate="2", reason="r")
    assert "rejected, no marks" in decide(
        "reject", candidate="3", reason="not the work of one person"
    )
    assert "Released" in press("release")
    assert press("reports") == "2 of 14 pages could not be made; they are named below."
    assert "feedback_4.pdf could not be made" in form.below.value


def test_a_form_that_meets_something_unforeseen_answers():
    class Broken(Card):
        def on_command(self, command, values):
            raise ArithmeticError("too high")

    card = Broken({"message": "", "fields": []})
    with pytest.raises(ArithmeticError):
        card._hear(None, {"command": "go", "values": {}}, None)
    assert card.face["message"].startswith("This did not work (ArithmeticError: too high).")


def test_a_rejected_file_gives_no_marks_blocks_nobody_and_is_on_record(
    folder, store, tmp_path, capsys, monkeypatch
):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    book = marked(folder, store)
    item = book.sitting.paper["items"][0]
    with pytest.raises(UserError, match="markbook accept.*markbook reject"):
        state.release(book, "A")
    assert (
        main(
            [
                "markbook",
                "reject",
                "3",
                "--store",
                str(tmp_path / "m.sqlite"),
                "--by",
                "A. Marker",
                "--reason",
                "written anew at home",
            ]
        )
        == 0
    )
    assert "No file of this candidate gives marks" in capsys.readouterr().out
    book = again(book)
    assert [book.status("3"), *(row.status for row in book.files("3"))] == ["rejected", "rejected"]
    assert book.results["3"].got == 0 and book.results["3"].safe
    (change,) = book.changes("3")
    assert (change.kind, change.by, change.old) == ("reject", "A. Marker", "held")
    assert change.reason == "written anew at home"
    told = mark_folder(folder[1], folder[0], store, Here())
    assert told.counts["rejected"] == 1 and again(book).status("3") == "rejected"
    pages = [record(book).html(), feedback(book, "3").html()]
    assert all("written anew at home" in page for page in pages)
    assert "rejected" in overview(book).html() and "of candidate 3: see the history" in pages[0]
    amend.change(book, "3", item, "1", "A. Marker", "asked by word of mouth")
    assert again(book).results["3"].got == 1
    state.release(again(book), "A")


def test_a_right_file_that_comes_later_counts_and_a_rejection_can_be_taken_back(folder, store):
    book = marked(folder, store)
    sitting, inbox = folder
    held.reject(book, "3", **words())
    (inbox / "3-right.jsonl").write_bytes(file_of(sitting, "3", right_answers(sitting, "3")[:4]))
    mark_folder(inbox, sitting, store, Here())
    assert again(book).status("3") == "marked" and again(book).results["3"].got > 0
    with pytest.raises(UserError, match="no held file"):
        held.reject(again(book), "3", **words())
    right = next(row.check_number for row in again(book).files("3") if row.status == "counted")
    held.reject(again(book), "3", **words(("wanted", right)))
    assert again(book).status("3") == "rejected"
    held.accept(again(book), "3", "A", "a mistake of mine", right)
    assert again(book).status("3") == "marked"


def test_of_two_files_that_differ_one_can_be_rejected(folder, store):
    book = marked(folder, store)
    sitting, inbox = folder
    (inbox / "4-other.jsonl").write_bytes(file_of(sitting, "4", right_answers(sitting, "4")[3:]))
    mark_folder(inbox, sitting, store, Here())
    assert again(book).status("4") == "held"
    other = min(again(book).files("4"), key=lambda row: row.lines).check_number
    held.reject(again(book), "4", **words(("wanted", other)))
    assert again(book).status("4") == "marked"


def test_marks_are_not_released_without_the_practicals_unless_told(
    tmp_path, store, capsys, monkeypatch
):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    sitting = sitting_of([*ids_of("choice", most=2), PRACTICAL], ["1", "2"])
    for number in sitting.candidates:
        (tmp_path / f"{number}.jsonl").write_bytes(
            written(lines_of(sitting, number, []), sitting.seal(number))
        )
    mark_folder(tmp_path, sitting, store, Here())
    steps = [step["id"] for part in items()[PRACTICAL].fields for step in part.steps]
    amend.observe(open_book(store), "2", PRACTICAL, steps, "A")
    with pytest.raises(UserError, match=f"not entered for 1 candidate .1: {PRACTICAL}"):
        state.release(open_book(store), "A")
    at = ["--store", str(tmp_path / "m.sqlite")]
    main(["markbook", "list", *at])
    main(["markbook", "show", "1", *at])
    assert capsys.readouterr().out.count("1 item not marked yet") == 2
    assert main(["markbook", "release", *at, "--by", "A"]) == 2
    assert main(["markbook", "release", *at, "--by", "A", "--unfinished"]) == 0
    assert open_book(store).changes()[-1].reason == "practicals not entered: 1 (candidate 1)"
