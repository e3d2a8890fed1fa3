"""A paper as a page to look at: each item in one draw, and for assessors with its answers."""

import math
from io import BytesIO

import numpy as np

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.case_cars import cars_of
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.bank.own_car import with_numbers
from tractionlab.assess.bank.part import TOLERANCES
from tractionlab.assess.bank.shown import charts
from tractionlab.assess.judge.answers import right_answer
from tractionlab.assess.proof.second_person import PREVIEW
from tractionlab.assess.sitting.rule_sheet import pass_sentences, sentences
from tractionlab.hydraulics.layout import layout
from tractionlab.paint.blocks import Heading, Picture, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.view import Chart, Line, View
from tractionlab.written.numbers import show

#: Kinds of item in words.
_KIND_WORDS = {
    "choice": "choice",
    "number": "numbers",
    "path": "path of the fluid",
    "states": "valve positions",
    "waveform": "reading a signal",
    "tuning": "tuning",
    "sketch": "sketch",
    "case": "repair case",
    "checklist": "practical under an assessor's eyes",
}


def about(paper):
    """Blocks that say what a paper covers, how it is marked and how it is passed."""
    parts = ", ".join(
        f"{name} {_hours(minutes)}" for name, minutes in paper.minutes_by_part().items()
    )
    chosen = [items()[name] for name in paper.items]
    table = tuple(
        (
            f"{name} {OUTCOMES[name]}",
            ", ".join(
                dict.fromkeys(_KIND_WORDS[item.kind] for item in chosen if item.outcome == name)
            ),
            f"{marks}",
        )
        for name, marks in paper.marks_by_outcome().items()
    )
    blocks = [
        Text(f"{_counted(chosen)} {_hours(paper.minutes)} in all: {parts}."),
        Rows("Marks by outcome", ("Outcome", "What is asked", "Marks"), table, (4, 6, 1)),
    ]
    blocks += [
        Heading("How it is marked"),
        *(Text(line) for line in sentences(items()[name].kind for name in paper.items)),
    ]
    return blocks + [
        Heading("How it is passed"),
        *(Text(line) for line in pass_sentences(paper.rules_as_dict())),
    ]


def _counted(chosen):
    """How many questions and marks, and which of them the practicals are."""
    seen = [item for item in chosen if item.kind == "checklist"]
    marks, bay = sum(item.marks for item in chosen), sum(item.marks for item in seen)
    if not seen:
        return f"{len(chosen)} questions, {marks} marks."
    return (
        f"{len(chosen)} questions, {marks} marks: {len(chosen) - len(seen)} to answer here for"
        f" {marks - bay} marks, and {len(seen)} practical{'s' if len(seen) > 1 else ''} in the bay"
        f" for {bay} marks."
    )


