"""The hydraulic circuit and the counted teeth in the moving car: fluid is conserved, plain equals
compiled, faults change what they must.
"""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_circuits import FAULTS, circuits, random_circuit
from random_scenarios import VEHICLES

from tractionlab import Scenario, simulate, simulate_many
from tractionlab.catalogue import entries as catalogue
from tractionlab.control import settings as s
from tractionlab.control.valve_drive import drive_valves
from tractionlab.errors import UserError
from tractionlab.physics import circuit as h
from tractionlab.physics.circuit_parts import aim_valves
from tractionlab.run import kernels
from tractionlab.run.assembly import vehicle_values
from tractionlab.run.circuit_assembly import plant_of, rings_of
from tractionlab.run.scenario_file import read_scenario
from tractionlab.run.sensing import tooth_near
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import edges_between
from tractionlab.wheels import WHEELS
from tractionlab.workshop.part_values import part_values

BAR, CM3, KMH = 1e5, 1e-6, 3.6
SPLIT = {v: Scenario(vehicle=v, left="ice", right="wet_asphalt", duration_s=4.0) for v in VEHICLES}
FASTEST = {"A": "rear_petrol", "B": "front_petrol"}


def brake_stop(vehicle, **more):
    return Scenario(
        **{
            **dict(
                vehicle=vehicle,
                left="wet_asphalt",
                initial_speed_kmh=50.0,
                pedal_percent=0.0,
                brake_bar=100.0,
                brake_from_s=0.2,
                brake_until_s=100.0,
                duration_s=2.0,
            ),
            **more,
        }
    )


# Laws
# ----------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(circuits(duration_s=3.0))
def test_no_fluid_is_lost_in_any_run(scenario):
    fluid = simulate(scenario).circuit.fluid.sum(axis=1)
    assert abs(fluid / fluid[0] - 1.0).max() < 1e-9


@settings(max_examples=60, deadline=None)
@given(circuits(duration_s=3.0))
def test_numbers_stay_possible(scenario):
    trace = simulate(scenario)
    assert np.isfinite(trace.record).all() and np.isfinite(trace.film).all()
    circuit = trace.circuit
    assert circuit.pressures.min() > -BAR and circuit.pressures.max() < 330 * BAR
    assert -1e-9 < circuit.travel.min() and circuit.travel.max() < 1.0 + 1e-9
    np.testing.assert_array_equal(trace.pressure, circuit.pressures[:, h.WHEEL : h.WHEEL + 4])
    force = np.hypot(trace.drive_force, trace.side_force)
    assert (force <= trace.grip_limit * (1 + 1e-9) + 1e-6).all()


@pytest.mark.parametrize("block", range(3))
def test_plain_and_compiled_give_identical_bits(block):
    for seed in range(15 * block, 15 * (block + 1)):
        scenario = random_circuit(
            seed,
            duration_s=0.2,
            pedal_from_s=0.0,
            pedal_rise_s=0.05,
            initial_speed_kmh=float(seed % 3) * 15.0,
        )
        plain, compiled = simulate(scenario, plain=True), simulate(scenario)
        assert plain.record.tobytes() == compiled.record.tobytes(), f"seed {seed}"
        assert plain.film.tobytes() == compiled.film.tobytes(), f"seed {seed}"


@pytest.mark.parametrize("layout", "AB")
def test_the_circuit_moves_alike_whatever_step_the_car_takes(layout):
    """Wheel valves driven by a fixed programme: the pressures must not know of the car's step."""

    def programme(time, sensors, outputs):
        outputs[s.ASK_PUMP] = 1.0
        for i in range(4):
            outputs[s.ASK_VALVES + i] = (1.0, 0.37, 0.0, -0.21, -1.0, 2.0)[(int(time * 10) + i) % 6]

    scenario = dataclasses.replace(SPLIT[FASTEST[layout]], duration_s=2.0)
    coarse, fine, finest = (
        simulate(dataclasses.replace(scenario, step_s=step), controller=programme)
        for step in (0.002, 0.001, 0.0005)
    )
    assert coarse.pressure.max() > 20 * BAR
    np.testing.assert_array_equal(coarse.circuit.pressures, fine.circuit.pressures)
    np.testing.assert_array_equal(finest.circuit.pressures, fine.circuit.pressures)


