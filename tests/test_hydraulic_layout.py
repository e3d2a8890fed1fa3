"""Hydraulic layouts: every rule and table cell, every wrong position, what failures do, words for
each step, broken files.
"""

import shutil
from collections import Counter
from dataclasses import replace

import pytest

from tractionlab.catalogue.places import data_folder
from tractionlab.checks.hydraulic_graphs import (
    connection_holds,
    is_noticed,
    rule_holds,
    wrong_positions,
)
from tractionlab.errors import UserError
from tractionlab.hydraulics.layout import KEYS, layout, read_layout, valve_summary
from tractionlab.hydraulics.paths import (
    ENDS,
    can_reach,
    explain_path,
    explain_step,
    open_ways,
    positions_in,
    shortest_path,
)
from tractionlab.units import BAR

A, B = layout("A"), layout("B")
BOTH = (A, B)
RULES = [(circuit, rule) for circuit in BOTH for rule in circuit.paths]
CELLS = [(circuit, cell) for circuit in BOTH for cell in circuit.connections]
WRONG = [(circuit, *wrong) for circuit in BOTH for wrong in wrong_positions(circuit)]
STEPS = [
    (circuit, mode, edge) for circuit in BOTH for mode in circuit.modes for edge in circuit.edges
]
# Beside the published count: ways that no row of the path tables uses.
MORE = {
    "A": [
        ("charging", "ACC", "RES", True),
        ("tc_end", "RES", "W_RL", False),
        ("tc_end", "RES", "W_FL", False),
    ],
    "B": [("tc_end", "RES", "W_FL", False), ("tc_end", "RES", "W_FR", False)],
}
TWINS = {
    "A": [
        {"FL": "FR", "FR": "FL"},
        {"RL": "RR", "RR": "RL"},
        {"FL": "RL", "FR": "RR", "MC_F": "LINE_R", "RET_F": "RET_R"},
    ],
    "B": [
        {"1": "2", "2": "1", "FL": "FR", "FR": "FL", "RR": "RL", "RL": "RR"},
        {"FL": "RR", "RR": "FL"},
        {"FR": "RL", "RL": "FR"},
    ],
}


@pytest.mark.parametrize(
    "circuit, rule",
    RULES,
    ids=lambda part: getattr(part, "key", None) or f"{part.mode} {part.rule} {'>'.join(part.path)}",
)
def test_path_rule(circuit, rule):
    assert rule_holds(circuit, rule, rule.mode), rule.meaning


@pytest.mark.parametrize(
    "circuit, cell",
    CELLS,
    ids=lambda part: (
        getattr(part, "key", None) or f"{part.table} {part.mode} {part.start}>{part.goal}"
    ),
)
def test_connection(circuit, cell):
    assert connection_holds(circuit, cell, cell.mode)


@pytest.mark.parametrize(
    "circuit, mode, component, position", WRONG, ids=lambda part: getattr(part, "key", part)
)
def test_wrong_position_is_noticed(circuit, mode, component, position):
    assert is_noticed(circuit, mode, component, position)


def test_counts():
    assert len(RULES) + len(CELLS) == 806
    assert [len(circuit.paths) + len(circuit.connections) for circuit in BOTH] == [380, 426]
    assert [len(wrong_positions(circuit)) for circuit in BOTH] == [180, 182]
    for circuit in BOTH:
        assert (
            {rule.mode for rule in circuit.paths}
            == {cell.mode for cell in circuit.connections}
            == set(circuit.modes)
        )


def disagrees(circuit):
    """True if a rule, a table cell, a further way or the likeness of the wheels is wrong."""
    return (
        any(not rule_holds(circuit, rule, rule.mode) for rule in circuit.paths)
        or any(not connection_holds(circuit, cell, cell.mode) for cell in circuit.connections)
        or any(
            not can_reach(circuit, mode, start, goal, relief=relief)
            for mode, start, goal, relief in MORE[circuit.key]
        )
        or any(not alike(circuit, twins) for twins in TWINS[circuit.key])
    )


