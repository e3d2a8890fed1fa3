"""Every entry of the fault catalogue, live: readings of the healthy and the faulty car, what the
self-diagnosis finds, lamps, reaction, symptom.
"""

from functools import lru_cache

import numpy as np
import pytest

from tractionlab.control.phases import EASE
from tractionlab.errors import UserError
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.units import BAR, CM3
from tractionlab.workshop.case.suspects import car_with
from tractionlab.workshop.drive import bay
from tractionlab.workshop.drive.as_driven import as_driven
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.faults import fault, faults
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.part_values import changed, part_values, parts
from tractionlab.workshop.tests.base import run
from tractionlab.workshop.tests.base import tests as bench_tests
from tractionlab.workshop.wiring.netlist import VEHICLES

WAKING_S = 0.11  # until the control unit judges anything
EVERY = [(name, vehicle) for name, entry in faults().items() for vehicle in entry.vehicles]


def id_of(pair):
    return f"{pair[0]}-{pair[1]}"


@lru_cache(maxsize=1)
def alarms(vehicle, name):
    """Codes found, as {code-type: (drive, time)}, over the customer's drives and the ignition-on
    after them.
    """
    found, runs = {}, bay.life(vehicle, car_with(name, vehicle))
    for k, run_ in enumerate(runs):
        for event in run_.events:
            if event.failed:
                found.setdefault(f"{event.code}-{event.failure_type}", (k, event.time))
    for entry in runs[-1].memory.stored:
        found.setdefault(f"{entry.code}-{entry.failure_type}", (len(runs) - 1, 0.0))
    return found


def since_it_could_be_seen(entry, vehicle, drive, time):
    """Seconds from ignition on, or from moving off if the fault was found after that; from the
    first control if it shows only then.
    """
    world = (*bay.customer_drives(vehicle), bay.ignition_on(vehicle))[drive]
    shows = world.control if "after_control" in entry.symptoms else world.speed > 5.0 / 3.6
    begun = world.time[shows]
    return time - begun[0] if len(begun) and time > begun[0] else time


def lit(runs):
    """Lamps that stay on for a fault, after the lamp check."""
    return {name for run_ in runs for name, state in run_.lamps.items() if np.any(state[400:] == 1)}


def inside(value, allowed):
    return (
        value in allowed
        if isinstance(allowed[0], str)
        else not isinstance(value, str) and allowed[0] <= value <= allowed[1]
    )


def test_the_catalogue_is_whole():
    assert len(faults()) == 88 and sum(entry.is_normal for entry in faults().values()) == 3
    for entry in faults().values():
        assert set(entry.tests) <= set(bench_tests()) and {e.test for e in entry.readings} <= set(
            bench_tests()
        )


@pytest.mark.parametrize("pair", EVERY, ids=id_of)
def test_readings_are_as_the_catalogue_says(pair):
    name, vehicle = pair
    for expected in fault(name).expected(vehicle):
        for side, values in (
            ("healthy", part_values(vehicle)),
            ("faulty", car_with(name, vehicle)),
        ):
            found = {reading.key: reading.value for reading in run(expected.test, vehicle, values)}
            assert expected.reading in found, f"{expected.test} has no reading {expected.reading}"
            assert inside(found[expected.reading], getattr(expected, side)), (
                f"{side} {expected.test} {expected.reading}: {found[expected.reading]}"
            )


@pytest.mark.parametrize("pair", EVERY, ids=id_of)
def test_self_diagnosis_is_as_the_catalogue_says(pair):
    name, vehicle = pair
    entry, found, runs = (
        fault(name).as_found_on(vehicle),
        alarms(vehicle, name),
        bay.life(vehicle, car_with(name, vehicle)),
    )
    if entry.code:
        code = f"{entry.code}-{entry.failure_type or '00'}"
        assert code in found, found
        assert since_it_could_be_seen(entry, vehicle, *found[code]) <= entry.seconds + WAKING_S
    else:
        assert not found
    assert lit(runs) == set(entry.lamps) - {"engine"}
    assert int(entry.reaction[1]) in {int(mode) for run_ in runs for mode in np.unique(run_.mode)}


def test_a_healthy_car_shows_nothing():
    for vehicle in {vehicle for _, vehicle in EVERY}:
        runs = bay.life(vehicle, part_values(vehicle))
        assert (
            not lit(runs)
            and not runs[-1].memory.stored
            and all(np.all(run_.mode == 0) for run_ in runs)
        )