PULSES = {
    "A": (dict(cut=2.0, feed=2.0, drain=2.0), "rear_petrol", 2),
    "B": (dict(isolating=1.5, priming=2.4), "front_petrol", 0),
}


@pytest.mark.parametrize("layout", "AB")
@pytest.mark.parametrize("share", [1.0, 0.63, 0.25])
def test_rise_and_fall_in_pulses_agree_with_an_adaptive_method(layout, share):
    """The midpoint steps of 1 ms against Radau's method, pulse by pulse from the same state:
    pressures within 1 % of their span.
    """
    from scipy.integrate import solve_ivp

    _, vehicle, wheel = PULSES[layout]
    plant = plant_of(Scenario(vehicle=vehicle), 0.01)
    kernel, circuit = (
        kernels.compiled("physics.circuit_cycle"),
        kernels.compiled("physics.brake_circuit"),
    )
    state, command, scale = (
        plant.state.copy(),
        np.zeros(h.COMMANDS),
        np.where(np.arange(h.STATES) < h.RETURN_SPEED, CM3, 1.0),
    )
    rates, pressures, flows = np.zeros(h.STATES), np.zeros(h.PLACES), np.zeros(h.FLOWS)

    def slope(_, scaled):
        circuit.circuit_rates(scaled * scale, command, plant.parts, rates, pressures, flows)
        return rates / scale

    own, theirs = [], []
    for k in range(70):
        order(layout, wheel, 1.0 if k < 55 else -1.0, share, plant)
        for current, span in ((plant.first, 0.01 * share), (plant.then, 0.01 * (1.0 - share))):
            command[: h.AIM] = current[: h.AIM]
            for j in np.flatnonzero(plant.pulse == 0.0):
                command[j] = plant.then[j]
            aim_valves(command, plant.parts.valves)
            if span > 0.0:
                state = (
                    solve_ivp(
                        slope, (0.0, span), state / scale, method="Radau", rtol=1e-7, atol=1e-8
                    ).y[:, -1]
                    * scale
                )
        slope(0.0, state / scale)
        theirs.append(pressures[h.WHEEL + wheel])
        kernel.run_cycle(0.01, plant)
        own.append(plant.pressures[h.WHEEL + wheel])
    assert np.ptp(theirs) > BAR
    assert abs(np.array(own) - theirs).max() < 0.01 * np.ptp(theirs)


def order(layout, wheel, way, share, plant):
    """Command an increase (way 1) or a reduction (-1) of one driven wheel in a pulse of a share of
    the cycle.
    """
    outputs = np.zeros(s.OUTPUTS)
    outputs[s.ASK_VALVES : s.ASK_VALVES + 4] = 2.0
    outputs[s.ASK_VALVES + wheel], outputs[s.ASK_PUMP] = way * share, 1.0
    vehicle = PULSES[layout][1]
    from tractionlab.run.circuit_assembly import hydraulics_of

    drive_valves(
        outputs,
        False,
        hydraulics_of(Scenario(vehicle=vehicle)),
        plant.first,
        plant.then,
        plant.pulse,
    )


def test_longer_pulses_let_through_more_and_evenly():
    """Twice as long a pulse, about twice the fluid: no step where a pulse ends between two steps of
    the circuit.
    """
    let = []
    for share in np.linspace(0.02, 0.98, 49):
        plant = plant_of(Scenario(vehicle="rear_petrol"), 0.01)
        kernel = kernels.compiled("physics.circuit_cycle")
        for k in range(8):
            order("A", 2, 1.0, share if k == 3 else 0.0, plant)
            kernel.run_cycle(0.01, plant)
        let.append(plant.state[h.WHEEL + 2] / CM3)
    growth = np.diff(let)
    assert growth.min() > 0.0 and growth.max() < 2.5 * np.median(growth)


