"""Reads data/questions.toml, checks it, and orders the options of a question: each learner sees an
own order.
"""

import hashlib
from functools import lru_cache

from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml

#: As the last option it stays last, and needs no sentence of its own.
DO_NOT_KNOW = "I do not know"
_NUMBER = {"unit": str, "lowest": float, "highest": float}
_DRAWN = {"ask": str, "x": str, "y": str, "points": list, "range": list}
_WITH_ANSWER = {"answer", "why", "wrong", "ordered", "points_to"}


@lru_cache(1)
def questions():
    """The table of data/questions.toml: predictions, questions and entry questions by id."""
    path = data_folder() / "questions.toml"
    table = read_toml(path)
    for name, entry in table.items():
        check_question(path, name, entry)
    return table


def check_question(path, name, entry):
    """UserError with file, question and key if an entry misses something or has too much."""
    required = {"lesson": int, "ask": str} | (_NUMBER if "unit" in entry else {"options": list})
    if "answer" in entry:
        required |= {"answer": int, "why": str, "wrong": dict}
    else:
        required |= {"model": list}
    allowed = {*required, *(_WITH_ANSWER if "answer" in entry else ("draw",))}
    reader = TableReader(f"{path}, [{name}]")
    for key, kind in required.items():
        if not isinstance(entry.get(key), kind):
            raise reader.wrong(f"{key} is missing or not a {kind.__name__}")
    reader.check_keys(entry, allowed, "key")
    if "answer" in entry:
        _check_options(reader, entry)
    else:
        _check_prediction(reader, entry)


def _check_prediction(reader, entry):
    model = entry["model"]
    if not 2 <= len(model) <= 4 or not all(isinstance(part, str) and part for part in model):
        raise reader.wrong("model must be 2 to 4 parts of a sentence")
    if "draw" not in entry:
        return
    draw = entry["draw"] if isinstance(entry["draw"], dict) else {}
    for key, kind in _DRAWN.items():
        if not isinstance(draw.get(key), kind):
            raise reader.wrong(f"draw.{key} is missing or not a {kind.__name__}")
    with_unit = [axis for axis in "xy" if "[" in draw[axis] and draw[axis].endswith("]")]
    if "y" not in with_unit or ("x" not in with_unit and "[" in draw["x"]):
        raise reader.wrong("draw.y, and draw.x where it has a unit, must end with it in brackets")
    if sorted(set(draw["points"])) != draw["points"] or not 3 <= len(draw["points"]) <= 9:
        raise reader.wrong("draw.points must be 3 to 9 rising numbers")
    if len(draw["range"]) != 2 or draw["range"][0] >= draw["range"][1]:
        raise reader.wrong("draw.range must be its lowest and its highest number")


def _check_options(reader, entry):
    options, numbers = entry["options"], range(1, len(entry["options"]) + 1)
    if entry["answer"] not in numbers:
        raise reader.wrong(f"answer must be the number of an option, 1 to {len(options)}")
    reader.flag(entry, "ordered")
    needed = {str(number) for number in numbers if not _needs_none(entry, number)}
    for number in sorted(needed):
        sentence = entry["wrong"].get(number)
        if not isinstance(sentence, str) or not sentence.strip():
            raise reader.wrong(
                f"wrong.{number} is missing: say why a person would choose "
                f"{options[int(number) - 1]!r} and what would follow"
            )
    for number in entry["wrong"]:
        if number not in needed:
            raise reader.wrong(
                f"wrong.{number} belongs to no wrong option; "
                f"allowed are {', '.join(sorted(needed))}"
            )


def _needs_none(entry, number):
    return number == entry["answer"] or entry["options"][number - 1] == DO_NOT_KNOW


def shown_order(name, entry, key):
    """Numbers of the options (1 is the first in the file) as the learner with this key sees them.

    What is stored and judged is the number in the file, so an order changes no answer. Options
    marked `ordered` (sizes, numbers) stay as in the file; "I do not know" stays last.
    """
    numbers = list(range(1, len(entry["options"]) + 1))
    if entry.get("ordered") or "answer" not in entry:
        return numbers

    def place(number):
        drawn = hashlib.sha256(f"{key} {name} {number}".encode()).digest()
        return entry["options"][number - 1] == DO_NOT_KNOW, drawn

    return sorted(numbers, key=place)


def reply(entry, number):
    """What a learner is told who chose this option."""
    if number == entry["answer"]:
        return f"Right. {entry['why']}"
    if _needs_none(entry, number):
        return f"That is fine to say. Lesson {entry['points_to']} shows it."
    return f"Not this one. {entry['wrong'][str(number)]}"
