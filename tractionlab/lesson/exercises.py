"""Own-number exercises: what one is, how its numbers are drawn, how an answer is judged.

The right answer is always computed.
"""

import hashlib
from dataclasses import dataclass
from importlib import import_module
from itertools import count, cycle, islice
from math import gcd, isclose, prod

from tractionlab.written.numbers import UNITS, Unreadable, convert, read, show

TOLERANCE = 0.02  #: of a formula answer; counts must be exact
TRAP_TOLERANCE = 0.01
_MODULES = (
    "exercises_grip",
    "exercises_differential",
    "exercises_sensors",
    "exercises_reference",
    "exercises_torque",
    "exercises_strategy",
    "exercises_layout_a",
    "exercises_layout_b",
    "exercises_diagnosis",
    "exercises_measuring",
    "exercises_finding",
    "exercises_service",
)


@dataclass(frozen=True)
class Trap:
    """An answer that a known wrong idea gives, in the part's unit, and the sentence that helps out
    of it.
    """

    value: float
    why: str


@dataclass(frozen=True, kw_only=True)
class Part:
    """One number asked for.

    `answer` and `sensible` (lowest, highest possible) are in `unit`; counts are `exact`.
    """

    label: str
    unit: str
    answer: float
    sensible: tuple
    traps: tuple = ()
    exact: bool = False


@dataclass(frozen=True, kw_only=True)
class Task:
    """An exercise with its numbers: text, data as (label, value with unit), parts, two hints and
    the steps of the working.

    `case` says which of several kinds of case the numbers make, if they are worked differently
    ("rear", "front")."""

    text: str
    data: tuple
    parts: tuple
    hints: tuple
    working: tuple
    possible: bool = True
    case: str = ""


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """`build(**numbers)` gives the Task; `draws` has the values for each of its keywords."""

    id: str
    lesson: int
    title: str
    draws: dict
    build: object

    def numbers(self):
        """All combinations of the lists that make a fair task, as dicts, in a fixed order."""
        for index in range(self._total):
            if self._fair(numbers := self._combination(index)):
                yield numbers

    def task(self, key, draw):
        """Task number `draw` (0, 1, ...) of the learner with this key: always the same for the same
        two.
        """
        start = int.from_bytes(hashlib.sha256(f"{key} {self.id}".encode()).digest()[:8])
        stride = next(
            step
            for step in range(int(self._total * 0.618), self._total)
            if gcd(step, self._total) == 1
        )
        walk = (self._combination((start + i * stride) % self._total) for i in range(self._total))
        return self.build(**next(islice(cycle(filter(self._fair, walk)), draw, None)))

    def like(self, task, key, draw):
        """The first task from number `draw` on that is the same kind of case as `task`, with other
        numbers.
        """
        later = (self.task(key, number) for number in count(draw))
        return next(other for other in later if other.case == task.case and other.data != task.data)

    @property
    def _total(self):
        return prod(len(values) for values in self.draws.values())

    def _combination(self, index):
        numbers = {}
        for name, values in self.draws.items():
            index, place = divmod(index, len(values))
            numbers[name] = values[place]
        return numbers

    def _fair(self, numbers):
        task = self.build(**numbers)
        return task.possible and all(_fair(part) for part in task.parts)


def _fair(part):
    """No wrong idea gives a right answer, and the right answer is not called impossible."""
    low, high = part.sensible
    return low <= part.answer <= high and not any(
        _close(trap.value, part, 1.2 * TOLERANCE) for trap in part.traps
    )


def exercise(id, lesson, title, **draws):
    """Decorator: a function from drawn numbers to a Task becomes an Exercise."""
    return lambda build: Exercise(id=id, lesson=lesson, title=title, draws=draws, build=build)


def all_exercises():
    """Exercises by id."""
    found = {}
    for name in _MODULES:
        module = import_module(f"{__package__}.{name}")
        found |= {thing.id: thing for thing in vars(module).values() if isinstance(thing, Exercise)}
    return found


@dataclass(frozen=True)
class Verdict:
    """How an answer was judged: 'right', 'wrong', 'unit', 'size' or 'unreadable'.

    Only 'right' and 'wrong' count as a try.
    """

    kind: str
    message: str


def judge(text, part):
    """Judge a typed answer to one part."""
    try:
        reading = read(text)
    except Unreadable as error:
        return Verdict("unreadable", str(error))
    value = convert(reading.number, reading.unit or part.unit, part.unit)
    asked = _named(part.unit)
    if value is None:
        return Verdict(
            "unit",
            f"{reading.unit} measures a {UNITS[reading.unit][0]}. Asked is a {UNITS[part.unit][0]}"
            f" in {asked}.",
        )
    if _right(value, part):
        return Verdict("right", f"Right: {_shown(part)}.")
    if unit := _unit_that_fits(reading, part):
        return Verdict(
            "unit",
            f"The number is right in {_named(unit)}, but"
            f" {'you wrote' if reading.unit else 'asked is'} {_named(reading.unit or part.unit)}."
            f" Give it in {asked}.",
        )
    if advice := _grouped(text, reading, part):
        return Verdict("unreadable", advice)
    low, high = part.sensible
    if not low <= value <= high:
        return Verdict(
            "size",
            f"Check the size: I read {reading.number:g} {reading.unit or part.unit}, and that"
            " cannot be. This does not count as a try.",
        )
    trap = next(
        (trap for trap in part.traps if _close(value, part, TRAP_TOLERANCE, trap.value)), None
    )
    return Verdict(
        "wrong", trap.why if trap else "Not yet. Look at your steps again, or take a hint."
    )


def _right(value, part):
    return round(value, 9) == part.answer if part.exact else _close(value, part, TOLERANCE)


def _close(value, part, tolerance, target=None):
    target = part.answer if target is None else target
    if part.exact:
        return round(value) == round(target)
    return isclose(value, target, rel_tol=tolerance, abs_tol=1e-12) if target else value == 0


def _unit_that_fits(reading, part):
    """The unit in which the typed number would be right, or None."""
    same = (unit for unit, (quantity, _) in UNITS.items() if quantity == UNITS[part.unit][0])
    return next(
        (unit for unit in same if _right(convert(reading.number, unit, part.unit), part)), None
    )


def _grouped(text, reading, part):
    if _right(convert(reading.number, reading.unit or part.unit, part.unit) * 1000, part):
        return (
            f"I read {text.strip()} as {reading.number:g}: comma and point mark decimals. "
            "Write a thousand without a separator."
        )
    return None


def _named(unit):
    return "a plain number" if unit == "1" else unit


def _shown(part):
    number = str(round(part.answer)) if part.exact else show(part.answer)
    return number if part.unit in ("1", "times") else f"{number} {part.unit}"