# Speeds as the control unit reads them
# ----------------------------------------------------------------


def test_a_rolling_car_is_read_rightly_from_its_first_tooth_on():
    """A stop with the foot already down: a first reading too high would be taken for the car's
    speed and every wheel for locked.
    """
    trace = simulate(
        brake_stop(
            "rear_petrol", left="dry_asphalt", brake_from_s=0.0, brake_bar=30.0, keep_lane=False
        )
    )
    true = trace.wheel_speed * vehicle_values(trace.scenario)["tyre_radius_m"]
    assert abs(trace.circuit.measured - true)[:20].max() < 0.04 * true[0].max()
    assert trace.pressure[30:].min() > 25 * BAR and abs(trace.yaw[-1]) < 1e-6


def test_speeds_are_read_within_a_tooth():
    trace = simulate(brake_stop("rear_petrol", brake_bar=8.0))
    true = trace.wheel_speed * vehicle_values(trace.scenario)["tyre_radius_m"]
    later = trace.time > 0.1
    assert abs(trace.circuit.measured - true)[later].max() < 0.02 * true.max()
    assert len(np.unique(trace.circuit.measured[:, 0])) > 50


@pytest.mark.parametrize("fault, share", [(("teeth", 44), 44 / 48), ("open", 0.0)])
def test_a_wrong_ring_or_an_open_lead_is_read_wrongly(fault, share):
    trace = simulate(
        brake_stop("rear_petrol", brake_bar=0.0, duration_s=1.0, faults={"sensor_RR": fault})
    )
    later = trace.time > 0.5
    true = trace.wheel_speed[later] * vehicle_values(trace.scenario)["tyre_radius_m"]
    np.testing.assert_allclose(trace.circuit.measured[later, 3], share * true[:, 3], rtol=0.01)
    np.testing.assert_allclose(trace.circuit.measured[later, 2], true[:, 2], rtol=0.01)


def test_each_car_has_the_sensors_of_its_parts():
    for vehicle in VEHICLES:
        parts = part_values(vehicle)
        for ring, wheel in zip(rings_of(Scenario(vehicle=vehicle)), WHEELS):
            part = f"sensor_{wheel.lower()}"
            assert ring.active == (f"{part}.gap_limit_mm" in parts)
            assert ring.gap == pytest.approx(1e-3 * parts[f"{part}.gap_mm"])
            assert ring.teeth == parts[f"ring_{wheel.lower()}.teeth"]


def test_a_passive_car_reads_nothing_below_its_blind_speed_and_an_active_one_does():
    for vehicle, gap, blind in (
        ("rear_petrol", 0.8, 3.0),
        ("rear_petrol", 2.0, 11.8),
        ("front_petrol", 0.8, 0.0),
    ):
        trace = simulate(
            Scenario(
                vehicle=vehicle,
                left="dry_asphalt",
                pedal_percent=40.0,
                control="off",
                duration_s=3.0,
                vehicle_values={"sensor_gap_mm": gap},
            )
        )
        true = KMH * trace.wheel_speed * vehicle_values(trace.scenario)["tyre_radius_m"]
        seen = KMH * trace.circuit.measured
        assert true.max() > 15.0 and (seen[true < 0.95 * blind] == 0.0).all()
        assert (seen[true > 1.05 * blind + 3.0] > 0.95 * blind).all()


def test_a_standing_wheel_is_read_as_standing():
    trace = simulate(brake_stop("front_petrol", left="ice", antilock=False, duration_s=3.0))
    locked = (trace.wheel_speed[:, 0] < 0.01) & (trace.time > 1.5)
    assert locked.sum() > 50 and trace.circuit.measured[locked, 0].max() == 0.0


