"""Where a candidate's personal data lies in folders: answer files, issued folders, sheets, reports,
the key file. Finds them, and deletes what is one person's.
"""

import json
import re
import shutil
from dataclasses import dataclass
from pathlib import Path

from tractionlab.assess.answers.folder import content_of, printable
from tractionlab.assess.answers.reading import claimed
from tractionlab.assess.sitting.candidate_notebook import SHEET_FILE
from tractionlab.assess.sitting.sitting import KEY_FILE
from tractionlab.errors import UserError

#: Pages about one candidate, by the beginning of their name. Any other page that names the sitting
#: is about several.
_OWN = ("feedback_{}.", "second_{}.")
_OF_ONE = re.compile(r"(feedback|second)_[A-Za-z0-9-]+\.(html|pdf)")
_TABLES = (
    "results.csv",
    "marks.csv",
    "changes.csv",
    "files.csv",
    "markbook.json",
    "second_marks.csv",
    "resit_plan.csv",
)
_LONGEST_PAGE = 60_000_000


@dataclass(frozen=True)
class Trace:
    """A file or folder with personal data. what: "delete" (it is of this candidate alone), "blank"
    (a key file: the name is taken out of it), "shared" (it names several people, so a person has to
    decide)."""

    path: Path
    what: str


def find(folders, sitting, numbers):
    """Traces of candidates of a sitting under folders, in order. Links are not followed.

    Parameters
    ----------
    folders : paths; sitting : id; numbers : candidate numbers
    """
    found = {}
    for folder in map(Path, folders):
        if not folder.is_dir():
            raise UserError(
                f"{folder} is no folder. Name a folder in which copies may lie: an issued sitting,"
                " the inbox, the reports."
            )
        issued = [
            path.parent
            for path in sorted(folder.rglob(SHEET_FILE))
            if not path.is_symlink()
            and _sheet_of(path) in {(sitting, number) for number in numbers}
        ]
        found |= {path: Trace(path, "delete") for path in issued}
        for path in sorted(
            path
            for path in folder.rglob("*")
            if path.is_file()
            and not path.is_symlink()
            and not any(above in found for above in path.parents)
        ):
            if what := _what(path, sitting, numbers):
                found[path] = Trace(path, what)
    return list(found.values())


def _sheet_of(path):
    table = _table(path)
    return (table.get("sitting"), table.get("candidate")) if isinstance(table, dict) else None


def _table(path):
    try:
        return json.loads(path.read_bytes()[:_LONGEST_PAGE])
    except (OSError, ValueError, RecursionError):
        return None


def _what(path, sitting, numbers):
    if path.name == KEY_FILE:
        table = _table(path)
        return "blank" if isinstance(table, dict) and table.get("id") == sitting else ""
    if any(path.name.startswith(name.format(number)) for name in _OWN for number in numbers):
        return "delete" if _about(path, sitting) else ""
    if path.suffix in (".html", ".pdf"):
        of_another = _OF_ONE.fullmatch(path.name)
        return "shared" if not of_another and _about(path, sitting) else ""
    if path.name in _TABLES:
        return "shared"
    content, _ = content_of(path)
    claim = claimed(content) if content[:1] == b"{" else None
    return "delete" if claim is not None and claim[0] == sitting and claim[1] in numbers else ""


def _about(path, sitting):
    """True if a page or PDF is of this sitting: each print says so."""
    try:
        return sitting.encode() in path.read_bytes()[:_LONGEST_PAGE]
    except OSError:
        return False


def wipe(traces, numbers):
    """Delete what is of these candidates alone and take their names out of key files.

    What is shared is left.
    """
    for trace in traces:
        if trace.what == "delete":
            shutil.rmtree(trace.path) if trace.path.is_dir() else trace.path.unlink()
        elif trace.what == "blank":
            table = _table(trace.path)
            for number in set(numbers) & set(table["candidates"]):
                table["candidates"][number] |= {
                    "name": "",
                    "extra_percent": 0,
                    "larger_print": False,
                }
            trace.path.write_text(json.dumps(table, ensure_ascii=False, indent=1), encoding="utf-8")


def listed(traces):
    """What would happen to each, as lines of text."""
    words = {
        "delete": "deleted",
        "blank": "stays, without the name",
        "shared": "names several people: print it again after this, or delete it yourself",
    }
    return [f"  {printable(str(trace.path))}: {words[trace.what]}" for trace in traces]
