"""The decisions of the control unit in a run: as a table for the eye and as a CSV file."""

import csv

from tractionlab.run.decisions import TORQUE, decisions

HEAD = (
    "time [s]",
    "who",
    "phase before",
    "phase",
    "reason",
    "seen",
    "limit",
    "unit",
    "order",
    "valve open [ms]",
    "torque asked for [N m]",
    "by",
    "sentence",
)
_MOST_PRINTED = 400


def table(trace):
    """The decisions of a run as lines of text: time, who, phase before and after, the sentence."""
    found = decisions(trace)
    if not found:
        return "The control unit decided nothing: brakes and engine do what the driver asks."
    rows = [(one.who, _phases(one)) for one in found]
    wide = [max(len(row[column]) for row in rows) for column in range(2)]
    lines = [
        f"{one.time:6.2f} s  {who:{wide[0]}}  {phases:{wide[1]}}  {one.because}"
        for one, (who, phases) in zip(found, rows)
    ]
    more = len(lines) - _MOST_PRINTED
    return "\n".join(
        lines[:_MOST_PRINTED] + ([f"... and {more} more, see the file"] if more > 0 else [])
    )


def _phases(one):
    return (
        one.phase.name if one.before == one.after else f"{one.phase_before.name} > {one.phase.name}"
    )


def records(trace):
    """The decisions of a run as rows of HEAD, numbers where they are numbers."""
    for one in decisions(trace):
        torque, compared = one.subject == TORQUE, bool(one.why.unit)
        yield (
            round(one.time, 6),
            one.who,
            one.phase_before.name,
            one.phase.name,
            one.why.key,
            one.why.value(one.seen) if compared else "",
            one.why.value(one.limit) if compared else "",
            one.why.unit,
            one.order,
            1e3 * one.duration if one.duration else "",
            one.asked if torque else "",
            " + ".join(one.paths),
            one.sentence,
        )


def write(trace, path):
    """Write the decisions of a run to a CSV file."""
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(HEAD)
        writer.writerows(
            [f"{cell:.6g}" if isinstance(cell, float) else cell for cell in row]
            for row in records(trace)
        )
