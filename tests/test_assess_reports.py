"""Reports and printed sheets: right numbers, self-contained pages, PDFs that hold the same words,
the same bytes for the same content.
"""

import re
import zlib
from html.parser import HTMLParser

import pytest
from sittings import file_of, ids_of, right_answers, sitting_of

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import amend, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.assessors_record import record
from tractionlab.assess.markbook.reports.feedback import feedback
from tractionlab.assess.markbook.reports.overview import overview
from tractionlab.assess.markbook.reports.write import write
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.assessor_sheets import observation, sign_on
from tractionlab.paint.blocks import Heading, Page, Picture, Rows, Signature, Text
from tractionlab.paint.document import Document


class Page_(HTMLParser):
    """Collects what a page asks for from elsewhere, open elements, and alternative texts."""

    def __init__(self, html):
        super().__init__()
        self.open, self.fetched, self.links, self.alts = [], [], [], []
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        found = dict(attributes)
        if tag not in ("meta", "img", "br", "link"):
            self.open.append(tag)
        if tag in ("script", "link", "iframe") or not found.get("src", "data:").startswith("data:"):
            self.fetched.append((tag, found))
        if tag == "a":
            self.links.append(found["href"])
        if tag == "img":
            self.alts.append(found["alt"])

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """Six candidates: k of them right in more and more items; one with a name that is markup."""
    practical = next(item.id for item in items().values() if item.kind == "checklist")
    plain = ids_of("choice", "number", most=8)
    sitting = sitting_of(
        plain + [practical], [str(n) for n in range(6)], rules={"grades": (("good", 75.0),)}
    )
    sitting.candidates["5"]["name"] = "<b>O'Neil & Söhne</b>"
    rows = {
        number: right_answers(_without(sitting, practical), number) for number in sitting.candidates
    }
    folder = tmp_path_factory.mktemp("in")
    for number in sitting.candidates:
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, rows[number][: 3 * int(number)])
        )
    store = Store(str(tmp_path_factory.mktemp("book") / "m.sqlite"))
    mark_folder(folder, sitting, store, Here())
    amend.observe(
        open_book(store),
        "4",
        practical,
        [step["id"] for part in items()[practical].fields for step in part.steps],
        "A. Marker",
    )
    yield open_book(store)
    store.close()


def _without(sitting, name):
    from dataclasses import replace

    return replace(
        sitting,
        paper={**sitting.paper, "items": [item for item in sitting.paper["items"] if item != name]},
    )


def words_of(pdf):
    """Number of pages of a PDF and whether it embeds its fonts."""
    return len(re.findall(rb"/Type /Page\b", pdf)), b"/FontFile2" in pdf


def sheets_of(pdf):
    """What is drawn on each sheet, as the operators of the format."""
    found = re.finditer(rb"/Filter \[ /FlateDecode \] /Length (\d+)\s*>>\s*stream\n", pdf)
    return [zlib.decompress(pdf[one.end() : one.end() + int(one[1])]) for one in found]


@pytest.mark.parametrize("lines", range(30, 46))
def test_the_line_to_sign_on_and_its_words_stand_on_one_sheet(lines):
    """Wherever the end of the sheet falls, words are drawn after the line on its own sheet."""
    blocks = [*(Text(f"Line {n}") for n in range(lines)), Signature("Assessor, date")]
    sheets = sheets_of(Document("Record", blocks).pdf())
    (signed,) = [sheet for sheet in sheets if re.search(rb" m [\d. ]+ l S", sheet)]
    assert b"Tj" in re.split(rb" m [\d. ]+ l S", signed)[-1]


