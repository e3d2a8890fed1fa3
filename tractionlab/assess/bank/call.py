"""A call written in an item: "grip.push(grip, mass)" names a function of assess/keys/grip.py and
the values it gets. Never a number.
"""

import re
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from inspect import signature

#: Family of functions -> its folder.
_FAMILIES = {"keys": "keys", "second": "proof.second"}
_CALL = re.compile(r"([a-z]+)\.([a-z][a-z0-9_]*)\(([a-z0-9_, ]*)\)")


@dataclass(frozen=True)
class Call:
    """Function `function` of `keys/<module>`, called with the values that are named."""

    module: str
    function: str
    names: tuple

    def run(self, values, family="keys"):
        """Result for `values` (mapping name -> value).

        `family` "keys", or "second" for the second route of the proof.
        """
        return function_of(family, self.module, self.function)(
            *(values[name] for name in self.names)
        )

    def __str__(self):
        return f"{self.module}.{self.function}({', '.join(self.names)})"


@cache
def function_of(family, module, function):
    """Function of a family of functions; AttributeError if it has none of that name."""
    return getattr(import_module(f"tractionlab.assess.{_FAMILIES[family]}.{module}"), function)


def read_call(reader, field, text, names):
    """Call from its text; function and parameter names must exist."""
    found = _CALL.fullmatch(text) if isinstance(text, str) else None
    if found is None:
        raise reader.wrong(f"{field} must be written as module.function(name, name), got {text!r}")
    call = Call(
        found[1], found[2], tuple(name.strip() for name in found[3].split(",") if name.strip())
    )
    try:
        wanted = len(signature(function_of("keys", call.module, call.function)).parameters)
    except (ImportError, AttributeError):
        raise reader.wrong(
            f"{field}: there is no function {call.function} in assess/keys/{call.module}.py"
        ) from None
    if len(call.names) != wanted:
        raise reader.wrong(
            f"{field}: {call.module}.{call.function} takes {wanted} values, got {len(call.names)}"
        )
    for name in call.names:
        if name not in names:
            raise reader.wrong(
                f"{field}: {name!r} is neither drawn nor an earlier field; known are"
                f" {', '.join(sorted(names))}"
            )
    return call
