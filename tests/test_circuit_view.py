"""The living circuit without a browser: drawings, pictures of runs, what the panel says, and
tracing the path.
"""

import json
import re

import numpy as np
import pytest

from tractionlab.bench.stories import HAND, IN_CONTROL, circuit_modes
from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError
from tractionlab.hydraulics.drawing import drawing, read_drawing
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.values import hydraulics
from tractionlab.lesson.path_tracing import trace_path
from tractionlab.paint.printed import print_figure
from tractionlab.paint.wire import drawing_of, pack
from tractionlab.panels.circuit import circuit_panel, circuit_view
from tractionlab.view import PIPE_LOOKS, PIPE_STEPS, pipe_style
from tractionlab.wheels import WHEELS
from tractionlab.written import record
from tractionlab.written.record import Record

MODES = [(key, mode) for key in "AB" for mode, _ in circuit_modes(key) if mode != HAND]


def view(key, mode, pedal=60.0):
    return circuit_view({"layout": key, "mode": mode, "pedal": pedal})


def column(scene, node):
    return scene.pressure[:, [name for name, _, _ in scene.nodes].index(node)]


def part(scene, key):
    return next(i for i, p in enumerate(scene.parts) if p.key == key)


def words(scene, key, frame=-1):
    i = part(scene, key)
    return scene.parts[i].states[scene.state[frame, i]]


@pytest.mark.parametrize("key", "AB")
def test_every_place_and_part_is_drawn_and_every_port_has_its_pipe(key):
    plan, plot = layout(key), drawing(key)
    assert {p.component for p in plot.parts} - {""} == set(plan.components)
    ends = {point for line in plot.lines for point in (line.points[0], line.points[-1])}
    for p in plot.parts:
        for place, point in plot.ports[p.key].items():
            if p.symbol in ("ports", "reservoir"):
                continue
            assert point in ends, f"{p.key}: no pipe at {place}"
    drawn = {(sign, *way) for ways in plot.through for sign, *way in ways}
    for edge in plan.edges:
        if edge.kind != "port":
            assert any(
                way[1] == edge.component and {way[2], way[3]} == {edge.start, edge.goal}
                for way in drawn
            ), edge


@pytest.mark.parametrize("key", "AB")
def test_pipes_cross_seldom_and_no_symbol_lies_on_another(key):
    plot = drawing(key)
    assert sum(len(line.points) for line in plot.lines) < 200
    boxes = [
        (p.key, p.at[0] + p.box[0], p.at[1] + p.box[1], p.at[0] + p.box[2], p.at[1] + p.box[3])
        for p in plot.parts
    ]
    for i, (one, left, top, right, bottom) in enumerate(boxes):
        assert 0 <= left and right <= plot.size[0] and 0 <= top and bottom <= plot.size[1], one
        for other, l2, t2, r2, b2 in boxes[i + 1 :]:
            assert min(right, r2) - max(left, l2) <= 5 or min(bottom, b2) - max(top, t2) <= 5, (
                one,
                other,
            )


def test_a_mistake_in_a_drawing_is_named(tmp_path):
    text = (data_folder() / "hydraulics" / "drawing_a.toml").read_text(encoding="utf-8")
    for old, new, told in (
        ('symbol = "reservoir"', 'symbol = "bucket"', "parts.reservoir.*needs at and a symbol"),
        (
            'MC_F = "left", MC_R = "right"',
            'MC_X = "left", MC_R = "right"',
            "parts.master_cylinder.*ports join a place",
        ),
        (
            '"feed_valve.LINE_R", [490',
            '"feed_valve.ACC", [490',
            "LINE_R.*neither a point nor a port",
        ),
    ):
        assert old in text
        path = tmp_path / "drawing.toml"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(UserError, match=f"(?s)drawing.toml.*{told}"):
            read_drawing(path, layout("A"))


@pytest.mark.parametrize("key, mode", MODES)
def test_pressure_rises_at_the_right_wheel_and_nowhere_else(key, mode):
    scene, plan = view(key, mode).circuit, layout(key)
    top = {wheel: column(scene, f"W_{wheel}").max() for wheel in WHEELS}
    if mode in ("tc_increase", "tc_hold", "tc_reduce"):
        assert top[IN_CONTROL[key]] > 20 and all(top[w] < 1 for w in WHEELS if w != IN_CONTROL[key])
    elif mode == "tc_increase_both":
        assert min(top["FL"], top["FR"]) > 20 and max(top["RL"], top["RR"]) < 1
    elif mode in ("charging", "depressurise", "fault_priming_stuck_closed"):
        assert max(top.values()) < 1
    elif mode == "fault_isolating_stuck_open":
        assert max(top.values()) < 5
    elif mode in ("normal", "all_off", "release"):
        assert all(59 < pressure < 61 for pressure in top.values())
    if mode in plan.modes:
        for component, position in plan.modes[mode].items():
            drawn = [
                words(scene, p.key)
                for p in scene.parts
                if p.component == component and p.symbol.startswith(("two_way", "three_way"))
            ]
            assert all(said.startswith(position) for said in drawn), component


