"""Reports of a sitting: feedback for a candidate, the class at a glance, and the assessor's record
for signature.
"""

import errno
import json
import tomllib
from functools import cache, partial
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

import numpy as np

from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.markbook import item_statistics
from tractionlab.assess.markbook.moderate import answers_of, shown_answer
from tractionlab.assess.markbook.record import BY_HAND
from tractionlab.catalogue.places import data_folder
from tractionlab.paint.blocks import Heading, Page, Picture, Rows, Signature, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words
from tractionlab.written.line_file import write_whole

_BLUE, _ORANGE = "#0072B2", "#D55E00"


def _lessons():
    return {
        f"LO{entry['number']}": entry
        for entry in tomllib.loads((data_folder() / "lessons.toml").read_text(encoding="utf-8"))[
            "lesson"
        ]
    }


def _who(book, number):
    return f"{number}, {book.roll[number]}" if book.roll[number] else number


def feedback(book, number):
    """Document for one candidate: result, each outcome with its next step, each item with its
    reason.
    """
    found, lessons, sitting = book.results[number], _lessons(), book.sitting
    blocks = [
        Text(
            f"Candidate {_who(book, number)}. Sitting {sitting.id},"
            f" {', '.join(filter(None, (sitting.date, sitting.place)))}."
        ),
        Text(
            f"{found.got:g} of {found.out_of:g} marks, {found.percent:.1f} %. Result:"
            f" {found.grade}.",
            strong=True,
        ),
        *(Text(sentence) for sentence in found.lacking),
    ]
    if found.open:
        blocks.append(
            Text(f"Not marked yet: {', '.join(items()[name].title for name in found.open)}.")
        )
    rows = tuple(
        (
            f"{name} {OUTCOMES[name]}",
            f"{got:g} of {out_of:g}",
            "achieved" if achieved else "not yet",
        )
        for name, (got, out_of, achieved) in found.outcomes.items()
    )
    blocks += [
        Heading("What you can do"),
        Rows("Outcomes", ("Outcome", "Marks", "So far"), rows, (6, 2, 2)),
    ]
    if found.failed:
        blocks += [
            Heading("Your next steps"),
            Text(
                "The lessons are in your folder tractionlab-course. Do their exercises with new"
                ' numbers until they show "shown twice".'
            ),
        ]
        for name in found.failed:
            entry = lessons.get(name)
            if entry is not None:
                minutes = (
                    f"lesson {entry['number']}, {entry['title']} (about {entry['minutes']} minutes)"
                )
                blocks.append(
                    Text(f"{name} {OUTCOMES[name]}: {minutes}", link=entry.get("notebook", ""))
                )
    answers = answers_of(book, number)
    given = tuple(
        (
            items()[item].title,
            f"{row.marks:g} of {row.out_of:g}",
            "\n".join((*_own(book, number, item, answers.get(item, {})), *json.loads(row.reasons)))
            or "-",
        )
        for item, row in book.marks[number].items()
    )
    blocks += [
        Heading("Item by item"),
        Rows("Items", ("Item", "Marks", "Your answer, and why"), given, (3, 1.3, 6)),
        Text(
            "You may appeal: another person then looks at your frozen answers again. Ask your"
            " assessor how, and by when."
        ),
        safety_words(),
    ]
    return Document(f"Feedback: {sitting.paper['title']}", blocks)


def _own(book, number, item, answer):
    """What a candidate answered, a line for each field; the steps of a repair case stand in its
    reasons, and of a practical there are none.
    """
    drawn = book.sitting.variant(items()[item], number)
    return [
        f"{field.label}: {shown_answer(field, answer.get(field.name))}"
        for field in drawn.fields
        if field.kind not in ("case", "checklist")
    ]


