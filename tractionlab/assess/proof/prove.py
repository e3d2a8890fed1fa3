"""Proves the keys of items before they are used: a second route, rounding on the way, distractors,
limits. Says for each item what was shown.
"""

import csv
from dataclasses import dataclass, replace
from io import StringIO
from itertools import islice, product

from tractionlab.assess.bank import draw
from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.judge.sketch import fulfils
from tractionlab.assess.proof.claims import CLAIMS
from tractionlab.assess.proof.second.fluid import reached
from tractionlab.assess.proof.three_digits import ThreeDigits, three
from tractionlab.catalogue.entries import shipped, shipped_only
from tractionlab.errors import UserError
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, shortest_path

#: How far the second route may be off, as a share of the key. Pictures are read to half the
#: tolerance of a reading.
SAME, READ = 2e-3, 0.025
#: The variant that `paper preview` shows, and that a second person's answers belong to.
PREVIEW = ("preview", "preview")
DRAWS = 25
#: So many faults must fit the complaint of a repair case; where few do, a repair by guess earns
#: marks.
LEAST_FITTING = 5
#: Kinds of fields whose key a second person's answer is compared with.
COMPARED = ("choice", "number")
NEEDS_PERSON = "no computation can tell: a second person has to answer it"
_COLUMNS = ("item", "field", "question", "options", "answer")


@dataclass(frozen=True)
class Finding:
    """What the proof of one field says. kind: "shown", "seen" (needs a person: no computation can
    tell) or "fails".
    """

    item: str
    field: str
    kind: str
    words: str
    asked: bool = False  # is it a question that only a person can answer?


def prove(chosen, second=None, simulate=True, by="a second person"):
    """Findings for items, a list.

    Parameters
    ----------
    chosen : items
    second : {(item id, field): answer as typed} of a second person, for the preview variants
    simulate : bool, also run the simulations of tuning items, the technician of the cases, and the
        models that test statements
    by : name of that person
    """
    return [finding for item in chosen for finding in _prove(item, second or {}, simulate, by)]


def _prove(item, second, simulate, by):
    drawn = list(islice(draw.fair_draws(item), DRAWS))
    if not drawn:
        return [Finding(item.id, "-", "fails", "no draw passes its rules")]
    return [
        _compared(item, part, _field(item, part, drawn, second, simulate, by), second, by)
        for part in item.fields
    ]


def _compared(item, part, finding, second, by):
    """The finding on a computed key, with a second person's answer to it, if there is one."""
    answer = second.get((item.id, part.name))
    if answer is None or finding.asked or finding.kind == "fails":
        return finding
    if part.kind not in COMPARED:
        return replace(
            finding,
            words=(
                f"{finding.words}; the answer of {by} was not used: only letters and numbers are"
                " compared"
            ),
        )
    told = _by_person(item, part, second, by)
    return (
        replace(told, asked=False)
        if told.kind == "fails"
        else replace(finding, words=f"{finding.words}; {told.words}")
    )


def _field(item, part, drawn, second, simulate, by):
    if part.kind in ("path", "states", "sketch", "number") or (
        part.kind == "choice" and part.key is not None
    ):
        for params in drawn:
            if fault := _FIELDS[part.kind](item, part, params):
                return Finding(
                    item.id,
                    part.name,
                    "fails",
                    f"{fault} ({', '.join(f'{name} = {value}' for name, value in params.items())})",
                )
        return Finding(
            item.id, part.name, "shown", f"second route agrees in {len(drawn)} draws{_more(part)}"
        )
    if part.kind == "tuning":
        return (
            _tuning(item, part, drawn)
            if simulate
            else Finding(item.id, part.name, "seen", "simulations were not run")
        )
    if part.kind == "choice":
        found = _by_claims(item, part, drawn) if item.id in CLAIMS and simulate else None
        return _by_person(item, part, second, by) if found is None else found
    if part.kind == "case":
        return _case(item, part, simulate)
    return Finding(item.id, part.name, "seen", "an assessor watches; there is no key")


def _more(part):
    return (
        "; bears rounding to three digits; distractors outside the tolerance; inside its limits"
        if part.kind == "number"
        else ""
    )


def _number(item, part, params):
    values = draw.keys(item, params)
    value, near = values[part.name], draw.tolerance(part, values[part.name])
    other = part.key.run({**params, **values}, family="second")
    allowed = (READ if part.tolerance == "reading" else SAME) * abs(value) + 1e-9
    if abs(other - value) > allowed:
        return f"the second route gives {other:.6g}, the key is {value:.6g}"
    rounded = rounded_key(item, part, params)
    if abs(rounded - value) > near:
        return (
            f"rounded to three digits on the way it gives {rounded:.6g}, the key is {value:.6g}:"
            " widen the tolerance to 'rounded'"
        )
    if why := draw.why_unfair(item, params):
        return why
    return ""


