"""The electrical network: circuits solved by hand and by a general circuit library, laws, the
catalogue's readings, and every part value felt.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from workshop_readings import PUMP, READINGS, V1, V2, at

from tractionlab.errors import UserError
from tractionlab.workshop.instruments.meter import measure
from tractionlab.workshop.instruments.scope import record
from tractionlab.workshop.part_values import changed, part_values, parts
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.netlist import VEHICLES, plan
from tractionlab.workshop.wiring.network import Network
from tractionlab.workshop.wiring.nodal import Circuit, Current, Diode, Resistor, Source

NODES = ("0", "a", "b", "c", "d", "e")


def network(vehicle, **changes):
    return Network(
        vehicle,
        changed(
            part_values(vehicle),
            {name.replace("__", "."): value for name, value in changes.items()},
        ),
    )


# Circuits solved by hand


def test_loaded_divider():
    """Voltage divider with a load: 12 V over 1 kohm into 2 kohm || 2 kohm gives half (textbook)."""
    solved = Circuit(
        [
            Source("battery", "in", "0", 12.0),
            Resistor("r1", "in", "out", 1e3),
            Resistor("r2", "out", "0", 2e3),
            Resistor("load", "out", "0", 2e3),
        ],
        "0",
    ).solve()
    assert solved.voltage("out") == pytest.approx(6.0)
    assert solved.current("battery") == pytest.approx(-0.006)


@pytest.mark.parametrize("last", [2000.0, 2500.0])
def test_wheatstone_bridge(last):
    """Wheatstone's bridge with an open middle: U = U0 (R2/(R1+R2) - R4/(R3+R4)), 0 when balanced
    (textbook).
    """
    bridge = [
        Source("battery", "top", "0", 10.0),
        Resistor("r1", "top", "left", 1e3),
        Resistor("r2", "left", "0", 2e3),
        Resistor("r3", "top", "right", 1e3),
        Resistor("r4", "right", "0", last),
    ]
    assert Circuit(bridge, "0").solve().voltage("left", "right") == pytest.approx(
        10.0 * (2 / 3 - last / (1e3 + last)), abs=1e-12
    )
    with_meter = Circuit([*bridge, Resistor("meter", "left", "right", 500.0)], "0").solve()
    assert (abs(with_meter.current("meter")) < 1e-12) == (last == 2000.0)


def test_ladder_of_r_and_2r_halves_at_each_step():
    """The R-2R ladder: each node has half the voltage of the one before (textbook)."""
    steps = 8
    rungs = [Source("reference", "n0", "0", 5.0)]
    for k in range(steps):
        rungs += [
            Resistor(f"r{k}", f"n{k}", f"n{k + 1}", 1e3),
            Resistor(f"s{k}", f"n{k + 1}", "0", 2e3),
        ]
    rungs.append(Resistor("end", f"n{steps}", "0", 2e3))
    solved = Circuit(rungs, "0").solve()
    for k in range(1, steps + 1):
        assert solved.voltage(f"n{k}") == pytest.approx(5.0 / 2**k)


def test_millmans_theorem():
    """Sources in parallel through resistors: U = sum(Ui/Ri) / sum(1/Ri) (Millman 1940, from
    memory).
    """
    volts, ohms = (12.0, 14.2, 5.0), (0.5, 0.2, 3.0)
    solved = Circuit(
        [Source(f"s{k}", "bus", "0", v, r) for k, (v, r) in enumerate(zip(volts, ohms))], "0"
    ).solve()
    assert solved.voltage("bus") == pytest.approx(
        sum(v / r for v, r in zip(volts, ohms)) / sum(1 / r for r in ohms)
    )


def test_diodes_conduct_one_way_only():
    ways = {
        way: (
            Circuit(
                [
                    Source("s", "in", "0", way * 5.0),
                    Resistor("r", "in", "x", 1e3),
                    Diode("d", "x", "0", 0.6),
                ],
                "0",
            ).solve()
        )
        for way in (1, -1)
    }
    assert ways[1].current("d") == pytest.approx(4.4e-3, rel=1e-4)
    assert ways[-1].current("d") == 0.0 and ways[-1].voltage("x") == pytest.approx(-5.0)


@pytest.mark.parametrize("volt", [10.0, -10.0])
def test_bridge_rectifier(volt):
    """Four diodes give the load the same direction whichever way the source stands, less two drops
    (textbook).
    """
    solved = Circuit(
        [
            Source("s", "p", "q", volt),
            Diode("d1", "p", "plus"),
            Diode("d2", "q", "plus"),
            Diode("d3", "0", "p"),
            Diode("d4", "0", "q"),
            Resistor("load", "plus", "0", 1e3),
        ],
        "0",
    ).solve()
    assert solved.voltage("plus") == pytest.approx(8.8, abs=1e-3)


# A general circuit library as second opinion


@pytest.mark.parametrize("seed", range(6))
def test_random_circuits_agree_with_a_general_circuit_library(seed):
    """Node voltages against Lcapy (open source, symbolic)."""
    lcapy = pytest.importorskip("lcapy")
    rng = np.random.default_rng(seed)
    branches, lines = [], []
    for k, node in enumerate(range(1, 6)):
        ohm = int(rng.integers(10, 5000))
        branches.append(Resistor(f"R{k}", str(node), str(node - 1), ohm))
        lines.append(f"R{k} {node} {node - 1} {{{ohm}}}")
    for k in range(5, 9):
        a, b = rng.choice(6, 2, replace=False)
        ohm = int(rng.integers(10, 5000))
        branches.append(Resistor(f"R{k}", str(a), str(b), ohm))
        lines.append(f"R{k} {a} {b} {{{ohm}}}")
    volt, ampere = int(rng.integers(1, 20)), int(rng.integers(1, 20))
    branches += [Source("V1", "5", "0", volt), Current("I1", "2", "4", 1e-3 * ampere)]
    lines += [
        f"V1 5 0 dc {{{volt}}}",
        f"I1 4 2 dc {{{ampere} / 1000}}",
    ]  # there a current source drives its current out of its first node
    theirs = lcapy.Circuit("\n".join(lines))
    ours = Circuit(branches, "0").solve()
    for node in range(1, 6):
        assert ours.voltage(str(node)) == pytest.approx(
            float(theirs[node].V.dc.sympy), rel=1e-9, abs=1e-12
        )


# Laws

resistors = st.lists(
    st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), st.floats(0.01, 1e6)).filter(
        lambda r: r[0] != r[1]
    ),
    min_size=1,
    max_size=14,
)


def meshed(found):
    """Resistors of any places and sizes; each node is held to the next so that the circuit hangs
    together.
    """
    return [Resistor(f"r{k}", a, b, ohm) for k, (a, b, ohm) in enumerate(found)] + [
        Resistor(f"h{k}", a, b, 1e4) for k, (a, b) in enumerate(zip(NODES[:-1], NODES[1:]))
    ]


@given(
    resistors,
    st.floats(-20, 20),
    st.just(0.0) | st.floats(1e-3, 10),
    st.floats(-1, 1),
    st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_power_given_is_power_taken(found, volt, inner, ampere, with_diode):
    branches = [
        *meshed(found),
        Source("s", "a", "0", volt, inner),
        Current("i", "c", "e", ampere),
    ] + ([Diode("d", "b", "d")] if with_diode else [])
    solved = Circuit(branches, "0").solve()
    powers = [solved.power(b.name) for b in branches]
    assert sum(powers) == pytest.approx(0.0, abs=1e-9 * (1.0 + sum(map(abs, powers))))


@given(resistors, st.sampled_from(NODES[1:]), st.sampled_from(NODES[1:]))
@settings(max_examples=60, deadline=None)
def test_reciprocity(found, one, other):
    """1 A into one node lifts another as much as 1 A into the other lifts the one (Lorentz
    reciprocity of resistive circuits, textbook).
    """
    up = Circuit([*meshed(found), Current("i", "0", one, 1.0)], "0").solve().voltage(other)
    back = Circuit([*meshed(found), Current("i", "0", other, 1.0)], "0").solve().voltage(one)
    assert up == pytest.approx(back, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize(
    "moment",
    [
        at("off"),
        at(),
        PUMP,
        at("start"),
        at("running", brake_pedal=True, tc_switch=True, level=(True, False) * 2),
    ],
)
def test_power_balance_of_the_car(vehicle, moment):
    solution = network(vehicle).solve(moment)
    assert solution.power() == pytest.approx(0.0, abs=1e-6)


# The catalogue's readings


def value_of(vehicle, changes, what, moment, points):
    net = Network(vehicle, changed(part_values(vehicle), changes))
    if what == "ohm":
        reading = measure(net, moment, "ohm", *points)
        return float("inf") if reading.shown == "OL" else reading.value
    solution = net.solve(moment)
    return solution.voltage(*points) if what == "volt" else solution.current(points)


@pytest.mark.parametrize("case", READINGS, ids=[case[0] for case in READINGS])
def test_reading_of_the_fault_catalogue(case):
    _, vehicle, changes, what, moment, points, sound, faulty = case
    for change, (low, high) in (({}, sound), (changes, faulty)):
        found = value_of(vehicle, change, what, moment, points)
        assert (low is None or found >= low) and (high is None or found <= high), (change, found)


def test_pump_feed_with_most_strands_cut():
    """Lesson 10: 0.3 ohm more in the feed of a motor of 12.4 V / 25 A leaves 15.6 A and takes 4.7
    V.
    """
    feed = [
        Source("battery", "in", "0", 12.4),
        Resistor("strands", "in", "motor", 0.3),
        Resistor("motor", "motor", "0", 12.4 / 25.0),
    ]
    solved = Circuit(feed, "0").solve()
    assert (
        round(solved.current("strands"), 1) == 15.6
        and round(solved.voltage("in", "motor"), 1) == 4.7
    )
    car = network(V2, lead_pump_feed_1__ohm=0.304)
    healthy = network(V2)
    assert car.solve(PUMP).current("return_pump") == pytest.approx(
        0.62 * healthy.solve(PUMP).current("return_pump"), abs=1.0
    )
    assert car.solve(PUMP).voltage("relay_pump.out", "pump.1") == pytest.approx(4.7, abs=0.1)


# The car follows


def test_a_shorted_feed_melts_its_fuse_and_leaves_the_rest():
    solution = network(V2, lead_valve_supply_1__to_ground_ohm=0.05).solve(at())
    assert solution.states.melted == {"fuse_valves"}
    assert (
        abs(solution.voltage("relay_valves.in")) < 0.01 and solution.voltage("relay_pump.in") > 12.0
    )
    assert (
        not network(V2, lead_valve_supply_1__to_ground_ohm=0.05).solve(at(brief=True)).states.melted
    )


def test_a_control_unit_without_supply_feeds_and_drives_nothing():
    dead = network(V1).solve(at(pulled=("fuse_unit",), commands={"return_pump": 1.0}))
    assert dead.states.awake == {"engine_unit"} and not dead.states.closed
    assert (
        dead.voltage("unit.sensor_fl", "unit.ground") == pytest.approx(0.0, abs=1e-4)
        and abs(dead.current("return_pump")) < 1e-6
    )


def test_ignition_off_leaves_only_the_live_rail():
    off = network(V1).solve(Moment(key="off"))
    assert off.voltage("fuse_box.live") > 12.0 and off.voltage(
        "fuse_box.switched"
    ) == pytest.approx(0.0, abs=1e-6)


def test_crossed_rear_plugs_carry_the_signal_of_the_other_wheel():
    pins = [("unit.sensor_rl", "unit.ground"), ("unit.sensor_rr", "unit.ground")]
    for crossed, quiet in ((0.0, 1), (1.0, 0)):
        got = record(network(V1, rear_plugs__crossed=crossed), at(), "turn", pins, wheel="rl")
        assert got.figures(1 - quiet)[2] > 0.5 and got.figures(quiet)[2] < 1e-3


@pytest.mark.parametrize("section", [1, 2])
def test_an_open_section_is_found_by_splitting(section):
    """Bias over the section's ends: 5 V before the break, nothing after it; the joint between tells
    on which side it is.
    """
    solution = network(V1, **{f"lead_sensor_rl_signal_{section}__ohm": 1e9}).solve(at())
    before, after = [("unit.sensor_rl", "loom_rl.1"), ("loom_rl.1.device", "sensor_rl.1")][
        section - 1
    ]
    assert (
        solution.voltage(before, "unit.ground") > 4.9
        and abs(solution.voltage(after, "unit.ground")) < 0.01
    )


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_response_is_the_solution_for_any_source(vehicle):
    """Straight lines in the sources give what solving again gives."""
    net, points = network(vehicle), ["unit.sensor_fl", "unit.sensor_rr"]
    if vehicle == V1:
        line = net.response(points, ["sensor_fl.emf", "sensor_rr.emf"], at())
        found = line.at(
            **{"sensor_fl.emf": np.array([0.0, 0.3]), "sensor_rr.emf": np.array([0.0, -0.2])}
        )
        again = net.solve(at(emf=(0.3, 0.0, 0.0, -0.2)))
    else:
        line = net.response(points, ["sensor_fl.current", "sensor_rr.current"], at())
        found = line.at(
            **{
                "sensor_fl.current": np.array([0.007, 0.014]),
                "sensor_rr.current": np.array([0.007, 0.007]),
            }
        )
        again = net.solve(at(level=(True, False, False, False)))
    first = net.solve(at())
    for row, point in enumerate(points):
        assert found[row, 0] == pytest.approx(first.voltage(point, "unit.ground.device"), abs=1e-9)
        assert found[row, 1] == pytest.approx(again.voltage(point, "unit.ground.device"), abs=1e-9)


# No value without effect

#: Values that a moment of the network cannot feel: they act over time, or on the ring; the
#: oscilloscope's test feels them.
OVER_TIME = {
    "gap_mm",
    "gap_limit_mm",
    "volts_per_hertz",
    "teeth",
    "missing",
    "crack_share",
    "runout_mm",
    "merged",
    "turned_away",
    "run_up_s",
    "crossed",
}
#: Thresholds: they are felt only when something lies between the old and the new one.
THRESHOLDS = {
    "rating_A",
    "blow_share",
    "pull_V",
    "reset_V",
    "least_V",
    "pump_on_bar",
    "pump_off_bar",
    "warning_on_bar",
    "warning_off_bar",
}
#: A ground lead through which nothing flows until a tester is plugged in.
NO_LOAD = {"lead_diagnosis_ground_1.to_ground_ohm"}
BALANCED = {
    "bus_idle_ohm"
}  # both wires idle at one voltage, so nothing flows until one of them leaks
ALL_ON = {
    "relay_valves",
    "return_pump",
    "charge_pump",
    "lamp_abs",
    "lamp_tc",
    "lamp_tc_off",
    "lamp_brake",
    "stepper_a",
    "stepper_b",
}


def moments_of(vehicle):
    drivers = {e.more["command"] for e in plan(vehicle).elements.values() if e.kind == "driver"}
    on = dict.fromkeys(drivers & ALL_ON, 1.0)
    driven = dict.fromkeys(drivers, 1.0)
    coasting = dict.fromkeys(("return_pump", "charge_pump"), 5.0)
    return (
        at(
            commands=on,
            brake_pedal=True,
            tc_switch=True,
            fluid_low=True,
            accelerator=0.18,
            flexed=True,
            wet=True,
            bus="dominant",
            plates={"second": 0.18},
            signals={"accumulator": 90.0, "pressure": 20.0, "yaw": 5.0, "lateral": 1.0},
        ),
        at(
            commands=driven,
            bus="dominant",
            level=(True,) * 4,
            brief=True,
            wet=True,
            motor_emf=coasting,
        ),
        at(),
        at("start"),
        at("running"),
        at("off"),
    )


def wrong(value):
    """Another value inside the allowed range."""
    if value.value >= 1e9:
        return max(0.05, value.low)
    if value.unit == "ohm" and value.value < 0.5 and value.high >= 1e9:
        return 1e9
    if value.high <= 1.0:
        return value.high if value.value < value.high else value.low
    return min(value.high, 1.5 * value.value + 0.5 * (value.unit != "ohm"))


def electrical_values(vehicle):
    net = plan(vehicle)
    wired = {
        *net.leads,
        *(f"plug_{key}" for key in net.plugs),
        *(e.part for e in net.elements.values()),
        "bus_wires",
        "brake_switch",
        "unit",
    }
    for part in (part for part in parts(vehicle).values() if part.key in wired):
        for name, value in part.values.items():
            fed_anyway = (
                name == "to_battery_ohm"
                and part.key in net.leads
                and net.leads[part.key].a == "battery.plus"
            )
            key = f"{part.key}.{name}"
            if (
                name not in OVER_TIME | THRESHOLDS | BALANCED
                and key not in NO_LOAD
                and not fed_anyway
            ):
                yield key, value


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_electrical_value_changes_some_reading(vehicle):
    sound, moments = network(vehicle), moments_of(vehicle)
    before = [volts(sound, moment) for moment in moments]
    silent = []
    for name, value in electrical_values(vehicle):
        car = Network(vehicle, changed(part_values(vehicle), {name: wrong(value)}))
        if not any(
            np.max(np.abs(volts(car, moment) - old)) > 1e-7 for moment, old in zip(moments, before)
        ):
            silent.append(name)
    assert silent == []


def volts(net, moment):
    solution = net.solve(moment)
    return np.array([solution.voltage(point) for point in net.plan.points])


def test_the_idle_network_gives_way_to_a_leak_by_its_own_resistance():
    leak = {"lead_bus_high_socket_1__to_ground_ohm": 1e4}
    levels = [
        network(V2, **leak, **more).solve(at()).voltage("splice_bus.high")
        for more in ({}, {"unit__bus_idle_ohm": 5e4})
    ]
    assert 2.4 > levels[0] > levels[1]


SIGNAL_VALUES = [
    (V1, f"{part}.{name}", value)
    for part, name, value in (
        ("sensor_fl", "gap_mm", 2.0),
        ("sensor_fl", "volts_per_hertz", 0.003),
        ("ring_fl", "teeth", 44.0),
        ("ring_fl", "missing", 1.0),
        ("ring_fl", "crack_share", 0.15),
        ("ring_fl", "runout_mm", 0.4),
        ("hub_fl", "play_mm", 0.5),
    )
] + [
    (V2, f"{part}.{name}", value)
    for part, name, value in (
        ("sensor_fl", "gap_mm", 2.2),
        ("sensor_fl", "gap_limit_mm", 0.5),
        ("ring_fl", "teeth", 44.0),
        ("ring_fl", "missing", 1.0),
        ("ring_fl", "merged", 3.0),
        ("ring_fl", "runout_mm", 0.8),
        ("ring_fl", "turned_away", 1.0),
    )
]


@pytest.mark.parametrize("vehicle, name, value", SIGNAL_VALUES)
def test_every_value_of_ring_and_sensor_changes_the_trace(vehicle, name, value):
    traces = [
        record(
            Network(vehicle, changed(part_values(vehicle), changes)),
            at(),
            "turn",
            [("unit.sensor_fl", "unit.ground")],
            seconds=1.2,
        ).volt[0]
        for changes in ({}, {name: value})
    ]
    assert np.max(np.abs(traces[0] - traces[1])) > 0.05


@pytest.mark.parametrize(
    "name, value, moment",
    [
        ("fuse_pump.rating_A", 15.0, PUMP),
        ("fuse_pump.blow_share", 1.0, at(commands={"return_pump": 1.0})),
        ("relay_valves.pull_V", 12.0, at()),
        ("unit.reset_V", 12.0, at()),
        ("engine_unit.reset_V", 12.0, at()),
    ],
)
def test_thresholds_act(name, value, moment):
    worn = (
        {"battery.rest_V": 11.9}
        if "reset" in name or "pull" in name
        else {"return_pump.running_ohm": 0.12}
        if "share" in name
        else {}
    )
    before, after = (
        Network(V2, changed(part_values(V2), {**worn, **more})).solve(moment).states
        for more in ({}, {name: value})
    )
    assert before != after


# A user's mistakes


@pytest.mark.parametrize(
    "changes, words",
    [
        (
            {"sensor_fl.coil_ohms": 1.0},
            "has no part value 'sensor_fl.coil_ohms'; that part has coil_ohm",
        ),
        ({"horn.ohm": 1.0}, "parts() lists the parts"),
        ({"sensor_fl.coil_ohm": -1.0}, "from 1 to 1e+09 ohm, got -1.0"),
        ({"sensor_fl.coil_ohm": float("nan")}, "got nan"),
        ({"sensor_fl.coil_ohm": True}, "got True"),
    ],
)
def test_a_wrong_change_is_named(changes, words):
    with pytest.raises(UserError, match=".*") as problem:
        changed(part_values(V1), changes)
    assert words in str(problem.value)


def test_unknown_names_are_answered():
    net = network(V1)
    with pytest.raises(UserError, match="has no plug, fuse or relay 'horn'"):
        net.solve(Moment(unplugged=frozenset({"horn"})))
    with pytest.raises(UserError, match="drives no 'horn'"):
        net.solve(Moment(commands={"horn": 1.0}))
    with pytest.raises(UserError, match="has no measuring point 'horn.1'"):
        net.solve(at()).voltage("horn.1")
    with pytest.raises(UserError, match="has no source 'horn.volt'"):
        net.response(["unit.sensor_fl"], ["horn.volt"])
    with pytest.raises(UserError, match="the key is one of"):
        Moment(key="half")
    with pytest.raises(UserError, match="no vehicle is called"):
        part_values("lorry")
    assert part_values(V2).vehicle == V2


@pytest.mark.parametrize(
    "read, name, text, words",
    [
        (
            part_values,
            "parts_own",
            '[horn]\nname = "Horn"\ntask = "x"\nwhere = "y"\nvehicles = ["lorry"]\n',
            "vehicles must list some of",
        ),
        (
            part_values,
            "parts_own",
            '[horn]\nname = "Horn"\ntask = "x"\nvehicles = ["rear_petrol"]\n',
            "where is missing",
        ),
        (
            part_values,
            "parts_own",
            (
                '[horn]\nname = "Horn"\ntask = "x"\nwhere = "y"\nvehicles = ["rear_petrol"]\nohm ='
                ' { value = 9.0, unit = "ohm", low = 0.0, high = 5.0, source = "I" }\n'
            ),
            "ohm must be a number from 0.0 to 5.0 ohm, got 9.0",
        ),
        (
            part_values,
            "parts_own",
            (
                '[horn]\nname = "Horn"\ntask = "x"\nwhere = "y"\nvehicles = ["rear_petrol"]\nohm ='
                ' { value = 1.0, unit = "ohm", low = 0.0, high = 5.0, source = " " }\n'
            ),
            "has no source",
        ),
        (part_values, "parts_own", "[horn", "not readable as TOML"),
        (
            plan,
            "network_own",
            'name = "X"\n[chains.a]\nname = "a"\nway = ["x.1", "y.1"]\n',
            "no plug and no point is called 'x.1'",
        ),
        (
            plan,
            "network_own",
            (
                'name = "X"\n[points]\n"p.1" = "p"\n[elements]\nlamp = { kind = "bulb", at ='
                ' ["p.1", "p.1"] }\n'
            ),
            "kind must be one of",
        ),
        (
            plan,
            "network_own",
            (
                'name = "X"\n[points]\n"p.1" = "p"\n[elements]\nlamp = { kind = "lamp", at ='
                ' ["p.1", "p.1"] }\n'
            ),
            "ohm is missing",
        ),
        (plan, "network_own", 'names = "X"\n', "names is unknown"),
    ],
)
def test_a_broken_file_is_named(tmp_path, read, name, text, words):
    folder = tmp_path / "workshop"
    folder.mkdir()
    (folder / f"{name}.toml").write_text(text)
    with pytest.raises(UserError) as problem:
        read(V1, tmp_path)
    assert words in str(problem.value) and f"{name}.toml" in str(problem.value)


def test_every_value_has_a_source_and_every_point_a_name_of_its_own():
    for vehicle in VEHICLES:
        assert all(
            value.source.strip() and value.low <= value.value <= value.high
            for part in parts(vehicle).values()
            for value in part.values.values()
        )
        names = [point.name for point in plan(vehicle).points.values()]
        assert len(names) == len(set(names))