# Pressure at the right wheels
# ----------------------------------------------------------------


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_traction_control_brakes_the_slipping_wheel_and_no_undriven_one(vehicle):
    trace = simulate(SPLIT[vehicle])
    top = trace.pressure.max(axis=0) / BAR
    left, right = (i for i in range(4) if trace.driven[i])
    assert top[left] > 20.0 and top[left] > 1.5 * top[right]
    assert all(top[i] < 0.8 for i in range(4) if not trace.driven[i])


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_pedal_presses_all_wheels_and_lets_them_go(vehicle):
    trace = simulate(
        brake_stop(vehicle, brake_bar=20.0, brake_until_s=1.5, left="dry_asphalt", duration_s=3.0)
    )
    pressed = (trace.time > 0.8) & (trace.time < 1.4)
    np.testing.assert_allclose(trace.pressure[pressed], 20 * BAR, rtol=0.05)
    assert trace.pressure[-1].max() < BAR


def test_a_run_may_begin_with_the_foot_on_the_pedal():
    """A standing car is held from the first moment; in a rolling one the foot comes down then."""
    trace = simulate(
        brake_stop(
            "front_petrol",
            brake_from_s=0.0,
            brake_bar=30.0,
            left="dry_asphalt",
            initial_speed_kmh=0.0,
        )
    )
    np.testing.assert_allclose(trace.pressure[0], 30 * BAR, rtol=0.03)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_pressure_by_hand_stays_at_its_wheel_and_nowhere_else(vehicle):
    """Shut in for the whole run, whatever pedal and control unit do, air in the caliper or not; the
    other brakes know nothing of it, and no fluid is lost.
    """
    by_hand = dataclasses.replace(
        SPLIT[vehicle], hand_brake_bar=(0, 33, 70, 0), brake_bar=20.0, brake_until_s=0.3
    )
    for faults in ({}, {"wheel_FR": ("air", 2.0)}):
        trace = simulate(dataclasses.replace(by_hand, faults=faults))
        np.testing.assert_allclose(trace.pressure[:, [1, 2]] / BAR, [[33.0, 70.0]] * len(trace))
        fluid = trace.circuit.fluid.sum(axis=1)
        assert abs(fluid / fluid[0] - 1.0).max() < 1e-9
    off, free = (
        simulate(dataclasses.replace(by_hand, control="off", **more))
        for more in ({}, {"hand_brake_bar": (0, 0, 0, 0)})
    )
    np.testing.assert_allclose(off.pressure[-1, [0, 3]], free.pressure[-1, [0, 3]], atol=0.1 * BAR)


# Faults
# ----------------------------------------------------------------


def launch(vehicle, faults):
    return simulate(dataclasses.replace(SPLIT[vehicle], faults=faults))


@pytest.mark.parametrize(
    "vehicle, faults",
    [
        ("rear_petrol", {"feed_valve": "stuck_closed"}),
        ("rear_petrol", {"feed_valve": "coil_open"}),
        ("rear_petrol", {"wheel_valve_RL": "stuck_hold"}),
        ("rear_petrol", {"sensor_RL": "open"}),
        ("front_petrol", {"priming_valve_1": "stuck_closed"}),
        ("front_petrol", {"isolating_valve_1": "stuck_open"}),
        ("front_petrol", {"inlet_FL": "stuck_closed"}),
        ("front_petrol", {"return_pump": ("weak", 0.0)}),
        ("front_petrol", {"sensor_FL": "open"}),
    ],
)
def test_traction_control_fails_without_the_part(vehicle, faults):
    sound, bad = simulate(SPLIT[vehicle]), launch(vehicle, faults)
    slipping = int(np.flatnonzero(sound.driven)[0])
    assert bad.pressure[:, slipping].max() < 5 * BAR < sound.pressure[:, slipping].max()
    assert bad.x[-1] < 0.5 * sound.x[-1]


@pytest.mark.parametrize(
    "vehicle, faults",
    [
        ("front_petrol", {"return_pump": ("weak", 0.4)}),
        ("front_petrol", {"line_1": ("air", 2.0)}),
        ("front_petrol", {"wheel_FL": ("air", 2.0)}),
    ],
)
def test_weak_parts_make_the_launch_slower(vehicle, faults):
    assert launch(vehicle, faults).x[-1] < 0.95 * simulate(SPLIT[vehicle]).x[-1]


