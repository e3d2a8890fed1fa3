"""The house keeps its floors: a room of the package imports only from rooms below it, and no module
imports itself by a detour.
"""

import ast
import tomllib
from functools import lru_cache
from pathlib import Path
from statistics import median

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "tractionlab"
#: Rooms from the ground up; DEVELOPERS.md says what each holds. `hall` are the modules that lie in
#: no room.
FLOORS = (
    "hall",
    "view",
    "catalogue",
    "written",
    "physics",
    "hydraulics",
    "sensors",
    "textbook",
    "paint",
    "control",
    "run",
    "bench",
    "figures",
    "diagnosis",
    "workshop",
    "checks",
    "panels",
    "assess",
    "lesson",
    "start",
    "cli",
)
#: The door of the house: may name any room, loads it when asked.
DOORS = {"tractionlab", "tractionlab.__main__"}


@lru_cache(maxsize=1)
def modules():
    """{dotted name: path} of every module of the package."""
    found = {}
    for path in PACKAGE.rglob("*.py"):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def code(*kinds):
    """Files of the package with these endings."""
    return [path for path in sorted(PACKAGE.rglob("*")) if path.suffix in kinds]


def imports(name, text, path):
    """(line, dotted name) of every import of the course's own, also inside functions and by
    `import_module("...")`.
    """
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = (
                package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            )
            base = ".".join([*above, *filter(None, [node.module])])
            for alias in node.names:
                whole = f"{base}.{alias.name}"
                yield node.lineno, whole if whole in modules() else base
        elif _loads_by_name(node):
            yield node.lineno, node.args[0].value


def _loads_by_name(node):
    called = isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", ""))
    return called == "import_module" and isinstance(node.args[0], ast.Constant)


def room(name):
    """Room of a module by its dotted name."""
    parts = name.split(".")
    return parts[1] if len(parts) > 1 and (PACKAGE / parts[1]).is_dir() else "hall"


def arrows():
    """(module, line, imported module) of all modules but the doors."""
    for name, path in modules().items():
        for line, other in imports(name, path.read_text(encoding="utf-8"), path):
            if (
                name not in DOORS
                and other.split(".")[0] == "tractionlab"
                and other != "tractionlab"
            ):
                yield name, line, other


def climbs(found):
    """Those arrows that lead to a higher floor, in words."""
    rank = {name: floor for floor, name in enumerate(FLOORS)}
    return [
        f"{name}:{line} imports {other}"
        for name, line, other in found
        if rank[room(other)] > rank[room(name)]
    ]


def circles(found):
    """Modules that can be reached from themselves."""
    graph = {}
    for name, _, other in found:
        graph.setdefault(name, set()).add(other)
    reached = {name: set(others) for name, others in graph.items()}
    grown = True
    while grown:
        grown = False
        for others in reached.values():
            more = set().union(*(graph.get(other, ()) for other in others)) - others
            others |= more
            grown = grown or bool(more)
    return sorted(name for name, others in reached.items() if name in others)


def test_every_room_stands_on_the_list():
    folders = {
        path.name
        for path in PACKAGE.iterdir()
        if path.is_dir() and (path / "__init__.py").is_file()
    }
    assert folders == set(FLOORS) - {"hall"}
    assert len(FLOORS) <= 24


def test_a_module_is_one_topic_long():
    lines = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in code(".py")}
    assert [path.name for path, length in lines.items() if length > 300] == []
    assert 60 <= median(lines.values()) <= 200


def test_the_law_of_the_control_unit_can_be_read_in_an_evening():
    """At most 900 lines of code. Lists of names, coded values and what a line imports or explains
    are not counted: who reads the law looks them up.
    """
    lists, count = {"settings.py", "hydraulics.py", "phases.py"}, 0
    for path in (PACKAGE / "control").glob("*.py"):
        if path.name not in lists:
            text = path.read_text(encoding="utf-8")
            apart = {0}
            for node in ast.walk(ast.parse(text)):
                alone = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
                if alone or isinstance(node, ast.Import | ast.ImportFrom):
                    apart |= set(range(node.lineno, node.end_lineno + 1))
            lines = enumerate(text.splitlines(), 1)
            count += sum(
                number not in apart and not line.strip().startswith(("#", '"""')) and line != ""
                for number, line in lines
            )
    assert 500 < count <= 900


def test_no_script_style_or_page_is_wider_than_the_code():
    """`ruff` keeps it in Python."""
    wide = [
        f"{path.name}:{number}"
        for path in code(".js", ".css", ".html")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > 100
    ]
    assert wide == []


def test_no_list_of_exceptions_is_long():
    settings = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text(encoding="utf-8"))
    ruff = settings["tool"]["ruff"]["lint"]
    assert ruff["pylint"]["max-args"] == 8
    assert len(ruff["ignore"]) <= 15
    assert sum(map(len, ruff["per-file-ignores"].values())) <= 15
    assert "PLR0913" not in str(ruff["per-file-ignores"])
    assert sum("# noqa" in path.read_text(encoding="utf-8") for path in code(".py")) <= 15


def test_no_room_imports_from_above():
    assert climbs(arrows()) == []


def test_no_module_imports_itself_by_a_detour():
    assert circles(list(arrows())) == []


@pytest.mark.parametrize(
    "text",
    [
        "from tractionlab.panels.base import Panel",
        "import tractionlab.panels.base",
        "def f():\n    from tractionlab.panels import base",
        "from importlib import import_module\nimport_module('tractionlab.panels.base')",
        "from ..panels import base",
    ],
)
def test_an_arrow_that_climbs_is_seen(text):
    path = PACKAGE / "physics" / "tyre.py"
    found = [
        ("tractionlab.physics.tyre", line, other)
        for line, other in imports("tractionlab.physics.tyre", text, path)
        if other.startswith("tractionlab")
    ]
    assert climbs(found)


def test_a_circle_is_seen():
    assert circles([("a", 1, "b"), ("b", 1, "c"), ("c", 1, "a"), ("d", 1, "a")]) == ["a", "b", "c"]
