"""The report for one candidate: result, next steps, each item with its reason."""

import json

from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.judge.answers import right_answer
from tractionlab.assess.markbook.case_line import fault_words
from tractionlab.assess.markbook.moderate import answers_of, compare, shown_answer
from tractionlab.assess.markbook.record import BY_HAND
from tractionlab.assess.markbook.reports.phrases import agreement, given_time, who, worked_from_to
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.paint.blocks import Heading, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words


def _lessons():
    return {
        f"LO{entry['number']}": entry
        for entry in read_toml(data_folder() / "lessons.toml")["lesson"]
    }


def feedback(book, number):
    """Document for one candidate: result, each outcome with its next step, each item with its
    reason.
    """
    found, lessons, sitting = book.results[number], _lessons(), book.sitting
    blocks = [
        Text(f"Candidate {who(book, number)}. {sitting.about}."),
        Text(
            f"{found.got:g} of {found.out_of:g} marks, {found.percent:.1f} %. Result:"
            f" {found.grade}.",
            strong=True,
        ),
        *(Text(sentence) for sentence in found.lacking),
        *_how_it_was_done(book, number),
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
            _right(book, number, item) or "-",
        )
        for item, row in book.marks[number].items()
    )
    blocks += [
        Heading("Item by item"),
        Rows(
            "Items",
            ("Item", "Marks", "Your answer, and why", "A right answer"),
            given,
            (2.4, 1.3, 5, 3.4),
        ),
        Text(
            "You may appeal: another person then looks at your frozen answers again. Ask your"
            " assessor how, and by when."
        ),
        safety_words(),
    ]
    return Document(f"Feedback: {sitting.paper['title']}", blocks, sitting.about)


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


def _right(book, number, item):
    """A right answer to the same numbers, a line for each field; for a repair case the fault."""
    entry = items()[item]
    drawn = book.sitting.variant(entry, number)
    lines = [f"{label}: {words}" for label, words in right_answer(entry, drawn).items()]
    for part in entry.fields:
        if part.kind == "case":
            lines.append(fault_words(drawn))
        elif part.kind == "sketch":
            values = part.key.run({**drawn.params, "points": part.points})
            pairs = zip(part.points, values)
            lines.append("; ".join(f"at {at:g}: {value:.3g}" for at, value in pairs))
    return "\n".join(lines)


def _how_it_was_done(book, number):
    """When the candidate worked, lost time, marks that persons set, second marks."""
    words = ", ".join(filter(None, (worked_from_to(book, number), given_time(book, number))))
    hand = {row.item for row in book.changes(number) if row.kind in BY_HAND}
    titles = [items()[name].title for name in book.marks[number] if name in hand]
    return [
        *([Text(f"You {words}.")] if words else []),
        *([Text(f"Marks that a person set: {', '.join(titles)}.")] if titles else []),
        *(Text(f"Second marking: {line}") for line in agreement(compare(book), number)),
    ]