def alike(circuit, twins):
    """True if the ways of each wheel valve, inlet, outlet or circuit are those of its twin."""

    def renamed(word):
        if word in twins:
            return twins[word]
        stem, _, last = word.rpartition("_")
        return f"{stem}_{twins.get(last, last)}" if stem else word

    ways = Counter(
        (
            edge.component,
            edge.position,
            edge.start,
            edge.goal,
            edge.flow,
            edge.kind,
            edge.opening_pressure,
        )
        for edge in circuit.edges
    )
    return all(
        ways[renamed(way[0]), way[1], renamed(way[2]), renamed(way[3]), *way[4:]]
        for way in ways
        if renamed(way[0]) != way[0] or (circuit.key == "B" and "1" in twins)
    )


@pytest.mark.parametrize("circuit", BOTH, ids=KEYS)
def test_missing_or_reversed_way_is_noticed(circuit):
    assert not disagrees(circuit)
    for at, edge in enumerate(circuit.edges):
        others = circuit.edges[:at] + circuit.edges[at + 1 :]
        assert disagrees(replace(circuit, edges=others)), f"{edge} missing"
        if edge.flow == "forward":
            turned = replace(edge, start=edge.goal, goal=edge.start)
            assert disagrees(replace(circuit, edges=(*others, turned))), f"{edge} reversed"


def test_ends_let_nothing_through():
    emptied = positions_in(A, "depressurise")
    assert can_reach(A, emptied, "W_RL", "RES") and can_reach(A, emptied, "RES", "W_FL")
    assert not can_reach(A, emptied, "W_RL", "W_FL")
    for circuit, mode, edge in STEPS:
        for goal in circuit.nodes:
            path = shortest_path(circuit, mode, edge.start, goal) or ()
            assert not set(ENDS) & set(path[1:-1])


def test_shortest_path_is_a_way():
    assert shortest_path(A, "tc_increase", "ACC", "W_RL") == ("ACC", "LINE_R", "W_RL")
    assert shortest_path(B, "tc_increase", "RES", "W_FL") == ("RES", "MC_1", "L_1", "W_FL")
    assert shortest_path(A, "tc_hold", "ACC", "W_RL") is None
    assert shortest_path(A, "normal", "ACC", "ACC") == ("ACC",)
    assert shortest_path(B, "tc_increase", "L_1", "MC_1", relief=True) == ("L_1", "MC_1")
    assert not can_reach(A, "normal", "ACC", "RES") and can_reach(
        A, "normal", "ACC", "RES", relief=True
    )


@pytest.mark.parametrize(
    "circuit, mode, changed, start, goal, reaches",
    [
        (
            A,
            "tc_increase",
            {"cut_off_valve": "open"},
            "ACC",
            "RES",
            True,
        ),  # stored pressure slips to the reservoir
        (
            A,
            "tc_end",
            {"cut_off_valve": "closed"},
            "MC_R",
            "W_RL",
            True,
        ),  # the pedal still brakes ...
        (A, "tc_end", {"cut_off_valve": "closed"}, "W_RL", "RES", False),  # ... but the wheel drags
        (A, "tc_increase", {"feed_valve": "closed"}, "ACC", "W_RL", False),
        (A, "normal", {"feed_valve": "open"}, "ACC", "W_RL", True),
        (A, "tc_reduce", {"drain_valve": "closed"}, "W_RL", "RES", False),
        (A, "abs_reduce", {"drain_valve": "open"}, "RET_R", "RES", True),
        (A, "normal", {"wheel_valve_FL": "hold"}, "MC_F", "W_FL", False),
        (A, "normal", {"wheel_valve_FL": "reduce"}, "MC_F", "W_FL", False),
        (A, "abs_reduce", {"return_pump": "stop"}, "W_RL", "RES", False),
        (B, "tc_increase", {"isolating_valve_1": "open"}, "L_1", "RES", True),
        (B, "tc_end", {"isolating_valve_1": "closed"}, "MC_1", "W_FL", True),
        (B, "tc_end", {"isolating_valve_1": "closed", "return_pump": "stop"}, "W_FL", "RES", False),
        (B, "tc_increase", {"priming_valve_1": "closed"}, "RES", "S_1", False),
        (B, "normal", {"priming_valve_1": "open"}, "MC_1", "S_1", True),
        (B, "tc_increase", {"inlet_RR": "open"}, "S_1", "W_RR", True),
        (B, "normal", {"inlet_FL": "closed"}, "MC_1", "W_FL", False),
        (B, "abs_reduce", {"outlet_FL": "closed"}, "W_FL", "LPA_1", False),
        (B, "normal", {"outlet_FL": "open"}, "W_FL", "LPA_1", True),
        (B, "tc_increase", {"return_pump": "stop"}, "S_1", "W_FL", False),
    ],
)
def test_failure_does_what_the_words_of_the_part_say(circuit, mode, changed, start, goal, reaches):
    assert can_reach(circuit, positions_in(circuit, mode, **changed), start, goal) is reaches


