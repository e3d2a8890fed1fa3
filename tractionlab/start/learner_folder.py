"""Copies the lessons to a learner's folder, and newer ones later, never over the learner's own
work.
"""

import hashlib
import json
import os
from dataclasses import dataclass, field

from tractionlab.catalogue.places import PRIVATE
from tractionlab.errors import UserError
from tractionlab.written.record import FILE_NAME as RECORD

_MEMORY = "shipped.json"
#: Folder of the lessons whose notebooks are for assessors; learners do not get it.
ASSESSOR = "assessor"
_SKIPPED = {"__pycache__", ".ipynb_checkpoints", RECORD, ASSESSOR, "readme_pictures"}


@dataclass
class Copied:
    """What was done: names relative to the learner's folder. `fresh` were the present edition
    already and lost the outputs of an earlier day; `beside` maps a kept lesson to its new
    edition."""

    new: list = field(default_factory=list)
    updated: list = field(default_factory=list)
    fresh: list = field(default_factory=list)
    beside: dict = field(default_factory=dict)


def check_folder(folder, lessons):
    """Make the folder if need be; raise UserError if it cannot serve as a learner's folder."""
    if folder.resolve() == lessons.resolve():
        raise UserError(
            f"{folder} holds the lessons as they are shipped. Choose another one with --folder."
        )
    if folder.exists() and not folder.is_dir():
        raise UserError(f"{folder} is a file, not a folder. Choose another one with --folder.")
    try:
        (folder / PRIVATE).mkdir(parents=True, exist_ok=True)
        probe = folder / PRIVATE / "may-write"
        probe.touch()
        probe.unlink()
    except OSError as error:
        raise UserError(
            f"The course may not write into {folder} ({error.strerror}). "
            "Choose another folder with --folder, for example --folder my-course"
        ) from None


def bring_up_to_date(lessons, folder):
    """Copy each shipped file that the learner lacks, or has in an older edition and left as it was.

    A copy with changed cells stays; the new edition goes once beside it as `name (new
    edition).ipynb`. Outputs and run counts do not make a copy changed. Returns Copied."""
    memory_file = folder / PRIVATE / _MEMORY
    memory = _remembered(memory_file)
    done = Copied()
    for source in sorted(_files(lessons)):
        name = source.relative_to(lessons).as_posix()
        _one_file(source, folder / name, name, memory.setdefault(name, {}), done)
    _write(memory_file, json.dumps(memory, indent=1).encode())
    return done


def fingerprint(path):
    """Hash of a file; of a notebook only what is written in its cells.

    None if there is no such file.
    """
    if not path.is_file():
        return None
    content = path.read_bytes()
    if path.suffix == ".ipynb":
        try:
            cells = [
                [cell["cell_type"], "".join(cell["source"]), cell.get("attachments") or {}]
                for cell in json.loads(content)["cells"]
            ]
            content = json.dumps(cells, sort_keys=True).encode()
        except (ValueError, KeyError, TypeError):
            pass
    return hashlib.sha256(content).hexdigest()


def _files(lessons):
    return (
        path
        for path in lessons.rglob("*")
        if path.is_file() and not _SKIPPED & set(path.relative_to(lessons).parts)
    )


def _one_file(source, target, name, known, done):
    shipped, present = fingerprint(source), fingerprint(target)
    if present == shipped:
        known["copied"] = shipped
        if target.read_bytes() != source.read_bytes():
            _write(target, source.read_bytes())
            done.fresh.append(name)
    elif present is None or present == known.get("copied"):
        _write(target, source.read_bytes())
        known["copied"] = shipped
        (done.new if present is None else done.updated).append(name)
    elif shipped not in (known.get("copied"), known.get("offered")):
        beside = _free_name(target, known.get("offered"))
        _write(beside, source.read_bytes())
        known["offered"] = shipped
        done.beside[name] = beside.name


def _free_name(target, offered):
    """First `name (new edition).ext`, `name (new edition 2).ext` ... that is not there or was left
    as it was.
    """
    number = 1
    while True:
        label = "new edition" if number == 1 else f"new edition {number}"
        path = target.with_name(f"{target.stem} ({label}){target.suffix}")
        if not path.exists() or (offered and fingerprint(path) == offered):
            return path
        number += 1


def _remembered(memory_file):
    """What was copied and offered before; nothing if the file is missing or damaged: then every
    difference is the learner's.
    """
    try:
        memory = json.loads(memory_file.read_text(encoding="utf-8"))
        return {name: dict(known) for name, known in memory.items()}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}


def _write(path, content):
    """Write a file so that an interruption leaves the old one or the new one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(path.name + ".part")
    draft.write_bytes(content)
    os.replace(draft, path)
