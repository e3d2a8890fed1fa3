"""Judges settings of a control unit by simulation on roads that the candidate has not seen, from
figures of merit by a stated rule.
"""

from dataclasses import replace

from tractionlab.run.merit import merit
from tractionlab.written.numbers import Unreadable, convert, read


def read_settings(rows, given):
    """{setting: number} from what was typed for the settings of a field ({name, label, unit, low,
    high}, ...), or the reason in words why that cannot be.
    """
    if not isinstance(given, dict):
        return "the answer names no settings."
    found = {}
    for row in rows:
        try:
            reading = (
                read(given.get(row["name"])) if isinstance(given.get(row["name"]), str) else None
            )
        except Unreadable as error:
            return f"{row['label']}: {error}"
        if reading is None:
            return f"{row['label']}: no number."
        value = convert(reading.number, reading.unit or row["unit"], row["unit"])
        if value is None or not row["low"] <= value <= row["high"]:
            return (
                f"{row['label']}: must be {row['low']:g} to {row['high']:g} {row['unit']}".rstrip()
                + "."
            )
        found[row["name"]] = float(value)
    return found


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
    runs, own, met, words = runs or {}, {}, [], []
    for scenario, demand in _judged(part, variant, settings):
        if scenario.key not in runs and scenario.key not in own:
            from tractionlab.run.simulation import simulate

            own[scenario.key] = merit(simulate(scenario))
        figures = runs[scenario.key] if scenario.key in runs else own[scenario.key]
        met.append(demand.met(figures))
        words.append(demand.words(figures))
    return part.marks * sum(met) / len(met), " ".join(words)


def _judged(part, variant, settings):
    return [
        (replace(demand.scenario, settings={**demand.scenario.settings, **settings}), demand)
        for demand in part.key.run(variant.params)
    ]