def test_every_part_place_and_mode_has_words():
    for circuit in BOTH:
        for part in circuit.components.values():
            assert all((part.name, part.task, part.rest, part.failure, part.source, part.symbol)), (
                part.key
            )
            assert "{place}" not in part.name
            assert set(part.currents) in (set(), set(part.positions))
        names = (
            [part.name for part in circuit.components.values()]
            + list(circuit.nodes.values())
            + list(circuit.mode_names.values())
        )
        assert len(names) == len(set(names))
    assert A.components["wheel_valve_RL"].currents == {
        "increase": (0.0, 0.0),
        "hold": (2.0, 2.0),
        "reduce": (5.0, 5.0),
    }
    assert B.components["isolating_valve_1"].currents["closed"] == (1.0, 2.0)


def test_without_current_every_part_is_at_rest():
    for circuit in BOTH:
        for key, position in circuit.modes["all_off"].items():
            expected = "closed" if key == "pedal_port" else circuit.components[key].rest_position
            assert position == expected, key
            assert circuit.components[key].currents.get(expected, (0.0,))[0] == 0.0


def test_summary_is_that_of_the_modes():
    parts = {
        "A": {
            "isolating_or_cut_off": "cut_off_valve",
            "priming_or_feed": "feed_valve",
            "drain": "drain_valve",
            "inlet_or_wheel_valve": "wheel_valve_RL",
        },
        "B": {
            "isolating_or_cut_off": "isolating_valve_1",
            "priming_or_feed": "priming_valve_1",
            "inlet_or_wheel_valve": "inlet_FL",
            "outlet": "outlet_FL",
        },
    }
    rows = valve_summary()
    assert len(rows) == 14
    for row in rows:
        positions = layout(row["layout"]).modes[row["mode"]]
        for column in (
            "isolating_or_cut_off",
            "priming_or_feed",
            "drain",
            "inlet_or_wheel_valve",
            "outlet",
        ):
            part = parts[row["layout"]].get(column)
            assert row[column] == (positions[part] if part else ""), row
        assert (row["pump"] == "return pump runs") == (positions["return_pump"] == "run")


@pytest.mark.parametrize("circuit", BOTH, ids=KEYS)
def test_step_is_possible_where_a_way_is_open(circuit):
    for mode in circuit.modes:
        ways = open_ways(circuit, mode)
        for start in circuit.nodes:
            for goal in circuit.nodes:
                step = explain_step(circuit, mode, start, goal)
                assert step.possible == (goal in ways[start])
                assert step.words[0].isupper() and step.words.endswith(".")
                assert (step.component == "") == (
                    not any(e.leads(start, goal) or e.leads(goal, start) for e in circuit.edges)
                    or start == goal
                )


