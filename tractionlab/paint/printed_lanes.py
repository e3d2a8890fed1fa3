"""Lanes on paper: bars over the time, solid or in stripes."""

_HALF = 0.36  # of the height of a lane
_LOOKS = ({"facecolor": "black"}, {"facecolor": "white", "hatch": "||||||"})


def paint_lanes(axes, shown, time):
    """Paint Lanes, with a line at `time` [s] if it is given."""
    for row, lane in enumerate(shown.lanes):
        axes.axhline(row, color="#888888", linewidth=0.6, zorder=0)
        for begin, end, state in lane.spans:
            bar = [(begin, end - begin)]
            axes.broken_barh(
                bar, (row - _HALF, 2 * _HALF), edgecolor="black", linewidth=0.6, **_LOOKS[state]
            )
    if time is not None:
        axes.axvline(time, color="black", linewidth=1)
        _lamps(axes, shown, time)
    axes.set_yticks(range(len(shown.lanes)), [lane.label for lane in shown.lanes])
    axes.set_ylim(len(shown.lanes) - 0.5, -0.5)
    axes.set_xlim(shown.x_range)
    axes.set_xlabel(shown.x)
    axes.set_title(
        f"{shown.title}: solid = {shown.states[0]}, stripes = {shown.states[1]}", loc="left"
    )
    axes.tick_params(axis="y", length=0)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)


def _lamps(axes, shown, time):
    """Right of each lane that has a lamp, the lamp as it is at `time` and the word for it."""
    last = shown.x_range[1]
    for row, lane in enumerate(shown.lanes):
        if not lane.lamp:
            continue
        state = [kind for begin, end, kind in lane.spans if begin <= time < end]
        look = {"markerfacecolor": lane.lamp if state else "white", "markeredgecolor": "black"}
        axes.plot(1.025 * last, row, "o", markersize=7, clip_on=False, **look)
        word = shown.states[state[0]] if state else "dark"
        axes.text(1.045 * last, row, word, va="center")