def _hours(minutes):
    """Minutes in words, rounded up to five: "2 h 40 min"."""
    hours, rest = divmod(5 * math.ceil(minutes / 5), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def preview(paper, answers=False):
    """Document that shows every item of a paper in one variant, with right answers if wanted."""
    blocks = about(paper)
    for number, name in enumerate(paper.items, 1):
        item = with_numbers(items()[name], paper.numbers)
        blocks += item_blocks(number, item, variant(item, *PREVIEW), answers)
    return Document(paper.title, blocks)


def item_blocks(number, item, variant, answers):
    """Blocks of one item: heading, words, data sheet, picture, fields."""
    about = f"{item.id}, {item.outcome}, {item.level}, {item.marks} marks, {item.minutes:g} minutes"
    blocks = [Heading(f"{number}. {variant.title}"), Text(about), Text(variant.text)]
    if variant.given:
        blocks.append(Rows("Data", ("Quantity", "Value"), variant.given))
    if shown := charts(item, variant):
        blocks.append(
            Picture(
                picture(shown),
                "; ".join(f"{chart.title}: {chart.y} over {chart.x}" for chart in shown),
            )
        )
    blocks += [block for field in variant.fields for block in _field(field)]
    if answers:
        blocks += [
            Text(f"Right: {label}: {words}", strong=True)
            for label, words in right_answer(item, variant).items()
        ]
        blocks += [Text(f"{label}: {words}") for label, words in what_counts(item, variant).items()]
        blocks += [cars_of(item)] if item.kind == "case" else []
        blocks += behind(item, variant)
    return blocks


def behind(item, variant):
    """Blocks that stand behind the right answers: computed curves, wrong ideas, the source."""
    return [
        *(
            Picture(
                picture(_curve(part, field, variant)), f"The computed curve, {field.label.lower()}"
            )
            for part, field in zip(item.fields, variant.fields)
            if field.kind == "sketch"
        ),
        *(Text(f"Behind a wrong answer: {idea}") for idea in dict.fromkeys(item.misconceptions)),
        Text(f"Source: {item.source}"),
    ]


def what_counts(item, variant):
    """{field label: what the rules need beside the right answer}: from where to where a number
    counts, and where the parts of a circuit rest.
    """
    right, found = keys(item, variant.params), {}
    for part, field in zip(item.fields, variant.fields):
        if part.kind == "number" and TOLERANCES[part.tolerance]:
            off = tolerance(part, right[part.name])
            low, high = (show(right[part.name] + way * off, digits=4) for way in (-1, 1))
            unit = "" if part.unit in ("1", "times") else part.unit
            found[field.label] = f"counts from {low} to {high} {unit}".rstrip()
        elif part.kind == "states":
            parts = layout(part.layout).components
            rest = (f"{parts[key].name}: {parts[key].rest_position}" for key in part.parts)
            found[field.label] = f"at rest {', '.join(rest)}"
    return found


def _curve(part, field, variant):
    curve = part.key.run({**variant.params, "points": part.points})
    return (
        Chart(
            title=field.label,
            x=field.x,
            y=field.y,
            y_range=field.y_range,
            lines=(Line(label="computed", x=np.array(part.points), y=np.array(curve)),),
        ),
    )


def picture(charts):
    """PNG bytes of charts."""
    from tractionlab.paint.printed import print_figure

    target = BytesIO()
    print_figure(View(charts=charts, sentence="")).savefig(
        target, format="png", dpi=110, metadata={"Software": None}
    )
    return target.getvalue()


def _field(field):
    marks = f"{field.marks} mark{'s' if field.marks != 1 else ''}"
    if field.kind == "choice":
        return [Rows(f"{field.label} ({marks})", ("Letter", "Answer"), field.choices, (1, 9))]
    if field.kind == "number":
        unit = (
            "with its unit"
            if field.unit_asked
            else f"in {field.unit}"
            if field.unit not in ("1", "times")
            else "a plain number"
        )
        return [Text(f"{field.label}, {unit} ({marks}): ________")]
    if field.kind == "path":
        return [Rows(f"{field.label} ({marks})", ("Place", "In words"), field.choices, (1, 6))]
    if field.kind == "states":
        return [
            Rows(
                f"{field.label} ({marks})",
                ("Part", "Positions"),
                tuple((words, " / ".join(field.positions[key])) for key, words in field.choices),
            )
        ]
    if field.kind == "tuning":
        rows = tuple(
            (
                row["label"],
                f"{row['low']:g} to {row['high']:g} {'' if row['unit'] == '1' else row['unit']}",
            )
            for row in field.settings
        )
        return [Rows(f"{field.label} ({marks})", ("Setting", "Range"), rows)]
    if field.kind == "sketch":
        points = ", ".join(f"{point:g}" for point in field.points)
        return [
            Text(
                f"{field.label} ({marks}): one value for each of the points {points} on the axis"
                f" {field.x}; {field.y} from {field.y_range[0]:g} to {field.y_range[1]:g}"
            )
        ]
    if field.kind == "checklist":
        rows = tuple(
            (step["text"], "safety gate" if step["gate"] else f"{step['marks']}", "")
            for step in field.steps
        )
        return [Rows(f"{field.label} ({marks})", ("Step", "Marks", "Seen"), rows, (7, 2, 1))]
    return [Text(f"{field.label} ({marks}): worked in the bay of the course")]