def test_a_claim_for_one_vehicle_leaves_the_others():
    entry = fault("pads-oil-contaminated")
    assert [entry.as_found_on(vehicle).code for vehicle in entry.vehicles] == [
        "C0002",
        "C0001",
        "C0001",
    ] and entry.as_found_on("front_electric") == entry
    assert fault("supply-voltage-low").as_found_on("front_petrol") == fault("supply-voltage-low")


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_weak_brake_turns_the_car_to_the_other_side(vehicle):
    left, right = DRIVEN[vehicle]
    turns = [
        {
            reading.key: reading.value
            for reading in run("T07", vehicle, changed(part_values(vehicle), changes))
        }["turns"]
        for changes in (
            {f"pads_{left}.friction_share": 0.4},
            {f"pads_{left}.friction_share": 0.7},
            {},
            {f"pads_{right}.friction_share": 0.4},
        )
    ]
    assert (
        turns[0] > turns[1] > 0.4
        and abs(turns[2]) < 0.01
        and turns[3] == pytest.approx(-turns[0], rel=0.01)
    )


def test_a_shut_drain_valve_lets_the_gallery_fill_and_the_wheel_is_held():
    """What the customer of the drain valve tells: on a long hill with one side on ice the wheel
    that spun is held, since nothing can be let out any more, and the car pulls less.
    """
    hill = {"left": "ice", "right": "wet_asphalt", "pedal_percent": 50.0, "slope_percent": 12.0}
    sound, shut = (
        simulate(Scenario(vehicle="rear_petrol", duration_s=30.0, **hill, **car.fields()))
        for car in (
            as_driven("rear_petrol", part_values("rear_petrol")),
            as_driven("rear_petrol", car_with("drain-valve-stuck-closed", "rear_petrol")),
        )
    )
    full = CM3 * hydraulics()["layout_a"]["gallery_full_cm3"]
    early, late = slice(0, 300), slice(2500, None)
    assert shut.circuit.fluid[:300, h.GALLERY + 1].max() < 0.5 * full
    assert (
        shut.circuit.fluid[-1, h.GALLERY + 1] > full > sound.circuit.fluid[:, h.GALLERY + 1].max()
    )
    assert shut.pressure[early, 2].max() == pytest.approx(sound.pressure[early, 2].max(), rel=0.1)

    def let_out(trace):
        eased = trace.phase[late, 2][1:] == EASE
        return -np.diff(trace.pressure[late, 2])[eased].sum()

    assert abs(let_out(shut)) < 1.0 * BAR and let_out(sound) > 10.0 * BAR
    assert shut.speed[-1] < 0.9 * sound.speed[-1]


def test_readings_follow_the_part_values():
    """No reading is stored: small changes of sound values move them."""
    for vehicle, name, test, key, factor in (
        ("rear_petrol", "sensor_fl.coil_ohm", "T10", "bias_fl", 1.05),
        ("rear_petrol", "accumulator.precharge_bar", "T16", "gas_jump", 1.05),
        ("front_petrol", "unit.measuring_ohm", "T12", "high_rr", 1.05),
        ("front_petrol", "tyre_fl.aspect", "T07", "speed_fl", 0.97),
        ("front_petrol", "stud_pump.ohm", "T11", "drop_pump_ground", 10.0),
        ("rear_petrol", "ring_rr.teeth", "T20", "pulses_rr", 47 / 48),
        ("rear_petrol", "brake_fluid.water_percent", "T21", "boiling", 2.0),
        ("front_petrol", "bus_end_brake.ohm", "T25", "network_ohm", 1.05),
    ):
        healthy = part_values(vehicle)
        before, after = (
            {reading.key: reading.value for reading in run(test, vehicle, values)}[key]
            for values in (healthy, changed(healthy, {name: healthy[name] * factor}))
        )
        assert before != pytest.approx(after, rel=0.005), (test, key)


#: Readings that no part value moves: an active sensor shows nothing at rest, and no accessory's
#: lead runs beside the other leads of layout A; a car without
#: a network of two wires has none; the pump of layout B draws from the master cylinder what an open
#: valve lets back.
NEVER = {
    ("T05", "speed_fl", "B"),
    ("T14", "pedal", "B"),
    ("T25", "none", "A"),
    *(
        (test, f"{what}_{wheel}", layout)
        for wheel in ("fr", "rl", "rr")
        for test, what, layout in (
            ("T05", "speed", "A"),
            ("T05", "speed", "B"),
            ("T12", "rest", "A"),
        )
    ),
}
SWITCHES = (
    "stuck",
    "welded",
    "seized",
    "coded",
    "crossed",
    "reduction_available",
    "switched_off",
    "roller_test",
    "turned_away",
)


