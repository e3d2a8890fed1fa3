"""The table of outside checks in words, for a terminal of 110 columns."""

import textwrap
from collections import Counter
from itertools import groupby
from math import isfinite

from tractionlab.checks.row import STATUSES

WIDTH = 110


def table(shown, rows):
    """The rows that are `shown`, grouped by topic and check, and what all `rows` say, as text."""
    lines = []
    for topic, group in groupby(shown, key=lambda row: row.topic):
        lines += [topic, "=" * len(topic), ""]
        for _, values in groupby(group, key=lambda row: row.id):
            lines += _check(list(values)) + [""]
    return "\n".join(lines + summary(rows))


def summary(rows):
    """Last lines: how many checks and values there are, each value that differs, and how many
    values have each status.
    """
    count = f"{len({row.id for row in rows})} checks, {len(rows)} values"
    wrong = [row for row in rows if not row.settled]
    apart = [row for row in rows if row.settled and not row.agrees]
    found = Counter(row.status for row in rows)
    statuses = ", ".join(f"{status} {found[status]}" for status in STATUSES if found[status])
    told = []
    for row in apart:
        text = f"{row.id} {row.quantity}: {row.outside}"
        told += textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")
    if told:
        told.insert(0, f"{len(apart)} of them lie outside, and the file says why:")
    if not wrong:
        agree = "all agree" if not apart else f"{len(rows) - len(apart)} agree"
        return [*told, f"{count}: {agree}", statuses]
    lines = told + [f"{count}: {len(wrong)} {'differs' if len(wrong) == 1 else 'differ'}"]
    for row in wrong:
        computed = f"computed {_figure(row.computed)} {row.unit}"
        text = (
            f"{row.id} {row.quantity}: expected {_figure(row.expected)},"
            f" {f'not computed, {row.problem}' if row.problem else computed}"
        )
        lines += textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")
    return [*lines, statuses]


def _check(values):
    first = values[0]
    lines = textwrap.wrap(f"{first.id}  {first.title}", WIDTH, subsequent_indent=" " * 5)
    lines += textwrap.wrap(
        f"Source: {first.source}", WIDTH, initial_indent=" " * 5, subsequent_indent=" " * 7
    )
    lines += textwrap.wrap(
        f"Tolerance: {first.reason}", WIDTH, initial_indent=" " * 5, subsequent_indent=" " * 7
    )
    lines.append(
        f"  {'quantity':<42}{'expected':>12}{'computed':>13}{'tolerance':>11}  {'unit':<7}status"
    )
    for row in values:
        parts = textwrap.wrap(row.quantity, 41)
        mark = row.status if row.agrees else "OUTSIDE" if row.settled else "DIFFERS"
        lines.append(
            f"  {parts[0]:<42}{_figure(row.expected):>12}{_figure(row.computed):>13}"
            f"{row.tolerance:>11.2g}  {row.unit:<7}{mark}"
        )
        lines += [f"    {part}" for part in parts[1:]]
    return lines


def _figure(value):
    if not isfinite(value):
        return "none"
    return f"{value:.0f}" if value == int(value) and abs(value) >= 1000 else f"{value:.7g}"