def overview(book):
    """Document for the class: totals, outcomes, items, with pictures."""
    sitting = book.sitting
    rows = tuple(
        (
            _who(book, number),
            book.status(number),
            *(
                ("-", "-", "-", "")
                if number not in book.results
                else (*_total(book.results[number]), _missing(book.results[number]))
            ),
        )
        for number in book.roll
    )
    figures = item_statistics.figures(book)
    statistics = tuple(
        (
            items()[row.item].title,
            row.outcome,
            str(row.tries),
            _two(row.facility),
            _two(row.discrimination),
            row.remark,
        )
        for row in figures
    )
    blocks = [
        Text(
            f"Sitting {sitting.id}, {', '.join(filter(None, (sitting.date, sitting.place)))}. Marks"
            f" are {book.row.state}."
        ),
        Rows(
            "Candidates",
            ("Candidate", "File", "Marks", "Per cent", "Result", "What is missing"),
            rows,
            (3, 1.2, 1.8, 1.2, 1.6, 5),
        ),
    ]
    if book.results:
        blocks += [Page(), Heading("Pictures"), _totals_picture(book), _outcomes_picture(book)]
    blocks += [
        Page(),
        Heading("Items"),
        Text(
            "Facility: mean share of the marks. Discrimination: correlation with the rest of the"
            " paper. Both are questions to the item, not to a person."
        ),
        Rows(
            "Items",
            ("Item", "Outcome", "Tries", "Facility", "Discr.", "Remark"),
            statistics,
            (4, 1.4, 0.9, 1.2, 1.1, 4),
        ),
    ]
    return Document(f"Class overview: {sitting.paper['title']}", blocks)


def _total(found):
    return (
        f"{found.got:g} of {found.out_of:g}",
        f"{found.percent:.1f}",
        found.grade + ("" if found.safe else ", safety gate failed"),
    )


def _missing(found):
    still_open = (
        (f"{len(found.open)} item{'s' if len(found.open) > 1 else ''} not marked yet.",)
        if found.open
        else ()
    )
    return "\n".join((*still_open, *found.lacking))


def _two(value):
    return "-" if value != value else f"{value:.2f}"


def _picture(figure, alt):
    target = BytesIO()
    figure.savefig(target, format="png", dpi=150, metadata={"Software": None})
    return Picture(target.getvalue(), alt)


def _figure():
    from matplotlib.figure import Figure

    return Figure(figsize=(6.9, 3.1), layout="constrained")


def _totals_picture(book):
    percents = [found.percent for found in book.results.values()]
    line = book.sitting.paper["rules"].get("overall_percent", 60.0)
    figure = _figure()
    axes = figure.add_subplot()
    axes.hist(percents, bins=np.arange(0, 101, 10), color="white", edgecolor="black", hatch="//")
    axes.axvline(line, color=_ORANGE, linestyle="--")
    axes.text(line + 1, 0.96, f"line {line:g} %", transform=axes.get_xaxis_transform(), va="top")
    axes.set(xlabel="total [%]", ylabel="candidates", xlim=(0, 100))
    axes.yaxis.get_major_locator().set_params(integer=True)
    above = sum(percent >= line for percent in percents)
    return _picture(
        figure,
        f"Totals: {above} of {len(percents)} candidates at or above the line of {line:g} %; middle"
        f" value {np.median(percents):.0f} %, lowest {min(percents):.0f} %, highest"
        f" {max(percents):.0f} %.",
    )


def _outcomes_picture(book):
    shares = item_statistics.by_outcome(book)
    figure = _figure()
    axes = figure.add_subplot()
    axes.bar(
        range(len(shares)),
        [100 * np.mean(values) for values in shares.values()],
        color="white",
        edgecolor=_BLUE,
        hatch="..",
    )
    axes.plot(
        range(len(shares)),
        [100 * np.min(values) for values in shares.values()],
        "kv",
        markersize=5,
        label="lowest",
    )
    axes.plot(
        range(len(shares)),
        [100 * np.max(values) for values in shares.values()],
        "k^",
        markersize=5,
        label="highest",
    )
    axes.set_xticks(range(len(shares)), list(shares), fontsize=8)
    axes.set(ylabel="share of the marks [%]", ylim=(0, 104))
    axes.legend(
        frameon=False,
        ncols=2,
        loc="lower right",
        bbox_to_anchor=(1.0, 1.0),
        fontsize=8,
        handlelength=0.6,
    )
    words = ", ".join(f"{name} {100 * np.mean(values):.0f} %" for name, values in shares.items())
    return _picture(
        figure,
        "Mean share of the marks by outcome (bars), with the lowest and the highest candidate"
        f" (triangles): {words}.",
    )


