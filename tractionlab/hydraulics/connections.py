"""The wheel and plant tables of a layout: in which mode fluid can get from where to where."""

from collections import Counter

from tractionlab.errors import UserError
from tractionlab.hydraulics.parts import Connection
from tractionlab.wheels import WHEELS

WHEEL_COLUMNS = (
    "mode",
    "wheel",
    "pedal_to_wheel",
    "wheel_to_pedal",
    "supply_to_wheel",
    "wheel_to_gallery",
    "wheel_to_reservoir",
)


def wheel_cells(table, words):
    """Connections of the wheel table: each wheel with pedal, supply, gallery and reservoir."""
    table.no_doubles("mode", "wheel")
    cells = []
    for row in table:
        wheel = table.one_of(row, "wheel", WHEELS)
        of, brake = words.wheels[wheel], f"W_{wheel}"
        ways = zip(
            WHEEL_COLUMNS[2:],
            (
                (of.chamber, brake),
                (brake, of.chamber),
                (of.supply, brake),
                (brake, of.gallery),
                (brake, "RES"),
            ),
        )
        cells += [_cell(table, "wheels", row, column, way, words) for column, way in ways]
    return _complete(table, cells, words, len(WHEELS) * 5)


def plant_cells(table, words):
    """Connections of the plant table; the heads of its columns say from where to where."""
    table.no_doubles("mode")
    head = {"line": 2} | {column: column for column in table.columns}
    ways = {column: table.split(head, column, ">", words.nodes) for column in table.columns[1:]}
    return _complete(
        table,
        [
            _cell(table, "plant", row, column, way, words)
            for row in table
            for column, way in ways.items()
        ],
        words,
        len(ways),
    )


def _cell(table, name, row, column, way, words):
    return Connection(
        table=name,
        mode=table.one_of(row, "mode", words.modes),
        start=way[0],
        goal=way[1],
        connected=table.one_of(row, column, ("0", "1")) == "1",
    )


def _complete(table, cells, words, wanted):
    found = Counter(cell.mode for cell in cells)
    for mode in words.modes:
        if found[mode] != wanted:
            raise UserError(
                f"{table.path}: {mode} needs {wanted} cells, one for each way, got {found[mode]}"
            )
    return cells