def rounded_key(item, part, params):
    """Key of a number field with every step, and every earlier answer, rounded to three digits."""
    values = dict(params)
    for earlier in item.fields:
        if earlier.kind == "number":
            numbers = {
                name: ThreeDigits(values[name]) if isinstance(values[name], float) else values[name]
                for name in earlier.key.names
            }
            values[earlier.name] = three(earlier.key.run(numbers))
        if earlier.name == part.name:
            return values[part.name]
    raise KeyError(part.name)


def _choice(item, part, params):
    right, other = draw.keys(item, params)[part.name], part.key.run(params, family="second")
    return "" if right == other else f"the second route gives {other!r}, the key is {right!r}"


def _sketch(item, part, params):
    curve = draw.keys(item, params)[part.name]
    other = part.key.run({**params, "points": part.points}, family="second")
    span = part.y_range[1] - part.y_range[0]
    if max(abs(a - b) for a, b in zip(curve, other)) > 0.01 * span:
        return "the second route gives another curve"
    if not all(part.y_range[0] <= value <= part.y_range[1] for value in curve):
        return "the curve leaves the y axis"
    if missing := [
        feature["words"] for feature in part.features if not fulfils(curve, curve, feature, part)
    ]:
        return f"the computed curve itself lacks a feature: {missing[0]}"
    for trap in part.traps:
        wrong = trap.key.run({**params, "points": part.points})
        if all(fulfils(wrong, curve, feature, part) for feature in part.features):
            return f"the curve of a wrong idea has every feature: {trap.idea}"
    return ""


def _path(item, part, params):
    shown = layout(part.layout)
    way = shortest_path(shown, params["mode"], params["start"], params["goal"])
    there = params["goal"] in reached(shown, shown.modes[params["mode"]], params["start"])
    return (
        ""
        if (way is not None) == there
        else f"a search edge by edge says {'there is a' if there else 'there is no'} way"
    )


def _states(item, part, params):
    shown, mode = layout(part.layout), params["mode"]
    wrong = [
        cell
        for cell in shown.connections
        if cell.mode == mode and can_reach(shown, mode, cell.start, cell.goal) != cell.connected
    ]
    return (
        f"the table written by hand says otherwise of {wrong[0].start} to {wrong[0].goal}"
        if wrong
        else ""
    )


def _tuning(item, part, drawn):
    course = shipped().control_values()
    own = {row["name"]: f"{course[row['name']]:g}" for row in part.settings}
    names = [row["name"] for row in part.settings]
    corners = [
        dict(zip(names, values))
        for values in product(*((f"{row['low']:g}", f"{row['high']:g}") for row in part.settings))
    ]
    for params in drawn:
        variant = draw.build(item, params)
        good = judge(item, variant, {part.name: own}).marks
        if good < item.marks:
            words = f"the course's own settings get {good:g} of {item.marks} marks"
            return Finding(
                item.id,
                part.name,
                "fails",
                f"{words} ({', '.join(f'{name} = {value}' for name, value in params.items())})",
            )
    failing = sum(
        judge(item, draw.build(item, drawn[0]), {part.name: corner}).marks < item.marks
        for corner in corners
    )
    if 2 * failing < len(corners):
        return Finding(
            item.id,
            part.name,
            "fails",
            f"only {failing} of {len(corners)} settings at the ends of their ranges miss a demand",
        )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"the course's own settings meet every demand in {len(drawn)} draws; {failing} of"
        f" {len(corners)} settings at the ends of their ranges do not",
    )


def _case(item, part, simulate):
    from tractionlab.workshop.case.score import par_minutes
    from tractionlab.workshop.case.suspects import candidates
    from tractionlab.workshop.faults import faults

    pars = {}
    for params in draw.fair_draws(item):
        known = faults().get(params["fault"])
        if known is None or params["vehicle"] not in known.vehicles:
            return Finding(
                item.id,
                part.name,
                "fails",
                f"there is no fault {params['fault']} on {params['vehicle']}",
            )
        if (fitting := len(candidates(known.symptoms[0], params["vehicle"]))) < LEAST_FITTING:
            return Finding(
                item.id,
                part.name,
                "fails",
                f"only {fitting} fault{'s fit' if fitting > 1 else ' fits'} the complaint of"
                f" {known.id}, must be {LEAST_FITTING} or more",
            )
        if simulate:
            pars[known.id] = par_minutes(known.id, known.symptoms[0], params["vehicle"], known.kind)
    if not simulate:
        return Finding(item.id, part.name, "seen", "simulations were not run")
    if max(pars.values()) > (1 + draw.EFFORT_BAND) * min(pars.values()):
        return Finding(
            item.id,
            part.name,
            "fails",
            f"par times differ by more than {draw.EFFORT_BAND:.0%}: {pars}",
        )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"a technician finds each of its {len(pars)} faults, in {min(pars.values()):g} to"
        f" {max(pars.values()):g} minutes of par; the log is replayed, not compared with a key",
    )


