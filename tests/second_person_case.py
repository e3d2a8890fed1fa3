"""How the second person marks a repair case: from the time line and the tables beside it, criterion
by criterion, as the page says it."""

import re

_VALUE = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*([^\s;,()]+)")
#: A faulty car that is called so was not repaired.
SOUND = "no fault"
CONFIRMING = {"T03", "T04", "T05", "T07", "T29"}


class Line:
    """One step of the time line."""

    def __init__(self, row, between):
        self.minutes = float(row[0].split()[0]) if row[0] != "-" else 0.0
        self.words, *more = row[1].split(between)
        self.readings = row[2]
        self.made = [one.removeprefix("Before it: ") for one in more if "Before it: " in one]
        self.under = [one.removeprefix("Conditions: ") for one in more if "Conditions: " in one]
        tested = re.match(r"T\d\d(?= )", self.words)
        self.test = tested[0] if tested and "unsafe" not in self.words else ""
        self.step = self.test or self.words.partition(":")[0] * self.words.startswith("Measured")


def case_points(table, between):
    """Points of 100. table(caption): rows of a table of the page; between: what divides the lines
    of a cell."""
    steps = [Line(row, between) for row in table("The case as it went")]
    if any("unsafe, stopped" in step.words for step in steps):
        return 0.0
    facts = {name: value.split(between) for name, value in table("What the rules need of this car")}
    told = [
        (float(left), share) for _, left, share in table("What each step before the repair told")
    ]
    needs = {
        name: set(filter(None, words.split(between)))
        for name, words in table("What each test needs before it")
    }
    repairs = [i for i, step in enumerate(steps) if step.words.startswith("Repaired: ")]
    stop = next((step for step in steps if step.words.startswith("Stopped: not proven")), None)
    first = repairs[0] if repairs else len(steps)
    place, kind, cause = (facts[name][0] for name in ("Place", "Kind", "Cause"))
    repairs = [i for i in repairs if kind == SOUND or f", {SOUND}" not in steps[i].words]
    here = [i for i in repairs if steps[i].words.startswith(f"Repaired: {place}, ")]
    named = bool(here) or (stop is not None and f"{place}" in stop.words.partition("Left: ")[2])
    fitting = int(facts["Faults that fit the complaint"][0])
    left = told[-1][0] if told else fitting
    before = [step for step in steps[:first] if step.step]
    after = [step for step in steps[first + 1 :] if step.step]
    excluded = ((fitting - left) / (fitting - 1) if fitting > 1 else 1.0) if before else 0.0
    proven = bool(before) and left == 1
    quick = named and (proven or not repairs)
    points = {
        "safety": _safety(steps, needs, set(facts["Own protection"])),
        "complaint": _complaint({step.test for step in before}),
        "evidence": 15 * excluded,
        "order": _order([share for _, share in told]),
        "economy": _economy(steps[:first], float(facts["Par"][0].split()[0])) * excluded * quick,
        "fault": _fault(steps, repairs, stop, (place, kind), facts, proven, left),
        "proof": 5 * (named and proven),
        "repair": (3 + 2 * steps[here[-1]].words.endswith(f"because of {cause}")) if here else 0,
        "verification": _verification(steps, first, after, facts) if here else 0,
        "record": _record(steps, first),
    }
    if not repairs and stop is None:
        points |= dict.fromkeys(("safety", "order", "economy"), 0)
    hints = sum(step.words == "Hint taken" for step in steps)
    return max(0.0, sum(points.values()) - 5 * hints - 5 * (len(repairs) - bool(here)))


def _safety(steps, needs, own):
    tests = [step for step in steps if step.test]
    if not any(step.step for step in steps):
        return 0
    missing = sum(len(needs[step.test] - set(step.made)) for step in tests)
    too_much = sum(len(set(step.made) - needs[step.test] - own) for step in tests)
    return max(0, 15 - 3 * missing - too_much)


def _complaint(tests):
    general = len(tests & {"T02", "T03", "T04", "T05"})
    return 3 * ("T01" in tests) + 3 * bool(tests & CONFIRMING) + general


def _order(shares):
    counted = [float(share.split()[0]) / 100 for share in shares if share != "again"]
    counted = [1 if share >= 0.5 else share for share in counted]
    return 10 * sum(counted) / len(counted) if counted else 0


def _economy(steps, par):
    used, last = 0.0, 0.0
    for step in steps:
        used += (step.minutes - last) * bool(step.step)
        last = step.minutes
    return 10 * min(1.0, max(0.0, 2 - used / par)) if used else 0


def _fault(steps, repairs, stop, right, facts, proven, left):
    if stop is not None:
        return 7.5 * (right[0] in stop.words.partition("Left: ")[2] and left <= 2)
    if not repairs:
        return 0
    last = steps[repairs[-1]].words.removeprefix("Repaired: ")
    circuit = (place for place in facts["Other places of its circuit"] if place)
    if last.startswith(f"{right[0]}, {right[1]}"):
        points = 15
    elif last.startswith(f"{right[0]}, "):
        points = 8
    else:
        points = 5 * any(last.startswith(f"{place}, ") for place in circuit)
    return points if proven else min(points, 7)


def _verification(steps, first, after, facts):
    tell = {words.split(between)[0] for words in facts["Steps that tell"] for between in (" ",)}
    again = any(step.test in tell for step in after if step.test)
    drive = any(
        set(step.under) & set(facts["Conditions of the complaint"])
        for step in after
        if step.test == "T28"
    )
    clears = [i for i, step in enumerate(steps) if step.words == "Memory cleared"]
    late = next((i for i in clears if i > first), None)
    memory = late is not None and any(step.test == "T04" for step in steps[: clears[0]])
    memory = memory and any(step.test == "T04" for step in steps[late:])
    return 4 * again + 3 * drive + 3 * memory


def _record(steps, first):
    points = 0
    notes = [(i, step.words) for i, step in enumerate(steps) if step.words.startswith("Note: ")]
    for place, worth in ((range(first), 2), (range(first + 1, len(steps)), 2)):
        read = set()
        for i in place:
            read |= _values(steps[i].readings)
            if any(j == i and _read(words, read) for j, words in notes):
                points += worth
                break
    return points + bool(notes)


def _values(words):
    return {(float(number.replace(",", ".")), unit) for number, unit in _VALUE.findall(words)}


def _read(note, values):
    return any(
        unit == other and abs(number - value) <= 0.02 * abs(value) + 1e-9
        for number, unit in _values(note)
        for value, other in values
    )
