"""A picture as data: charts, a scene, figures and one sentence.

Painters turn it into pixels; nothing is drawn here.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.view.closeups import DiscCloseup, RingCloseup, TreadCloseup
from tractionlab.view.rows import Lanes, Phases, Table

#: Line colours that stay apart for colour-blind eyes, each paired with a dash of its own.
COLOURS = ("#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7")
#: Colour of the lines of kept runs.
PALE = "#808080"
#: Dash patterns in pixels: drawn, gap, drawn, gap, ...
DASHES = ((), (8, 4), (2, 3), (10, 3, 2, 3), (14, 5))


@dataclass(frozen=True, kw_only=True)
class Line:
    """One curve. `style` picks colour and dash together, so colour never stands alone."""

    label: str
    x: np.ndarray
    y: np.ndarray
    style: int = 0

    def __post_init__(self) -> None:
        if np.shape(self.x) != np.shape(self.y) or np.ndim(self.x) != 1:
            raise ValueError(
                f"line {self.label!r}: x and y must be one-dimensional and equally long, "
                f"got {np.shape(self.x)} and {np.shape(self.y)}"
            )
        if not 0 <= self.style < len(COLOURS):
            raise ValueError(
                f"line {self.label!r}: style must be 0 to {len(COLOURS) - 1}, got {self.style}"
            )


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A labelled point, or with `y=None` a vertical line."""

    label: str
    x: float
    y: float | None = None


@dataclass(frozen=True, kw_only=True)
class Chart:
    """Curves over one pair of axes. Axis labels end with the unit in brackets. Ranges are fixed, or
    None = from the data. `over_time`: x is the time of the run, so the chart shows the time cursor
    of the scene. `main` is the place of the line that a kept run shows; `pale` are lines of kept
    runs, each labelled by the run's letter, drawn under the others."""

    title: str
    x: str
    y: str
    lines: tuple[Line, ...] = ()
    main: int = 0
    pale: tuple[Line, ...] = ()
    marks: tuple[Mark, ...] = ()
    x_range: tuple[float, float] | None = None
    y_range: tuple[float, float] | None = None
    over_time: bool = False


@dataclass(frozen=True, kw_only=True)
class CarScene:
    """The car from above along a run. `n` frames at times `time` [s].

    Arrays: x, y [m], yaw, steer [rad]: shape (n,). wheel_angle [rad], drive_force, side_force,
    grip_limit [N], pressure [bar]: (n, 4), wheel order FL, FR, RL, RR. lamp: (n,), 0 = off, 1 =
    flashing. Geometry: wheelbase, track, to_front (centre of mass to front axle), tyre_radius [m].
    driven: tuple of 4 bools. road: tuple of patches (x_from, x_to, y_from, y_to, surface name, peak
    grip) [m]. slope: rise per run [-]."""

    time: np.ndarray
    x: np.ndarray
    y: np.ndarray
    yaw: np.ndarray
    steer: np.ndarray
    wheel_angle: np.ndarray
    drive_force: np.ndarray
    side_force: np.ndarray
    grip_limit: np.ndarray
    pressure: np.ndarray
    lamp: np.ndarray
    wheelbase: float
    track: float
    to_front: float
    tyre_radius: float
    driven: tuple[bool, ...]
    road: tuple[tuple, ...]
    slope: float = 0.0
    label: str = ""


@dataclass(frozen=True, kw_only=True)
class CircuitPart:
    """One symbol of a circuit drawing. `shapes` are drawn around `at`; `box` (left, top, right,
    bottom) is where a click hits it.

    `label` stands at `label_at`, the short state word at `state_at`, both (x, y, "left" | "middle"
    | "right"); None = nowhere. `states` are the words the state numbers of the scene stand for,
    `short` what the drawing shows of them."""

    key: str
    component: str
    name: str
    task: str
    failure: str
    symbol: str
    at: tuple
    box: tuple
    shapes: tuple
    label: str = ""
    label_at: tuple | None = None
    state_at: tuple | None = None
    states: tuple = ("",)
    short: tuple = ("",)


@dataclass(frozen=True, kw_only=True)
class CircuitLine:
    """One run of pipe: the place of the circuit it belongs to and its points; flow counts positive
    from the first to the last.
    """

    node: str
    points: tuple


