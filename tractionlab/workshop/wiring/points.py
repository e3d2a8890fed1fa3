"""Points, plugs, leads and elements of which a vehicle's electrical network is made."""

from dataclasses import dataclass
from types import MappingProxyType

BODY, BATTERY_MINUS, UNIT_GROUND = "body", "battery.minus", "unit.ground.device"


@dataclass(frozen=True)
class Point:
    """A place where a probe can be put. `plug` is what it belongs to, "" for a terminal that is
    always bare; `device`: the half of the plug that stays at the part, bare only while the plug is
    pulled."""

    key: str
    name: str
    group: str
    plug: str = ""
    device: bool = False


@dataclass(frozen=True)
class Plug:
    """A plug that can be pulled; `probe` tells how a probe reaches it while it is mated."""

    key: str
    name: str
    where: str
    probe: str
    pins: tuple


@dataclass(frozen=True)
class Lead:
    """A section of a lead from node `a` to node `b`; `ohm` is its own healthy value, or None for
    that of any lead.
    """

    key: str
    name: str
    group: str
    a: str
    b: str
    ohm: float | None


@dataclass(frozen=True)
class Element:
    """A part of the circuit as the network takes it; `more` are its other entries."""

    key: str
    kind: str
    part: str
    group: str
    at: tuple
    more: MappingProxyType


@dataclass(frozen=True)
class Plan:
    """The electrical network of a vehicle, without numbers.

    Maps by key; `groups` names the groups by file stem.
    """

    vehicle: str
    groups: MappingProxyType
    points: MappingProxyType
    plugs: MappingProxyType
    leads: MappingProxyType
    elements: MappingProxyType
    forbidden: MappingProxyType
