"""A repair case step by step, its file, its sheets, its bench in the notebook, and service work
with its consequences.
"""

import asyncio
import json
import re
import time
from dataclasses import replace
from html import escape

import CoolProp.CoolProp as gas
import pytest

from tractionlab.catalogue.places import lessons_folder
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.lesson import ask
from tractionlab.lesson.case_forms import another_case, case_office
from tractionlab.lesson.service_card import service_work
from tractionlab.panels.case import repair_case
from tractionlab.panels.case_ahead import LookAhead
from tractionlab.panels.finding import cleared_panel, routes_panel
from tractionlab.workshop import consequences, service
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.file import draw, read_case, save_case
from tractionlab.workshop.case.replay import replay
from tractionlab.workshop.case.sealed import seal, unseal
from tractionlab.workshop.case.sheet import answer_sheet, job_sheet
from tractionlab.workshop.case.suspects import car_with, story_of
from tractionlab.workshop.faults import faults
from tractionlab.workshop.hydraulic_bay import air_travel
from tractionlab.workshop.instruments.setup import Setup
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import preparations, reading_minutes, run
from tractionlab.workshop.tests.base import tests as bench_tests
from tractionlab.written.record import Record

NAME, VEHICLE = "passive-sensor-corroded-connector", "rear_petrol"


