"""Judges settings of a control unit by simulation on roads that the candidate has not seen, from
figures of merit by a stated rule.
"""

from dataclasses import replace

from tractionlab.assess.answers.settings import read_settings
from tractionlab.run.merit import merit


def scenarios(part, variant, given):
    """Scenarios that judge the settings, one for each hidden road, with the settings in them; () if
    they cannot be read.
    """
    settings = read_settings(part.settings, given)
    if isinstance(settings, str):
        return ()
    return tuple(
        {scenario.key: scenario for scenario, _ in _judged(part, variant, settings)}.values()
    )


def judge_tuning(item, variant, part, field, given, runs):
    """(marks, reason): every demand on every hidden road that is met earns an equal share of the
    marks.
    """
    settings = read_settings(part.settings, given)
    if isinstance(settings, str):
        return 0.0, settings
    found = reached(part, variant, settings, runs)
    words = " ".join(demand.words(figures) for demand, figures in found)
    return part.marks * sum(demand.met(figures) for demand, figures in found) / len(found), words


def reached(part, variant, settings, runs=None):
    """[(demand, figures of merit reached with the settings)] on the roads that judge."""
    runs, found = dict(runs or {}), []
    for scenario, demand in _judged(part, variant, settings):
        if scenario.key not in runs:
            from tractionlab.run.simulation import simulate

            runs[scenario.key] = merit(simulate(scenario))
        found.append((demand, runs[scenario.key]))
    return found


def _judged(part, variant, settings):
    return [
        (replace(demand.scenario, settings={**demand.scenario.settings, **settings}), demand)
        for demand in part.key.run(variant.params)
    ]
