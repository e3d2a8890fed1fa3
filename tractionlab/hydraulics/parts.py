"""What a hydraulic layout is made of: parts, passages through them, rules, connections, circuits of
the wheels.
"""

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Component:
    """One part: its words, its ISO 1219-1 symbol (from memory), the places it joins, its positions
    (none = it has only one).
    """

    key: str
    name: str
    task: str
    rest: str  # how it stands without current, in words
    failure: str
    source: str  # where the words come from
    symbol: str
    ports: tuple
    rest_position: str  # one of positions, or ""
    positions: tuple
    # position -> (least, most) current [A]; empty for pumps, ports and hand valves
    currents: MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Edge:
    """One passage through a part, open in `position` ("any" = always, "relief" = only above the
    opening pressure).
    """

    component: str
    position: str
    start: str
    goal: str
    flow: str  # "forward" or "both"
    kind: str  # port, valve, non_return, pump, suction (a pump draws through it) or relief
    opening_pressure: float  # [Pa]; 0 but for relief valves

    def leads(self, start, goal):
        """True if fluid could take this passage from `start` to `goal` when it is open."""
        return (start, goal) == (self.start, self.goal) or (
            self.flow == "both" and (goal, start) == (self.start, self.goal)
        )


@dataclass(frozen=True, kw_only=True)
class PathRule:
    """What must be so in a mode: `must` and `relief` hop by hop, `must_not` by no path of any
    length.
    """

    mode: str
    rule: str
    path: tuple
    meaning: str


@dataclass(frozen=True, kw_only=True)
class Connection:
    """One cell of the wheel or plant table: can fluid get from `start` to `goal` in this mode?"""

    table: str
    mode: str
    start: str
    goal: str
    connected: bool


@dataclass(frozen=True, kw_only=True)
class WheelCircuit:
    """Places that belong to one wheel: master-cylinder chamber, pressure supply, gallery or
    low-pressure accumulator.
    """

    chamber: str
    supply: str
    gallery: str


@dataclass(frozen=True, kw_only=True)
class Layout:
    """A hydraulic layout. `modes[mode]` gives the position of every part that has positions."""

    key: str
    name: str
    nodes: MappingProxyType
    components: MappingProxyType
    edges: tuple
    modes: MappingProxyType
    mode_names: MappingProxyType
    wheels: MappingProxyType
    paths: tuple
    connections: tuple
