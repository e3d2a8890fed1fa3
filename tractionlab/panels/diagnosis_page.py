"""Lamps over a drive and the code memory in words, as a page of HTML."""

from html import escape

import numpy as np

from tractionlab.diagnosis import status_byte as s
from tractionlab.diagnosis.lamps import FLASHING, LAMPS, OFF, ON
from tractionlab.diagnosis.reduced import MODES
from tractionlab.workshop.codes import code_list

LAMP_WORDS = {"abs": "ABS", "tc": "TC", "tc_off": "TC off", "brake": "brake"}
_LONG = {
    "abs": "ABS (amber)",
    "tc": "TC (amber)",
    "tc_off": "TC off (amber)",
    "brake": "Brake (red)",
}
_WIDTH, _ROW, _LEFT = 640, 22, 120
_CELL = (
    'style="text-align:left; vertical-align:top; padding:3px 12px 3px 0; border-top:1px solid #bbb"'
)


def page(found, memory):
    """HTML of a Diagnosis and the Memory that is read after it."""
    return (
        '<div class="tl-diagnosis" style="line-height:1.4; background:#fff; color:#1a1a1a;'
        f' padding:4px 12px">{_lamps(found)}{_memory(memory)}{_left(found)}</div>'
    )


def spans(state):
    """(first, last + 1, state) of each stretch of samples in which a lamp stays as it is."""
    edges = np.flatnonzero(np.diff(state)) + 1
    starts = np.concatenate(([0], edges))
    return [
        (int(a), int(b), int(state[a]))
        for a, b in zip(starts, np.concatenate((edges, [len(state)])))
    ]


def _lamps(found):
    end = float(found.time[-1])
    rows, said = [], []
    for row, name in enumerate(LAMPS):
        top = row * _ROW + 3
        rows.append(
            f'<text x="{_LEFT - 8}" y="{top + 12}" text-anchor="end"'
            f' font-size="13">{_LONG[name]}</text><line x1="{_LEFT}" x2="{_LEFT + _WIDTH}"'
            f' y1="{top + 8}" y2="{top + 8}" stroke="#888"/>'
        )
        parts = [part for part in spans(found.lamps[name]) if part[2] != OFF]
        rows += [
            _bar(found.time[a], found.time[min(b, len(found.time) - 1)], end, top, state)
            for a, b, state in parts
        ]
        said.append(
            f"{_LONG[name]}: "
            + (", ".join(_when(found.time, part) for part in parts) or "dark all the time")
        )
    ticks = "".join(
        f'<text x="{_LEFT + _WIDTH * t / end:.0f}" y="{4 * _ROW + 16}" text-anchor="middle"'
        f' font-size="12">{t:g}</text>'
        for t in np.arange(0.0, end, 10.0)
    )
    label = escape("; ".join(said))
    return (
        '<p style="margin:8px 0 2px"><b>Warning lamps over the drive</b> (solid = on, stripes ='
        f' flashing)</p><svg role="img" aria-label="{label}" width="{_LEFT + _WIDTH + 70}"'
        f' height="{4 * _ROW + 22}" style="max-width:100%">{"".join(rows)}{ticks}<text'
        f' x="{_LEFT + _WIDTH + 8}" y="{4 * _ROW + 16}" font-size="12">time [s]</text></svg>'
    )


def _bar(begin, end, whole, top, state):
    left, width = _LEFT + _WIDTH * begin / whole, max(2.0, _WIDTH * (end - begin) / whole)
    if state == ON:
        return f'<rect x="{left:.1f}" y="{top}" width="{width:.1f}" height="16" fill="#000"/>'
    stripes = "".join(
        f'<rect x="{left + k:.1f}" y="{top}" width="2" height="16" fill="#000"/>'
        for k in np.arange(0.0, width, 5.0)
    )
    return stripes


def _when(time, part):
    begin, end, state = part
    return (
        f"{'flashing' if state == FLASHING else 'on'} from {time[begin]:.1f} to"
        f" {time[min(end, len(time) - 1)]:.1f} s"
    )


def _memory(memory):
    entries = (*memory.stored, *memory.pending)
    title = f'<p style="margin:10px 0 2px"><b>Code memory</b> ({escape(code_list().edition)})</p>'
    if not entries:
        untested = sum(entry.status == s.CLEARED for entry in memory.entries.values())
        rest = (
            f" But {untested} tests have not run since the memory was cleared: their status is 50."
            if untested
            else " All tests that ran have passed."
        )
        return title + f"<p style='margin:2px 0'>No code is stored.{rest}</p>"
    head = "".join(
        f'<th scope="col" {_CELL}>{words}</th>'
        for words in ("Code", "What it says", "Status byte", "Snapshot of the first time")
    )
    return (
        title + "<table"
        f' style="border-collapse:collapse"><thead><tr>{head}</tr></thead><tbody>{"".join(map(_entry, entries))}</tbody></table>'
    )


def _entry(entry):
    words = "<br>".join(escape(text) for text in s.words(entry.status))
    cells = (
        f"<b>{entry.code}</b><br>type {entry.failure_type}",
        escape(code_list().words(entry.code, entry.failure_type))
        + f"<br>drives with it: {entry.count}",
        f"<b>{entry.status:02X}</b> = {entry.status:08b}<br>{words}",
        "<br>".join(escape(line) for line in _snapshot(entry.snapshot)),
    )
    return "<tr>" + "".join(f"<td {_CELL}>{cell}</td>" for cell in cells) + "</tr>"


def _snapshot(snapshot):
    if not snapshot:
        return ("none",)
    wheels = ", ".join(f"{snapshot[f'{wheel} [km/h]']:.0f}" for wheel in ("FL", "FR", "RL", "RR"))
    return (
        f"at {snapshot['time [s]']:.1f} s and {snapshot['mileage [km]']:.0f} km",
        f"car {snapshot['speed [km/h]']:.0f} km/h, wheels {wheels} km/h",
        (
            f"supply {snapshot['supply [V]']:.1f} V, pedal"
            f" {'pressed' if snapshot['pedal pressed'] else 'free'}"
        ),
    )


def _left(found):
    steps = [
        f"from {found.time[a]:.1f} s: {MODES[f'R{mode}']}" for a, _, mode in spans(found.mode)
    ][:4]
    return (
        '<p style="margin:10px 0 2px"><b>What is left of the control</b></p><p style="margin:2px'
        f' 0">{escape("; ".join(steps))}.</p>'
    )
