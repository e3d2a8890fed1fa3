"""The runs that the answers of a batch need, each computed once, and the items judged by them."""

import hashlib

from tractionlab.assess.markbook.mark_file import judge_runs
from tractionlab.catalogue.entries import shipped_only


def run_and_judge(sitting, batch, workers, figures):
    """Run what the batch needs and no batch before it has run, each scenario once; then judge the
    items that waited for it.
    """
    waiting = [marked for marked in batch if marked.wanted]
    needed = {
        scenario.key: scenario
        for marked in waiting
        for wanted in marked.wanted.values()
        for scenario in wanted
    }
    new = [scenario for key, scenario in needed.items() if _short(key) not in figures]
    for merits, part in zip(
        workers.map(run_batch, [(part,) for part in _parts(new, workers.count)]),
        _parts(new, workers.count),
    ):
        figures.update((_short(scenario.key), merit) for scenario, merit in zip(part, merits))
    runs = {key: figures[_short(key)] for key in needed}
    for marked in waiting:
        judge_runs(sitting, marked, runs)


def _short(key):
    return hashlib.sha256(key.encode()).digest()


def _parts(scenarios, count):
    size = max(1, -(-len(scenarios) // count))
    return [scenarios[first : first + size] for first in range(0, len(scenarios), size)]


@shipped_only()
def run_batch(scenarios):
    """Figures of merit of scenarios, side by side in one process."""
    from tractionlab.run.merit import merit
    from tractionlab.run.simulation import simulate_many

    return [merit(trace) for trace in simulate_many(scenarios)]