@pytest.fixture(autouse=True)
def own_record(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    record = Record(tmp_path)
    monkeypatch.setattr(ask, "my_record", lambda: record)
    return record


def needed(test):
    return (*bench_tests()[test].critical, *bench_tests()[test].minor)


def begun(name=NAME, vehicle=VEHICLE, **more):
    case = Case(name, vehicle, **more)
    case.acknowledge()
    return case


# ---- the case ----


def test_cautions_come_first():
    with pytest.raises(UserError, match="cautions"):
        Case(NAME, VEHICLE).take("T01")


def test_readings_are_those_of_the_car():
    case = begun()
    assert case.take("T10", needed("T10")) == run(
        "T10", VEHICLE, car_with(NAME, VEHICLE), story_of(NAME)
    )
    assert case.minutes == bench_tests()["T10"].minutes


@pytest.mark.parametrize("test", [key for key, entry in bench_tests().items() if entry.critical])
def test_each_critical_preparation_stops_the_case(test):
    for missing in bench_tests()[test].critical:
        case = begun()
        assert case.take(test, [key for key in needed(test) if key != missing]) == ()
        assert case.over and preparations()[missing] in case.stopped and case.minutes == 0
        with pytest.raises(UserError, match="ended"):
            case.take("T01")


def test_the_truth_is_never_excluded():
    case = begun()
    for test in ("T01", "T02", "T04", "T05", "T08", "T09", "T10", "T24"):
        case.take(test, needed(test))
        assert NAME in case.possible()
    assert case.possible() == (NAME,)


def test_a_code_stays_stored_until_it_is_cleared():
    case = begun("passive-sensor-open-circuit")
    present = case.take("T04", needed("T04"))[0].value
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    stored = case.take("T04", needed("T04"))[0].value
    case.clear_memory()
    assert (
        "C0031-13 present" in present
        and "C0031-13 stored" in stored
        and case.take("T04", needed("T04"))[0].value == "empty"
    )


def test_a_wrong_repair_leaves_the_car_as_it_is():
    case = begun()
    assert case.repair("valve relay", "high resistance", "wear") is False
    assert case.take("T08", needed("T08")) == run(
        "T08", VEHICLE, car_with(NAME, VEHICLE), story_of(NAME)
    )
    assert case.repair(case.fault.place, case.fault.kind, case.fault.why) is True
    assert case.take("T08", needed("T08")) == run(
        "T08", VEHICLE, part_values(VEHICLE), story_of(NAME)
    )


def test_replay_tells_the_same_case():
    case = begun()
    case.take("T01")
    case.hint()
    case.take("T10", needed("T10"))
    case.note("FL 0.54 V at the pin")
    case.repair(case.fault.place, "open", "work")
    case.clear_memory()
    case.take("T28", needed("T28"), "at_ignition")
    case.finish()
    again = replay(json.loads(json.dumps(case.log)))
    assert (
        again.log == case.log
        and again.minutes == case.minutes
        and again.possible() == case.possible()
    )


@pytest.mark.parametrize(
    "log, words",
    [
        ([], "start"),
        ("no", "start"),
        ([{"do": "start", "fault": "x", "vehicle": "y"}], "no fault"),
        ([{"do": "start", "fault": NAME, "vehicle": VEHICLE}, {"do": "fly"}], "fly"),
        (
            [
                {"do": "start", "fault": NAME, "vehicle": VEHICLE},
                {"do": "cautions"},
                {"do": "test"},
            ],
            "not complete",
        ),
    ],
)
def test_a_broken_log_is_named(log, words):
    with pytest.raises(UserError, match=words):
        replay(log)


@pytest.mark.parametrize(
    "act, words",
    [
        (lambda c: c.take("T99"), "no test 'T99'"),
        (lambda c: c.take("T01", ("magic",)), "magic"),
        (lambda c: c.take("T01", (), "sad"), "condition"),
        (lambda c: c.repair("the moon", "open", "age"), "place must be"),
        (lambda c: c.repair(c.fault.place, "odd", "age"), "kind must be"),
        (lambda c: c.repair(c.fault.place, "open", "luck"), "why must be"),
        (lambda c: c.note("  "), "type the note"),
        (lambda c: c.note("n" * 2001), "has 2001 characters, the most is 2000"),
        (lambda c: c.stop_honestly([], "T01"), "one or two"),
        (lambda c: c.stop_honestly([NAME], "T77"), "next test"),
    ],
)
def test_mistakes_are_answered_in_a_sentence(act, words):
    with pytest.raises(UserError, match=words):
        act(begun())


# ---- readings at points of the wiring ----

PIN = Setup(instrument="volt_dc", points=(("B", "unit.ground"), ("R", "unit.sensor_rr")))


def test_a_reading_follows_the_part_values():
    """It is computed from this car: a pin of the sensor with the corroded plug, and another of a
    sound one.
    """
    case = begun()
    faulty, sound = (
        case.measure(replace(PIN, points=(("B", "unit.ground"), ("R", f"unit.sensor_{w}"))))
        .readings[0]
        .value
        for w in ("rr", "fl")
    )
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    assert faulty > 1.5 * sound and case.measure(PIN).readings[0].value == pytest.approx(
        sound, rel=0.02
    )


def test_the_truth_is_never_excluded_by_a_reading():
    for name, vehicle in (
        (NAME, VEHICLE),
        ("active-sensor-moisture-leak", "front_petrol"),
        ("pump-ground-high-resistance", "front_petrol"),
        ("fluid-level-low", "front_petrol"),
    ):
        case = begun(name, vehicle)
        for point in ("unit.sensor_rr", "unit.level", "unit.supply", "body"):
            for key in ("on", "off"):
                case.measure(
                    Setup(
                        instrument="volt_dc", points=(("B", "unit.ground"), ("R", point)), key=key
                    )
                )
        case.measure(
            Setup(
                instrument="scope",
                points=(("B", "unit.ground"), ("R", "unit.sensor_rr")),
                happens="turn_rr",
            )
        )
        case.measure(Setup(instrument="clamp", points=(("C", "pump.1"),), happens="pump"))
        assert name in case.possible()


def test_a_probe_on_an_airbag_ends_the_case():
    case = begun()
    assert case.measure(replace(PIN, points=(("B", "body"), ("R", "airbag")))) is None
    assert (
        "can fire them" in case.stopped
        and replay(case.log).stopped == case.stopped
        and case.minutes == 0
    )


@pytest.mark.parametrize(
    "more, words",
    [
        ({"points": (("R", "unit.sensor_rr"),)}, "black probe"),
        ({"points": (("B", "body"), ("R", "moon"))}, "no measuring point"),
        ({"points": (("B", "body"), ("R", "sensor_rr.1"))}, "is sealed"),
    ],
)
def test_where_there_is_no_reading_it_costs_nothing(more, words):
    case = begun()
    with pytest.raises(UserError, match=words):
        case.measure(replace(PIN, **more))
    assert case.minutes == 0 and len(case.log) == 2


@pytest.mark.parametrize(
    "change, words",
    [
        ({"points": ["R"]}, "needs instrument"),
        ({"instrument": "hammer"}, "instrument must be one of"),
        ({"pulled": [7]}, "names, switches"),
        ({"colour": "red"}, "needs instrument"),
        ({"key": "lost"}, "key must be one of"),
    ],
)
def test_a_strange_reading_in_a_log_is_named(change, words):
    log = begun().log
    with pytest.raises(UserError, match=words):
        replay([*log, {"do": "measure", "minutes": 3, "setup": {**PIN.plain(), **change}}])


def test_the_bench_opens_the_wiring_and_takes_a_reading():
    bench = repair_case(NAME)
    with pytest.raises(UserError, match="cautions"):
        bench.command("measure_at", group="wheel_sensors")
    bench.command("cautions")
    bench.command("measure_at", group="wheel_sensors")
    assert bench.face["wiring"] == "Wheel sensors" and bench.wiring_open
    bench.measuring.set(
        probes={**bench.measuring.values["probes"], "R": "unit.sensor_rr", "B": "unit.ground"}
    )
    assert "dark" in bench.measuring.view.sentence and bench.case.minutes == 0
    bench.readings.on_command("reading", {})
    shown = bench.measuring.view.figures[0].value
    assert (
        shown.endswith(" V")
        and shown in bench.readings.face["message"]
        and bench.case.minutes == reading_minutes()
    )
    bench.measuring.set(key="off")
    assert "dark" in bench.measuring.view.sentence
    bench.readings.on_command("back", {})
    assert (
        not bench.wiring_open
        and "Measured in the wiring" in bench.face["taken"][0][1]
        and f"{bench.case.minutes} min" == bench.face["line"][-1][0]
    )
    bench.readings.on_command("reading", {})
    assert bench.readings.face["message"] == "Open the wiring first."


def test_clicks_are_answered_before_the_suspects_are_known(own_record):
    """With a loop that answers clicks, as in a notebook: list, hint and points follow when the
    computation beside them is done.
    """

    async def clicks():
        bench = repair_case("tone-ring-cracked")
        bench.command("cautions")
        bench.command("test", test="T05", prepared=["supply"])
        bench.command("hint")
        early = bench.face["possible"], bench.face["message"]
        while bench.ahead.pending:
            await asyncio.sleep(0.02)
        late = bench.face["possible"], bench.face["message"]
        bench.command("finish")
        return early, late, bench.face["result"]

    early, late, result = asyncio.run(clicks())
    assert (
        early == (None, "The hint is still being worked out and follows in a moment.")
        and len(late[0]) > 1
        and late[1].startswith("Try T")
        and result["total"] >= 0.0
    )


# ---- instructor's side ----


def test_draw_keeps_to_what_was_asked():
    for seed in range(20):
        case = draw("hydraulics B", 3, seed=seed)
        assert case.fault.group == "hydraulics B" and case.fault.band == 3
    assert draw(seed=4).fault is draw(seed=4).fault
    with pytest.raises(UserError, match="leave one of them out"):
        draw("network", 3, "rear_petrol")


def test_all_faults_are_listed_with_a_group_that_can_be_typed(capsys, tmp_path):
    """What the list prints in its second column is what --group takes, without quotes."""
    assert cli.main(["case", "list"]) == 0
    head, *rows, end = capsys.readouterr().out.splitlines()
    assert head.split() == ["fault", "group", "band", "cars"] and [
        row.split()[0] for row in rows
    ] == list(faults())
    assert end.startswith(f"{len(faults())} faults. Bands: 1 easy")
    for group in {row.split()[1] for row in rows}:
        assert cli.main(["case", "list", "--group", group]) == 0
        assert {row.split()[1] for row in capsys.readouterr().out.splitlines()[1:-1]} == {group}
        assert (
            cli.main(
                ["case", "new", str(tmp_path / f"{group}.toml"), "--group", group, "--seed", "1"]
            )
            == 0
        )
        capsys.readouterr()
    assert cli.main(["case", "list", "--group", "hydraulics"]) == 2
    assert "hydraulics-a, hydraulics-b" in capsys.readouterr().err
    assert cli.main(["case", "list", "--group", "wheel speed", "--band", "1"]) == 0


def test_a_case_file_goes_there_and_back(tmp_path):
    path = save_case(draw("torque", seed=1), tmp_path / "a.toml", 'A "quoted" title')
    assert read_case(path).fault.group == "torque"
    with pytest.raises(UserError, match="is there already"):
        save_case(draw(seed=1), path)


@pytest.mark.parametrize(
    "text, words",
    [
        ("fault = 1", "fault must be"),
        ('fault = "x"\nvehicle = "rear_petrol"', "no fault is called"),
        ("[[", "not readable"),
        (f'fault = "{NAME}"\nvehicle = "front_petrol"', "does not fit"),
        (f'fault = "{NAME}"\nvehicle = "{VEHICLE}"\ncolour = 1', "unknown field"),
        (f'fault = "{NAME}"\nvehicle = "{VEHICLE}"\nmode = "easy"', "mode must be"),
    ],
)
def test_a_broken_case_file_is_named(tmp_path, text, words):
    path = tmp_path / "broken.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UserError, match=rf"broken\.toml.*{words}"):
        read_case(path)


def test_the_job_sheet_keeps_the_secret():
    case = draw("sensors", seed=2)
    job, answers = job_sheet(case).html(), answer_sheet(case).html()
    assert case.fault.place not in job and case.fault.cause not in job and case.fault.id not in job
    assert (
        case.fault.place in answers
        and "par" in answers
        and all(f"{test.id} {escape(test.name)}" in answers for test in bench_tests().values())
        and not re.search(r"(?:src|href)=", job + answers)
    )


def test_the_command(tmp_path, capsys):
    path = str(tmp_path / "c.toml")
    assert (
        cli.main(["case", "new", path, "--fault", NAME, "--hide"]) == 0
        and "sensor plug" not in capsys.readouterr().out
    )
    assert (
        cli.main(["case", "show", path]) == 0
        and "sensor plug rear right" in capsys.readouterr().out
    )
    assert cli.main(["case", "sheet", path]) == 0
    assert all(
        (tmp_path / f"c-{kind}-sheet.{end}").stat().st_size > 1000
        for kind in ("job", "answer")
        for end in ("html", "pdf")
    )
    assert cli.main(["case", "new", path]) == 2 and "is there already" in capsys.readouterr().err


# ---- the bench in the notebook ----


def test_the_bench_goes_through_a_case(own_record, tmp_path):
    bench = repair_case(NAME, help="with_you")
    with pytest.raises(UserError):
        bench.command("test", test="T01")
    bench.command("cautions")
    for test in ("T01", "T04", "T09", "T08"):
        bench.command("test", test=test, prepared=list(needed(test)))
    assert sum(row[2] for row in bench.face["possible"]) == 1 and not bench.face["due"]
    assert any("3.3" in row[1] for row in bench.face["taken"][-1][3])
    bench.command(
        "repair", place=bench.case.fault.place, kind=bench.case.fault.kind, why=bench.case.fault.why
    )
    bench.command("finish")
    assert (
        bench.face["result"]["total"] > 50
        and json.loads((tmp_path / "cases" / "case-1.json").read_text(encoding="utf-8"))
        == bench.case.log
    )


def possible(bench):
    return {row[3] for row in bench.face["possible"] if row[2]}


def test_the_learner_says_first_what_a_test_crosses_out():
    bench = repair_case(NAME)
    bench.command("cautions")
    bench.command("test", test="T08", prepared=list(needed("T08")))
    before, after = possible(bench), set(bench.case.possible())
    assert bench.face["due"] and before == set(bench.case.candidates()) and after < before, (
        "the reading is there, the list waits"
    )
    wrong, missed = sorted(after)[0], sorted(before - after)[0]
    bench.command("cross", out=[wrong, *(before - after - {missed})])
    message = bench.face["message"]
    assert message.startswith(f"{len(before - after) - 1} of {len(before - after)} right.")
    assert (
        f"Out as well: {faults()[missed].place}" in message
        and f"you would read the same: {faults()[wrong].place}" in message
    )
    assert possible(bench) == after and not bench.face["due"]
    bench.command("test", test="T01")
    bench.command("cross", out=[])
    assert (
        bench.face["message"].startswith("Right: this crosses nothing out.")
        or "Out as well" in bench.face["message"]
    )
    with pytest.raises(UserError, match="no new reading"):
        bench.command("cross", out=[])


def test_a_silent_case_takes_the_learners_list_and_says_at_the_end_how_good_it_was():
    bench = repair_case(NAME, help="silent")
    everything = set(bench.case.candidates())
    bench.command("cautions")
    assert not bench.face["due"] and bench.face["silent"]
    bench.command("test", test="T08", prepared=list(needed("T08")))
    assert "cross out" not in bench.face["message"] and possible(bench) == everything
    truth = everything - set(bench.case.possible())
    right, other = sorted(truth)[:2]
    bench.command("cross", out=[right, other, "no such fault"])
    assert bench.face["message"] == f"Your list: {len(everything) - 2} left of {len(everything)}."
    assert possible(bench) == everything - {right, other}
    bench.command("cross", out=[right, NAME])
    assert possible(bench) == everything - {right, NAME}, "what was ticked can be taken back"
    bench.command("honest_stop", suspected=[other], next="T09")
    said = bench.face["result"]["crossed"]
    assert said.startswith(f"Your readings exclude {len(truth)} of {len(everything)} faults.")
    assert "You crossed out 1 of them, and 1 that your readings do not exclude" in said
    assert "the fault itself was among them" in said
    assert possible(bench) == everything - truth, "now the list is that of the readings"
    bench.command("again")
    assert bench.face["silent"] and possible(bench) == everything
    with pytest.raises(UserError, match="help must be one of with_you, checks, silent"):
        repair_case(NAME, help="loud")


def test_an_unsafe_end_keeps_the_fault_secret_and_the_car_can_be_started_again(own_record):
    bench = repair_case(NAME)
    with pytest.raises(UserError, match="has ended"):
        bench.command("again")
    bench.command("cautions")
    bench.command("test", test="T01")
    bench.command("test", test="T16", prepared=["eyes"])
    shown = json.dumps([bench.face["result"], bench.face["message"], bench.face["line"]])
    assert bench.face["message"].startswith("No points: an unsafe step ended the case.")
    assert bench.case.fault.place not in shown and bench.case.fault.cause not in shown
    safety = next(row for row in bench.face["result"]["rows"] if row[0] == "safety")
    assert (
        "stopped here" in safety[3]
        and "without pressure" in safety[3]
        and "Every preparation" not in safety[3]
    )
    bench.command("again")
    assert (
        bench.face["over"],
        bench.face["minutes"],
        bench.face["taken"],
        bench.face["result"],
        bench.face["ready"],
    ) == (False, 0, [], None, False)
    bench.command("cautions")
    bench.command("test", test="T08", prepared=list(needed("T08")))
    assert bench.face["due"] and bench.case.fault.id == NAME


def test_the_first_line_of_a_result_is_the_points():
    bench = repair_case(NAME)
    bench.command("cautions")
    bench.command("finish")
    assert re.match(r"[\d.]+ of 100 points\. What you did is kept in", bench.face["message"])


def test_one_reading_is_one_and_a_code_has_its_meaning():
    bench = repair_case(NAME)
    bench.command("cautions")
    bench.command("test", test="T04", prepared=list(needed("T04")))
    assert ": 1 reading." in bench.face["message"]
    value = bench.face["taken"][0][3][0][1]
    assert re.search(r"C003A-1B present \(wheel speed sensor.*\)", value, flags=re.I), value


def test_no_case_of_the_lesson_is_told_by_the_text_around_it():
    book = json.loads((lessons_folder() / "11_fault_finding.ipynb").read_text(encoding="utf-8"))
    sentences = [
        set(re.findall(r"[a-z]+", sentence))
        for cell in book["cells"]
        if cell["cell_type"] == "markdown"
        for sentence in re.split(r"[.?!:]\s", "".join(cell["source"]).lower())
    ]
    code = "\n".join("".join(cell["source"]) for cell in book["cells"])
    cases = [unseal(text) for text in re.findall(r'sealed="([^"]+)"', code)]
    assert len(cases) == 2 and code.count("repair_case(vehicle=") == 2
    assert not [name for name in faults() if name in code], (
        "whoever unfolds the code learns nothing"
    )
    for name in cases:
        telling = set(name.split("-")) - {"tone", "passive", "active", "sensor", "low", "high"}
        assert not any(telling <= sentence for sentence in sentences), name


def test_the_bench_says_what_it_does_not_understand():
    bench = repair_case(NAME)
    for message in (
        {"command": "fly", "values": {}},
        {"command": "test", "values": {"test": "T01"}},
        {"command": "test", "values": {}},
    ):
        bench._hear(None, message, [])
        assert bench.face["message"]


def test_graded_mode_hides_the_list():
    assert repair_case(NAME, mode="graded").face["possible"] == []


def test_panels_follow_their_values():
    panel = routes_panel()
    first = panel.view.sentence
    panel.set(case="cut-off-valve-stuck-closed")
    assert panel.view.sentence != first and float(panel.view.figures[0].value) < float(
        panel.view.figures[1].value
    )
    cleared = cleared_panel()
    assert "C0078" in cleared.view.sentence
    cleared.set(fault="tone-ring-cracked")
    assert "No code comes back" in cleared.view.sentence


# ---- service ----


@pytest.mark.parametrize("key", service.procedures())
def test_the_order_of_the_file_is_a_right_one(key):
    done = []
    for step in service.procedures()[key].steps:
        assert service.left_out(service.procedures()[key], done, step.key) == ()
        done.append(step.key)


def test_an_accumulator_opened_under_pressure_ends_the_try(own_record):
    card = service_work("safe_layout_a")
    card.on_command("do", {"step": "open"})
    assert (
        "1.7 kJ" in card.face["message"]
        and "187 m/s" in card.face["message"]
        and card.face["fields"] == []
    )
    card.on_command("again", {})
    for step in service.procedures()["safe_layout_a"].steps:
        card.on_command("do", {"step": step.key})
    assert (
        card.face["message"].startswith("Done")
        and own_record.lines()[-1]["question"] == "service.safe_layout_a"
    )


def test_every_missing_step_has_its_words():
    for work in service.procedures().values():
        for step in work.steps:
            assert not step.consequence or len(service.consequence(work, step)) > 30


def test_figures_of_service_agree_with_hand_formulas():
    """Isothermal gas p V ln(p/p0); Torricelli; Boyle. Fluid out: nitrogen by CoolProp, slowly.
    Charging is quicker than slow: between gas that keeps its heat, 250 (1 - (81/186)^(1/1.4)) =
    112 cm3, and gas that keeps its temperature, 136 cm3; 4 cm3/s against 165 bar, up to a fifth
    more against less. Air is pressed together by the return pump: 4 cm3/s against 25 bar, up to a
    tenth more against less.
    """
    assert consequences.accumulator_energy_J() == pytest.approx(81.0e5 * 250e-6 * 0.8313, rel=2e-3)
    assert consequences.jet_speed(185.0) == pytest.approx((2 * 185e5 / 1060) ** 0.5)
    assert air_travel(1.0, 50.0) == pytest.approx((0.980, 10.13), rel=2e-3)
    precharged, full = (gas.PropsSI("D", "T", 293.15, "P", p, "Nitrogen") for p in (81e5, 186e5))
    slow = 250.0 * (1.0 - precharged / full)
    assert consequences._fluid_out() == pytest.approx(slow, rel=0.02)
    assert 112.0 / 4.8 < consequences.charging_time() < slow / 4.0
    later = consequences.rise_with_air(1.0) - consequences.rise_with_air(0.0)
    assert 0.98 / 4.4 < later < 0.98 / 4.0


def test_no_two_faults_share_place_and_kind_on_a_car():
    for vehicle in ("rear_petrol", "front_petrol"):
        pairs = [
            (entry.place, entry.kind) for entry in faults().values() if vehicle in entry.vehicles
        ]
        assert len(pairs) == len(set(pairs))


# ---- forms for more cars ----


def boxes(form, **chosen):
    return {field["name"]: field["value"] for field in form.face["fields"]} | chosen


def test_a_learner_gets_another_car(tmp_path):
    save_case(Case(NAME, VEHICLE), tmp_path / "from-the-instructor.toml")
    (tmp_path / "my_vehicles.toml").write_text("", encoding="utf-8")
    (tmp_path / "other.toml").write_text("a = 1", encoding="utf-8")
    form, below = another_case().children
    files = next(field for field in form.face["fields"] if field["name"] == "file")["options"]
    assert [name for name, _ in files] == ["", "from-the-instructor.toml", "other.toml"]
    form.on_command("open", boxes(form, group="brake fluid", vehicle="front_electric"))
    assert below.children[0].children[0].case is form.case and (
        form.case.fault.group,
        form.case.vehicle,
    ) == ("brake fluid", "front_electric")
    form.on_command("open", boxes(form, file="from-the-instructor.toml"))
    assert form.case.fault.id == NAME and "in the bay" in form.face["message"]
    form.on_command("open", boxes(form, file="other.toml"))
    assert "other.toml: unknown field" in form.face["message"]
    form.on_command("open", boxes(form, file="", group="hydraulics A", vehicle="front_electric"))
    assert "no fault of the catalogue has group hydraulics A" in form.face["message"]


def test_an_instructor_puts_any_fault_on_a_car_and_saves_it(tmp_path):
    form, below = case_office().children
    form.on_command("save", boxes(form))
    assert form.face["message"] == "Bring a car in first."
    for name, entry in faults().items():
        assert form._chosen(boxes(form, fault=name)).fault is entry
    form.on_command(
        "open", boxes(form, fault="pads-oil-contaminated", vehicle="front_petrol", mode="graded")
    )
    assert form.case.mode == "graded" and "pads" not in form.face["message"]
    form.on_command("show", boxes(form))
    assert "pads of the left driven wheel" in form.face["message"]
    form.on_command("save", boxes(form, name="tuesday"))
    assert {path.name for path in tmp_path.glob("tuesday*")} == {
        "tuesday.toml",
        *(f"tuesday-{kind}-sheet.{end}" for kind in ("job", "answer") for end in ("html", "pdf")),
    }
    assert read_case(tmp_path / "tuesday.toml").vehicle == "front_petrol"
    for name, words in (("tuesday", "is there already"), ("../x", "no folder"), ("", "no folder")):
        form.on_command("save", boxes(form, name=name))
        assert words in form.face["message"]


def test_the_setter_s_choice_does_not_stand_above_the_car(tmp_path):
    form, below = case_office().children
    form.on_command("open", boxes(form, fault="pads-oil-contaminated", vehicle="front_petrol"))
    assert form.face["fields"] == [] and [words for _, words, _ in form.face["buttons"]] == [
        "Show the setter's form"
    ]
    assert "pads" not in json.dumps(form.face) and below.children
    form.on_command("form", {})
    chosen = {field["name"]: field["value"] for field in form.face["fields"]}
    assert chosen["fault"] == "pads-oil-contaminated" and chosen["vehicle"] == "front_petrol"
    form.on_command("close", boxes(form))
    assert form.face["fields"] == [] and "pads" not in json.dumps(form.face)
    form.on_command("form", {})
    form.on_command("open", boxes(form, fault="", group="hydraulics A", vehicle="front_electric"))
    assert form.face["fields"] and "no fault of the catalogue" in form.face["message"], (
        "a form that cannot be done stays open"
    )


# ---- what a learner gets tells nothing ----


def test_a_case_file_holds_no_fault_in_clear_text(tmp_path):
    texts = []
    for number in range(2):
        text = save_case(Case(NAME, VEHICLE), tmp_path / f"case-{number}.toml").read_text(
            encoding="utf-8"
        )
        assert not any(key in text or entry.place in text for key, entry in faults().items())
        assert read_case(tmp_path / f"case-{number}.toml").fault.id == NAME
        texts.append(next(line for line in text.splitlines() if line.startswith("sealed")))
    assert texts[0] != texts[1] and len(texts[0]) == len(texts[1]), (
        "the same fault looks otherwise in each file"
    )
    lengths = {len(seal(name)) for name in faults()}
    assert len(lengths) == 1 and all(unseal(seal(name)) == name for name in faults())


def test_an_old_case_file_in_clear_text_is_still_read(tmp_path):
    (tmp_path / "old.toml").write_text(
        f'fault = "{NAME}"\nvehicle = "{VEHICLE}"\nmode = "graded"\n', encoding="utf-8"
    )
    assert read_case(tmp_path / "old.toml").fault.id == NAME


@pytest.mark.parametrize(
    "change, words",
    [
        (
            lambda text: text.replace('sealed = "', 'sealed = "A'),
            "sealed is not as the course wrote it",
        ),
        (
            lambda text: re.sub(
                r'(sealed = ".{30})(.)', lambda m: m[1] + ("A" if m[2] == "-" else "-"), text
            ),
            "sealed is not as",
        ),
        (lambda text: re.sub(r"sealed = .*", "sealed = 3", text), "sealed is not as"),
        (lambda text: text + f'fault = "{NAME}"\n', "sealed or fault, not both"),
        (
            lambda text: re.sub(r"vehicle = .*", 'vehicle = "none"', text),
            "must stay as the course wrote them",
        ),
        (
            lambda text: re.sub(r"symptom = .*", 'symptom = "x"', text),
            "must stay as the course wrote them",
        ),
    ],
)
def test_a_changed_case_file_says_so_and_tells_nothing(tmp_path, change, words):
    path = save_case(Case(NAME, VEHICLE), tmp_path / "case.toml")
    before = path.read_text(encoding="utf-8")
    path.write_text(change(before), encoding="utf-8")
    assert path.read_text(encoding="utf-8") != before
    with pytest.raises(UserError, match=words) as told:
        read_case(path)
    assert NAME not in str(told.value)


def test_what_is_computed_beside_the_clicks_rests_while_a_slider_moves():
    panel, done = routes_panel(), []
    ahead = LookAhead(lambda: None)

    def pieces():
        for piece in range(400):
            time.sleep(0.005)
            done.append(piece)
            yield piece

    (slider, *_) = [one for one in panel.controls if one["kind"] == "Slider"] or panel.controls
    value = panel.values[slider["name"]]
    asked = {"kind": "draw", "values": {slider["name"]: value}, "ask": "1", "whole": True}
    ahead.begin(pieces())
    panel._hear(None, asked, [])
    time.sleep(0.05)
    before = len(done)
    for _ in range(8):  # longer than the page needs to count as still
        time.sleep(0.1)
        panel._hear(None, asked, [])
    assert len(done) == before < 400
    assert ahead.known() and len(done) == 400, "it goes on afterwards"
