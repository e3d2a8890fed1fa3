"""Part "habits" of `tractionlab test`: rules, format, types, worked examples and spelling of the
code.
"""

import subprocess
import sys
from typing import NamedTuple

#: Modules whose docstrings work out numbers by hand.
EXAMPLES = (
    "tractionlab/physics/tyre.py",
    "tractionlab/physics/hydraulics.py",
    "tractionlab/textbook",
)


class Habit(NamedTuple):
    """What is looked at, the words after `python -m` that look, and what the reader does then."""

    name: str
    command: tuple
    mend: str


HABITS = (
    Habit(
        "rules",
        ("ruff", "check", "--quiet", "tractionlab", "tests"),
        "python -m ruff check --fix tractionlab tests, and the rest by hand",
    ),
    Habit(
        "format",
        ("ruff", "format", "--check", "--quiet", "tractionlab", "tests"),
        "python -m ruff format tractionlab tests",
    ),
    Habit("types", ("mypy", "--no-error-summary"), "by hand; python -m mypy looks again"),
    Habit(
        "examples",
        ("pytest", "--doctest-modules", "-p", "no:cacheprovider", *EXAMPLES),
        "by hand: the docstring or the formula is wrong",
    ),
    Habit(
        "spelling",
        ("codespell_lib", "tractionlab", "tests", "data", "lessons", "README.md", "DEVELOPERS.md"),
        "python -m codespell_lib -i 3 -w FILE, or add a word that is right to pyproject.toml",
    ),
)


def run_habits():
    """Look at every habit; print one line for each, and for a broken one what is wrong and what
    mends it. Returns the words for the summary.
    """
    broken = []
    for habit in HABITS:
        done = subprocess.run(
            [sys.executable, "-m", *habit.command], capture_output=True, text=True
        )
        if done.returncode == 0:
            print(f"{habit.name}: kept", flush=True)
            continue
        broken.append(habit.name)
        print(f"{habit.name}: BROKEN\n{(done.stdout + done.stderr).strip()}")
        print(f"to mend: {habit.mend}", flush=True)
    return f"FAILED: {', '.join(broken)}" if broken else "passed"