@pytest.mark.parametrize(
    "vehicle, part, fault",
    [("rear_petrol", "wheel_valve_FL", "stuck_hold"), ("front_petrol", "inlet_FL", "stuck_closed")],
)
def test_a_valve_stuck_shut_leaves_its_wheel_unbraked_in_a_stop(vehicle, part, fault):
    sound, bad = simulate_many([brake_stop(vehicle), brake_stop(vehicle, faults={part: fault})])
    assert bad.pressure[:, 0].max() < BAR and bad.x[-1] > sound.x[-1] + 0.5
    assert np.abs(bad.yaw).max() > np.abs(sound.yaw).max() + np.radians(2.0)


@pytest.mark.parametrize(
    "vehicle, faults",
    [
        ("rear_petrol", {"wheel_valve_FL": "stuck_increase"}),
        ("front_petrol", {"outlet_FL": "stuck_closed"}),
    ],
)
def test_a_valve_that_cannot_reduce_lets_its_wheel_lock(vehicle, faults):
    """On ice after some metres, where the pressure is far too high: a sound brake lets go, and the
    wheel turns again.
    """
    ice = ({"surface": "ice", "x_from": 8.0, "x_to": 100.0},)
    sound, bad = simulate_many(
        [brake_stop(vehicle, patches=ice), brake_stop(vehicle, patches=ice, faults=faults)]
    )
    assert (
        bad.wheel_speed[-1, 0] < 0.1
        and sound.wheel_speed[-1, 0] > 5.0
        and bad.speed[-1] * KMH > 15.0
    )


def test_a_bad_plug_still_builds_up_but_does_not_reduce():
    """As on the card: hold needs 2 A and is still reached, reduce needs 5 A and is not."""
    bad = simulate(brake_stop("rear_petrol", faults={"wheel_valve_FL": ("extra_resistance", 1.5)}))
    assert (
        bad.circuit.travel[:, h.OUTLET].max() < 0.05
        and bad.circuit.travel[:, h.OUTLET + 1].max() > 0.5
    )
    assert (bad.wheel_speed[bad.speed * KMH > 15.0, 0] < 0.5).sum() > 30


def test_a_lost_charge_pump_empties_a_leaking_accumulator():
    sound, bad = simulate_many(
        [
            Scenario(
                pedal_percent=0.0, duration_s=9.0, faults={"feed_valve": ("leak", 0.2), **more}
            )
            for more in ({}, {"pressure_switch": "open"})
        ]
    )
    assert (
        bad.circuit.pressures[-1, h.ACCUMULATOR]
        < 130 * BAR
        < 145 * BAR
        < sound.circuit.pressures[-1, h.ACCUMULATOR]
    )


@pytest.mark.parametrize(
    "fields, words",
    [
        (dict(faults=["x"]), "faults must be a table"),
        (dict(faults={"wheel_FL": 3}), "faults.wheel_FL"),
    ],
)
def test_a_wrong_scenario_is_one_sentence(fields, words):
    with pytest.raises(UserError, match=words):
        Scenario(**fields)


@pytest.mark.parametrize(
    "faults, words",
    [
        ({"inlet_FL": "stuck_closed"}, "no part 'inlet_FL'"),
        ({"sensor_XX": "open"}, "sensor_FL"),
        ({"sensor_RR": "rusty"}, "there are: open, teeth"),
        ({"sensor_RR": ("teeth", 4)}, "from 12 to 200"),
        ({"wheel_RL": ("air", 99)}, "from 0 to 10"),
        ({"reservoir": "empty"}, "there is: low"),
        ({"reservoir": ("low", 2)}, "from 0.1 to 1"),
    ],
)
def test_a_fault_that_the_car_cannot_have_is_one_sentence(faults, words):
    with pytest.raises(UserError, match=words):
        simulate(Scenario(vehicle="rear_petrol", faults=faults, duration_s=0.1))


