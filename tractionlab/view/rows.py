"""What of a view stands in rows: states and phases over the time as lanes of bars, and tables in
words.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Lane:
    """One thing and when it is in which state. spans: (begin, end, number of the state); between
    them it is idle. lamp: colour of a warning lamp that shows the state at the cursor, or ""."""

    label: str
    spans: tuple = ()
    lamp: str = ""


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
class PhaseKind:
    """One kind of phase: its name, the letter that marks it, and where a bar has no room for that
    its `pattern`: level, falling, rising or dots.
    """

    letter: str
    name: str
    pattern: str


@dataclass(frozen=True, kw_only=True)
class PhaseLane:
    """One wheel, or the torque. spans: (begin, end, number of the kind); between them it is at
    rest, which `rest` says."""

    label: str
    rest: str
    spans: tuple = ()


@dataclass(frozen=True, kw_only=True)
class Phases:
    """Phases of the control unit over the time of a run [s], as a strip under the time charts, and
    its decisions in order of time: (time, number of the lane, the sentence that says why)."""

    title: str
    kinds: tuple[PhaseKind, ...]
    lanes: tuple[PhaseLane, ...]
    decisions: tuple[tuple[float, int, str], ...]

    @property
    def legend(self) -> str:
        """What the letters mean, of those kinds that occur; said once for each letter."""
        shown = {kind for lane in self.lanes for _, _, kind in lane.spans}
        letters = {k.letter: k.name for n, k in reversed([*enumerate(self.kinds)]) if n in shown}
        return ", ".join(f"{letter} {name}" for letter, name in reversed(letters.items()))

    @property
    def words(self) -> str:
        """How much is decided in each lane, in words."""
        return "; ".join(
            f"{lane.label}: {self._count(number)}" for number, lane in enumerate(self.lanes)
        )

    def _count(self, number: int) -> str:
        times = [time for time, lane, _ in self.decisions if lane == number]
        if not times:
            return "no decision"
        if len(times) == 1:
            return f"one decision at {times[0]:.2f} s"
        return f"{len(times)} decisions from {times[0]:.2f} to {times[-1]:.2f} s"

    def reasons_at(self, time: float) -> list[str]:
        """The sentence of each lane at a moment: its last decision, or that it is at rest."""
        said = [f"{lane.label}: {lane.rest}." for lane in self.lanes]
        for begin, lane, words in self.decisions:
            if begin <= time + 1e-6:
                said[lane] = words
        return said


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of texts, whose lines newlines part. The first cell of a row heads it. `empty`: the
    sentence that stands in the place of a table without rows. widths: shares of the sheet."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str = ""
    widths: tuple = ()
