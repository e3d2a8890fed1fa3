"""What of a view stands in rows: states over the time as lanes of bars, and tables in words."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Lane:
    """One thing and when it is in which state. spans: (begin, end, number of the state); between
    them it is idle."""

    label: str
    spans: tuple = ()


@dataclass(frozen=True, kw_only=True)
class Lanes:
    """Lanes over one time axis [s], with the time cursor of the charts. Of the two `states`, in
    words, the first is drawn solid, the second in stripes; `idle` is said of a lane without
    bars. x_range: begin and end of the axis."""

    title: str
    x: str
    x_range: tuple[float, float]
    states: tuple[str, str]
    idle: str
    lanes: tuple[Lane, ...]

    @property
    def words(self) -> str:
        """All lanes in words."""
        return "; ".join(f"{lane.label}: {self._said(lane)}" for lane in self.lanes)

    def _said(self, lane: Lane) -> str:
        spans = [
            f"{self.states[state]} from {begin:.1f} to {end:.1f} s"
            for begin, end, state in lane.spans
        ]
        return ", ".join(spans) or self.idle


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of texts, whose lines newlines part. The first cell of a row heads it. `empty`: the
    sentence that stands in the place of a table without rows. widths: shares of the sheet."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str = ""
    widths: tuple = ()