@pytest.mark.parametrize(
    "circuit, mode, start, goal, bars, possible, words",
    [
        (
            A,
            "tc_hold",
            "LINE_R",
            "W_RL",
            None,
            False,
            "The wheel valve rear left stands at hold; this way is open only at increase.",
        ),
        (A, "tc_hold", "LINE_R", "W_RL", None, False, "from this side the fluid presses it shut"),
        (A, "tc_hold", "LINE_R", "MC_R", None, False, "The cut-off valve is closed."),
        (A, "normal", "MC_R", "LINE_R", None, True, "The cut-off valve is open."),
        (
            A,
            "tc_hold",
            "W_RL",
            "LINE_R",
            {"W_RL": 20, "LINE_R": 150},
            False,
            "only 20.0 bar: fluid flows from high pressure to low.",
        ),
        (
            A,
            "tc_hold",
            "W_RL",
            "LINE_R",
            {"W_RL": 20, "LINE_R": 5},
            True,
            "The non-return valve of the wheel valve rear left",
        ),
        (
            A,
            "normal",
            "MC_R",
            "LINE_R",
            {"MC_R": 40, "LINE_R": 40},
            False,
            "both sides have 40 bar: nothing pushes the fluid",
        ),
        (
            A,
            "tc_increase",
            "LINE_R",
            "ACC",
            None,
            False,
            "The feed valve lets fluid only from the accumulator to the rear brake line.",
        ),
        (
            A,
            "charging",
            "ACC",
            "RES",
            None,
            False,
            "opens only when the accumulator has 230 bar more than the reservoir",
        ),
        (
            A,
            "charging",
            "ACC",
            "RES",
            {"ACC": 231, "RES": 0},
            True,
            "pushed open, for the difference is above 230 bar",
        ),
        (
            A,
            "charging",
            "ACC",
            "RES",
            {"ACC": 229, "RES": 0},
            False,
            "The charge pump carries fluid only from the reservoir to the accumulator.",
        ),
        (A, "charging", "RES", "ACC", {"RES": 0, "ACC": 150}, True, "even against pressure"),
        (A, "normal", "RES", "ACC", None, False, "The charge pump stands still."),
        (
            A,
            "normal",
            "ACC",
            "W_FL",
            None,
            False,
            "No part joins the accumulator and the front left brake.",
        ),
        (A, "normal", "ACC", "ACC", None, False, "already in the accumulator"),
        (
            B,
            "tc_increase",
            "MC_1",
            "S_1",
            {"MC_1": 0, "S_1": 0},
            True,
            "The priming valve 1 is open.",
        ),
        (
            B,
            "tc_increase",
            "L_1",
            "MC_1",
            {"L_1": 161, "MC_1": 0},
            True,
            "The relief valve of the isolating valve 1 is pushed open",
        ),
        (
            B,
            "tc_increase",
            "MC_1",
            "L_1",
            {"L_1": 161, "MC_1": 0},
            False,
            "fluid flows from high pressure to low",
        ),
        (
            B,
            "tc_increase",
            "L_1",
            "S_1",
            None,
            False,
            "carries fluid only from the suction side of the pump in circuit 1",
        ),
    ],
)
def test_step_is_explained(circuit, mode, start, goal, bars, possible, words):
    pressures = bars and {place: bar * BAR for place, bar in bars.items()}
    step = explain_step(circuit, mode, start, goal, pressures)
    assert step.possible is possible
    assert words in step.words