def test_a_scenario_file_names_faults(tmp_path):
    file = tmp_path / "run.toml"
    file.write_text(
        'vehicle = "front_petrol"\n[faults]\ninlet_FL = "stuck_closed"\nsensor_RR = ["teeth",'
        " 44]\n",
        encoding="utf-8",
    )
    scenario = read_scenario(file)
    assert scenario.faults == {"inlet_FL": ("stuck_closed", None), "sensor_RR": ("teeth", 44)}


def test_every_fault_that_the_laws_draw_exists():
    for layout, vehicle in FASTEST.items():
        for part, kinds in FAULTS[layout].items():
            for fault in kinds:
                simulate(Scenario(vehicle=vehicle, faults={part: fault}, duration_s=0.02))


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_control_never_costs_more_than_2_percent(vehicle):
    from tractionlab.figures.worth import ROADS

    for left, right in ROADS:
        off, both = simulate_many(
            [
                Scenario(vehicle=vehicle, left=left, right=right, control=kind, duration_s=6.0)
                for kind in ("off", "both")
            ]
        )
        assert both.x[-1] >= 0.98 * off.x[-1], (left, right)


def test_layouts_of_the_vehicles_are_both_used():
    assert {entry["layout"] for entry in catalogue.in_use().vehicles().values()} == {"A", "B"}


# What the control unit reads
# ----------------------------------------------------------------


def seen_by_the_unit(scenario):
    """Rows of what the sensors tell (n, SENSORS) over a run whose unit does nothing."""
    rows = []
    simulate(scenario, controller=lambda time, sensors, outputs: rows.append(sensors.copy()))
    return np.array(rows)


@pytest.mark.parametrize(
    "vehicle, place, step",
    [
        ("front_petrol", s.SENSE_PEDAL_PRESSURE, 0.25 * BAR),
        ("rear_petrol", s.SENSE_ENGINE_SPEED, np.pi / 30.0),
        ("front_electric", s.SENSE_STEERING, np.radians(0.1)),
    ],
)
def test_signals_come_in_the_steps_of_their_sensor(vehicle, place, step):
    seen = seen_by_the_unit(brake_stop(vehicle, brake_bar=60.0, right="ice"))[:, place]
    np.testing.assert_allclose(seen / step, np.round(seen / step), atol=1e-6)
    assert len(np.unique(seen)) > 5


def test_the_throttle_is_seen_in_steps():
    seen = seen_by_the_unit(
        dataclasses.replace(SPLIT["rear_petrol"], pedal_percent=33.33, duration_s=1.0)
    )[:, s.SENSE_PEDAL]
    assert seen[-1] == pytest.approx(0.333) and 0.0 < seen[25] < 0.333


def test_each_layout_reads_only_the_pressure_that_its_drawing_has():
    """Layout B has a pressure sensor behind the pedal, layout A only a pressure switch at its
    accumulator.
    """
    a, b = (
        seen_by_the_unit(brake_stop(vehicle, faults=faults))
        for vehicle, faults in (("rear_petrol", {}), ("front_petrol", {}))
    )
    assert a[:, s.SENSE_PEDAL_PRESSURE].max() == 0.0 and b[
        -1, s.SENSE_PEDAL_PRESSURE
    ] == pytest.approx(100 * BAR, rel=0.01)
    assert a[:, s.SENSE_LOW_PRESSURE].max() == b[:, s.SENSE_LOW_PRESSURE].max() == 0.0


def test_the_warning_contact_stops_brake_action_when_the_accumulator_is_low():
    """No charge pump, and a feed valve that leaks towards the free pedal until the car pulls away
    at last: the unit does not brake any more.
    """
    sound, bad = simulate_many(
        [
            Scenario(
                left="ice", right="wet_asphalt", pedal_from_s=6.0, duration_s=8.0, faults=faults
            )
            for faults in ({}, {"feed_valve": ("leak", 0.5), "pressure_switch": "open"})
        ]
    )
    assert bad.circuit.pressures[600, h.ACCUMULATOR] < 110 * BAR
    assert (
        bad.circuit.command[600:, h.FEED + 1].max() == 0.0
        and sound.circuit.command[600:, h.FEED + 1].max() > 1.0
    )
    assert bad.pressure[-1, 2] < bad.pressure[600, 2] and sound.pressure[-1, 2] > 20 * BAR


