"""Checks of the hydraulic layouts: what was written down by hand against what a search of the
circuit finds.
"""

from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, open_ways, positions_in


def rule_holds(circuit, rule, state):
    """True if the layout, with its parts in `state`, a mode or positions, does what a PathRule
    says.
    """
    if rule.rule == "must_not":
        return not can_reach(circuit, state, rule.path[0], rule.path[-1])
    ways = open_ways(circuit, state, relief=rule.rule == "relief")
    return all(after in ways[place] for place, after in zip(rule.path, rule.path[1:]))


def connection_holds(circuit, connection, state):
    """True if the search finds what the cell of the wheel or plant table says."""
    return can_reach(circuit, state, connection.start, connection.goal) == connection.connected


def wrong_positions(circuit):
    """Every (mode, component, position) in which one part, and only one, stands wrong."""
    return [
        (mode, key, position)
        for mode, positions in circuit.modes.items()
        for key, right in positions.items()
        for position in circuit.components[key].positions
        if position != right
    ]


def is_noticed(circuit, mode, component, position):
    """True if at least one check of the mode fails when `component` stands at `position`."""
    state = positions_in(circuit, mode, **{component: position})
    return any(
        not rule_holds(circuit, rule, state) for rule in circuit.paths if rule.mode == mode
    ) or any(
        not connection_holds(circuit, cell, state)
        for cell in circuit.connections
        if cell.mode == mode
    )


def _rules(key):
    circuit = layout(key)
    return {
        "path rules that the circuit obeys": sum(
            rule_holds(circuit, rule, rule.mode) for rule in circuit.paths
        )
    }


def _cells(key, table):
    circuit = layout(key)
    cells = [cell for cell in circuit.connections if cell.table == table]
    return {
        "connections found as written": sum(
            connection_holds(circuit, cell, cell.mode) for cell in cells
        )
    }


def _mutations(key):
    circuit = layout(key)
    return {
        "wrong positions that are noticed": sum(
            is_noticed(circuit, *wrong) for wrong in wrong_positions(circuit)
        )
    }


CHECKS = {
    "A paths": lambda: _rules("A"),
    "A wheels": lambda: _cells("A", "wheels"),
    "A plant": lambda: _cells("A", "plant"),
    "A wrong positions": lambda: _mutations("A"),
    "B paths": lambda: _rules("B"),
    "B wheels": lambda: _cells("B", "wheels"),
    "B plant": lambda: _cells("B", "plant"),
    "B wrong positions": lambda: _mutations("B"),
}
