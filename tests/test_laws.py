"""Laws that hold in every run: no NaN, forces within grip, energy never created, no wheel driven
backwards, mirror symmetry.
"""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_scenarios import random_scenario, scenarios

from tractionlab import Scenario, simulate
from tractionlab.control import settings as s
from tractionlab.physics import tyre
from tractionlab.run import circuit_assembly
from tractionlab.run.assembly import car_of, road_of

RUNS = settings(max_examples=120, deadline=None)
SWAP = [1, 0, 3, 2]  # the wheels as a mirror shows them


@RUNS
@given(scenarios(duration_s=3.0))
def test_no_number_is_lost(scenario):
    assert np.isfinite(simulate(scenario).record).all()


@RUNS
@given(scenarios(duration_s=3.0))
def test_tyre_force_stays_within_grip(scenario):
    trace = simulate(scenario)
    force = np.hypot(trace.drive_force, trace.side_force)
    assert (force <= trace.grip_limit * (1 + 1e-9) + 1e-6).all()


def energy(trace):
    """Kinetic and potential energy of the car [J]: body, yaw, wheels, engine, height on the
    slope.
    """
    car = car_of(trace.scenario)
    body, line, engine = car.body, car.driveline, car.engine
    shares = road_of(trace.scenario)[1]
    case = trace.wheel_speed @ shares
    height = trace.x * body.slope_sin
    total = (
        0.5 * body.mass * (trace.speed**2 + trace.side_speed**2)
        + 0.5 * body.yaw_inertia * trace.yaw_rate**2
    )
    total += 0.5 * line.wheel_inertia * (trace.wheel_speed**2).sum(axis=1)
    total += (
        0.5 * line.gear_inertia * (trace.gear_ratio * case) ** 2 + body.mass * body.gravity * height
    )
    if engine.electric == 0.0:
        total += 0.5 * engine.inertia * trace.engine_speed**2
    return total


@RUNS
@given(scenarios(duration_s=3.0))
def test_energy_is_never_created(scenario):
    trace = simulate(scenario)
    stored = energy(trace) - energy(trace)[0]
    surplus = stored - trace.work_in
    assert surplus.max() <= 1.0 + 2e-3 * np.abs(trace.work_in).max(), "J more than the engine gave"


@RUNS
@given(scenarios(duration_s=3.0))
def test_energy_balance_closes(scenario):
    trace = simulate(scenario)
    stored = energy(trace) - energy(trace)[0]
    spent = trace.work_tyres + trace.work_brakes + trace.work_other
    scale = np.abs(trace.work_in).max() + np.abs(stored).max() + 50.0
    np.testing.assert_allclose(trace.work_in, stored + spent, atol=0.01 * scale)


@RUNS
@given(
    scenarios(
        duration_s=3.0,
        slope_percent=0.0,
        steer_deg=0.0,
        keep_lane=True,
        brake_bar=0.0,
        initial_speed_kmh=0.0,
    )
)
def test_no_wheel_turns_backwards_in_a_standing_start(scenario):
    """A tyre that springs back may turn its wheel by a degree (1.3 seen in 300 runs, where the
    other driven wheel breaks away on ice); it is not driven backwards.
    """
    trace = simulate(scenario)
    turned = np.cumsum(np.diff(trace.time)[:, None] * trace.wheel_speed[1:], axis=0)
    back = (np.maximum.accumulate(turned, axis=0) - turned).max()
    assert np.degrees(back) <= 2.0


