"""The electrical network of a vehicle at a moment: part values and what the driver, the wheels and
the control unit do, in; voltages and currents, out.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.errors import UserError
from tractionlab.workshop.wiring import nodal
from tractionlab.workshop.wiring.elements import branches_of, wires_of
from tractionlab.workshop.wiring.moment import IGNITION_ON, States
from tractionlab.workshop.wiring.netlist import plan

PULLED = ("fuse", "relay")  #: elements that can be pulled out of their holders
_SENSOR_NEEDS_V = 4.0  # of its 5 V feed; below, a sensor with electronics gives no signal


class Solution:
    """The network solved.

    Voltages in V, currents in A; `states` says which relays are closed, which units awake, which
    fuses melted.
    """

    def __init__(self, network, moment, solved, circuit, states):
        self.network, self.moment, self.states = network, moment, states
        self.solved, self.circuit = solved, circuit

    def voltage(self, a, b="battery.minus"):
        """Voltage [V] of point `a` over point `b`; 0 where nothing is joined."""
        return float(self._potential(a) - self._potential(b))

    def _potential(self, point):
        self.network.check(point)
        return self.solved.voltage(point) if point in self.circuit.nodes else 0.0

    def current(self, element):
        """Current [A] of a branch from its first point to its second; 0 while it is open.

        Leads, pins and elements go by their keys.
        """
        if element in self.circuit.names:
            return self.solved.current(element)
        if element.partition(".")[0].removeprefix("plug_") not in self.network.known:
            raise UserError(f"{self.network.vehicle} has no lead and no element {element!r}")
        return 0.0

    def power(self):
        """Power [W] that all branches together take up: 0, as what sources give the others take."""
        return sum(self.solved.power(branch.name) for branch in self.circuit.branches)

    @property
    def nodes(self):
        """Points of the network by key."""
        return self.network.plan.points


@dataclass(frozen=True)
class Response:
    """Voltages [V] of pairs of points as straight lines in the sources: `base` (points,) plus
    `gain` (points, sources) times the sources' values.
    """

    sources: tuple
    base: np.ndarray
    gain: np.ndarray

    def at(self, **arrays):
        """Voltages (points, n) for an array (n,) or a number for each source; sources that are not
        named are 0.
        """
        rows = [np.asarray(arrays.get(name, 0.0), float) for name in self.sources]
        rows = np.broadcast_arrays(*rows, np.zeros(max((row.size for row in rows), default=1)))[:-1]
        return self.base[:, None] + self.gain @ np.array(rows)


class Network:
    """A vehicle's network with its part values.

    vehicle : "rear_petrol", "front_petrol", "front_electric"
    values : part values by dotted name, as part_values or changed give them
    """

    def __init__(self, vehicle, values):
        self.vehicle, self.values, self.plan = vehicle, values, plan(vehicle)
        self.wires = {
            (flexed, wet): wires_of(self.plan, values, flexed, wet)
            for flexed in (False, True)
            for wet in (False, True)
        }
        self._conducts = {}
        self.known = {
            *self.plan.leads,
            *self.plan.elements,
            *self.plan.plugs,
            *(e.part for e in self.plan.elements.values()),
        }

    @property
    def nodes(self):
        """Points of the network by key."""
        return self.plan.points

    def check(self, point):
        """Complain of a point that the vehicle does not have."""
        if point not in self.plan.points:
            raise UserError(
                f"{self.vehicle} has no measuring point {point!r}; Network.nodes lists them"
            )

    def solve(self, moment=IGNITION_ON, more=()):
        """Solution at a moment; `more`: further branches, such as an instrument."""
        self._check_moment(moment)
        states, seen = self._first_guess(moment), set()
        while True:
            circuit = self._circuit(moment, states, more)
            solved = circuit.solve(
                np.array([self._conducts.get(b.name, True) for b in circuit.branches])
            )
            self._conducts = {
                b.name: bool(on)
                for b, on, diode in zip(circuit.branches, circuit.conducting, circuit.diodes)
                if diode
            }
            seen.add(states)
            new = self._next(moment, states, solved, circuit)
            if new in seen:
                return Solution(self, moment, solved, circuit, states)
            states = new

    def response(self, points, sources, moment=IGNITION_ON, more=()):
        """Response of the voltages between `points`, pairs (a, b) or single points (over the unit's
        ground), to `sources`.

        Sources go by the name of their branch: "sensor_fl.emf" [V], "sensor_fl.current" [A],
        "pressure_sensor.signal", "yaw_rate.signal", "lateral.signal" [V]. Relays, units, fuses and
        diodes stay as they are at `moment`."""
        solution = self.solve(moment, more)
        pairs = [
            (point, "unit.ground.device") if isinstance(point, str) else tuple(point)
            for point in points
        ]
        for pair in pairs:
            for point in pair:
                self.check(point)
        for name in sources:
            if name.partition(".")[0] not in self.known:
                raise UserError(f"{self.vehicle} has no source {name!r}")
        there = [name for name in sources if name in solution.circuit.names]
        nodes = solution.circuit.nodes
        live = [all(point in nodes for point in pair) for pair in pairs]
        gain = np.zeros((len(pairs), len(sources)))
        found = solution.circuit.gains(there, [pair for pair, ok in zip(pairs, live) if ok])
        columns = [sources.index(name) for name in there]
        gain[np.ix_(np.flatnonzero(live), columns)] = found
        now = np.zeros(len(sources))
        for name, column in zip(there, columns):
            branch = solution.circuit.branches[solution.circuit.number(name)]
            now[column] = branch.volt if isinstance(branch, nodal.Source) else branch.ampere
        base = np.array([solution.voltage(*pair) for pair in pairs]) - gain @ now
        return Response(tuple(sources), base, gain)

    def _check_moment(self, moment):
        known = set(self.plan.plugs) | {
            key for key, e in self.plan.elements.items() if e.kind in PULLED
        }
        strange = set(moment.unplugged) - known
        if strange:
            raise UserError(
                f"{self.vehicle} has no plug, fuse or relay {sorted(strange)[0]!r}; it has"
                f" {', '.join(sorted(known))}"
            )
        commands = {e.more["command"] for e in self.plan.elements.values() if e.kind == "driver"}
        strange = set(moment.commands) - commands
        if strange:
            raise UserError(
                f"the control unit of {self.vehicle} drives no {sorted(strange)[0]!r}; it drives"
                f" {', '.join(sorted(commands))}"
            )

    def _circuit(self, moment, states, more):
        branches = [
            branch
            for plug, branch in self.wires[moment.flexed, moment.wet]
            if plug not in moment.unplugged
        ]
        for element in self.plan.elements.values():
            if (
                not (element.kind in PULLED and element.key in moment.unplugged)
                and element.key not in states.melted
            ):
                branches += branches_of(element, self.values, moment, states)
        return nodal.Circuit([*branches, *more], "battery.minus")

    def _first_guess(self, moment):
        """All that the key and the commands ask for; what the voltages do not bear out falls away
        in the next step.
        """
        if moment.key == "off":
            return States()
        relays = {key for key, e in self.plan.elements.items() if e.kind == "relay"}
        asked = {
            e.key.removeprefix("driver_")
            for e in self.plan.elements.values()
            if e.kind == "driver" and moment.commands.get(e.more["command"], 0.0) >= 0.5
        }
        return States(
            frozenset(relays & asked),
            frozenset(key for key, e in self.plan.elements.items() if e.kind in ("unit", "signal")),
        )

    def _next(self, moment, states, solved, circuit):
        """The states that these voltages make; a fuse melts once all the rest has settled."""

        def over(a, b):
            return (solved.voltage(a) if a in circuit.nodes else 0.0) - (
                solved.voltage(b) if b in circuit.nodes else 0.0
            )

        closed, awake = set(), set()
        for element in self.plan.elements.values():
            if element.kind == "relay" and element.key not in moment.unplugged:
                if abs(over(*element.more["coil"])) >= self.values[f"{element.part}.pull_V"]:
                    closed.add(element.key)
            elif (
                element.kind == "unit"
                and over(*element.at) >= self.values[f"{element.part}.reset_V"]
            ):
                awake.add(element.key)
            elif element.kind == "signal" and over(*element.at[:2]) >= _SENSOR_NEEDS_V:
                awake.add(element.key)
        new = States(frozenset(closed), frozenset(awake), states.melted)
        return (
            new
            if new != states or moment.brief
            else States(new.closed, new.awake, states.melted | self._melting(solved, circuit))
        )

    def _melting(self, solved, circuit):
        """Fuses that carry more than they bear."""
        fuses = [
            e for e in self.plan.elements.values() if e.kind == "fuse" and e.key in circuit.names
        ]
        return {
            e.key
            for e in fuses
            if abs(solved.current(e.key))
            > self.values[f"{e.part}.blow_share"] * self.values[f"{e.part}.rating_A"]
        }
