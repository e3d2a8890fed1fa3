"""Fingerprints of what the course computes, so that a change of its house can show that no
behaviour changed.

    python tests/benchmarks/fingerprint.py write before.json     hashes of traces, cases, papers,
    checks and views
    python tests/benchmarks/fingerprint.py compare before.json   computes them again; names each
    that differs

What is hashed are bytes and exact texts: one other bit in a trace or one other word in a sentence
is another fingerprint."""

import dataclasses
import hashlib
import json
import random
import sys
from collections.abc import Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from assess_answers import perfect
from random_scenarios import random_scenario

import tractionlab.lesson as lesson
from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.judge.answers import judge, simulations
from tractionlab.checks import run_checks
from tractionlab.paint.wire import pack
from tractionlab.run.simulation import simulate
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.score import score
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.faults import faults
from tractionlab.workshop.tests.base import tests as bench_tests

TRACES, CASES, CANDIDATES, DURATION_S = 60, 40, 2, 4.0
#: Key from which the papers are drawn here; a sitting has a random one.
KEY = "0" * 64
#: Panel -> arguments of each copy of it.
PANELS = {"drive_panel": [("A",), ("B",)], "circuit_panel": [("A",), ("B",)]}


def digest(*pieces):
    """Short hash of bytes and of texts or JSON-able things."""
    total = hashlib.sha256()
    for piece in pieces:
        total.update(
            piece if isinstance(piece, bytes) else json.dumps(piece, default=_plain).encode()
        )
    return total.hexdigest()[:24]


def _plain(thing):
    """What JSON does not know, in terms that it does."""
    if dataclasses.is_dataclass(thing):
        return {field.name: getattr(thing, field.name) for field in dataclasses.fields(thing)}
    if isinstance(thing, Mapping):
        return dict(thing)
    return sorted(thing) if isinstance(thing, frozenset) else thing.tolist()


def traces():
    """The record of each random run, and its film of the circuit."""
    for seed in range(TRACES):
        trace = simulate(random_scenario(seed, duration_s=DURATION_S))
        channels = [trace[name].tobytes() for name in sorted(trace.units)]
        yield f"trace {seed}", digest(*channels, trace.film.tobytes(), trace.merit().as_dict())


def cases():
    """Random faults found by the scripted technician, with every reading and the score."""
    cars = [(entry.id, car) for entry in faults().values() for car in entry.vehicles]
    for fault_id, car in random.Random(1).sample(cars, CASES):
        case = Case(fault_id, car)
        case.acknowledge()
        for test in route_to(fault_id, case.symptom, car).tests:
            case.take(test, bench_tests()[test].critical)
        case.repair(case.fault.place, case.fault.kind, case.fault.why)
        case.clear_memory()
        case.take("T04", bench_tests()["T04"].critical)
        case.finish()
        found = score(case.log)
        points = [dict(found.points), dict(found.reasons), found.deductions, found.total]
        yield f"case {fault_id} {car}", digest(case.log, points, case.possible())


def papers():
    """Keys of all items in the draws of some candidates, and the marks of right answers."""
    drawn = new_paper(blueprint(), ("LO2", "LO6", "LO11"), seed="fingerprint")
    for paper in (find_paper("mock"), find_paper("graded_1"), find_paper("graded_2"), drawn):
        for name in paper.items:
            item = items()[name]
            for number in range(CANDIDATES):
                shown = variant(item, KEY, f"{number:03d}")
                answer = perfect(item, shown)
                wanted = simulations(item, shown, answer)
                judged = "runs" if wanted else judge(item, shown, answer)
                yield f"paper {paper.id} {name} {number}", digest(shown, answer, judged)


def checks():
    """Every row of the outside checks."""
    for number, row in enumerate(run_checks()):
        yield f"check {number} {row.quantity}", digest(row)


def views():
    """Every panel as it opens, and with each option of each of its choices and switches."""
    for name in sorted(word for word in lesson.__all__ if word.endswith("_panel")):
        for arguments in PANELS.get(name, [()]):
            panel = getattr(lesson, name)(*arguments)
            panel = getattr(panel, "panel", panel)
            for words, values in _settings(panel):
                panel.set(**values)
                meta, block = pack(panel.view)
                yield " ".join(["view", name, *arguments, words]), digest(meta, block, panel.error)


def _settings(panel):
    """(words, values) of the panel's opening and of one changed choice or switch after the
    other.
    """
    opening = dict(panel.values)
    yield "opening", opening
    for control in panel.controls:
        if control["kind"] in ("Choice", "Switch"):
            for option in [key for key, _ in control.get("options", ())] or [True, False]:
                yield f"{control['name']}={option}", {**opening, control["name"]: option}


PARTS = {part.__name__: part for part in (traces, cases, papers, checks, views)}


def fingerprints(wanted, say):
    """All fingerprints of the wanted parts by name."""
    found = {}
    for name in wanted:
        for entry, value in PARTS[name]():
            found[entry] = value
        say(f"{name}: {len(found)} so far")
    return found


def main(word, path, wanted):
    """Write or compare; returns the exit code."""
    found = fingerprints(wanted or PARTS, lambda text: print(text, flush=True))
    if word == "write":
        Path(path).write_text(json.dumps(found, indent=1), encoding="utf-8")
        return 0
    begins = tuple(f"{name.rstrip('s')} " for name in wanted or PARTS)
    before = json.loads(Path(path).read_text(encoding="utf-8"))
    before = {name: value for name, value in before.items() if name.startswith(begins)}
    names = sorted(set(before) | set(found))
    differ = [name for name in names if before.get(name) != found.get(name)]
    for name in differ:
        print(f"differs: {name}")
    print(f"{len(names) - len(differ)} of {len(names)} are the same")
    return int(bool(differ))


if __name__ == "__main__":
    word, path, *wanted = [*sys.argv[1:], "", ""][: max(2, len(sys.argv) - 1)]
    if word not in ("write", "compare") or not path or set(wanted) - set(PARTS):
        sys.exit(__doc__)
    sys.exit(main(word, path, wanted))
