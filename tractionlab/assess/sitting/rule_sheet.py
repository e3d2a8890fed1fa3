"""The rules of marking as sentences for candidates and assessors, with the numbers that the marking
itself uses.
"""

from tractionlab.assess.bank.item import OUTCOMES
from tractionlab.assess.bank.part import TOLERANCES
from tractionlab.assess.judge.number import MISSING_UNIT, WRONG_UNIT
from tractionlab.workshop.case.criteria_search import MINOR, SUPERFLUOUS
from tractionlab.workshop.case.score import CRITERIA, HINT, MOST_OTHER_REPAIRS, PART_ON_HOPE

#: Kind of item -> its rules.
_RULES = {
    "choice": ("One answer is right. A wrong one costs nothing.",),
    "number": (
        (
            f"A worked-out number may be {100 * TOLERANCES['formula']:g} % off, a reading from a"
            f" picture {100 * TOLERANCES['reading']:g} %, or one in the last digit that is asked,"
            " whichever is more."
        ),
        (
            "Comma and point both mark decimals. A separator between thousands is not counted:"
            " write 1250."
        ),
        (
            f"A right number with a wrong unit gets {100 * WRONG_UNIT:g} %. Where the unit is asked"
            f" for, a right number without it gets {100 * MISSING_UNIT:g} %."
        ),
        "A percent may be given as a fraction: 25 % is 0.25.",
        (
            "If an answer is wrong and the next one follows rightly from it, the next one counts."
            " Each wrong answer is followed once."
        ),
    ),
    "path": (
        (
            "Any way the fluid can take is right. A way that begins right earns a part, at most"
            " half the marks."
        ),
    ),
    "states": (
        (
            "Each part that has to leave its rest position and is set right counts for you, each"
            " part set wrong counts against you; never below nothing."
        ),
    ),
    "sketch": (
        (
            "A sketch is marked by what it shows: where it rises, falls, stays level, has its top,"
            " and how near it comes. Each has its own share of the marks."
        ),
    ),
    "tuning": (
        (
            "Your settings are run on roads that you do not see. Each demand that is met gets the"
            " same share of the marks."
        ),
    ),
    "case": (
        (
            "A repair case has 100 points, scaled to its marks:"
            f" {', '.join(f'{name} {points}' for name, points in CRITERIA.items())}."
        ),
        (
            "A step without its safety preparation ends the case with no marks; any other"
            f" preparation left out costs {MINOR} points, one that the test does not need"
            f" {SUPERFLUOUS}, a hint {HINT}, a part fitted on hope or the same place repaired once"
            f" more {PART_ON_HOPE}."
        ),
        (
            "A case that ends without a repair or an honest stop gets only its points for"
            " complaint, evidence and record."
        ),
    ),
    "checklist": (
        (
            "An assessor fills in the list of a practical. A safety gate that is missed loses"
            " all its marks, and the task has to be shown again."
        ),
    ),
}


def sentences(kinds):
    """Sentences for the kinds of item of a paper, in a fixed order; a waveform is marked as a
    number is.
    """
    wanted = {"number" if kind == "waveform" else kind for kind in kinds}
    return [sentence for kind, rules in _RULES.items() if kind in wanted for sentence in rules]


def pass_sentences(rules):
    """Sentences for the rules of a paper (dict, as `Paper.rules_as_dict`)."""
    lines = [f"To pass you need {rules['overall_percent']:g} % of all marks."]
    lines += [
        f"{name}, {OUTCOMES[name]}, must reach {least:g} % of its marks."
        for name, least in rules["outcome_percent"].items()
    ]
    lines += [
        f"One of {' and '.join(f'{name}, {OUTCOMES[name]},' for name in group)} must reach 50 % of"
        " its marks."
        for group in rules["one_of"]
    ]
    if rules["exact_faults"]:
        lines.append(
            f"In at least {rules['exact_faults']} repair case the right place and kind of fault "
            f"must be found: by your last repair, after at most {MOST_OTHER_REPAIRS} other."
        )
    lines.append("Every safety gate must be passed, whatever the marks.")
    return lines + [f"From {least:g} % the grade is: {words}." for words, least in rules["grades"]]
