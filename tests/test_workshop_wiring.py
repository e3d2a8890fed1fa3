"""Wiring diagrams: drawn from the network and from nothing else; the measuring panel says what its
instruments show.
"""

import json
import re

import numpy as np
import pytest
from workshop_readings import V1, V2

from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError
from tractionlab.lesson.measuring_facts import STRANDS
from tractionlab.paint.printed import save
from tractionlab.paint.wire import pack, wiring_drawing_of
from tractionlab.panels.measuring import PROBES, measuring_panel
from tractionlab.workshop.wiring import drawing as wiring_module
from tractionlab.workshop.wiring.drawing import wiring
from tractionlab.workshop.wiring.netlist import VEHICLES, plan
from tractionlab.workshop.wiring.symbols import HALF, KINDS, symbol

GROUPS = [(vehicle, group) for vehicle in VEHICLES for group in plan(vehicle).groups]
#: Not parts to draw: what a fault puts between two leads, and inputs that hardly load.
NOT_DRAWN = re.compile(r"bus_wires|tc_switch_bridge|housing|unit_input_..$|unit_hears_")


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_lead_part_and_point_is_drawn_somewhere(vehicle):
    net, drawings = plan(vehicle), [wiring(vehicle, group) for group in plan(vehicle).groups]
    assert set(net.leads) == set().union(*(d.leads for d in drawings))
    assert not [
        key
        for key in net.elements
        if not NOT_DRAWN.match(key)
        and not any(key == e.partition(":")[0] for d in drawings for e in d.elements)
    ]
    assert set(net.points) | set(net.forbidden) == {
        point.key for d in drawings for point in d.scene.points
    }
    pulled = {plug.key for d in drawings for plug in d.scene.plugs}
    assert (
        set(net.plugs) | {key for key, e in net.elements.items() if e.kind in ("fuse", "relay")}
        <= pulled
    )


@pytest.mark.parametrize("vehicle, group", GROUPS)
def test_points_can_be_hit_one_by_one(vehicle, group):
    """Points that can be chosen at the same time stand at least 16 units apart, nearly all of them
    20, and all lie on the sheet.
    """
    scene = wiring(vehicle, group).scene
    places = [point.at for point in scene.points if not point.device] + [
        ((p.box[0] + p.box[2]) / 2, (p.box[1] + p.box[3]) / 2) for p in scene.plugs
    ]
    apart = np.hypot(
        *(np.array(places)[:, None] - np.array(places)[None]).transpose(2, 0, 1)
    ) + 100 * np.eye(len(places))
    assert apart.min() >= 16 and np.percentile(apart.min(axis=0), 10) >= 20
    assert all(0 < x < scene.size[0] and 0 < y < scene.size[1] + 20 for x, y in places)


@pytest.mark.parametrize("vehicle, group", GROUPS)
def test_lines_run_straight_and_end_at_something(vehicle, group):
    scene = wiring(vehicle, group).scene
    for (x0, y0), (x1, y1) in scene.lines:
        assert x0 == x1 or y0 == y1
    rails = [sorted(line) for line in scene.lines if line[0][1] == line[1][1]]
    held = {point.at for point in scene.points} | set(scene.dots)
    symbols = {(part.at[0], part.at[1] + way) for part in scene.parts for way in (-HALF, HALF, 0)}

    def ends_well(x, y):
        return (
            (x, y) in held
            or (x, y) in symbols
            or any(a <= x <= b and y == top for (a, top), (b, _) in rails)
            or any(
                abs(x - part.at[0]) <= 95 and abs(y - part.at[1]) <= 30
                for part in scene.parts
                if len(part.shapes) <= 3
            )
        )

    loose = [
        end
        for line in scene.lines
        if line[0][0] == line[1][0]
        for end in line
        if not ends_well(*end)
    ]
    assert loose == []


@pytest.mark.parametrize("vehicle, group", GROUPS)
def test_it_travels_and_prints(vehicle, group, tmp_path):
    panel = measuring_panel(vehicle, group)
    meta, _ = pack(panel.view)
    assert (
        json.loads(json.dumps({**meta["wiring"], **wiring_drawing_of(panel.view.wiring)}))["layout"]
        == f"{vehicle}/{group}"
    )
    if vehicle == V1:
        sheets = []
        for number in (1, 2):
            save(panel.view, tmp_path / f"{number}.svg")
            sheets.append((tmp_path / f"{number}.svg").read_bytes())
        assert sheets[0] == sheets[1] and len(sheets[0]) > 5000


@pytest.mark.parametrize("kind", KINDS)
def test_symbols_reach_their_terminals(kind):
    ends = {tuple(point) for shape in symbol(kind) for point in shape.get("p", ())}
    assert (0.0, float(-HALF)) in ends and (kind == "earth" or (0.0, float(HALF)) in ends)
    turned = {tuple(point) for shape in symbol(kind, turned=True) for point in shape.get("p", ())}
    assert (-float(HALF), 0.0) in turned


