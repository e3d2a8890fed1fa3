"""An entry of the catalogue of faults, and the words that it may hold."""

from dataclasses import dataclass, replace
from types import MappingProxyType

DRIVEN = MappingProxyType(
    {"rear_petrol": ("rl", "rr"), "front_petrol": ("fl", "fr"), "front_electric": ("fl", "fr")}
)
GROUPS = (
    "wheel speed",
    "tone ring",
    "tyres",
    "base brake",
    "brake fluid",
    "hydraulics A",
    "hydraulics B",
    "sensors",
    "driver inputs",
    "torque",
    "cornering sensors",
    "supply",
    "network",
    "ecu",
    "not a fault",
)
KINDS = MappingProxyType(
    {
        "open": "open circuit",
        "short to ground": "short to ground",
        "short to battery": "short to battery",
        "short between wires": "short between wires or turns",
        "leak between wires": "leak between wires by water",
        "high resistance": "high resistance",
        "erratic": "contact or signal that comes and goes",
        "noise": "noise from another lead",
        "signal shift": "signal shifted or zero not set",
        "stuck": "contact or valve stays on or open",
        "stuck closed": "valve stays closed",
        "mechanical": "worn, cracked, loose or moved",
        "hydraulic": "leak, air, dirt or water in the fluid way",
        "wrong part": "wrong part fitted",
        "wrong connection": "plugs or lines crossed",
        "wrong assembly": "right part fitted wrongly",
        "wrong configuration": "data not stored",
        "missing message": "message missing",
        "inhibit message": "another unit refuses",
        "performance": "another system does not do what it is asked",
        "low voltage": "too little voltage",
        "normal": "no fault",
    }
)
WHYS = MappingProxyType(
    {
        "age": "age",
        "wear": "wear",
        "heat": "heat",
        "corrosion": "corrosion by damp",
        "water": "water that got in",
        "vibration": "vibration and bending",
        "chafed": "rubbed or trapped",
        "force": "a blow or force",
        "dirt": "dirt or debris",
        "leak": "a leak of something else",
        "work": "work done wrongly or not finished",
        "other system": "a fault of another system",
        "nothing": "nothing broke",
    }
)
REACTIONS = ("R0", "R1", "R2", "R3", "R4", "R5", "R6")
LAMPS = ("abs", "tc", "tc_off", "brake", "engine")
DETECTABLE = ("yes", "no", "partly", "state")
#: What the self-diagnosis is claimed to find; the only fields that may differ between the vehicles
#: of an entry.
CLAIMS = ("detectable", "monitor", "code", "failure_type", "seconds", "lamps", "reaction")


@dataclass(frozen=True, kw_only=True)
class Expected:
    """A reading the catalogue states: of which test, and what a healthy and the faulty car show,
    each (low, high) or a tuple of words.
    """

    test: str
    reading: str
    healthy: tuple
    faulty: tuple


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One entry. `told`: what the customer says, as told.Told. `changes` maps part values to faulty
    ones for a vehicle, see `on`; every field from `detectable` on is a claim that tests compare.
    `claims` maps the vehicles on which the self-diagnosis finds something else to those fields, see
    `as_found_on`."""

    id: str
    group: str
    vehicles: tuple
    place: str
    circuit: str
    kind: str
    why: str
    band: int
    symptoms: tuple
    told: tuple
    work: str
    weather: str
    cause: str
    repair: str
    verification: str
    proof: str
    changes: MappingProxyType
    tests: tuple
    readings: tuple
    detectable: str
    monitor: str
    code: str
    failure_type: str
    seconds: float
    lamps: tuple
    reaction: str
    claims: MappingProxyType

    def on(self, vehicle):
        """Changes of the part values of one vehicle."""
        return {with_driven_wheels(name, vehicle): value for name, value in self.changes.items()}

    def as_found_on(self, vehicle):
        """This entry with what the self-diagnosis of one vehicle is claimed to find."""
        return replace(self, **self.claims.get(vehicle, {}))

    def expected(self, vehicle):
        """The readings that the catalogue states, with the driven wheels of a vehicle put in."""
        return tuple(
            Expected(
                test=e.test,
                reading=with_driven_wheels(e.reading, vehicle),
                healthy=e.healthy,
                faulty=e.faulty,
            )
            for e in self.readings
        )

    @property
    def story(self):
        """The customer's words."""
        return " ".join(sentence.says for sentence in self.told)

    @property
    def is_normal(self):
        """True for a state that only looks like a fault."""
        return self.group == "not a fault"


def with_driven_wheels(name, vehicle):
    left, right = DRIVEN[vehicle]
    return name.replace("{left}", left).replace("{right}", right)
