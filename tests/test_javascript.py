"""The browser's part without a browser: its format, its types, its unit tests, and the bundler that
makes one text of its modules.

All tools are one program that comes as a Python package (`deno` in the test extras).
"""

import importlib.util
import os
import re
import subprocess
from pathlib import Path

import pytest

from tractionlab.assess.desk.desk import Desk
from tractionlab.lesson.live import LivePage
from tractionlab.lesson.path_tracing import TracePath
from tractionlab.paint.bundle import bundle
from tractionlab.paint.card import Card
from tractionlab.paint.live import LivePicture
from tractionlab.panels.case import CaseBench
from tractionlab.view import COLOURS, DASHES, PALE, PIPE_LOOKS, PIPE_STEPS

ROOT = Path(__file__).resolve().parents[1]
TESTS = ROOT / "tests" / "javascript"


def files(ending):
    """Our own files with that ending, in the package and in the tests."""
    found = [*(ROOT / "tractionlab").rglob(f"*.{ending}"), *TESTS.glob(f"*.{ending}")]
    return sorted(found)


@pytest.fixture(scope="module")
def deno(tmp_path_factory):
    """Calls the program on files; gives what it printed if it failed, else an empty text."""
    if not importlib.util.find_spec("deno"):
        if os.environ.get("CI") == "true":
            pytest.fail("the package deno of the test extras is not installed")
        pytest.skip("the package deno of the test extras is not installed")
    from deno import find_deno_bin

    own = {"DENO_DIR": str(tmp_path_factory.mktemp("deno")), "NO_COLOR": "1"}
    environment = {**os.environ, **own, "DENO_NO_UPDATE_CHECK": "1"}

    def call(*words, paths):
        config = ["--config", str(TESTS / "deno.json")]
        done = subprocess.run(
            [find_deno_bin(), *words, *config, *map(str, paths)],
            capture_output=True,
            text=True,
            encoding="utf-8",
            env=environment,
        )
        return "" if done.returncode == 0 else done.stdout + done.stderr

    return call


def test_every_script_and_style_has_the_one_format(deno):
    assert deno("fmt", "--check", paths=[*files("js"), *files("css")]) == ""


def test_names_and_types_of_the_scripts_agree(deno):
    assert deno("check", "--no-lock", paths=files("js")) == ""


def test_a_misspelt_name_is_seen_by_the_types(deno, tmp_path):
    script = tmp_path / "wrong.js"
    script.write_text('const node = document.createElement("input");\nnode.vlaue = 1;\n')
    assert "vlaue" in deno("check", "--no-lock", paths=[script])


def test_units_of_the_scripts(deno):
    scripts = sorted(TESTS.glob("*_test.js"))
    assert len(scripts) >= 5
    assert deno("test", "--no-check", "--no-lock", paths=scripts) == ""


@pytest.mark.parametrize("ending", ["js", "css"])
def test_no_line_is_over_100_columns(ending):
    assert files(ending)
    assert [
        f"{path.relative_to(ROOT)}:{number}"
        for path in files(ending)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > 100
    ] == []


def test_no_script_is_over_300_lines():
    long = [path.name for path in files("js") if len(path.read_text("utf-8").splitlines()) > 300]
    assert long == []


def test_the_look_in_the_browser_is_the_one_on_paper():
    text = (ROOT / "tractionlab/paint/js/look.js").read_text(encoding="utf-8")
    said = {
        name: re.sub(r"\s", "", value).replace(",]", "]").replace('"', "'")
        for name, value in re.findall(r"export const (\w+) = (.*?);\n", text, re.DOTALL)
    }
    plain = {"COLOURS": COLOURS, "DASHES": DASHES, "PALE": PALE, "PIPE_STEPS": PIPE_STEPS}
    for name, value in {**plain, "PIPE_LOOKS": PIPE_LOOKS}.items():
        words = re.sub(r",?\)", "]", repr(value).replace(" ", "").replace("(", "["))
        words = re.sub(r"(\d)\.0\b", r"\1", words).replace("inf", "Infinity")
        assert said[name].replace(" ", "") == words.replace(" ", "")


@pytest.mark.parametrize("widget", [LivePicture, Card, CaseBench, Desk, LivePage, TracePath])
def test_a_widget_has_each_module_once_and_no_import_left(widget):
    text = getattr(widget, "module", widget._esm)
    assert not re.findall(r"^import\b.*", text, re.MULTILINE)
    assert re.findall(r"^export\b.*", text, re.MULTILINE) == ["export default { render };"]
    assert text.count("\nfunction make(tag,") == 1


def bundled(folder, **modules):
    """Bundle of the module `main` among these texts."""
    for name, text in modules.items():
        (folder / f"{name}.js").write_text(text, encoding="utf-8")
    return bundle(folder / "main.js")


def test_modules_of_a_bundle_keep_their_own_names(deno, tmp_path):
    text = bundled(
        tmp_path,
        one="const own = 1;\nexport const one = () => own;\n",
        two='import { one } from "./one.js";\nconst own = 2;\n'
        "export const two = () => own + one();\n",
        main='import { one } from "./one.js";\nimport {\n  two,\n} from "./two.js";\n'
        'const own = 10;\nif (own + one() + two() !== 14) throw new Error("mixed up");\n',
    )
    whole = tmp_path / "whole.js"
    whole.write_text(text, encoding="utf-8")
    assert deno("run", "--no-lock", paths=[whole]) == ""


@pytest.mark.parametrize(
    "line",
    [
        'import all from "./one.js";',
        'import * as all from "./one.js";',
        "export let count = 0;",
        'export * from "./one.js";',
    ],
)
def test_what_the_bundler_does_not_know_it_refuses(tmp_path, line):
    with pytest.raises(ValueError, match="cannot bundle the line"):
        bundled(tmp_path, one="export const one = 1;\n", main=f"{line}\n")


def test_modules_in_a_circle_are_refused(tmp_path):
    with pytest.raises(ValueError, match=r"main\.js imports itself by way of one\.js"):
        bundled(
            tmp_path,
            one='import { main } from "./main.js";\n',
            main='import { one } from "./one.js";\n',
        )


def test_what_is_not_handed_out_is_missed_when_bundling(tmp_path):
    """An `export` of two names hands out the first: the second would be undefined in the page."""
    with pytest.raises(ValueError, match=r"one\.js does not export two"):
        bundled(
            tmp_path,
            one="export const one = 1, two = 2;\n",
            main='import { one, two } from "./one.js";\n',
        )