@pytest.mark.parametrize(
    "old, new, words",
    [
        ('[90, "sensor_{w}.1"], [152', '[90, "sensor_{w}.2"], [152', "the network does not join"),
        ('"unit_bias_{w}"', '"unit_return_{w}"', "the network does not join"),
        ('"stud_unit.lead"', '"stud_unit.led"', "no point and no part is called 'stud_unit.led'"),
        ("size = [860, 490]", "sizes = 1", "sizes is unknown"),
    ],
)
def test_a_drawing_that_lies_is_refused(tmp_path, monkeypatch, old, new, words):
    text = (data_folder() / "workshop" / "wiring_wheel_sensors.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "workshop").mkdir()
    (tmp_path / "workshop" / "wiring_wheel_sensors.toml").write_text(
        text.replace(old, new), encoding="utf-8"
    )
    monkeypatch.setattr(wiring_module, "data_folder", lambda: tmp_path)
    with pytest.raises(UserError) as problem:
        wiring.__wrapped__(V1, "wheel_sensors")
    assert words in str(problem.value) and "wiring_wheel_sensors.toml" in str(problem.value)


# The panel


def put(panel, red="", black="", **more):
    panel.set(
        probes={**panel.values["probes"], "R": red, "B": black, **more.pop("probes", {})}, **more
    )
    assert panel.error == ""
    return panel.view.sentence


def test_two_points_are_measured():
    panel = measuring_panel()
    assert panel.view.sentence == "Put the red probe on a point of the drawing."
    said = put(panel, "unit.sensor_fl", "unit.ground")
    assert (
        said.endswith("the meter shows 0.547 V.")
        and "pin 31 of the plug of the brake control unit (sensor front left)" in said
        and "pin 12" in said
    )
    assert put(panel, "unit.sensor_fl", "unit.ground", pulled=["sensor_fl"]).endswith("4.99 V.")
    assert put(
        panel, "unit.sensor_fl", "unit.return_fl", pulled=["unit"], key="off", instrument="ohm"
    ).endswith("1.100 kohm.")
    assert "means nothing" in put(panel, "unit.sensor_fl", "unit.ground", pulled=[], key="on")
    assert "sealed" in put(panel, "sensor_fl.1", "unit.ground", instrument="volt_dc")


def test_a_probe_that_the_other_car_does_not_have_is_not_there():
    panel = measuring_panel()
    put(panel, "unit.return_fl", "unit.ground")
    panel.set(vehicle=V2)
    assert (
        panel.view.sentence == "Put the red probe on a point of the drawing." and panel.error == ""
    )


def test_a_hidden_fault_is_found_by_its_readings():
    panel = measuring_panel(V2, "valves", changes=STRANDS)
    assert put(panel, "relay_pump.out", "pump.1", happens="pump").endswith("4.73 V.")
    assert "15.6 A" in put(panel, instrument="clamp", probes={"C": "pump.1"}) and panel.view.charts
    assert "vehicle" not in panel.values


def test_clamp_and_scope_tell_what_they_lie_on():
    panel = measuring_panel(V1, "valves", instrument="clamp", happens="charge")
    assert "feed cable of the charge pump motor shows 20.0 A" in put(
        panel, probes={"C": "charge_pump.1"}
    )
    said = put(
        panel,
        "unit.sensor_fl",
        "unit.ground",
        instrument="scope",
        happens="turn_fl",
        probes={"2": "unit.sensor_fr"},
    )
    assert (
        "channel 1, red goes from 0.25 to 0.85 V; channel 2 goes from 0.55 to 0.55 V" in said
        and len(panel.view.charts[0].lines) == 2
    )


def test_the_oscilloscope_shows_a_run():
    """On snow the driven rear wheel turns faster than the front wheel: its signal is stronger."""
    panel = measuring_panel(V1, instrument="scope", happens="run")
    put(panel, "unit.sensor_rl", "unit.ground", probes={"2": "unit.sensor_fl"})
    driven, rolling = (np.ptp(line.y) for line in panel.view.charts[0].lines)
    assert driven > 1.2 * rolling > 0.1


def test_symbols_show_what_is_switched_on_and_what_shines():
    panel = measuring_panel(V1, "driver", happens="lamps")
    active = dict(zip((part.key for part in panel.view.wiring.parts), panel.view.wiring.active))
    assert (
        active["lamp_tc"] == 1.0 and active["brake_switch"] == 0.0 and active["brake_test"] == 1.0
    )
    panel.set(brake_pedal=True, pulled=["fuse_lamps"])
    active = dict(zip((part.key for part in panel.view.wiring.parts), panel.view.wiring.active))
    assert active["lamp_tc"] == 0.0 and active["stop_lamps"] == 1.0 and active["brake_test"] == 0.0


def test_a_hidden_fault_does_not_show_in_the_symbols():
    sound, faulty = (
        measuring_panel(V2, "valves", changes=changes).view.wiring.active
        for changes in ({}, {"relay_pump.welded": 1.0})
    )
    assert sound == faulty


@pytest.mark.parametrize(
    "values",
    [
        {"probes": {"R": "x"}},
        {"probes": {**dict.fromkeys(PROBES, ""), "next": "Z"}},
        {"probes": 3},
        {"pulled": "unit"},
        {"pulled": [3]},
    ],
)
def test_nonsense_from_the_browser_is_refused(values):
    with pytest.raises(UserError):
        measuring_panel().set(**values)


def test_pins_that_the_lesson_names():
    names = plan(V1).points
    assert [
        names[key].name.split(" of ")[0]
        for key in ("unit.sensor_fl", "unit.ground", "unit.return_fl", "unit.sensor_fr")
    ] == ["pin 31", "pin 12", "pin 35", "pin 32"]


def test_other_instruments_do_not_pretend_to_show_a_run():
    panel = measuring_panel(V1, instrument="volt_dc", happens="run")
    panel.set(probes={"R": "unit.sensor_fl", "B": "unit.ground", "2": "", "C": "", "next": "R"})
    assert (
        panel.view.sentence.startswith("Only the oscilloscope records while the car moves off")
        and panel.view.figures[0].value == "no reading"
    )
