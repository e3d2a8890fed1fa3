"""What the assessor prints before a sitting: the sign-on list, and an observation sheet for each
practical of each candidate.
"""

from tractionlab.assess.bank.item import items
from tractionlab.paint.blocks import Heading, Page, Rows, Signature, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words


def sign_on(sitting):
    """Document: who sits, under which conditions, with room for times, check numbers and
    signatures.
    """
    groups, blocks = sitting.groups(), []
    for place, numbers in enumerate(groups, 1):
        rows = tuple(
            (
                number,
                (one := sitting.candidates[number])["name"],
                f"{sitting.minutes_of(number):g} min"
                + (", larger print" if one["larger_print"] else ""),
                "",
                "",
                "",
            )
            for number in numbers
        )
        title = (
            "Candidates"
            if len(groups) == 1
            else f"Group {place} of {len(groups)}: seat it away from the other groups"
        )
        blocks += [Page()] * bool(blocks) + [
            Rows(
                title,
                ("Number", "Name", "Conditions", "Start", "Check number at hand in", "Signature"),
                rows,
                (1.2, 3, 2, 1.2, 2.4, 2.4),
                room=True,
            )
        ]
    return Document(
        f"Sign-on list: {sitting.paper['title']}",
        [
            Text(f"{sitting.about}. Check who each person is before the start."),
            *blocks,
            Text("Help given, breaks, lost time, remarks:"),
            Signature("Supervisor: name, date, signature"),
        ],
        sitting.about,
    )


def observation(sitting):
    """Document: one sheet for each observed practical of each candidate, or None if the paper has
    none.
    """
    practicals = [
        items()[name] for name in sitting.paper["items"] if items()[name].kind == "checklist"
    ]
    blocks = []
    for number, one in sitting.candidates.items():
        for item in practicals:
            drawn = sitting.variant(item, number)
            steps = tuple(
                (
                    step["id"],
                    step["text"],
                    "SAFETY" if step["gate"] else "",
                    f"{step['marks']:g}",
                    "",
                )
                for field in drawn.fields
                for step in field.steps
            )
            blocks += [Page()] * bool(blocks) + [
                Heading(f"{number}, {one['name']}: {drawn.title}"),
                Text(
                    f"{sitting.about}. Item {item.id}, {item.marks} marks, about"
                    f" {item.minutes:g} minutes. {drawn.text}"
                ),
                Rows(
                    "Steps",
                    ("Step", "What you see", "Gate", "Marks", "Done at"),
                    steps,
                    (1.6, 7, 1.2, 1, 1.4),
                ),
                Text(
                    "A missed step marked SAFETY loses all marks of this task, and the task has to"
                    " be shown again. Stop the work if it gets unsafe."
                ),
                safety_words(),
                Text(
                    f"Enter it: python3 -m tractionlab markbook observe {number} {item.id} --by"
                    " NAME --done STEP STEP ..."
                ),
                Signature("Assessor: name, date, time, signature"),
            ]
    title = f"Observation sheets: {sitting.paper['title']}"
    return Document(title, blocks, sitting.about) if blocks else None