def test_the_flow_stands_at_the_pipes_it_goes_through():
    scene = view("A", "tc_increase").circuit
    ends = lambda name: [i for i, line in enumerate(scene.lines) if line.node == name]
    moment = int(np.argmax(column(scene, "W_RL") > 30))
    assert np.abs(scene.flow[moment, ends("W_RL")]).max() > 5
    for still in ("W_FL", "W_FR", "W_RR", "MC_R", "RET_F"):
        assert np.abs(scene.flow[moment, ends(still)]).max() < 0.2, still
    gone = np.trapezoid(np.abs(scene.flow[:, ends("W_RL")[0]]), scene.time)
    assert gone == pytest.approx(0.3 + 0.0166 * column(scene, "W_RL")[-1], rel=0.05), (
        "brake of the course: 0.3 + 0.02 p cm3, of which the line takes 0.0034 p"
    )


def test_state_words_follow_current_and_plunger():
    scene = view("A", "tc_hold").circuit
    assert (
        words(scene, "wheel_valve_RL", 0) == "increase, no current"
        and words(scene, "wheel_valve_RL") == "hold, 2.0 A"
    )
    assert (
        words(scene, "cut_off_valve") == "closed, 2.0 A"
        and words(scene, "feed_valve") == "open, 2.0 A"
    )
    released = view("A", "pedal_during_tc", 100.0).circuit
    assert (
        words(released, "master_cylinder") == "pedal down, foot asks for 100 bar"
        and words(released, "pedal_port") == "closed"
    )
    assert words(view("A", "charging").circuit, "pressure_switch").startswith(
        "closed: the pump shall run"
    )
    pump = re.match(
        r"runs, carries ([\d.]+) cm³/s", words(view("B", "tc_increase").circuit, "return_pump_1")
    )
    rated = hydraulics()["layout_b"]["return_pump_cm3_per_s"]
    assert 0.8 * rated < float(pump[1]) < rated, "less than without back pressure"


def test_pipes_look_different_by_more_than_colour():
    assert [pipe_style(bar) for bar in (-0.8, 0.0, 5.0, 20.0, 79.0, 80.0, 200.0)] == [
        0,
        0,
        1,
        2,
        2,
        3,
        3,
    ]
    assert len(PIPE_STEPS) == len(PIPE_LOOKS) == len(set(PIPE_LOOKS))


def test_the_sentence_says_where_the_pressure_is():
    assert (
        "the rear left wheel reaches" in view("A", "tc_hold").sentence
        and "stay below 1 bar" in view("A", "tc_hold").sentence
    )
    assert (
        view("B", "normal", 60.0).sentence
        == "Braking with the pedal: all four brakes reach 60 bar."
    )


def test_currents_by_hand():
    panel = circuit_panel("A", mode=HAND)
    panel.set(feed_valve=True, cut_off_valve=True, wheel_valve_RR=2.0)
    assert (
        column(panel.view.circuit, "W_RL")[-1] > 100
        and column(panel.view.circuit, "W_RR").max() < 1
    )
    panel.set(wheel_valve_RL=3.5)
    assert column(panel.view.circuit, "W_RL").max() < 3
    panel.set(wheel_valve_RL=5.0, drain_valve=True, start=True)
    rear = column(panel.view.circuit, "W_RL")
    opened = int(round(panel.view.circuit.moment * 100)) - 10
    assert 25 < rear[opened] < 45 and rear[opened + 25] < 5, "lesson 6: reduce from 25 bar"
    panel.set(
        start=False,
        drain_valve=False,
        feed_valve=False,
        cut_off_valve=False,
        wheel_valve_RL=0.0,
        wheel_valve_RR=0.0,
        pedal=40,
    )
    assert all(39 < column(panel.view.circuit, f"W_{w}")[-1] < 41 for w in WHEELS)
    assert {c["name"]: c.get("when") for c in panel.controls}["feed_valve"] in (
        ("mode", "hand"),
        ["mode", "hand"],
    )


def test_what_travels_is_small_and_the_drawing_travels_once():
    panel = circuit_panel("B")
    before = panel.drawing
    panel.set(mode="tc_increase")
    assert panel.drawing is before and len(panel.block) < 60_000
    assert json.loads(json.dumps(drawing_of(panel.view.circuit))) == json.loads(json.dumps(before))
    meta, block = pack(panel.view)
    assert len(json.dumps(meta)) < 12_000
    offset, length = meta["circuit"]["pressure"][0]
    assert (
        length == len(panel.view.circuit.time)
        and len(np.frombuffer(block, "<f4")) >= offset + length
    )