def other_cars(vehicle):
    """A car with every value a little off, one with every leak and fault that is not there, one
    with every switch over and other rings, one of dead lamps, oily pads, wide gaps, half-blocked
    valves and a weak generator, and two with valves that stay shut or open."""
    rng, off, leaks, switched, bad, shut, open_ = np.random.default_rng(1), {}, {}, {}, {}, {}, {}
    for part in parts(vehicle).values():
        for name, value in part.values.items():
            key = f"{part.key}.{name}"
            if name in SWITCHES:
                switched[key] = 1.0 - value.value
            elif name == "teeth":
                switched[key] = 44.0
            elif value.value == 0.0:
                leaks[key] = (
                    1.0 if name in ("missing", "merged", "hard_launches") else 0.1 * value.high
                )
            elif value.value >= 1e8:
                leaks[key] = 1e5
            else:
                share = rng.uniform(0.01, 0.03)
                off[key] = value.value * (
                    1.0 + share if value.value * (1.0 + share) <= value.high else 1.0 - share
                )
            if part.key.startswith("lamp_") and name == "ohm":
                bad[key] = 1e9
            elif name in ("friction_share", "flow_share"):
                bad[key] = 0.3
            elif name == "gap_mm":
                bad[key] = value.high
            elif part.key == "generator" and name == "volt":
                bad[key] = 9.0
            elif name == "stuck" and part.key.startswith("outlet"):
                shut[key] = -1.0
            elif name == "stuck" and part.key.startswith("isolating"):
                open_[key] = 1.0
    return [
        changed(part_values(vehicle), changes)
        for changes in (off, leaks, switched, bad, shut, open_)
    ]


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_reading_follows_some_part_value(vehicle):
    """Nothing that a test of the bench shows is stored: some other car shows something else
    there.
    """
    sound, layout, others, stored = (
        part_values(vehicle),
        layout_of(vehicle),
        other_cars(vehicle),
        set(),
    )
    for test in sorted(set(bench_tests()) - {"T01"}):
        healthy = {reading.key: reading.value for reading in run(test, vehicle, sound)}
        fixed = {key for key in healthy if (test, key, layout) not in NEVER}
        for car in (
            *others,
            *(
                car_with(name, vehicle)
                for name, entry in faults().items()
                if vehicle in entry.vehicles
            ),
        ):
            if not fixed:
                break
            found = {reading.key: reading.value for reading in run(test, vehicle, car)}
            fixed = {
                key
                for key in fixed
                if key in found
                and (
                    found[key] == healthy[key]
                    if isinstance(healthy[key], str) or isinstance(found[key], str)
                    else found[key] == pytest.approx(healthy[key], rel=1e-6, abs=1e-6)
                )
            }
        stored |= {(test, key) for key in fixed}
    assert stored == set()


@pytest.mark.parametrize(
    "change, words",
    [
        ('kind = "open"', 'kind = "broken"'),
        ("band = 1", "band = 7"),
        ('vehicles = ["rear_petrol"]', 'vehicles = ["my car"]'),
        ("seconds = 0.5", 'seconds = "soon"'),
        ('reaction = "R4"', 'reaction = "R9"'),
        ("contaminated.claims.rear_petrol]", "contaminated.claims.my_car]"),
        ('code = "C0002"\nfailure_type = "72"\nseconds = 5\nlamps', 'place = "C0002"\nlamps'),
        ('symptoms = ["at_ignition"]', 'symptoms = ["sad"]'),
        ("told = ", "tale = "),
        ('kind = "before"', 'kind = "dream"'),
        (', shows = ["start abs = stays on", "start tc = stays on"]', ""),
        ("healthy = [0.47, 0.62]", "healthy = [0.62, 0.47]"),
    ],
)
def test_a_broken_catalogue_is_named(tmp_path, change, words):
    from tractionlab.workshop.faults import default_file

    text = default_file().read_text(encoding="utf-8").replace(change, words, 1)
    path = tmp_path / "faults.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UserError, match=r"faults\.toml, \[faults\..+"):
        faults(path)
