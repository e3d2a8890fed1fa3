"""Times marking: answer files a minute, share of simulations, memory, a class with a graded paper.

Run with nothing else on the machine: python tests/benchmarks/marking.py
"""

import argparse
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from assess_answers import perfect_rows
from case_candidates import worked
from sittings import Steps, file_of, long_sitting, right_answers, sitting_of

from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.markbook import marking, worked_once
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here, Processes


def plain_items(count=40):
    """Items that need no simulation, as many as asked."""
    return [
        item.id
        for item in items().values()
        if all(part.kind in ("choice", "number") for part in item.fields)
    ][:count]


def numbers(count):
    return [f"{n:05d}" for n in range(count)]


def peak_kb():
    """Largest memory of this process so far [kB]."""
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def write_class(folder, sitting, count):
    for number in list(sitting.candidates)[:count]:
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number))
        )


def timed(folder, sitting, pool):
    with tempfile.TemporaryDirectory() as place:
        store = Store(str(Path(place) / "m.sqlite"))
        begun = time.perf_counter()
        told = marking.mark_folder(folder, sitting, store, pool)
        spent = time.perf_counter() - begun
        store.close()
    return told.counts["counted"], spent


def speed(count):
    """Files of 40 items a minute with two processes; should be 3,000 or more."""
    sitting = long_sitting(plain_items(), numbers(count))
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        write_class(folder, sitting, count)
        pool = Processes(2)
        list(pool.map(marking.mark_batch, [(sitting, [])] * 4))
        counted, spent = timed(folder, sitting, pool)
        pool.close()
    print(
        f"{counted} files of {len(sitting.paper['items'])} items in {spent:.1f} s on 2 processes:"
        f" {60 * counted / spent:,.0f} a minute (should be 3,000 or more)"
    )


def memory(counts=(100, 1000, 10_000)):
    """Peak memory after more and more files; should stay flat."""
    sitting = long_sitting(plain_items(4), numbers(max(counts)))
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for count in counts:
            write_class(folder, sitting, count)
            before = peak_kb()
            counted, spent = timed(folder, sitting, Here())
            print(
                f"{counted:6d} files: peak {peak_kb() / 1024:.0f} MB (before {before / 1024:.0f}"
                f" MB), {spent:.1f} s"
            )


def simulated(count):
    """Share of the time that goes into the simulations themselves when each candidate chose other
    settings; should be 80 % or more.
    """
    tuning = [item for item in items().values() if item.kind == "tuning"][:3]
    ids = plain_items(37) + [item.id for item in tuning]
    sitting = long_sitting(ids, numbers(count))
    spent_in_runs, batch = [0.0], worked_once.run_batch

    def timed_batch(scenarios):
        begun = time.perf_counter()
        found = batch(scenarios)
        spent_in_runs[0] += time.perf_counter() - begun
        return found

    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for k, number in enumerate(sitting.candidates):
            rows = right_answers_of_plain(sitting, number)
            for item in tuning:
                (part,) = item.fields
                share = (k + 1) / (count + 1)
                chosen = {
                    row["name"]: f"{row['low'] + (row['high'] - row['low']) * share:.4f}"
                    for row in part.settings
                }
                rows.append((item.id, part.name, chosen))
            (folder / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
        worked_once.run_batch = timed_batch
        try:
            counted, spent = timed(folder, sitting, Here())
        finally:
            worked_once.run_batch = batch
    print(
        f"{counted} files with 3 tuned items each: {spent:.1f} s, {spent_in_runs[0] / spent:.0%} of"
        " it in simulations (should be 80 % or more)"
    )


def right_answers_of_plain(sitting, number):
    from dataclasses import replace

    plain = replace(
        sitting,
        paper={
            **sitting.paper,
            "items": [name for name in sitting.paper["items"] if items()[name].kind != "tuning"],
        },
    )
    return right_answers(plain, number)


def graded(name, count=30):
    """A class with a graded paper and its repair cases on two processes, as `mark` starts them:
    should be less than 30 s on two free cores.
    """
    import resource

    asked = [one for one in find_paper(name).items if items()[one].kind != "checklist"]
    sitting = sitting_of(asked, numbers(count))
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for k, number in enumerate(sitting.candidates):
            rows = perfect_rows(sitting, number)
            for item in (items()[one] for one in asked if items()[one].kind == "case"):
                field = sitting.variant(item, number).fields[0]
                fault = case_for(field).fault.id
                log = worked(fault, field.vehicle, ("by_the_book", "guess", "measured_only")[k % 3])
                steps = Steps(stored(entry, field.car) for entry in log)
                rows.append((item.id, item.fields[0].name, steps))
            (folder / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
        pool = Processes(2)
        counted, spent = timed(folder, sitting, pool)
        pool.close()
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(
        f"{counted} files of {name}: {spent:.1f} s, {used.ru_utime + used.ru_stime:.1f} s of"
        " processor time so far, both processes and their start"
    )


if __name__ == "__main__":
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("--files", type=int, default=1500)
    reader.add_argument("--memory", type=int, default=10_000, help="most files of the memory test")
    reader.add_argument("--only", choices=("speed", "memory", "simulated", "graded"))
    args = reader.parse_args()
    if args.only in (None, "speed"):
        speed(args.files)
    if args.only in (None, "simulated"):
        simulated(24)
    if args.only in (None, "graded"):
        graded("graded_1")
        graded("graded_2")
    if args.only in (None, "memory"):
        memory(tuple(count for count in (100, 1000, 10_000) if count <= args.memory))