def test_path_is_explained_up_to_the_first_mistake():
    assert [step.possible for step in explain_path(A, "tc_reduce", ("W_RL", "RET_R", "RES"))] == [
        True,
        True,
    ]
    assert [
        step.possible for step in explain_path(A, "tc_reduce", ("W_RL", "LINE_R", "MC_R", "RES"))
    ] == [True, False]
    through = explain_path(A, "tc_end", ("W_RL", "LINE_R", "MC_R", "RES", "MC_F"))
    assert not through[-1].possible and "A way ends in the reservoir" in through[-1].words
    for circuit, rule in RULES:
        if rule.rule == "must":
            assert all(step.possible for step in explain_path(circuit, rule.mode, rule.path))


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: layout("C"), "no hydraulic layout is called 'C'"),
        (lambda: can_reach(A, "parking", "ACC", "RES"), "layout A has no mode 'parking'"),
        (lambda: can_reach(A, "normal", "ACC", "W_XX"), "no place 'W_XX'"),
        (lambda: explain_step(A, "normal", "W_XX", "ACC"), "no place 'W_XX'"),
        (
            lambda: explain_step(A, "normal", "MC_R", "LINE_R", {"MC_R": 0.0}),
            "the pressure of LINE_R is missing",
        ),
        (
            lambda: positions_in(A, "normal", feed_valve="half"),
            "feed_valve must be one of closed, open; got 'half'",
        ),
        (
            lambda: positions_in(A, {"feed_valve": "open"}),
            "pedal_port must be one of open, closed; got None",
        ),
        (
            lambda: positions_in(B, "normal", wheel_valve_FL="hold"),
            "layout B has no movable part 'wheel_valve_FL'",
        ),
    ],
)
def test_wrong_question_is_answered(call, message):
    with pytest.raises(UserError, match=message):
        call()


@pytest.mark.parametrize(
    "table, old, new, message",
    [
        ("components", "# source: ", "# ", "line 1: must say where the facts come from"),
        (
            "components",
            "component,symbol",
            "part,symbol",
            "line 2: the columns must be component, symbol, ports",
        ),
        (
            "components",
            "MC_R/LINE_R,open",
            "MC_R/LINE_X,open",
            "line 4, ports: each part must be one of RES, .* got 'LINE_X'",
        ),
        (
            "components",
            "cut_off_valve,",
            "cut_of_valve,",
            "line 4, component: 'cut_of_valve' has no words",
        ),
        (
            "components",
            "LINE_R,open,open/closed",
            "LINE_R,ajar,open/closed",
            "line 4, rest: must be one of open, closed; got 'ajar'",
        ),
        (
            "components",
            "open/closed,0/2.0",
            "open/closed,0",
            "line 4, currents_A: needs one current for each of the positions",
        ),
        (
            "components",
            "open/closed,0/2.0",
            "open/closed,0/two",
            "line 4, currents_A: must be a number from 0 to 20; got 'two'",
        ),
        (
            "components",
            "open/closed,0/2.0",
            "open/closed,0/2.0,",
            "line 4: needs 6 cells, one for each column, got 7",
        ),
        ("edges", "feed_valve,open", "feeding_valve,open", "line 7, component: must be one of"),
        (
            "edges",
            "feed_valve,open",
            "feed_valve,hold",
            "line 7, position: must be one of closed, open, any, relief; got 'hold'",
        ),
        (
            "edges",
            "ACC,LINE_R,forward",
            "ACC,W_RL,forward",
            "line 7, to: must be one of ACC, LINE_R; got 'W_RL'",
        ),
        (
            "edges",
            "ACC,LINE_R,forward",
            "ACC,LINE_R,backward",
            "line 7, flow: must be one of both, forward; got 'backward'",
        ),
        (
            "edges",
            "relief,230",
            "relief,",
            "line 25, opening_bar: must be a number from 1 to 500; got ''",
        ),
        ("edges", "relief,230", "relief,nan", "line 25, opening_bar: must be a number"),
        (
            "edges",
            "relief,230",
            "valve,230",
            "line 25, kind: position relief and kind relief belong together",
        ),
        (
            "edges",
            "BOTTLE,forward,valve,",
            "BOTTLE,forward,valve,3",
            "line 24, opening_bar: only a relief valve",
        ),
        (
            "modes",
            "component,normal",
            "component,usual",
            "line 2: the columns must be component, normal, ",
        ),
        (
            "modes",
            "feed_valve,closed",
            "feed_valve,shut",
            "line 5, normal: must be one of closed, open; got 'shut'",
        ),
        (
            "modes",
            "feed_valve,closed",
            "accumulator,closed",
            "line 5, component: must be one of pedal_port",
        ),
        (
            "modes",
            "feed_valve,closed",
            "drain_valve,closed",
            "line 6, component: drain_valve stands here twice",
        ),
        (
            "paths",
            "normal,must,MC_F>W_FL",
            "normal,should,MC_F>W_FL",
            "line 4, rule: must be one of must, must_not, relief",
        ),
        (
            "paths",
            "normal,must,MC_F>W_FL",
            "normal,must,MC_F",
            "line 4, path: needs a start and a goal",
        ),
        (
            "paths",
            "normal,must,MC_F>W_FL",
            "usual,must,MC_F>W_FL",
            "line 4, mode: must be one of normal",
        ),
        (
            "wheels",
            "normal,FR,1",
            "normal,FR,2",
            "line 4, pedal_to_wheel: must be one of 0, 1; got '2'",
        ),
        ("wheels", "normal,FR,1", "normal,FL,1", "line 4, wheel: normal FL stands here twice"),
        ("wheels", "normal,FR,1,1,0,0,0\n", "", "normal needs 20 cells, one for each way, got 15"),
        (
            "plant",
            "LINE_R>MC_R",
            "LINE_R>MC_X",
            "line 2, LINE_R>MC_X: each part must be one of RES",
        ),
        ("plant", "\nnormal,1", "\nnormal,", "line 3, LINE_R>MC_R: must be one of 0, 1; got ''"),
    ],
)
def test_broken_table_is_named(tmp_path, table, old, new, message):
    folder = tmp_path / "hydraulics"
    shutil.copytree(data_folder() / "hydraulics", folder)
    broken = folder / f"layout_a_{table}.csv"
    text = broken.read_text(encoding="utf-8")
    assert old in text
    broken.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UserError, match=message) as caught:
        read_layout("A", folder)
    assert str(broken) in str(caught.value)


