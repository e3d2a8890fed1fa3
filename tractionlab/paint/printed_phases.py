"""Strip of phases on paper: bars with letter and pattern under the time charts, and why."""

from textwrap import fill

import numpy as np

from tractionlab.view import COLOURS

_HALF = 0.38  # of the height of a lane
LOOKS = {
    "level": (0, "---"),
    "rising": (1, "////"),
    "falling": (2, "\\\\\\\\"),
    "dots": (3, "..."),
}
#: Least share of the width of a bar that takes a letter.
_LETTER = 0.02
#: Letters in one line of the title, so that it stays on the sheet.
_TITLE = 86


def paint_phases(axes, view, time):
    """Paint the Phases of a view over the axis of its time charts, with a line at `time` [s] if it
    is given.
    """
    shown, times = view.phases, [n.x for c in view.charts if c.over_time for n in c.lines]
    span = min(map(np.min, times)), max(map(np.max, times))
    for row, lane in enumerate(shown.lanes):
        axes.axhline(row, color="#888888", linewidth=0.6, zorder=0)
        for begin, end, number in lane.spans:
            kind = shown.kinds[number]
            style, hatch = LOOKS[kind.pattern]
            axes.broken_barh(
                [(begin, end - begin)],
                (row - _HALF, 2 * _HALF),
                facecolor="white",
                edgecolor=COLOURS[style],
                linewidth=0.5,
                hatch=hatch,
            )
            if end - begin >= _LETTER * (span[1] - span[0]):
                axes.text(
                    (begin + end) / 2,
                    row,
                    kind.letter,
                    ha="center",
                    va="center",
                    size=7,
                    weight="bold",
                    bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4},
                )
    if time is not None:
        axes.axvline(time, color="black", linewidth=1)
    axes.set_yticks(range(len(shown.lanes)), [lane.label for lane in shown.lanes])
    axes.yaxis.tick_right()
    axes.set_ylim(len(shown.lanes) - 0.5, -0.5)
    axes.set_xlim(span)
    title = shown.title + (f": {shown.legend}" if shown.legend else "")
    axes.set_title(fill(title, _TITLE), loc="left")
    axes.tick_params(axis="both", length=0, labelbottom=False)
    for side in ("top", "right", "left", "bottom"):
        axes.spines[side].set_visible(False)


def reasons_on_paper(shown, time, width):
    """The sentence of each lane at `time` [s], in lines of `width` letters."""
    said = "\n".join(fill(words, width) for words in shown.reasons_at(time))
    return f"At {time:.2f} s:\n{said}"
