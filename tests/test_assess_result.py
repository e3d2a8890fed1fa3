"""When a paper is passed: the rules, one by one, and what is said when one is not met.

Worker processes end with the one that started them.
"""

import os
import signal
import subprocess
import sys
import time

import pytest

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.markbook.result import result

PAPER = find_paper("graded_1")
AS_ISSUED = {"items": list(PAPER.items), "rules": PAPER.rules_as_dict()}


def marks(share=1.0, exact=2, **by_outcome):
    """Marks of the whole paper: a share of each item, another one where an outcome says so; `exact`
    cases with the fault named.
    """
    found, left = {}, exact
    for name in PAPER.items:
        item = items()[name]
        hit = item.kind == "case" and left > 0
        left -= hit
        found[name] = (item.marks * by_outcome.get(item.outcome, share), 1, int(hit))
    return found


@pytest.mark.parametrize(
    "found, grade, words",
    [
        (marks(1.0), "very good", []),
        (marks(0.88), "very good", []),
        (marks(0.80), "good", []),
        (marks(0.75), "good", []),
        (marks(0.70), "pass", []),
        (marks(0.60), "pass", []),
        (marks(0.55), "not yet", ["Overall 55.0 %"]),
        (marks(1.0, LO9=0.4), "not yet", ["LO9: 40.0 %, needed are 50 %"]),
        (marks(1.0, LO6=0.2), "very good", []),
        (marks(1.0, LO6=0.2, LO7=0.2), "not yet", ["One of LO6, LO7"]),
        (marks(1.0, exact=1), "very good", []),
        (marks(1.0, exact=0), "not yet", ["exact fault: 0, needed 1"]),
        ({}, "not yet", ["Overall 0.0 %", "LO9", "LO11", "LO12", "One of LO6, LO7", "exact fault"]),
    ],
)
def test_rules_of_the_paper(found, grade, words):
    got = result(AS_ISSUED, found)
    assert got.grade == grade and got.passed == (not words) and len(got.lacking) == len(words)
    assert all(word in sentence for word, sentence in zip(words, got.lacking))


def test_a_failed_safety_gate_fails_the_paper_whatever_the_marks():
    found = marks(1.0)
    practical = next(name for name in PAPER.items if items()[name].kind == "checklist")
    found[practical] = (0.0, 0, 0)
    got = result(AS_ISSUED, found)
    assert (
        not got.safe
        and not got.passed
        and items()[practical].outcome in got.failed
        and any("safety gate" in words for words in got.lacking)
    )


def test_outcomes_add_up_and_what_is_open_is_named():
    found = marks(0.5)
    first = PAPER.items[0]
    del found[first]
    got = result(AS_ISSUED, found)
    assert (
        got.open == (first,)
        and got.out_of == PAPER.marks
        and got.got == pytest.approx(sum(value for value, _, _ in found.values()))
    )
    assert sum(out_of for _, out_of, _ in got.outcomes.values()) == PAPER.marks


@pytest.mark.skipif(os.name != "posix", reason="needs kill -9")
def test_worker_processes_end_with_the_one_that_started_them():
    code = (
        "import os, time\nfrom tractionlab.assess.markbook.workers import Processes\nif __name__ =="
        " '__main__':\n pool = Processes(2)\n print(*pool.map(os.getpid, [()]), flush=True)\n"
        " time.sleep(60)"
    )
    parent = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)
    worker = int(parent.stdout.readline())
    parent.send_signal(signal.SIGKILL)
    parent.wait()
    for _ in range(200):
        try:
            os.kill(worker, 0)
        except ProcessLookupError:
            return
        time.sleep(0.05)
    raise AssertionError("the worker lives on")
