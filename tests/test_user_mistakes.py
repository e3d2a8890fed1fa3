"""What people get wrong: each is answered with exit code 2 and a sentence that names file, field
and way out; no traceback, and nothing is written.
"""

import pytest

from tractionlab.cli import main as cli
from tractionlab.start import environment

VAN = '[my_van]\nname = "Our van"\nlike = "front_petrol"\n'
ROAD = '[gravel]\nname = "Gravel"\ndefault = "guess"\n[gravel.guess]\nkind = "burckhardt"\n'
CASE = 'fault = "passive-sensor-open-circuit"\nvehicle = "rear_petrol"\n'
PLAN = "[levels]\nremember = 30\n"
#: Text of the file s.toml -> words of the answer.
SCENARIOS = {
    "pedal_percent = 120": "pedal_percent must be a number from 0 to 100, got 120",
    'pedal_percent = "60"': "pedal_percent must be a number",
    "pedal_percent = nan": "got nan",
    "pedal_percent = 1" + 400 * "0": "pedal_percent must be a number from 0 to 100",
    "slope_percent = 6,5": "Use a point for decimals: 6.5",
    "slope_percent = 6 %": "line 1",
    "left = ice": 'Words stand in quotes: "ice"',
    'left = "lava"': "packed_snow",
    'left = "ice:guess"': "burckhardt",
    "left = 3": "left must be text in quotes",
    'vehicle = "my_van"': "no vehicle is called 'my_van'",
    'vehicle = "front_petrl"': "did you mean 'front_petrol'?",
    'vehicle = ["rear_petrol"]': "vehicle must be text",
    'control = "on"': "control must be one of 'off'",
    'drive = "back"': "drive must be one of",
    'differential = "free"': "differential must be one of",
    'braked = "left"': "braked must be one of",
    'paths = "throttle"': "paths must be a list",
    'paths = ["clutch"]': "paths must be one of",
    'antilock = "yes"': "antilock must be true or false",
    "circuit = false": "unknown field 'circuit'",
    "duration_s = 0": "duration_s must be a number from 0.02 to 120, got 0",
    "duration_s = 0.001": "got 0.001",
    "duration_s = 600": "got 600",
    "durations = 5": "did you mean 'duration_s'?",
    "hand_brake_bar = [1, 2]": "needs four values, FL FR RL RR",
    "patches = 3": "patches must be a list",
    "patches = [{ x_from = 2 }]": "each needs surface",
    'patches = [{ surface = "lava" }]': "no surface is called 'lava'",
    "[settings]\nlimit_slp = 0.2": "did you mean 'limit_slip'?",
    "[settings]\nlimit_slip = 5": "settings.limit_slip must be a number from 0 to 0.5",
    "[vehicle_values]\nmass_kg = 1.9": "vehicle_values.mass_kg must be a number from 500 to 4000",
    "settings = 3": "settings must be a table",
    '[faults]\npump = "weak"': "no part 'pump'; known are",
    '[faults]\ninlet_FL = "stuck_closed"': "layout A has no part 'inlet_FL'",
    '[faults]\nfeed_valve = "stuck"': "feed_valve has no fault 'stuck'; known are stuck_open",
    '[faults]\nwheel_valve_RL = "stuck_open"': "cannot be stuck_open; known are stuck_increase",
    '[faults]\nreturn_pump = "weak"': 'as in return_pump = ["weak", 1]',
    '[faults]\nreservoir = ["empty", 0]': "reservoir has no fault 'empty'; there is: low",
    '[faults]\nsensor_RR = ["teeth", 5]': "needs a number from 12 to 200",
    '[faults]\nsensor_XX = "open"': "sensors are sensor_FL",
    'title = "a"\ntitle = "b"': "not readable as TOML",
}
#: Own file, its text -> words of the answer of a run beside it.
OWN = [
    (
        "my_vehicles.toml",
        VAN.replace("front_petrol", "front_petrl"),
        "did you mean 'front_petrol'?",
    ),
    ("my_vehicles.toml", VAN.replace('name = "Our van"\n', ""), "[my_van]: name is missing"),
    ("my_vehicles.toml", VAN + "mass_kg = 1900", "mass_kg needs a value and a source"),
    (
        "my_vehicles.toml",
        VAN + 'mass_kg = { value = 1,9, source = "a scale" }',
        "Use a point for decimals",
    ),
    (
        "my_vehicles.toml",
        VAN + 'mass_kg = { value = 19, source = "a scale" }',
        "[my_van]: mass_kg must be a number from 500 to 4000, got 19",
    ),
    (
        "my_vehicles.toml",
        VAN + 'mas_kg = { value = 1900, source = "a scale" }',
        "did you mean 'mass_kg'?",
    ),
    (
        "my_vehicles.toml",
        VAN + 'mass_kg = { value = 1900, source = "SCALE" }',
        "source 'SCALE' is not in the table [sources]",
    ),
    (
        "my_vehicles.toml",
        VAN + 'mass_kg = { value = 1900, source = "a scale", unit = "kg" }',
        "unknown part 'unit'",
    ),
    (
        "my_vehicles.toml",
        VAN + 'layout = { value = "C", source = "a guess" }',
        "layout must be one of A, B, got 'C'",
    ),
    (
        "my_vehicles.toml",
        VAN + 'motor = { value = "electric", source = "a guess" }',
        "idle_speed_rpm must be 0",
    ),
    ("my_vehicles.toml", '[my_van]\nname = "Van"\n', 'A line such as like = "front_petrol"'),
    ("my_vehicles.toml", "mass_kg = 3", "mass_kg: outside a table"),
    ("my_surfaces.toml", ROAD, "c1, c2, c3, speed_factor_s_per_m are missing"),
    ("my_surfaces.toml", ROAD.replace("burckhardt", "magic"), "kind must be one of burckhardt"),
    (
        "my_surfaces.toml",
        ROAD.replace('"guess"', '"none"'),
        "default must name one of its curves (guess)",
    ),
    ("my_surfaces.toml", "ice = 3", "ice: outside a table"),
    ("my_control.toml", "[courze]\n", "did you mean 'course'?"),
    (
        "my_control.toml",
        '[course]\nheat_pause_degC = { value = 40, source = "a guess" }',
        "heat_pause_degC must be a number from 100 to 900",
    ),
    (
        "my_driver.toml",
        '[course]\nsteer_lag = { value = 1, source = "a guess" }',
        "did you mean 'steer_lag_s'?",
    ),
    ("my_driver.toml", "sources = 3\n", "[sources]"),
]
#: Files beside, arguments -> words of the answer.
COMMANDS = [
    ({}, "run none.toml", "none.toml: there is no such file"),
    ({}, "run .", "is a folder"),
    ({"s.toml": ""}, "run s.toml --out s.toml", "is a file, not a folder"),
    ({"s.toml": ""}, "run s.toml --out s.toml/x", "may not write there"),
    ({"s.toml": ""}, "run s.toml --out /proc/nowhere", "may not write there"),
    ({"s.toml": ""}, "run s.toml --sweep pedal=0:100:5", "pedal"),
    ({"s.toml": ""}, "run s.toml --sweep pedal_percent=0:100", "key=from:to:count"),
    ({"s.toml": ""}, "run s.toml --sweep pedal_percent=0:100:1", "count must be 2 to 1000"),
    ({"s.toml": ""}, "run s.toml --sweep pedal_percent=0:200:3", "0 to 100"),
    ({"s.toml": ""}, "run s.toml --sweep settings.limit_slp=0:1:3", "limit_slp"),
    (
        {"s.toml": ""},
        (
            "run s.toml --sweep pedal_percent=0:9:2 --sweep pedal_percent=0:9:2 --sweep"
            " pedal_percent=0:9:2"
        ),
        "once or twice",
    ),
    ({}, "run", "missing: scenario"),
    (
        {"s.toml": ""},
        "run s.toml --swep a=1:2:3",
        "did you mean --sweep?",
    ),
    ({}, "handuts 2", "did you mean handouts?"),
    ({}, "runn s.toml", "invalid choice: 'runn'"),
    ({}, "vehicle new my_vehicles.toml --like truck", "rear_petrol"),
    ({"my_vehicles.toml": "x"}, "vehicle new my_vehicles.toml", "is there already"),
    ({}, "vehicle new nowhere/my_vehicles.toml", "cannot be written"),
    ({}, "handouts 13", "1 to 12"),
    ({}, "handouts two", "must be a whole number, got 'two'"),
    ({"a": ""}, "handouts 1 --out a", "a"),
    ({}, "case new c.toml --fault rust", "rust"),
    ({}, "case new c.toml --group hydraulics", "group must be one of"),
    ({}, "case new c.toml --band 9", "band must be 1, 2 or 3"),
    (
        {},
        "case new c.toml --vehicle truck",
        "the workshop bench knows the cars of the course only: rear_petrol",
    ),
    ({}, "case new c.toml --mode easy", "mode must be one of"),
    ({"c.toml": CASE}, "case new c.toml", "is there already"),
    ({}, "case new nowhere/c.toml", "cannot be written"),
    ({}, "case show c.toml", "there is no such file"),
    ({"c.toml": CASE.replace("rear_petrol", "front_electric")}, "case show c.toml", "c.toml: "),
    (
        {"c.toml": 'sealed = "abc"\nvehicle = "rear_petrol"'},
        "case show c.toml",
        "c.toml: sealed is not as the course wrote it",
    ),
    ({"c.toml": CASE + "colour = 1"}, "case show c.toml", "unknown field 'colour'"),
    ({"c.toml": "fault = 3"}, "case sheet c.toml", "fault must be a text"),
    ({"c.toml": CASE, "taken": ""}, "case sheet c.toml --out taken", "cannot be written"),
    ({"p.toml": PLAN}, "paper new --blueprint p.toml", "p.toml"),
    ({"p.toml": "[rule]\n"}, "paper new --blueprint p.toml", "p.toml"),
    ({"p.toml": "levels = 3"}, "paper new --blueprint p.toml", "p.toml"),
    ({"p.toml": "marks = 3"}, "paper new --blueprint p.toml", "p.toml"),
    ({"p.toml": "rules = 3"}, "paper new --blueprint p.toml", "p.toml"),
    ({}, "paper new --outcomes LO99", "LO99"),
    ({}, "paper new --minutes 1", "minutes"),
    ({}, "paper new --kind easy", "invalid choice: 'easy'"),
    ({}, "paper preview graded_9", "graded_9"),
    ({}, "paper proof mock --key none.csv", "none.csv: there is no such file"),
    ({}, "paper proof mock --sheet nowhere/s.csv", "there is no folder nowhere"),
    ({"s.csv": ""}, "paper proof mock --sheet s.csv", "s.csv is there already"),
    ({"p.toml": 'id = "a"\nitems = []'}, "paper preview p.toml", "items must be a list"),
    (
        {"p.toml": 'id = "a"\nitems = ["9-none"]'},
        "paper preview p.toml",
        "'9-none' is not in the item bank",
    ),
    ({}, "paper issue graded_1 --roll none.csv --out x", "there is no such roll"),
    (
        {"r.csv": "number,name\n1,A\n"},
        "paper issue graded_1 --roll r.csv --out x",
        "column 'number' is unknown",
    ),
    (
        {"r.csv": "candidate,name\n1,A\n1,B\n"},
        "paper issue graded_1 --roll r.csv --out x",
        "r.csv, line 3",
    ),
    (
        {"r.csv": "candidate,name\n1\n"},
        "paper issue graded_1 --roll r.csv --out x",
        "needs 2 cells",
    ),
    ({"r.csv": "candidate,name\n"}, "paper issue graded_1 --roll r.csv --out x", "a roll has 1 to"),
    (
        {"r.csv": "candidate,name\n1,A\n"},
        "paper issue graded_1 --roll r.csv --out x --date 31.3.2026",
        "31.3.2026",
    ),
    ({"r.csv": "candidate,name\n1,A\n"}, "paper issue graded_1 --roll r.csv --out r.csv", "r.csv"),
    (
        {"r.csv": "candidate,name\n1,A\n"},
        "paper issue graded_1 --roll r.csv --out x --minutes 0",
        "inutes",
    ),
    ({}, "mark nowhere --sitting k.json", "k.json"),
    ({"k.json": "{}", "in/a": ""}, "mark in --sitting k.json", "k.json"),
    ({}, "markbook list --store none.sqlite", "none.sqlite"),
    ({"b.sqlite": "no database"}, "markbook list --store b.sqlite", "b.sqlite"),
    ({}, "markbook erase", "invalid choice: 'erase'"),
    ({"taken": ""}, "open --folder taken", "is a file, not a folder"),
    ({}, "open --port 99999", "99999"),
]
ROWS = [
    *(({"s.toml": text}, "run s.toml", words) for text, words in SCENARIOS.items()),
    *(({"s.toml": "duration_s = 1", name: text}, "run s.toml", words) for name, text, words in OWN),
    *COMMANDS,
]


def content(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


@pytest.mark.parametrize(
    "files, command, words",
    ROWS,
    ids=[f"{k}-{command}"[:60] for k, (_, command, _) in enumerate(ROWS)],
)
def test_a_mistake_is_answered_in_a_sentence_and_nothing_is_written(
    tmp_path, monkeypatch, capsys, files, command, words
):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(environment, "ensure", lambda *args, **more: None)
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    before = content(tmp_path)
    try:
        code = cli.main(command.split())
    except SystemExit as stop:
        code = stop.code
    said = capsys.readouterr()
    assert code == 2, (said.out, said.err)
    assert words in said.err and said.out == "" and "Traceback" not in said.err, said.err
    assert 1 <= len(said.err.strip().splitlines()) <= 3 and len(said.err) < 700, said.err
    assert content(tmp_path) == before
    if command.startswith("run s.toml") and "--" not in command:
        assert any(name in said.err for name in files), said.err


def test_there_are_at_least_sixty_kinds():
    assert len({(tuple(files.items()), command) for files, command, _ in ROWS}) == len(ROWS) >= 60