def record(book):
    """Document for signature: what was issued, what came in, every result, every change."""
    sitting = book.sitting
    rows = tuple(
        (
            _who(book, number),
            _conditions(sitting.candidates[number]),
            _files(book, number),
            " / ".join(_total(book.results[number])) if number in book.results else "no marks",
        )
        for number in book.roll
    )
    changes = tuple(
        (
            row.time[:16].replace("T", " "),
            row.by,
            row.kind,
            " ".join(filter(None, (row.candidate, row.item))),
            f"{_short(row.old)} > {_short(row.new)}" if row.old else _short(row.new),
            row.reason,
        )
        for row in book.changes()
    )
    versions = ", ".join(f"{name} v{version}" for name, version in sitting.versions.items())
    blocks = [
        Text(
            f"Sitting {sitting.id}. Paper {sitting.paper['id']}, {sitting.minutes:g} minutes. Date"
            f" and place: {', '.join(filter(None, (sitting.date, sitting.place)))}. Edition of the"
            f" course: {sitting.package}. Marks are {book.row.state}."
        ),
        Text(f"Items as issued: {versions}."),
        Rows(
            "Candidates",
            ("Candidate", "Conditions", "Answer file", "Result"),
            rows,
            (3, 2.2, 4, 3.4),
        ),
        Rows(
            "History",
            ("Time (UTC)", "By", "What", "Whom", "Change", "Reason"),
            changes,
            (2.4, 1.6, 1.1, 2, 2, 3),
        ),
        Text(_by_whom(book)),
        *_rejected(book),
        safety_words(),
        Signature("Assessor: name, date, signature"),
        Signature("Second marker or moderator: name, date, signature"),
    ]
    return Document(f"Assessor's record: {sitting.paper['title']}", blocks)


def _by_whom(book):
    """Who set the marks: the course, but for those that persons set."""
    words = (
        "Each mark was worked out by the course from the answer file and the sitting key, and can"
        " be worked out again from both"
    )
    hand = {(row.candidate, row.item) for row in book.changes() if row.kind in BY_HAND}
    if not hand:
        return f"{words}."
    rows = [
        f"{number} {item}"
        for number in book.roll
        for item in book.marks.get(number, {})
        if (number, item) in hand
    ]
    shown = ", ".join(rows[:40]) + (f" and {len(rows) - 40} more" if len(rows) > 40 else "")
    return (
        f"{words}, but for {len(rows)} that persons entered or changed, see the history: {shown}."
    )


def _rejected(book):
    numbers = [number for number in book.roll if book.status(number) == "rejected"]
    return (
        [
            Text(
                "A person rejected the answer file, so that it gives no marks, of candidate "
                f"{', '.join(numbers)}: see the history."
            )
        ]
        if numbers
        else []
    )


def _conditions(candidate):
    words = [f"extra time {candidate['extra_percent']} %"] if candidate["extra_percent"] else []
    words += [f"{candidate['lost']} min of lost time given back"] if candidate.get("lost") else []
    return ", ".join(words + (["larger print"] if candidate["larger_print"] else [])) or "standard"


def _files(book, number):
    """The files of a candidate with what was found in them; of many of one kind the first and how
    many more.
    """
    found = {}
    for row in book.files(number):
        words = "".join(f" ({words})" for _, _, words in json.loads(row.findings))
        found.setdefault(row.status, []).append(f"{row.check_number} {row.status}{words}")
    return (
        "; ".join(words for status, rows in found.items() for words in _first(rows, status))
        or "none"
    )


def _first(rows, status, most=3):
    return rows[:most] + [f"{len(rows) - most} more {status}"] * (len(rows) > most)


def _short(text):
    return text if len(text) <= 14 else text[:8] + "..."


class Written(NamedTuple):
    """paths : files that were written; failed : a sentence for each page that could not be made."""

    paths: list
    failed: list


def write(book, folder, only=""):
    """Write the reports into a folder of the sitting's own below `folder`; feedback only when the
    marks are released. A page that cannot be made stops no other. Returns Written."""
    pages = {} if only else {"class_overview": overview, "assessors_record": record}
    if book.row.state != "open":
        for number in [book.candidate(only)] if only else book.results:
            if number in book.results:
                pages[f"feedback_{number}"] = partial(feedback, number=number)
    folder = Path(folder) / book.row.id
    folder.mkdir(parents=True, exist_ok=True)
    written = Written([], [])
    for name, make in pages.items():
        page = cache(partial(make, book))
        for form in ("html", "pdf"):
            _write_page(folder / f"{name}.{form}", lambda: getattr(page(), form)(), written)
    return written


def _write_page(path, content, written):
    try:
        made = content()
        write_whole(path, made if isinstance(made, bytes) else made.encode())
        written.paths.append(path)
    except OSError as problem:
        if problem.errno == errno.ENOSPC:
            raise
        written.failed.append(f"{path} cannot be written ({problem.strerror}).")
    except Exception as problem:  # whatever one page meets, the others are made
        words = f"{type(problem).__name__}: {str(problem)[:200]}".splitlines()[0]
        written.failed.append(
            f"{path} could not be made ({words}). Report it to the makers of the "
            "course; the other pages are whole."
        )