@shipped_only()
def _by_claims(item, part, drawn):
    marked = tuple(option.right for option in part.options)
    for params in drawn:
        holds = tuple(bool(held) for held in CLAIMS[item.id](params))
        if holds != marked:
            words = "; ".join(
                f"option {place} {'holds' if held else 'does not hold'}"
                for place, (held, right) in enumerate(zip(holds, marked), 1)
                if held != right
            )
            return Finding(
                item.id,
                part.name,
                "fails",
                f"the course's own models say otherwise: {words}"
                f" ({', '.join(f'{name} = {value}' for name, value in params.items())})",
            )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"the course's own models find this statement true and the others false, in {len(drawn)}"
        " draws",
    )


def _by_person(item, part, second, by):
    answer = second.get((item.id, part.name))
    if answer is None:
        return Finding(item.id, part.name, "seen", NEEDS_PERSON, asked=True)
    variant = draw.variant(item, *PREVIEW)
    marks = judge(item, variant, {part.name: answer}).by_field[part.name]
    if marks < part.marks:
        return Finding(
            item.id,
            part.name,
            "fails",
            f"{by} answers {answer!r}, and that is not the key",
            asked=True,
        )
    return Finding(item.id, part.name, "shown", f"{by} gives the same answer", asked=True)


def told_of(findings, second, by):
    """Sentences: how many questions for a person were answered, and which answers were not used."""
    asked = {(finding.item, finding.field) for finding in findings if finding.asked}
    there = {(finding.item, finding.field) for finding in findings}
    unused = [
        f"{item}, {field} (not in this paper)"
        for item, field in second
        if (item, field) not in there
    ]
    unused += [
        f"{item}, {field} (no letter or number)"
        for item, field in second
        if (item, field) in there - asked and _part(item, field).kind not in COMPARED
    ]
    compared = len(second) - len(asked & set(second)) - len(unused)
    said = [
        f"{by} answered {len(asked & set(second))} of the {len(asked)} questions for a person;"
        f" {compared} more answers were compared with computed keys."
    ]
    return said + ([f"Not used: {'; '.join(unused)}"] if unused else [])


def _part(item, field):
    return next(part for part in items()[item].fields if part.name == field)


def write_sheet(path, findings):
    """Write a CSV file with every question that a second person has to answer; the column `answer`
    is empty. Returns how many there are.
    """
    rows = []
    for finding in findings:
        if finding.kind == "seen" and finding.words == NEEDS_PERSON:
            variant = draw.variant(items()[finding.item], *PREVIEW)
            field = next(field for field in variant.fields if field.name == finding.field)
            rows.append(
                (
                    finding.item,
                    finding.field,
                    f"{variant.text} {field.label}",
                    "   ".join(f"{letter}) {words}" for letter, words in field.choices),
                    "",
                )
            )
    with open(path, "x", newline="", encoding="utf-8-sig") as file:
        csv.writer(file).writerows([_COLUMNS, *rows])
    return len(rows)


def read_second_key(path):
    """A second person's answers to the preview variants, from a CSV file with the columns item,
    field, answer; rows without an answer are passed over.
    """
    try:
        with open(path, newline="", encoding="utf-8-sig") as file:
            text = file.read()
            rows = list(
                csv.DictReader(
                    StringIO(text), delimiter=";" if ";" in text.split("\n", 1)[0] else ","
                )
            )
    except (OSError, UnicodeDecodeError, csv.Error) as problem:
        raise UserError(f"{path}: cannot be read: {problem}") from None
    found = {}
    for number, row in enumerate(rows, 2):
        if None in row or not {"item", "field", "answer"} <= set(row) or None in row.values():
            raise UserError(f"{path}, line {number}: needs the columns item, field, answer")
        if row["item"] not in items():
            raise UserError(f"{path}, line {number}: item {row['item']!r} is not in the item bank")
        if row["field"] not in [part.name for part in items()[row["item"]].fields]:
            raise UserError(
                f"{path}, line {number}: item {row['item']} has no field {row['field']!r}"
            )
        if row["answer"].strip():
            text = row["answer"].strip()
            found[row["item"], row["field"]] = (
                text.upper() if _part(row["item"], row["field"]).kind == "choice" else text
            )
    return found


_FIELDS = {
    "number": _number,
    "choice": _choice,
    "sketch": _sketch,
    "path": _path,
    "states": _states,
}