def valve_orders(seed, wheels):
    """A controller that only orders valves as drawn by a seed, another share each 0.1 s, to wheels
    in this order.
    """
    table = np.random.default_rng(seed).choice([1.0, 0.4, 0.0, -0.3, -1.0, 2.0], (30, 4))

    def controller(time, sensors, outputs):
        outputs[s.ASK_PUMP] = 1.0
        outputs[s.ASK_VALVES : s.ASK_VALVES + 4] = table[int(10.0 * time + 1e-9), wheels]

    return controller


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(["torque", "off", "valves"]))
def test_left_and_right_are_mirror_images(seed, control):
    """Rounding differs from left to right, and a wheel on the falling side of its curve lets it
    grow: so the start is compared closely, the rest with room. The rings are exchanged as well, for
    no two stand alike. Valves are ordered by a programme: the unit counts the fluid of one line
    wheel after wheel."""
    orders = control == "valves"
    one = random_scenario(
        seed,
        duration_s=2.0,
        control="off" if orders else control,
        patches=(),
        keep_lane=True,
        antilock=False,
    )
    other = dataclasses.replace(
        one, left=one.right or one.left, right=one.left, steer_deg=-one.steer_deg
    )
    a = simulate(one, valve_orders(seed, [0, 1, 2, 3]) if orders else None)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(circuit_assembly, "STAND", [circuit_assembly.STAND[i] for i in SWAP])
        b = simulate(other, valve_orders(seed, SWAP) if orders else None)
    start = a.time <= 0.3
    np.testing.assert_allclose(a.wheel_speed[start], b.wheel_speed[start][:, SWAP], atol=1e-6)
    np.testing.assert_allclose(a.speed, b.speed, atol=2e-3)
    np.testing.assert_allclose(a.y, -b.y, atol=2e-3)


@settings(max_examples=300, deadline=None)
@given(
    st.floats(-3, 3), st.floats(-3, 3), st.floats(0, 20000), st.floats(0, 80), st.integers(0, 10**6)
)
def test_combined_force_never_exceeds_the_peak(slip, side, load, speed, pick):
    rows = _all_rows()
    row = rows[pick % len(rows)]
    fx, fy = tyre.combined_force(slip, side, load, speed, row, 0.53, 0.0805, 4000.0)
    limit = row[tyre.PEAK] * tyre.load_factor(load, 0.0805, 4000.0) * load
    assert np.hypot(fx, fy) <= limit * (1 + 1e-9) + 1e-9
    assert fx * slip >= 0.0 and fy * side >= 0.0


def _all_rows():
    from random_scenarios import SURFACES

    from tractionlab.catalogue import entries as catalogue
    from tractionlab.run.surfaces import row_of

    return [row_of(name, tyre) for name in SURFACES for tyre in catalogue.in_use().tyres()]


def test_a_car_on_a_hill_stays_where_its_brake_holds_it():
    trace = simulate(
        Scenario(
            left="dry_asphalt",
            slope_percent=20.0,
            brake_bar=60.0,
            brake_until_s=9.0,
            pedal_percent=0.0,
            duration_s=8.0,
        )
    )
    assert abs(trace.x[-1] - trace.x[100]) < 0.002
    assert abs(trace.speed[100:]).max() < 0.005


def test_a_car_at_rest_on_the_level_stays_at_rest():
    trace = simulate(Scenario(pedal_percent=0.0, duration_s=5.0))
    assert abs(trace.x[-1]) < 1e-3


def test_open_differential_gives_both_sides_the_same_push():
    """On split grip without control both driven wheels push alike once the low one spins; rolling
    resistance and inertia apart.
    """
    trace = simulate(
        Scenario(
            left="ice",
            right="dry_asphalt",
            control="off",
            pedal_percent=60.0,
            duration_s=5.0,
        )
    )
    left, right = trace.drive_force[-1, 2], trace.drive_force[-1, 3]
    assert left == pytest.approx(right, abs=0.1 * trace.grip_limit[-1, 3])
    assert right < 0.25 * trace.grip_limit[-1, 3]


def test_locked_differential_uses_both_sides():
    split = dict(left="ice", right="wet_asphalt", control="off", pedal_percent=30.0, duration_s=4.0)
    ways = {
        kind: simulate(Scenario(differential=kind, **split)).x[-1]
        for kind in ("open", "limited_slip", "locked")
    }
    assert ways["open"] < ways["limited_slip"] < ways["locked"]