@pytest.mark.parametrize("place", [s.SENSE_YAW_RATE, s.SENSE_STEERING])
def test_yaw_and_steering_are_only_read_where_there_are_sensors(place):
    bend = dict(
        steer_deg=5.0,
        keep_lane=False,
        initial_speed_kmh=30.0,
        pedal_percent=5.0,
        left="dry_asphalt",
        duration_s=1.0,
    )
    seen = {
        vehicle: simulate(Scenario(vehicle=vehicle, **bend)).circuit.seen[-1, place]
        for vehicle in VEHICLES
    }
    assert {vehicle: value > 0.05 for vehicle, value in seen.items()} == {
        v: catalogue.in_use().vehicles()[v]["yaw_sensor"] == 1.0 for v in VEHICLES
    }


def test_the_record_keeps_what_the_unit_was_told():
    rows = []
    trace = simulate(
        SPLIT["front_petrol"], controller=lambda time, sensors, outputs: rows.append(sensors.copy())
    )
    np.testing.assert_array_equal(trace.circuit.seen, np.array(rows))


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_with_too_little_fluid_traction_control_is_off_and_antilock_is_not(vehicle):
    """The level switch under a quarter of the filling: lamp on, no torque taken away, no brake
    pressed; the pedal brakes with anti-lock.
    """
    low, enough = (
        simulate(dataclasses.replace(SPLIT[vehicle], faults={"reservoir": ("low", share)}))
        for share in (0.24, 0.26)
    )
    off = simulate(dataclasses.replace(SPLIT[vehicle], control="off"))
    np.testing.assert_allclose(low.speed, off.speed, atol=1e-6)
    assert low.lamp.min() == 1.0 and low.circuit.seen[:, s.SENSE_LOW_LEVEL].min() == 1.0
    np.testing.assert_array_equal(enough.record, simulate(SPLIT[vehicle]).record)
    sound, stop = (
        simulate(brake_stop(vehicle, left="ice", faults=faults))
        for faults in ({}, {"reservoir": ("low", 0.2)})
    )
    assert stop.antilock.max() == 1.0
    np.testing.assert_array_equal(stop.pressure, sound.pressure)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_unit_knows_about_how_much_pressure_it_has_made(vehicle):
    """It counts fluid; what it reckons with stays within a third of the pressure of the braked
    wheel, once there is some.
    """
    from tractionlab.control.unit import cycle
    from tractionlab.run import assembly

    scenario = SPLIT[vehicle]
    car, settings, shares = (
        assembly.car_of(scenario),
        assembly.settings_of(scenario),
        assembly.road_of(scenario)[1],
    )
    memory, rows = np.zeros(s.MEMORY), []

    def unit(time, sensors, outputs):
        cycle(sensors, memory, outputs, shares, car.engine, car.brakes, settings)
        rows.append(memory[s.M_PRESSURE : s.M_PRESSURE + 4].copy())

    trace = simulate(scenario, controller=unit)
    left = next(i for i in range(4) if trace.driven[i])
    known, true = np.array(rows)[:-1, left], trace.pressure[1:, left]
    later = true > 20 * BAR
    assert later.sum() > 90 and np.mean(known[later]) == pytest.approx(
        np.mean(true[later]), rel=0.33
    )


@settings(max_examples=200, deadline=None)
@given(
    st.floats(-20, 20),
    st.floats(-0.3, 0.3),
    st.sampled_from([{}, {"crack": 0.5}, {"runout": 4e-4}, {"pitch_error": 0.2}, {"teeth": 44.0}]),
)
def test_no_tooth_is_passed_over(angle, turned, ring):
    """Looking only where a tooth can be finds every tooth that a look everywhere finds."""
    sensor = wheel_sensor("active", **ring)
    found = edges_between(angle, angle + turned, 0.0, 1e-3, sensor)[0]
    assert found == 0.0 or tooth_near(
        min(angle, angle + turned), max(angle, angle + turned), sensor
    )
