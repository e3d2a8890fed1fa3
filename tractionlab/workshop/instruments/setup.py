"""What a learner sets up for one reading in the wiring: instrument, probes, state of the car."""

from dataclasses import asdict, dataclass

from tractionlab.errors import UserError
from tractionlab.wheels import CALLED
from tractionlab.workshop.instruments.meter import FUNCTIONS

PROBES = {"R": "red probe", "B": "black probe", "2": "second channel", "C": "current clamp"}
LETTERS = {**dict.fromkeys(FUNCTIONS, ("R", "B")), "clamp": ("C",), "scope": ("R", "B", "2")}
HAPPENS = {
    "still": "nothing",
    **{f"turn_{w}": f"the {words} wheel is turned once a second" for w, words in CALLED.items()},
    "pump": "the return pump runs",
    "charge": "the charge pump runs",
    "pulse": "the valves are driven",
    "lamps": "the lamps are driven",
    "sweep": "the throttle plates are swept",
    "bus": "the network talks",
}
KEYS = {"off": "off", "on": "on, engine stands", "start": "start", "running": "engine runs"}


@dataclass(frozen=True, kw_only=True)
class Setup:
    """Instrument, where its probes are, and the state of the car.

    instrument : key of LETTERS; points : pairs (letter of PROBES, point); pulled : plugs, fuses and
        relays; key : key of KEYS;
    happens : key of HAPPENS; accelerator : 0 to 100 %; brake_pedal, tc_switch : pressed; flexed :
        leads are bent and shaken
    """

    instrument: str
    points: tuple
    pulled: tuple = ()
    key: str = "on"
    happens: str = "still"
    accelerator: float = 0.0
    brake_pedal: bool = False
    tc_switch: bool = False
    flexed: bool = False

    def __post_init__(self):
        for name, allowed in (("instrument", LETTERS), ("key", KEYS), ("happens", HAPPENS)):
            if getattr(self, name) not in allowed:
                raise UserError(
                    f"{name} must be one of {', '.join(allowed)}; got {getattr(self, name)!r}"
                )

    def missing(self):
        """Probes without which there is no reading, in words; channel two is never missing."""
        there = dict(self.points)
        return [
            PROBES[letter]
            for letter in LETTERS[self.instrument]
            if letter != "2" and not there.get(letter)
        ]

    def plain(self):
        """As plain data for a log."""
        return {**asdict(self), "points": dict(self.points), "pulled": list(self.pulled)}

    @classmethod
    def read(cls, data):
        """Setup of plain data; anything else is a UserError."""
        if (
            not isinstance(data, dict)
            or set(data) != set(cls.__dataclass_fields__)
            or not isinstance(data["points"], dict)
            or not isinstance(data["pulled"], (list, tuple))
        ):
            raise UserError(
                f"a reading at points of the wiring needs {', '.join(cls.__dataclass_fields__)}"
            )
        texts = [
            *data["points"],
            *data["points"].values(),
            *data["pulled"],
            data["instrument"],
            data["key"],
            data["happens"],
        ]
        switches = [data[name] for name in ("brake_pedal", "tc_switch", "flexed")]
        if (
            not all(isinstance(text, str) for text in texts)
            or not all(isinstance(switch, bool) for switch in switches)
            or not isinstance(data["accelerator"], (int, float))
        ):
            raise UserError(
                "a reading at points of the wiring has names, switches and a number for the"
                " accelerator"
            )
        return cls(
            **{
                **data,
                "points": tuple(sorted(data["points"].items())),
                "pulled": tuple(sorted(data["pulled"])),
                "accelerator": float(data["accelerator"]),
            }
        )
