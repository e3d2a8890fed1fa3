"""What control is worth: launches with and without it, against the best that the car allows."""

import dataclasses
from typing import NamedTuple

from tractionlab.catalogue import entries as catalogue
from tractionlab.figures.best import best_launch
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate_many
from tractionlab.run.surfaces import surface_curve

#: Left and right surface of the launches.
ROADS = (
    ("packed_snow", "packed_snow"),
    ("ice", "ice"),
    ("wet_asphalt", "wet_asphalt"),
    ("ice", "wet_asphalt"),
    ("packed_snow", "wet_asphalt"),
)
#: How long the launches last [s]: the cars stay below the speed where brake action ends.
SECONDS = 6.0


class Worth(NamedTuple):
    """One row: distances in SECONDS [m] without control, with torque reduction and brake, and of
    the best launch, see `best_launch`.
    """

    vehicle: str
    road: str
    off: float
    both: float
    best: float

    @property
    def share(self):
        """Distance with control over the best one [-]."""
        return self.both / self.best


def worth():
    """A row for every vehicle and road, full throttle."""
    rows = []
    for key, entry in catalogue.in_use().vehicles().items():
        for left, right in ROADS:
            scenario = Scenario(vehicle=key, left=left, right=right, duration_s=SECONDS)
            off, both = simulate_many(
                [dataclasses.replace(scenario, control=kind) for kind in ("off", "both")]
            )
            names = [
                surface_curve(surface)[0].name.lower() for surface in dict.fromkeys((left, right))
            ]
            rows.append(
                Worth(
                    entry.name,
                    " | ".join(names),
                    float(off.x[-1]),
                    float(both.x[-1]),
                    best_launch(scenario),
                )
            )
    return rows


def table(rows):
    """The rows as a Markdown table."""
    lines = [
        "| car | road (left \\| right) | without control | with control | best launch | share |",
        "|---|---|---|---|---|---|",
    ]
    for row in rows:
        lines.append(
            f"| {row.vehicle} | {row.road.replace('|', chr(92) + '|')} | {row.off:.1f} m |"
            f" {row.both:.1f} m | {row.best:.1f} m | {row.share:.0%} |"
        )
    return "\n".join(lines)
