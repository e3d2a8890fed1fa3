"""The proof put to the test: does it find wrong ideas in the keys, is every second route a method
of its own, and do the dimensions hold?
"""

from dataclasses import dataclass
from itertools import islice
from math import isclose

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.call import function_of
from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.proof.algebra import same_by_algebra
from tractionlab.assess.proof.dimensions import Unchecked, wrong_dimension
from tractionlab.assess.proof.mutants import Mutant, mutants
from tractionlab.assess.proof.second_route import differs, route_of
from tractionlab.assess.proof.worked import evidence_of

#: Draws of each field on which a mutant is tried.
DRAWS = 6
#: An idea that changes the answer by no more than this share is not a wrong one.
NOTHING = 1e-4
#: Share of the wrong ideas that a proof has to find.
LEAST = 0.95


@dataclass(frozen=True)
class Challenge:
    """keys: how many were challenged; caught: mutants that the proof finds; missed: those that it
    does not, in words; hollow: keys whose second route is the key up to algebra; measured: keys
    whose dimensions hold; wrong_units: those whose dimensions do not, in words.
    """

    keys: int
    caught: int
    missed: tuple
    hollow: tuple
    measured: int
    wrong_units: tuple

    @property
    def passed(self):
        """True if the proof finds enough, and nothing is hollow or of a wrong dimension."""
        enough = self.caught >= LEAST * (self.caught + len(self.missed))
        return enough and not self.hollow and not self.wrong_units

    def sentences(self):
        """What an assessor reads."""
        total = self.caught + len(self.missed)
        return [
            f"Wrong ideas put into {self.keys} keys: the proof finds {self.caught} of {total}"
            f" ({100 * self.caught / max(total, 1):.1f} %; asked: {100 * LEAST:.0f} %).",
            "Second routes that equal their key up to algebra:"
            f" {', '.join(self.hollow) or 'none'}.",
            f"Dimensions followed from end to end through {self.measured} keys; wrong:"
            f" {'; '.join(self.wrong_units) or 'none'}.",
        ]


def challenge(chosen):
    """Challenge of the keys of items."""
    caught, missed, hollow, wrong, measured = 0, [], [], [], 0
    asked = _by_key(chosen)
    for name, uses in asked.items():
        call = uses[0][1].key
        function, evidence = function_of("keys", call.module, call.function), evidence_of(call)
        if _is_hollow(function, uses[0][1]):
            hollow.append(name)
        if evidence.units:
            fault = wrong_dimension(function, evidence.units)
            wrong += [f"{name}: {fault}"] if fault else []
            measured += not fault
        cases = list(_cases(uses))
        for mutant in [*mutants(function), *_traps(uses)]:
            if _is_another(mutant, function, cases, evidence):
                if _is_caught(mutant, cases, evidence):
                    caught += 1
                else:
                    missed.append(f"{name}: {mutant.idea} (in {mutant.place})")
    return Challenge(len(asked), caught, tuple(missed), tuple(hollow), measured, tuple(wrong))


def _by_key(chosen):
    """{key: [(item, field)]} of all fields with a computed key."""
    found = {}
    for item in chosen:
        for part in item.fields:
            if part.kind in ("number", "choice", "sketch") and part.key is not None:
                name = f"{part.key.module}.{part.key.function}"
                found.setdefault(name, []).append((item, part))
    return found


def _is_hollow(function, part):
    route = route_of(part.key)
    return part.kind != "choice" and bool(route) and same_by_algebra(function, route, part.points)


def _cases(uses):
    """(field, values, second route's answer or None) of some draws of each field."""
    for item, part in uses:
        route = route_of(part.key)
        for params in islice(fair_draws(item), DRAWS):
            known = {**params, **keys(item, params), "points": part.points}
            values = tuple(known[name] for name in part.key.names)
            yield part, values, route(*values) if route else None


def _traps(uses):
    """The wrong ideas of the items themselves that need no other value than the key does."""
    for _, part in uses:
        for trap in part.traps:
            if set(trap.key.names) <= set(part.key.names):
                order = tuple(part.key.names.index(name) for name in trap.key.names)
                function = function_of("keys", trap.key.module, trap.key.function)
                yield Mutant(trap.idea, trap.key.function, function, order)


def _answer(function, values):
    """What a function gives, or the name of the error that it ends with."""
    try:
        found = function(*values)
    except Exception as fault:  # a wrong idea may fail in any way
        return f"ends with {type(fault).__name__}"
    return "ends with no real number" if isinstance(found, complex) else found


def _same(first, second):
    if isinstance(first, str) or isinstance(second, str):
        return first == second
    if isinstance(first, list):
        return all(map(_same, first, second))
    return isclose(first, second, rel_tol=NOTHING, abs_tol=1e-12)


def _is_another(mutant, function, cases, evidence):
    """False if the mutant gives the key's answers: x + y for y + x is no wrong idea."""
    tried = [values for _, values, _ in cases] + [example.of for example in evidence.worked]
    return not all(_same(_answer(mutant, of), _answer(function, of)) for of in tried)


def _is_caught(mutant, cases, evidence):
    if any(not _agrees(example, mutant) for example in evidence.worked):
        return True
    for part, values, other in cases:
        if other is not None:
            found = _answer(mutant, values)
            if isinstance(found, str) != isinstance(other, str) or differs(part, found, other):
                return True
    return bool(evidence.units) and not mutant.order and _fails_units(mutant, evidence.units)


def _agrees(example, mutant):
    try:
        return example.agrees(mutant)
    except Exception:  # a wrong idea may fail in any way
        return False


def _fails_units(mutant, units):
    try:
        return bool(wrong_dimension(mutant.function, units))
    except (Unchecked, ArithmeticError, ValueError):
        return False