@dataclass(frozen=True, kw_only=True)
class CircuitScene:
    """A hydraulic circuit along a run. `n` frames at times `time` [s].

    Arrays: pressure (n, nodes) [bar, gauge], flow (n, lines) [cm3/s], state (n, parts) number of
    the state word, motion (n, parts, 2): how far each symbol has moved; what it means is said in
    the symbol's shapes. nodes: (key, name in words, (x, y) of its pressure value or None) per
    column of `pressure`. dots: where pipes join. moment: the time [s] at which the picture opens.
    """

    layout: str
    title: str
    size: tuple
    time: np.ndarray
    parts: tuple
    lines: tuple
    nodes: tuple
    dots: tuple
    pressure: np.ndarray
    flow: np.ndarray
    state: np.ndarray
    motion: np.ndarray
    moment: float = 0.0


#: A pressure [bar] from which a pipe is drawn in the next style, and the style in words.
PIPE_STEPS = (
    (0.5, "no pressure"),
    (20.0, "under 20 bar"),
    (80.0, "20 to 80 bar"),
    (float("inf"), "over 80 bar"),
)
#: Per style: line width and dashes in pixels.
PIPE_LOOKS = ((1.0, (4, 4)), (1.4, ()), (3.0, ()), (5.0, ()))


def pipe_style(pressure: float) -> int:
    """Number of the pipe style for a pressure [bar]."""
    return next(i for i, (limit, _) in enumerate(PIPE_STEPS) if pressure < limit)


@dataclass(frozen=True, kw_only=True)
class WiringPart:
    """One symbol of a wiring diagram: `shapes` are drawn around `at`; `label` stands at `label_at`
    (x, y, "left" | "middle" | "right"), or nowhere.
    """

    key: str
    name: str
    at: tuple
    shapes: tuple
    label: str = ""
    label_at: tuple | None = None


@dataclass(frozen=True, kw_only=True)
class WiringPoint:
    """A point where a probe can be put.

    `plug`: the plug it belongs to, or ""; `device`: it is hidden while that plug is on.
    """

    key: str
    name: str
    at: tuple
    plug: str = ""
    device: bool = False


@dataclass(frozen=True, kw_only=True)
class WiringPlug:
    """A plug, fuse or relay that can be pulled: its name, and the box (left, top, right, bottom) of
    its button.
    """

    key: str
    name: str
    box: tuple


@dataclass(frozen=True, kw_only=True)
class WiringScene:
    """A wiring diagram and what lies on it.

    layout, title : of the drawing; size : width and height; lines : polylines; joints : (x, y,
        other y, plug), drawn while the plug is on;
    frames : (left, top, right, bottom) of control units; marks : (x, y, words, "left" | "middle" |
        "right"); dots : where lines join.
    active : one number for each part, 1 = closed or lit; pulled : (key, name) of what is pulled,
        here or elsewhere; probes : (letter, point key, name in words) of those that are put on;
    letters : of the probes that the instrument has.
    """

    layout: str
    title: str
    size: tuple
    parts: tuple
    lines: tuple
    joints: tuple
    points: tuple
    plugs: tuple
    frames: tuple
    marks: tuple
    dots: tuple
    active: tuple = ()
    pulled: tuple = ()
    probes: tuple = ()
    letters: tuple = ()


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One number said beside the picture, e.g. Figure(label='Grip used', value='92', unit='%').

    `held`: the learner is to find it first.
    """

    label: str
    value: str
    unit: str = ""
    held: bool = False


@dataclass(frozen=True, kw_only=True)
class View:
    """Charts (time charts share the scene's time cursor), scenes (one car, or two laid over each
    other: the second is the ghost for comparison), perhaps the hydraulic circuit, a wiring
    diagram or a close-up (see `view.closeups`), perhaps lanes of states, a strip of phases under
    the time charts, and tables (see `view.rows`), a few figures, and the sentence that says in
    words what the picture shows. `held` are pieces of that sentence which the learner is to find
    first; a panel that opened by a guess leaves them out until they are asked for. On paper the
    tables are the document's, below the picture."""

    charts: tuple[Chart, ...]
    sentence: str
    scenes: tuple[CarScene, ...] = ()
    figures: tuple[Figure, ...] = ()
    circuit: CircuitScene | None = None
    wiring: WiringScene | None = None
    closeup: RingCloseup | TreadCloseup | DiscCloseup | None = None
    held: tuple[str, ...] = ()
    lanes: Lanes | None = None
    phases: Phases | None = None
    tables: tuple[Table, ...] = ()

    def __post_init__(self) -> None:
        for piece in self.held:
            if piece not in self.sentence:
                raise ValueError(f"held piece {piece!r} is not in the sentence")

    @property
    def open_sentence(self) -> str:
        """The sentence without what is held back."""
        words = self.sentence
        for piece in self.held:
            words = words.replace(piece, "", 1)
        return words
