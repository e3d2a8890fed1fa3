"""Worked examples of the keys, and the units of their values: data/proof.toml.

They are written apart from the keys: from a source that is named, or worked by hand. Where a key
has no second route, they are what shows it.
"""

from dataclasses import dataclass
from functools import lru_cache
from inspect import signature
from math import isclose

from tractionlab.assess.bank.call import function_of
from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml

#: How far a key may be off a worked example, as a share: what is left of its last digit.
SAME = 5e-4
BY_HAND = "worked by hand here"


@dataclass(frozen=True)
class Example:
    """Values, what they give, how it is worked, and where the example comes from."""

    of: tuple
    gives: object
    how: str
    source: str

    def agrees(self, function):
        """True if the function gives the worked result."""
        found = function(*self.of)
        if isinstance(self.gives, str):
            return found == self.gives
        pairs = zip(found, self.gives) if isinstance(self.gives, list) else [(found, self.gives)]
        return all(isclose(a, b, rel_tol=SAME, abs_tol=1e-9) for a, b in pairs)

    def words(self):
        """One line for the report."""
        given = ", ".join(_short(value) for value in self.of)
        return f"{given} give {_short(self.gives)}: {self.how} ({self.source})"


def _short(value):
    if isinstance(value, list):
        return f"[{', '.join(_short(part) for part in value)}]"
    return value if isinstance(value, str) else f"{value:g}"


@dataclass(frozen=True)
class Evidence:
    """What is known of a key beside its code: units ("bar, m -> N", "" = none stated) and worked
    examples.
    """

    units: str = ""
    worked: tuple = ()


def evidence_of(call):
    """Evidence of the key that an item calls."""
    return read_evidence().get((call.module, call.function), Evidence())


@lru_cache(maxsize=1)
def read_evidence(path=None):
    """{(module, function): Evidence} of the file of worked examples."""
    path = path or data_folder() / "proof.toml"
    found = {}
    for module, functions in read_toml(path).items():
        for name, table in functions.items():
            found[module, name] = _read(
                TableReader(f"{path.name}, [{module}] {name}"), table, module, name
            )
    return found


def _read(reader, table, module, name):
    reader.check_keys(table, {"units", "worked"}, "key")
    try:
        count = len(signature(function_of("keys", module, name)).parameters)
    except (ImportError, AttributeError):
        raise reader.wrong(f"there is no function {name} in assess/keys/{module}.py") from None
    units = table.get("units", "")
    if units and len(units.split("->")[0].split(",")) != count:
        raise reader.wrong(f"units must name {count} values and the result, got {units!r}")
    rows = reader.rows(
        {"worked": [], **table},
        "worked",
        {"of", "gives", "how", "source"},
        ("of", "gives", "how"),
        shortest=0,
    )
    for row in rows:
        if len(row["of"]) != count:
            raise reader.wrong(f"worked: of must have {count} values, got {row['of']}")
    return Evidence(
        units,
        tuple(
            Example(
                tuple(row["of"]), row["gives"], reader.text(row, "how"), row.get("source", BY_HAND)
            )
            for row in rows
        ),
    )
