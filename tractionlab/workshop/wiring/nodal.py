"""Nodal analysis of a circuit of resistors, sources and diodes: the voltages of all nodes and the
currents of all branches at one moment.
"""

from dataclasses import dataclass

import numpy as np
from threadpoolctl import ThreadpoolController

from tractionlab.errors import UserError

OPEN = 1e9  #: ohm; from here on a resistor is left out: it joins nothing
MIN_OHM = 1e-3  #: of what joins two points
# by which a diode may seem to contradict the solution: less is the rounding of node voltages
_ROUNDING_V = 1e-9
_ANCHOR = 1e-9  # S; holds a part of the circuit that is joined to nothing at a definite voltage
_DIODE_OHM = 0.01  # of a conducting diode
_MOST_ROUNDS = 400
_TOGETHER = 12  # rounds in which all diodes may change at once
_THREADS = (
    ThreadpoolController()
    # a few hundred unknowns are solved fastest by one thread; several wait for each other on a busy
    # machine
)


@dataclass(frozen=True)
class Resistor:
    """`ohm` between two nodes; its current counts from `a` to `b`."""

    name: str
    a: str
    b: str
    ohm: float


@dataclass(frozen=True)
class Source:
    """Voltage source: `a` is `volt` above `b`, less the drop over `ohm` inside; its current counts
    from `a` through it to `b`.
    """

    name: str
    a: str
    b: str
    volt: float
    ohm: float = 0.0


@dataclass(frozen=True)
class Current:
    """Current source: `ampere` from `a` through it to `b`."""

    name: str
    a: str
    b: str
    ampere: float


@dataclass(frozen=True)
class Diode:
    """Conducts from `a` to `b` with `volt` across it, and not the other way."""

    name: str
    a: str
    b: str
    volt: float = 0.6


class Solved:
    """Voltages and currents of a circuit.

    `voltage(a, b)` in V, `current(name)` in A, `power(name)` in W taken up by that branch.
    """

    def __init__(self, circuit, potential, current):
        self._circuit, self._potential, self._current = circuit, potential, current

    def voltage(self, a, b=None):
        """Voltage [V] of node `a` over node `b`, or over the reference."""
        return float(
            self._potential[self._circuit.index(a)]
            - (0.0 if b is None else self._potential[self._circuit.index(b)])
        )

    def current(self, name):
        """Current [A] of a branch from its first node through it to its second."""
        return float(self._current[self._circuit.number(name)])

    def power(self, name):
        """Power [W] that a branch takes up."""
        branch = self._circuit.branches[self._circuit.number(name)]
        return self.voltage(branch.a, branch.b) * self.current(name)


