"""What the answers of a batch need computed, each run and each repair case once and in parallel;
then the items judged by it.
"""

import hashlib
from itertools import chain

from tractionlab.assess.judge.case import replayed
from tractionlab.assess.markbook.mark_file import judge_waiting, mark_file
from tractionlab.assess.markbook.workers import Here
from tractionlab.catalogue.entries import shipped_only
from tractionlab.workshop.faults import with_symptom


def work_out_and_judge(sitting, batch, workers, known):
    """Run and replay what the batch needs and no batch before it has needed; then judge the items
    that waited for it.

    known : dict, grows; what earlier batches needed
    """
    waiting = [marked for marked in batch if marked.waiting]
    needed = {
        scenario.key: scenario
        for marked in waiting
        for wanted in marked.wanted.values()
        for scenario in wanted
    }
    new = [scenario for key, scenario in needed.items() if _short(key) not in known]
    parts = _parts(new, workers.count)
    merits = chain(*workers.map(run_batch, [(part,) for part in parts]))
    known.update((_short(scenario.key), merit) for scenario, merit in zip(new, merits))
    logs = {key: log for marked in waiting for key, log in marked.logs.items() if key not in known}
    parts = _by_complaint(logs)
    found = workers.map(replay_batch, [([logs[key] for key in part],) for part in parts])
    known.update(zip(chain(*parts), chain(*found)))
    runs = {key: known[_short(key)] for key in needed}
    for marked in waiting:
        judge_waiting(sitting, marked, runs, known)


def mark_alone(sitting, name, content):
    """Marked for one file of a Sitting, with all that it needs worked out here."""
    marked = mark_file(sitting, name, content)
    work_out_and_judge(sitting, [marked], Here(), {})
    return marked


def _short(key):
    return hashlib.sha256(key.encode()).digest()


def _parts(scenarios, count):
    size = max(1, -(-len(scenarios) // count))
    return [scenarios[first : first + size] for first in range(0, len(scenarios), size)]


def _by_complaint(logs):
    """Keys of the logs, those with the same complaint of the same car together: they share the
    readings that every other suspect would give, which is nearly all the work. The most suspects
    first.
    """
    groups = {}
    for key, log in logs.items():
        groups.setdefault((log[0]["symptom"], log[0]["vehicle"]), []).append(key)
    return [groups[one] for one in sorted(groups, key=lambda one: -len(with_symptom(*one)))]


@shipped_only()
def run_batch(scenarios):
    """Figures of merit of scenarios, side by side in one process."""
    from tractionlab.run.merit import merit
    from tractionlab.run.simulation import simulate_many

    return [merit(trace) for trace in simulate_many(scenarios)]


@shipped_only()
def replay_batch(logs):
    """Replayed for each log of a repair case."""
    return [replayed(log) for log in logs]