@pytest.mark.parametrize(
    "old, new, message",
    [
        (
            '[A.parts.feed_valve]\nname = "Feed valve"',
            "[A.parts.feed_valve]",
            r"\[A.parts.feed_valve\]: name is missing",
        ),
        (
            'mark = "C"\n\n[A.parts.feed_valve]',
            'mark = "X"\n\n[A.parts.feed_valve]',
            r"\[A.parts.cut_off_valve\]: mark must be one of C, M, I; got 'X'",
        ),
        (
            'FL = { chamber = "MC_F"',
            'FL = { chamber = "MC"',
            r"\[A.wheels\]: FL: chamber must be one of RES, .* got 'MC'",
        ),
        (
            "[A.parts.feed_valve]",
            (
                '[A.parts.horn]\nname = "x"\ntask = "x"\nrest = "x"\nfailure = "x"\nmark ='
                ' "C"\n[A.parts.feed_valve]'
            ),
            "horn is no part of the layout",
        ),
        ("[A.modes]", "[A.moods]", r"\[A\]: modes is missing"),
    ],
)
def test_broken_words_are_named(tmp_path, old, new, message):
    folder = tmp_path / "hydraulics"
    shutil.copytree(data_folder() / "hydraulics", folder)
    broken = folder / "parts.toml"
    text = broken.read_text(encoding="utf-8")
    assert old in text
    broken.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UserError, match=message) as caught:
        read_layout("A", folder)
    assert str(broken) in str(caught.value)


def test_missing_file_is_named(tmp_path):
    folder = tmp_path / "hydraulics"
    shutil.copytree(data_folder() / "hydraulics", folder)
    (folder / "layout_b_plant.csv").unlink()
    with pytest.raises(UserError, match="layout_b_plant.csv: there is no such file"):
        read_layout("B", folder)
