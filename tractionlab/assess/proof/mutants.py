"""Wrong ideas put into a key, one at a time: what the proof must find.

Each mutant is the key's function, or a textbook formula that it calls, with one place of it
changed: a ratio turned, a factor or a term left out, a sign, a number, an angle in degrees for
radians, not rounded, a comparison turned, two values mixed up.
"""

import ast
import inspect
import textwrap
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from types import ModuleType, SimpleNamespace

from tractionlab.assess.proof.rebuilt import is_ours, names_of, with_globals

_TURNED = {
    ast.Lt: ast.Gt,
    ast.Gt: ast.Lt,
    ast.LtE: ast.GtE,
    ast.GtE: ast.LtE,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
}
_OTHER_CALL = {"sin": "cos", "cos": "sin", "min": "max", "max": "min", "log2": "log", "exp": "abs"}
_ANGLES, _ROUNDING = ("sin", "cos", "tan"), ("ceil", "floor", "round", "sqrt", "abs")


@dataclass(frozen=True)
class Mutant:
    """A function with a wrong idea in it. place: name of the function that was changed; order:
    which of the values stands in each place, where two are mixed up.
    """

    idea: str
    place: str
    function: object
    order: tuple = ()

    def of(self, values):
        """Values in the order in which the function gets them."""
        return [values[place] for place in self.order] if self.order else list(values)

    def __call__(self, *values):
        return self.function(*self.of(values))


def mutants(function):
    """All mutants of a key's function, those of the formulas it calls too."""
    return [*_mixed_up(function), *_inside(function)]


def _mixed_up(function):
    names = list(inspect.signature(function).parameters)
    for first, second in combinations(range(len(names)), 2):
        if "points" not in (names[first], names[second]):
            order = list(range(len(names)))
            order[first], order[second] = second, first
            idea = f"{names[first]} and {names[second]} mixed up"
            yield Mutant(idea, function.__name__, function, tuple(order))


@cache
def _inside(function):
    """Mutants by a change in the code of the function, or of one that it calls."""
    found = list(_changed(function))
    for name in sorted(names_of(function.__code__)):
        known = function.__globals__.get(name)
        if is_ours(known) and known is not function:
            found += [
                Mutant(m.idea, m.place, with_globals(function, {name: m.function}))
                for m in _inside(known)
            ]
        elif isinstance(known, ModuleType):
            called = names_of(function.__code__) & set(vars(known))
            for inner in sorted(called):
                if is_ours(vars(known)[inner]):
                    found += [
                        Mutant(m.idea, m.place, _through(function, name, known, inner, m.function))
                        for m in _inside(vars(known)[inner])
                    ]
    return tuple(found)


def _through(function, name, module, inner, mutant):
    return with_globals(function, {name: SimpleNamespace(**{**vars(module), inner: mutant})})


def _changed(function):
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    tree.body[0].decorator_list = []
    nodes = [node for statement in tree.body[0].body for node in ast.walk(statement)]
    for place, node in enumerate(nodes):
        for idea, change in _changes(node):
            copy = deepcopy(tree)
            target = [n for statement in copy.body[0].body for n in ast.walk(statement)][place]
            copy = ast.fix_missing_locations(_Put(target, change(target)).visit(copy))
            there = dict(function.__globals__)
            exec(compile(copy, function.__module__, "exec"), there)
            new = there[function.__name__]
            new.__module__ = function.__module__
            yield Mutant(idea, function.__name__, new)


class _Put(ast.NodeTransformer):
    def __init__(self, old, new):
        self.old, self.new = old, new

    def visit(self, node):
        return self.new if node is self.old else self.generic_visit(node)


def _binary(operator, turned=False):
    return lambda n: ast.BinOp(
        *((n.right, operator(), n.left) if turned else (n.left, operator(), n.right))
    )


def _left(node):
    return node.left


def _right(node):
    return node.right


def _argument(node):
    return node.args[0]


def _changes(node):
    """(idea, function from the node to what stands in its place) for one node of the code."""
    if isinstance(node, ast.BinOp):
        yield from _of_operation(node)
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in _TURNED:
        turned = _TURNED[type(node.ops[0])]
        yield (
            f"comparison turned: {ast.unparse(node)}",
            lambda n: ast.Compare(n.left, [turned(), *n.ops[1:]], n.comparators),
        )
    elif isinstance(node, ast.BoolOp):
        other = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield "and for or", lambda n: ast.BoolOp(other(), n.values)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args:
        yield from _of_call(node)
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float) and node.value:
        yield f"{node.value:g} half as large again", lambda n: ast.Constant(1.5 * n.value)


def _of_operation(node):
    words, kind = ast.unparse(node), type(node.op)
    if kind is ast.Div:
        yield f"ratio turned: {words}", _binary(ast.Div, turned=True)
        yield f"multiplied for divided: {words}", _binary(ast.Mult)
        yield f"divisor left out: {words}", _left
    elif kind is ast.Mult:
        yield f"divided for multiplied: {words}", _binary(ast.Div)
        yield f"factor left out: {words}", _left
        yield f"factor left out: {words}", _right
    elif kind in (ast.Add, ast.Sub):
        yield f"sign: {words}", _binary(ast.Sub if kind is ast.Add else ast.Add)
        yield f"term left out: {words}", _left
        yield f"term left out: {words}", _right
    elif kind is ast.Pow:
        yield f"power left out: {words}", _left


def _of_call(node):
    name, words = node.func.id, ast.unparse(node)
    if name in _ROUNDING:
        yield f"{name} left out: {words}", _argument
    if name in _ANGLES:
        yield f"degrees for radians: {words}", _in_degrees
    if name in _OTHER_CALL:
        yield (
            f"{_OTHER_CALL[name]} for {name}: {words}",
            lambda n: ast.Call(ast.Name(_OTHER_CALL[name], ast.Load()), n.args, n.keywords),
        )


def _in_degrees(node):
    factor = ast.Constant(57.29577951308232)
    return ast.Call(node.func, [ast.BinOp(node.args[0], ast.Mult(), factor)], [])
