"""The report for one candidate: result, next steps, each item with its reason."""

import json

from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.markbook.moderate import answers_of, shown_answer
from tractionlab.assess.markbook.reports.phrases import who
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
        Text(
            f"Candidate {who(book, number)}. Sitting {sitting.id},"
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
