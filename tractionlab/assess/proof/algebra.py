"""Is a second route the key's own expression in another order? Then a wrong idea passes both.

A route that counts, halves, searches, simulates or reads a picture decides on numbers. Here it gets
symbols: numbers that can be reckoned with, and on which nothing can be decided. A route that comes
to its end all the same is a closed expression; where it agrees with the key at random values, it is
the key up to algebra.
"""

import math
import random
from inspect import signature
from math import isclose
from types import SimpleNamespace

from tractionlab.assess.proof.rebuilt import rebuilt

#: Random values at which key and route are compared: two different closed expressions of these
#: sizes do not agree at so many.
_PLACES = 6


class Symbol:
    """Stands for a number that is not known: every decision on it is a TypeError."""

    def __init__(self, value):
        self._value = value

    def __bool__(self):
        raise TypeError("a symbol cannot be decided on")

    __array_ufunc__ = None  # nor can a picture be drawn of it
    __lt__ = __le__ = __gt__ = __ge__ = __eq__ = lambda self, other: bool(self)
    __hash__ = None


def _operation(name):
    def operate(self, *others):
        values = [other._value if isinstance(other, Symbol) else other for other in others]
        if not all(isinstance(value, (int, float)) for value in values):
            return NotImplemented
        return Symbol(getattr(float(self._value), name)(*map(float, values)))

    return operate


for _name in "add radd sub rsub mul rmul truediv rtruediv pow rpow neg abs".split():
    setattr(Symbol, f"__{_name}__", _operation(f"__{_name}__"))


def _of_symbols(function):
    def taken(*values):
        inner = [value._value if isinstance(value, Symbol) else value for value in values]
        return Symbol(function(*inner))

    return taken


_MATH = {
    name: _of_symbols(getattr(math, name))
    for name in ("sqrt", "exp", "log", "log2", "sin", "cos", "tan", "atan", "radians", "degrees")
} | {"float": lambda value: value}
_MATH["math"] = SimpleNamespace(**_MATH)


def same_by_algebra(key, route, points=()):
    """True if `route` is `key` up to algebra. `points`: those of the x axis, for a curve.

    A count may stand in the route as a number, since adding a thing so many times is multiplying.
    """
    names = [name for name in signature(route).parameters if name != "points"]
    given = {"points": list(points)} if len(points) else {}
    counts = names if len(names) > 1 else []
    return any(_agree(key, rebuilt(route, _MATH), names, given, count) for count in (None, *counts))


def _agree(key, route, names, given, count):
    draw = random.Random(1)
    for _ in range(_PLACES):
        values = {name: draw.uniform(0.2, 9.0) for name in names}
        if count:
            values[count] = draw.randint(2, 9)
        symbols = {
            name: value if name == count else Symbol(value) for name, value in values.items()
        }
        try:
            found = [_number(term) for term in _listed(route(**symbols, **given))]
            wanted = [float(term) for term in _listed(key(*values.values(), *given.values()))]
        except (TypeError, AttributeError, ValueError, KeyError, ArithmeticError):
            return False
        if not all(map(_near, found, wanted)):
            return False
    return True


def _near(first, second):
    return isclose(first, second, rel_tol=1e-9, abs_tol=1e-12)


def _number(term):
    return float(term._value if isinstance(term, Symbol) else term)


def _listed(result):
    return result if isinstance(result, list) else [result]
