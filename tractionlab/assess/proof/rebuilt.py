"""A function built again with other things behind its names: mutants, quantities with units, and
numbers that nothing can be decided on go in this way.
"""

from types import FunctionType, ModuleType, SimpleNamespace

#: Functions of these packages are built again too, where a rebuilt function calls them.
_OURS = ("tractionlab.assess.", "tractionlab.textbook.", "tractionlab.sensors.ring")


def is_ours(thing):
    """True if `thing` is a plain function of the course that can be built again."""
    return isinstance(thing, FunctionType) and (thing.__module__ or "").startswith(_OURS)


def names_of(code):
    """All names that a piece of code looks up, with those of comprehensions inside it."""
    names = set(code.co_names)
    for part in code.co_consts:
        if hasattr(part, "co_names"):
            names |= names_of(part)
    return names


def with_globals(function, changes):
    """The function with some of its global names standing for other things."""
    new = FunctionType(
        function.__code__,
        {**function.__globals__, **changes},
        function.__name__,
        function.__defaults__,
        function.__closure__,
    )
    new.__kwdefaults__, new.__module__ = function.__kwdefaults__, function.__module__
    return new


def rebuilt(function, replace):
    """The function, and every function of the course that it calls, with `replace` (name -> thing)
    behind their names and in place of defaults of that name.
    """
    changes = {}
    for name in names_of(function.__code__):
        known = function.__globals__.get(name)
        if name in replace:
            changes[name] = replace[name]
        elif is_ours(known) and known is not function:
            changes[name] = rebuilt(known, replace)
        elif isinstance(known, ModuleType) and known.__name__.startswith(_OURS):
            wanted = names_of(function.__code__)
            changes[name] = SimpleNamespace(
                **{
                    key: rebuilt(thing, replace)
                    for key, thing in vars(known).items()
                    if key in wanted and is_ours(thing)
                }
            )
    new = with_globals(function, changes)
    if function.__defaults__:
        names = function.__code__.co_varnames[: function.__code__.co_argcount]
        named = names[-len(function.__defaults__) :]
        new.__defaults__ = tuple(
            replace.get(name, value) for name, value in zip(named, function.__defaults__)
        )
    return new
