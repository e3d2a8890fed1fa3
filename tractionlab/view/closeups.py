"""Close-ups of what slides, film and car do not show: a ring turning past its sensor, a tread on
the road, discs that glow.

Each runs along a clock of its own: `time` in `unit`, of which `rate` pass in a second of play.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, kw_only=True)
class RingCloseup:
    """A toothed ring, or one with magnet poles, turning past its sensor. `n` frames.

    Arrays: time [ms], angle [rad], gap now [mm], number of the tooth nearest to the sensor: (n,).
    outline: (m, 2), the ring's edge as angle on the ring [rad] and radius [mm]. poles: (from, to,
    "N" | "S") on the ring [rad], none on a toothed one. face: radius at which the face of the
    sensor stands [mm]. teeth: how many the ring has place for. active: kind of the sensor."""

    time: np.ndarray
    angle: np.ndarray
    gap: np.ndarray
    tooth: np.ndarray
    outline: np.ndarray
    poles: tuple
    face: float
    teeth: int
    active: bool
    rate: float
    unit: str = "ms"
    title: str = "Ring and sensor"

    @property
    def words(self) -> str:
        """What the close-up shows."""
        edge = "magnet poles" if self.poles else "teeth"
        kind = "active" if self.active else "passive"
        return f"A ring with {self.teeth} {edge} turns past the {kind} sensor"


@dataclass(frozen=True, kw_only=True)
class TreadCloseup:
    """Blocks of a tread between belt and road, seen from the side, driving to the right.

    time: (2,), first and last moment [ms]. belt, road: how fast both pass to the left [m/s].
    length: of the contact patch; holding: its front part that holds the road; block, depth:
    distance and height of the blocks [mm]. place: (k,), distance from the front end of the patch,
    lean: (k,), how far a block leans forward there [mm]. pushes: of the holding and of the sliding
    part [N]. surface: its name."""

    time: np.ndarray
    belt: float
    road: float
    length: float
    holding: float
    block: float
    depth: float
    place: np.ndarray
    lean: np.ndarray
    pushes: tuple[float, float]
    surface: str
    rate: float
    unit: str = "ms"
    title: str = "Tread and road"

    @property
    def words(self) -> str:
        """What the close-up shows."""
        return (
            f"Tread from the side on {self.surface.lower()}: the front {self.holding:.0f} mm of the"
            f" contact patch hold, the rear {self.length - self.holding:.0f} mm slide"
        )


@dataclass(frozen=True, kw_only=True)
class Disc:
    """A brake disc. Arrays: temperature [degC]: (n,); colour as seen in the dark, 0 to 255: (n, 3);
    heat: number of the word for it: (n,)."""

    label: str
    temperature: np.ndarray
    colour: np.ndarray
    heat: np.ndarray


@dataclass(frozen=True, kw_only=True)
class DiscCloseup:
    """Brake discs in the dark along a run, each beside a scale. time: (n,) [s]. heats: words for
    colours. marks: (temperature [degC], words) on the scale, which ends at `top` [degC]."""

    time: np.ndarray
    discs: tuple[Disc, ...]
    heats: tuple[str, ...]
    marks: tuple[tuple[float, str], ...]
    top: float
    rate: float
    unit: str = "s"
    title: str = "Brake discs in the dark"

    @property
    def words(self) -> str:
        """What the close-up shows."""
        hottest = (f"{d.label} up to {np.max(d.temperature):.0f} °C" for d in self.discs)
        return f"Brake discs as they would look in the dark: {', '.join(hottest)}"