class Circuit:
    """Branches between named nodes; `reference` is the node at 0 V.

    Method: modified nodal analysis (Ho, Ruehli, Brennan 1975, from memory): Kirchhoff's current law
    at each node, and a row for each voltage source without resistance. Diodes are straight lines in
    two pieces; which of them conduct is found by changing all that contradict the solution, and
    after some rounds only the first of them, which always ends (Murty 1974, from memory)."""

    def __init__(self, branches, reference):
        self.branches = tuple(
            b for b in branches if not (isinstance(b, Resistor) and b.ohm >= OPEN)
        )
        nodes = {reference: 0}
        for branch in self.branches:
            nodes.setdefault(branch.a, len(nodes))
            nodes.setdefault(branch.b, len(nodes))
        self.nodes = nodes
        self._numbers = {branch.name: k for k, branch in enumerate(self.branches)}
        if len(self._numbers) < len(self.branches):
            raise ValueError("two branches have the same name")
        self.a = np.array([nodes[b.a] for b in self.branches], int)
        self.b = np.array([nodes[b.b] for b in self.branches], int)
        self.diodes = np.array([isinstance(b, Diode) for b in self.branches])
        self.ideal = np.array([isinstance(b, Source) and b.ohm == 0.0 for b in self.branches])
        ohms = [
            getattr(b, "ohm", _DIODE_OHM if isinstance(b, Diode) else 0.0) for b in self.branches
        ]
        for branch, ohm in zip(self.branches, ohms):
            if not ohm >= 0.0 or (isinstance(branch, Resistor) and ohm == 0.0):
                raise UserError(
                    f"{branch.name}: its resistance must be greater than 0 ohm, got {ohm!r}"
                )
        self.siemens = np.array([1.0 / ohm if ohm else 0.0 for ohm in ohms])
        self.volt = np.array([getattr(b, "volt", 0.0) for b in self.branches])
        self.ampere = np.array([getattr(b, "ampere", 0.0) for b in self.branches])

    def index(self, node):
        """Number of a node."""
        if node not in self.nodes:
            raise UserError(f"nothing is joined to the point {node!r}")
        return self.nodes[node]

    @property
    def names(self):
        """Names of all branches."""
        return self._numbers.keys()

    def number(self, name):
        """Number of a branch."""
        if name not in self._numbers:
            raise UserError(f"there is no branch {name!r} in this circuit")
        return self._numbers[name]

    def solve(self, conducting=None):
        """Solved circuit.

        `conducting`: diodes that are tried as conducting first; all of them if left out.
        """
        on = self.diodes.copy() if conducting is None else self.diodes & conducting
        for rounds in range(_MOST_ROUNDS):
            potential, current = self._linear(on)
            across = potential[self.a] - potential[self.b]
            wrong = self.diodes & np.where(
                on, current < -_ROUNDING_V * self.siemens, across > self.volt + _ROUNDING_V
            )
            if not wrong.any():
                self.conducting = on
                return Solved(self, potential, current)
            if rounds < _TOGETHER:
                on = on ^ wrong
            else:
                on[np.argmax(wrong)] ^= True
        raise UserError("this circuit has no state in which all its diodes agree")

    def gains(self, names, points):
        """Change of the voltage at `points`, pairs (a, b), for 1 V or 1 A more in each source of
        `names`; the diodes stay as they are.

        Returns an array (points, names).
        """
        system, rows = self._system(self.conducting)
        right = np.zeros((len(system), len(names)))
        for column, name in enumerate(names):
            k = self.number(name)
            if self.ideal[k]:
                right[len(self.nodes) - 1 + int(np.sum(self.ideal[:k])), column] = 1.0
            else:
                size = self.siemens[k] if isinstance(self.branches[k], Source) else -1.0
                for node, sign in ((self.a[k], 1.0), (self.b[k], -1.0)):
                    if node:
                        right[node - 1, column] += sign * size
        found = np.vstack((np.zeros(len(names)), _solve(system, right)[:rows]))
        return np.array([found[self.index(a)] - found[self.index(b)] for a, b in points]).reshape(
            len(points), len(names)
        )

    def _linear(self, on):
        """(potentials of nodes, currents of branches) with the diodes of `on` conducting."""
        system, rows = self._system(on)
        push = np.where(
            self.ideal | (self.diodes & ~on), 0.0, self.volt * self.siemens - self.ampere
        )
        right = np.zeros(rows + 1)
        np.add.at(right, self.a, push)
        np.add.at(right, self.b, -push)
        found = _solve(system, np.concatenate((right[1:], self.volt[self.ideal])))
        potential = np.concatenate(([0.0], found[:rows]))
        current = np.where(
            self.diodes & ~on, 0.0, (potential[self.a] - potential[self.b]) * self.siemens - push
        )
        current[self.ideal] = found[rows:]
        return potential, current

    def _system(self, on):
        live = ~self.diodes | on
        siemens = np.where(live, self.siemens, 0.0)
        n, ideal = len(self.nodes), np.flatnonzero(self.ideal)
        system = np.zeros((n + len(ideal), n + len(ideal)))
        for row, column, sign in (
            (self.a, self.a, 1),
            (self.b, self.b, 1),
            (self.a, self.b, -1),
            (self.b, self.a, -1),
        ):
            np.add.at(system, (row, column), sign * siemens)
        for k, branch in enumerate(ideal):
            for node, sign in ((self.a[branch], 1.0), (self.b[branch], -1.0)):
                system[node, n + k] += sign
                system[n + k, node] += sign
        for node in self._islands(live & ((siemens > 0.0) | self.ideal)):
            system[node, node] += _ANCHOR
        return system[1:, 1:], n - 1

    def _islands(self, joined):
        """One node of each part of the circuit that is joined to the reference by nothing."""
        label = np.arange(len(self.nodes))
        a, b = self.a[joined], self.b[joined]
        while True:
            low = np.minimum(label[a], label[b])
            new = label.copy()
            np.minimum.at(new, a, low)
            np.minimum.at(new, b, low)
            new = new[new]
            if np.array_equal(new, label):
                return [node for node in range(1, len(label)) if label[node] == node]
            label = new


def _solve(system, right):
    with _THREADS.limit(limits=1, user_api="blas"):
        return np.linalg.solve(system, right)