@pytest.mark.parametrize("key", "AB")
def test_the_circuit_on_paper(key):
    figure = print_figure(view(key, "tc_increase"), title="Circuit", time=0.8)
    axes = next(a for a in figure.axes if "after 0.80 s" in a.get_title(loc="left"))
    said = [text.get_text() for text in axes.texts]
    assert (
        "master cylinder" in said
        and "over 80 bar" in said
        and sum(text.endswith(" bar") for text in said) >= 10
    )
    assert len(axes.patches) > 200


def test_all_arrays_of_a_scene_have_its_frames():
    scene = view("A", "normal").circuit
    assert (
        scene.time[0] == 0.0
        and scene.motion.shape == (len(scene.time), len(scene.parts), 2)
        and scene.flow.shape[1] == len(scene.lines)
    )


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    record._record_of.cache_clear()
    return tmp_path


@pytest.mark.parametrize(
    "where, right",
    [
        (("A", "tc_increase", "ACC", "W_RL"), ("feed_valve", "wheel_valve_RL")),
        (("A", "abs_reduce", "W_RL", "MC_R"), ("wheel_valve_RL", "return_pump_R")),
        (("A", "tc_reduce", "W_RL", "RES"), ("wheel_valve_RL", "drain_valve")),
        (("A", "charging", "RES", "ACC"), ("charge_pump",)),
        (
            ("B", "tc_increase", "RES", "W_FL"),
            ("pedal_port", "priming_valve_1", "return_pump_1", "inlet_FL"),
        ),
        (
            ("B", "abs_reduce", "W_FL", "MC_1"),
            ("outlet_FL", "low_pressure_1", "return_pump_1", "isolating_valve_1"),
        ),
        (("B", "tc_end", "W_FL", "RES"), ("inlet_FL", "isolating_valve_1", "pedal_port")),
    ],
)
def test_the_right_way_arrives_and_is_kept(folder, where, right):
    exercise = trace_path(*where)
    for key in right:
        exercise.pick(key)
    assert exercise.done and "Arrived" in exercise.face["message"]
    line = Record(folder).lines()[-1]
    assert (
        line["answer"] == " > ".join(right)
        and line["right"]
        and line["counts"]
        and line["lesson"] == {"A": 6, "B": 7}[where[0]]
    )


def test_pressures_and_flow_are_hidden_until_the_way_is_found(folder):
    exercise = trace_path("A", "tc_increase", "ACC", "W_RL")

    def told():
        """Largest pressure and flow that the browser holds, and all its words about the parts."""
        circuit, numbers = exercise.picture["circuit"], np.frombuffer(exercise.block, "<f4")
        most = [
            max(abs(numbers[at : at + n]).max() for at, n in circuit[name])
            for name in ("pressure", "flow")
        ]
        return most, str(circuit["states"])

    most, words = told()
    assert most == [0.0, 0.0] and exercise.picture["riddle"]
    assert "bar" not in words and "carries" not in words and "passes" not in words
    assert "open" in words and "2.0 A" in words, "how the valves stand is left to see"
    for key in ("feed_valve", "wheel_valve_RL"):
        exercise.pick(key)
    most, words = told()
    assert min(most) > 0.0 and "bar" in words and not exercise.picture["riddle"]
    exercise.undo()
    assert told()[0] == [0.0, 0.0] and exercise.picture["riddle"]


def test_a_wrong_pick_says_why_and_moves_nothing(folder):
    exercise = trace_path("B", "tc_increase", "RES", "W_FL")
    exercise.pick("inlet_FL")
    assert "No pipe joins" in exercise.face["message"] and exercise.place == "RES"
    exercise.pick("pedal_port")
    exercise.pick("isolating_valve_1")
    assert (
        "flows from high pressure to low" in exercise.face["message"] and exercise.place == "MC_1"
    )
    exercise.pick("priming_valve_1")
    exercise.pick("low_pressure_1")
    assert "from this side the fluid presses it shut" in exercise.face["message"]
    exercise.hint()
    assert "the line of circuit 1" in exercise.face["message"]
    for key in ("return_pump_1", "inlet_FL"):
        exercise.pick(key)
    assert exercise.done and Record(folder).lines()[-1]["counts"] is False


def test_undo_goes_back_one_part(folder):
    exercise = trace_path("A", "tc_increase", "ACC", "W_RL")
    exercise.undo()
    assert "no step to take back" in exercise.face["message"]
    exercise.pick("feed_valve")
    exercise.undo()
    assert exercise.place == "ACC" and exercise.face["steps"] == []


def test_a_way_that_does_not_exist_is_refused(folder):
    with pytest.raises(UserError, match="no way leads from ACC to W_FL"):
        trace_path("A", "tc_increase", "ACC", "W_FL")
