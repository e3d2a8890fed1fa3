"""Marks one response to one variant: pure, the same marks everywhere, never raises on what a
candidate sent, and says its reasons in words.
"""

from dataclasses import dataclass

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.shown import option_text
from tractionlab.assess.judge import runs as judge_runs
from tractionlab.assess.judge.case import foreign, judge_case, key_of
from tractionlab.assess.judge.circuit import judge_path, judge_states, right_states, right_way
from tractionlab.assess.judge.number import Numbers
from tractionlab.assess.judge.sketch import judge_sketch
from tractionlab.catalogue.entries import shipped_only
from tractionlab.written.numbers import show


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """Marks of a response, in hundredths of a mark at the finest, out of how many, by field, the
    reasons in words, and for a checklist or a repair case whether every safety gate was passed
    (None elsewhere, or when nothing was handed in). Of a repair case also whether its fault was
    found exactly, and why its log is none that the bench writes, "" if it is one."""

    marks: float
    out_of: int
    by_field: dict
    reasons: tuple
    safe: bool | None = None
    exact: bool = False
    strange: str = ""


@shipped_only()
def judge(item, variant, answer, runs=None, cases=None):
    """Judge an answer.

    Parameters
    ----------
    item : Item
    variant : Variant, drawn again by the marker
    answer : dict field name -> text or JSON value, as the candidate left it; anything else counts
        as no answer
    runs : mapping Scenario.key -> Merit, for the scenarios of `simulations`; what is missing is
        computed here
    cases : mapping key -> Replayed, for the logs of `case_logs`; what is missing is replayed here

    Returns
    -------
    Judgement
    """
    answer = answer if isinstance(answer, dict) else {}
    numbers, by_field, reasons = Numbers(item, variant), {}, []
    safe, exact, strange = None, False, ""
    for part, field in zip(item.fields, variant.fields):
        given = answer.get(part.name)
        if given is None or given == "":
            marks, words = 0.0, "no answer."
        elif part.kind == "number":
            marks, words = numbers.judge(part, given)
        elif part.kind == "case":
            points, words, safe, exact, strange = judge_case(variant, given, cases or {})
            marks = part.marks * points / 100.0
        elif part.kind == "checklist":
            marks, words, safe = _judge_checklist(part, field, given)
        else:
            marks, words = _JUDGES[part.kind](item, variant, part, field, given, runs)
        by_field[part.name] = round(min(max(marks, 0.0), float(part.marks)), 2)
        reasons.append(f"{field.label}: {words} {by_field[part.name]:g} of {part.marks}.")
    return Judgement(
        marks=round(sum(by_field.values()), 2),
        out_of=item.marks,
        by_field=by_field,
        reasons=tuple(reasons),
        safe=safe,
        exact=exact,
        strange=strange,
    )


@shipped_only()
def simulations(item, variant, answer):
    """Scenarios whose figures of merit `judge` needs for this answer; () for an item that is judged
    without runs or for a useless answer.
    """
    answer = answer if isinstance(answer, dict) else {}
    return tuple(
        scenario
        for part in item.fields
        if part.kind == "tuning"
        for scenario in judge_runs.scenarios(part, variant, answer.get(part.name))
    )


def case_logs(item, variant, answer):
    """{key: log} of the repair cases in this answer that `judge` replays."""
    answer = answer if isinstance(answer, dict) else {}
    logs = [answer.get(part.name) for part in item.fields if part.kind == "case"]
    return {key_of(log): log for log in logs if log and not foreign(variant, log)}


def right_answer(item, variant):
    """{field label: right answer in words} for feedback after the marks are out.

    Fields without one right answer are left out.
    """
    values, shown = keys(item, variant.params), {}
    for part, field in zip(item.fields, variant.fields):
        if part.kind == "number":
            unit = "" if part.unit in ("1", "times") else part.unit
            shown[field.label] = f"{show(values[part.name])} {unit}".strip()
        elif part.kind == "choice":
            shown[field.label] = option_text(
                next(o for o in part.options if o.id == values[part.name]), item, variant.params
            )
        elif part.kind in ("path", "states"):
            shown[field.label] = (
                right_way(part, variant) if part.kind == "path" else right_states(part, variant)
            )
    return shown


def _judge_choice(item, variant, part, field, given, runs):
    chosen = dict(field.choices).get(given) if isinstance(given, str) else None
    if chosen is None:
        return (
            0.0,
            (
                "the answer is not one of the letters"
                f" {', '.join(letter for letter, _ in field.choices)}."
            ),
        )
    right = keys(item, variant.params)[part.name]
    option = next(o for o in part.options if option_text(o, item, variant.params) == chosen)
    return (
        (float(part.marks), "right.")
        if option.id == right
        else (0.0, f"not right. {option.idea}".strip())
    )


def _judge_checklist(part, field, given):
    done = {
        step["id"]
        for step in part.steps
        if isinstance(given, dict) and given.get(step["id"]) == "done"
    }
    missing = [step["text"] for step in field.steps if step["id"] not in done]
    words = "all steps seen." if not missing else f"not seen: {'; '.join(missing)}."
    if not {step["id"] for step in part.steps if step.get("gate")} <= done:
        return (
            0.0,
            (
                f"{words} A safety gate was not passed: no marks for this task, it has to be shown"
                " again."
            ),
            False,
        )
    return float(sum(step["marks"] for step in part.steps if step["id"] in done)), words, True


_JUDGES = {
    "choice": _judge_choice,
    "path": judge_path,
    "states": judge_states,
    "sketch": judge_sketch,
    "tuning": judge_runs.judge_tuning,
}
