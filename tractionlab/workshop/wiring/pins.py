"""What the wiring lets the control unit see: voltages at its pins in the few states a drive has,
each solved once.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.hydraulic_car import VALVES, layout_of
from tractionlab.workshop.wiring.elements import emf_ohm
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.network import Network
from tractionlab.workshop.wiring.points import UNIT_GROUND

LAMPS = ("abs", "tc", "tc_off", "brake")
#: Signals at which the second of the two solutions is taken; between the two a reading is a
#: straight line.
FAR = MappingProxyType({"pressure": 100.0, "yaw": 50.0, "lateral": 10.0})
HEARD_V = 6.0  #: half of what a line is held at: above it is quiet, below it somebody speaks
BUS_V = 0.9  #: lowest dominant voltage of the network; from memory, to be looked up
_PARTNER_V = 6.0  # supply that another control unit needs
#: Lines of the car without a network, by the pin of the brake control unit.
LINES = MappingProxyType(
    {
        "engine_speed": "Line of the engine speed",
        "request_ignition": "Line of the request to the ignition",
        "request_fuel": "Line of the request to the fuel",
    }
)
EMPTY = 0.25  #: of the reservoir's height; below it the float closes its switch


@dataclass(frozen=True, kw_only=True)
class Wiring:
    """Readings of the control unit in the states of a drive: pin voltages [V] over its ground,
    currents [A].

    rest : pin -> (4,) by place of the key, everything let go; far : pin -> voltage with everything
        pressed, open and at FAR, LINES spoken on, active
    sensors at their high current; control, pumps : pin -> voltage under load; gain (4,) : share of
    a coil sensor's voltage that reaches the pin; lamps_A : current of each warning lamp, all on;
    coil_A : current of each valve, all driven at once; wheel_A : of the wheel valves in control;
    pump_A : current of the return pump, charge_V : what the motor of the charge pump makes itself,
        both running; stepper : both coils of the second
    throttle's motor take current; partners : "engine", "steer" -> (dominant voltage at its network
    pins, its supply);
    bus_V : dominant voltage at the unit
    """

    rest: MappingProxyType
    far: MappingProxyType
    control: MappingProxyType
    pumps: MappingProxyType
    gain: np.ndarray
    coil_A: MappingProxyType
    wheel_A: MappingProxyType
    lamps_A: MappingProxyType
    pump_A: float
    charge_V: float
    bus_V: float
    stepper: bool
    partners: MappingProxyType


@lru_cache(maxsize=64)
def wiring(vehicle, values, flexed=False):
    """Wiring of a car; `flexed`: leads that break now and then are open.

    Solved once for the same values.
    """
    return _Solver(vehicle, values, flexed).wiring()


def partner_heard(found, name):
    """Is the control unit "engine" or "steer" heard on the network of a Wiring?"""
    volts, supply = found.partners[name]
    return found.bus_V >= BUS_V and volts >= BUS_V and supply >= _PARTNER_V


class _Solver:
    """The network of a car in one state after the other."""

    def __init__(self, vehicle, values, flexed):
        self.vehicle, self.values, self.flexed = vehicle, values, flexed
        self.layout = layout_of(vehicle)
        self.network = Network(vehicle, values)
        self.pins = [
            point
            for point in self.network.plan.points
            if point.startswith("unit.") and point.endswith(".device") and point != UNIT_GROUND
        ]

    def at(self, **moment):
        commands = {"relay_valves": 1.0, **moment.pop("commands", {})}
        return self.network.solve(
            Moment(commands=MappingProxyType(commands), flexed=self.flexed, brief=True, **moment)
        )

    def read(self, solution):
        """Voltage [V] of every pin of the control unit over its ground."""
        return {pin.split(".")[1]: solution.voltage(pin, UNIT_GROUND) for pin in self.pins}

    def wiring(self):
        low = bool(self.values["reservoir.fill_share"] < EMPTY)
        shut, open_ = (
            MappingProxyType({"main": 0.0, "second": 0.0}),
            MappingProxyType({"main": 1.0, "second": 1.0}),
        )
        rest = {
            key: self.read(self.at(key=key, fluid_low=low, plates=shut))
            for key in ("on", "start", "running")
        }
        pressed = self.at(
            key="running",
            fluid_low=low,
            brake_pedal=True,
            tc_switch=True,
            level=(True,) * 4,
            plates=open_,
            bus="dominant",
            signals=MappingProxyType({**FAR, "accumulator": 90.0}),
            commands=dict.fromkeys(LINES if self.layout == "A" else (), 1.0),
        )
        steppers = ("stepper_a", "stepper_b") if self.layout == "A" else ()
        test = self.at(
            key="on",
            commands=dict.fromkeys(
                (*VALVES[self.layout], *(f"lamp_{lamp}" for lamp in LAMPS), *steppers), 1.0
            ),
        )
        pumps = self.at(
            key="running",
            commands={"return_pump": 1.0, **({"charge_pump": 1.0} if self.layout == "A" else {})},
        )
        control = self.at(key="running", commands=self._control())
        pins = rest["on"]
        return Wiring(
            rest=MappingProxyType(
                {
                    pin: np.array([0.0, *(rest[key][pin] for key in ("on", "start", "running"))])
                    for pin in pins
                }
            ),
            far=MappingProxyType(self.read(pressed)),
            gain=self._gain(),
            control=MappingProxyType(self.read(control)),
            pumps=MappingProxyType(self.read(pumps)),
            coil_A=MappingProxyType(
                {name: abs(test.current(f"driver_{name}")) for name in VALVES[self.layout]}
            ),
            wheel_A=MappingProxyType(
                {
                    name: abs(control.current(f"driver_{name}"))
                    for name in self._control()
                    if name.startswith("wheel_valve")
                }
            ),
            lamps_A=MappingProxyType({lamp: abs(test.current(f"lamp_{lamp}")) for lamp in LAMPS}),
            pump_A=pumps.current("return_pump"),
            charge_V=(
                abs(pumps.current("charge_pump")) * emf_ohm("charge_pump", self.values)
                if self.layout == "A"
                else 0.0
            ),
            bus_V=(
                pressed.voltage("unit.bus_high.device", "unit.bus_low.device")
                if self.layout == "B"
                else 0.0
            ),
            stepper=all(abs(test.current(f"driver_{name}")) > 0.1 for name in steppers),
            partners=MappingProxyType(self._partners(pressed)),
        )

    def _partners(self, solution):
        """Dominant voltage and supply of the other control units on the network."""
        found = {}
        for name, plug in (
            ("engine", "engine_unit"),
            ("engine", "motor_unit"),
            ("steer", "steering_sensor"),
        ):
            pins = [f"{plug}.{pin}.device" for pin in ("bus_high", "bus_low", "supply", "ground")]
            if pins[0] in self.network.plan.points:
                found[name] = (solution.voltage(*pins[:2]), solution.voltage(*pins[2:]))
        return found

    def _control(self):
        """The valves of a strong intervention: both driven wheels let out pressure while the supply
        stays on.
        """
        if self.layout == "A":
            return {
                "cut_off_valve": 1.0,
                "feed_valve": 1.0,
                "drain_valve": 1.0,
                "wheel_valve_RL": 1.0,
                "wheel_valve_RR": 1.0,
            }
        return {
            "isolating_valve_1": 1.0,
            "priming_valve_1": 1.0,
            "outlet_FL": 1.0,
            "inlet_FL": 1.0,
            "return_pump": 1.0,
        }

    def _gain(self):
        if self.layout == "B":
            return np.zeros(4)
        points = [f"unit.sensor_{w}.device" for w in WHEEL_KEYS]
        response = self.network.response(
            points,
            [f"sensor_{w}.emf" for w in WHEEL_KEYS],
            Moment(key="running", flexed=self.flexed),
        )
        return np.abs(response.gain).max(axis=0)