@pytest.mark.parametrize(
    "make",
    [
        overview,
        record,
        lambda book: feedback(book, "2"),
        lambda book: feedback(book, "5"),
        lambda book: sign_on(book.sitting),
        lambda book: observation(book.sitting),
    ],
)
def test_pages_need_nothing_from_elsewhere_and_repeat_to_the_byte(book, make):
    document = make(book)
    html, pdf = document.html(), document.pdf()
    page = Page_(html)
    assert page.open == [] and page.fetched == [] and "http" not in html and all(page.alts)
    assert html == make(book).html() and pdf == make(book).pdf()
    pages, embedded = words_of(pdf)
    assert pages >= 1 and embedded and pdf.startswith(b"%PDF")
    assert "You learn principles here" in html or document.title.startswith(("Class", "Sign"))


def test_feedback_says_marks_outcomes_and_next_steps(book):
    found = book.results["2"]
    html = feedback(book, "2").html()
    assert f"{found.got:g} of {found.out_of:g} marks, {found.percent:.1f} %" in html
    for name, (got, out_of, achieved) in found.outcomes.items():
        row = re.search(rf"{name} [^<]*</th><td[^>]*>([^<]*)</td><td[^>]*>([^<]*)</td>", html)
        assert row.groups() == (f"{got:g} of {out_of:g}", "achieved" if achieved else "not yet")
    links = Page_(html).links
    assert len(links) == len(found.failed) and all(link.endswith(".ipynb") for link in links)
    assert "Not marked yet" in html and "Not marked yet" not in feedback(book, "4").html()


def test_names_are_text_and_never_markup(book):
    html = feedback(book, "5").html() + overview(book).html()
    assert "<b>O" not in html and "&lt;b&gt;O&#x27;Neil &amp; Söhne" in html


def test_pictures_are_said_in_words(book):
    alts = Page_(overview(book).html()).alts
    above = sum(found.percent >= 60 for found in book.results.values())
    assert f"{above} of 6 candidates at or above the line of 60 %" in alts[0] and all(
        f"{name} " in alts[1] for name in book.results["0"].outcomes
    )


def test_the_record_holds_conditions_history_and_room_to_sign(book):
    html = record(book).html()
    assert (
        "A. Marker" in html
        and "observe" in html
        and html.count('class="line"') == 2
        and book.files("3")[0].check_number in html
    )


def test_feedback_waits_for_release(book, tmp_path):
    assert not [
        path for path in write(book, tmp_path / "a").paths if path.name.startswith("feedback")
    ]
    state.release(book, "A", unfinished=True)
    try:
        assert (
            len(
                [
                    path
                    for path in write(open_book(book.store), tmp_path / "b").paths
                    if path.name.startswith("feedback")
                ]
            )
            == 12
        )
        assert [
            path.name for path in write(open_book(book.store), tmp_path / "c", only="3").paths
        ] == ["feedback_3.html", "feedback_3.pdf"]
    finally:
        state.reopen(open_book(book.store), "A", "test")


def test_every_block_has_both_forms(tmp_path):
    png = (
        b"\x89PNG\r\n\x1a\n"
        + b"\0\0\0\rIHDR\0\0\0\1\0\0\0\1\x08\0\0\0\0"
        + zlib.crc32(b"IHDR\0\0\0\1\0\0\0\1\x08\0\0\0\0").to_bytes(4, "big")
        + b"\0\0\0\nIDAT"
        + (data := zlib.compress(b"\0\0"))
        + zlib.crc32(b"IDAT" + data).to_bytes(4, "big")
        + b"\0\0\0\0IEND\xaeB`\x82"
    )
    document = Document(
        "All",
        [
            Heading("H & h"),
            Text("t < u"),
            Text("go", link="a.ipynb"),
            Text("s", strong=True),
            Rows("c", ("a", "b"), (("1", "2"), ("3", "4"))),
            Page(),
            Picture(png.replace(b"\0\0\0\nIDAT", len(data).to_bytes(4, "big") + b"IDAT"), "dot"),
            Signature("sign"),
        ],
    )
    html, pdf = document.save(tmp_path / "all")
    assert Page_(html.read_text(encoding="utf-8")).open == [] and words_of(pdf.read_bytes())[0] == 2
