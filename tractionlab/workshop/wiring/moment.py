"""What the parts of an electrical network are given at a moment, and what switches itself."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tractionlab.errors import UserError

KEYS = ("off", "on", "start", "running")


@dataclass(frozen=True, kw_only=True)
class Moment:
    """What the parts are given at one moment.

    Attributes
    ----------
    key : "off", "on", "start", "running"
    brake_pedal, tc_switch : bool, pressed
    fluid_low : bool, the float has sunk
    accelerator : float, 0 to 1; opens the main throttle
    plates : map "main", "second" -> 0 closed to 1 open; without "main" it follows the accelerator,
        the second rests open
    emf : four voltages of the passive sensors' coils [V], order FL, FR, RL, RR
    level : four bools, an active sensor draws its high current
    commands : map of what the control unit switches on -> 0 to 1: coils by their part,
        "return_pump", "charge_pump", "relay_valves", "lamp_tc", ...;
        a command is on from 0.5, the three-position coils take their share of the full current
    signals : map "pressure" [bar], "yaw" [deg/s], "lateral" [m/s^2], "accumulator" [bar] -> value
    motor_emf : map motor -> voltage of the turning motor [V]; a motor that is not named has run up
    bus : "idle" or "dominant"
    unplugged : plugs, fuses and relays that are pulled, by key
    brief : bool, the moment is too short for a fuse to melt
    flexed, wet : bool, somebody bends the leads: one that breaks now and then is open; somebody
        wets the plugs: those with a bad seal leak
    """

    key: str = "on"
    brake_pedal: bool = False
    tc_switch: bool = False
    fluid_low: bool = False
    accelerator: float = 0.0
    plates: Mapping = field(default_factory=dict)
    emf: tuple = (0.0, 0.0, 0.0, 0.0)
    level: tuple = (False, False, False, False)
    commands: Mapping = field(default_factory=dict)
    signals: Mapping = field(default_factory=dict)
    motor_emf: Mapping = field(default_factory=dict)
    bus: str = "idle"
    unplugged: frozenset = frozenset()
    brief: bool = False
    flexed: bool = False
    wet: bool = False

    def __post_init__(self):
        if self.key not in KEYS:
            raise UserError(f"the key is one of {', '.join(KEYS)}, got {self.key!r}")


#: Ignition on, nothing pressed, nothing pulled.
IGNITION_ON = Moment()


@dataclass(frozen=True)
class States:
    """What switches itself: closed relays, control units and sensors that have supply, melted
    fuses.
    """

    closed: frozenset = frozenset()
    awake: frozenset = frozenset()
    melted: frozenset = frozenset()
