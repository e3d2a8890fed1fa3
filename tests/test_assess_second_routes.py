"""What a second route says of itself is what its code does: a docstring that promises halving calls
it, one that counts or tries has a loop, one that reads a picture takes its points.
"""

import ast
import re
from pathlib import Path

import pytest

from tractionlab.assess.proof import second

#: What a docstring promises -> what the code, or a route that it calls, must hold.
PROMISES = {
    r"by halving": r"\bhalved\(",
    r"iteration|step by step|steps?\b(?! back)|again and again|raised|drop by drop|small steps|"
    r"never above|tried|by trying|period by period|periods counted|taken? .* away|counter|counted|"
    r"searched|going over": r"\b(for|while)\b",
    r"picture|point|level|period|piece|gaps?\b|fall\b": (
        r"_points\(|_rises\(|x, y\b|_levels\(|\bwhile\b"
    ),
    r"with real parts": r"\bBench\(",
    r"all six orders": r"\bpermutations\(",
    r"sensor model": r"\bwheel_sensor\(",
}


def routes(folder):
    """{name: (docstring, code)} of the functions of a folder; the code of those that a function
    calls comes with its own."""
    found = {}
    for path in sorted(Path(folder).glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef) and (said := ast.get_docstring(node)):
                found[node.name] = said, "\n".join(ast.unparse(line) for line in node.body[1:])

    def whole(name, above=()):
        code = found[name][1]
        called = set(re.findall(r"\b(\w+)\(", code)) & set(found) - {name, *above}
        return code + "".join(whole(one, (*above, name)) for one in called)

    return {name: (said, whole(name)) for name, (said, _) in found.items()}


def untrue(said, code):
    """Promises of a docstring that the code does not keep; [""] where it promises no method."""
    made = [shows for words, shows in PROMISES.items() if re.search(words, said.lower())]
    kept = [bool(re.search(shows, code)) for shows in made]
    return [shows for shows, there in zip(made, kept) if not there] if made else [""]


ROUTES = routes(Path(second.__file__).parent)
#: Helpers and routes that say in their own words what they are, read by a person.
BY_ITSELF = {"connected_with", "halved"}


@pytest.mark.parametrize("name", sorted(name for name in ROUTES if name[0] != "_"))
def test_a_route_does_what_its_docstring_says(name):
    said, code = ROUTES[name]
    assert (untrue(said, code) == []) == (name not in BY_ITSELF), said


def test_a_route_that_only_says_so_is_found(tmp_path):
    (tmp_path / "hollow.py").write_text(
        'def level(volume, flow):\n    """Counted, drop by drop."""\n    return volume / flow\n'
        'def time(volume, flow):\n    """Time, by halving."""\n    return 1 / (flow / volume)\n'
        'def plain(volume, flow):\n    """Time."""\n    return 1 / (flow / volume)\n'
    )
    assert all(untrue(*route) for route in routes(tmp_path).values())
