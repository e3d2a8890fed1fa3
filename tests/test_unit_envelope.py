"""The control unit from outside: what a practitioner expects of any anti-lock and traction control
unit, drawn at random. Where a figure has a source outside, it stands beside its test.
"""

from dataclasses import replace

import numpy as np
import pytest
from random_scenarios import VEHICLES

from tractionlab import Scenario, simulate, simulate_many
from tractionlab.control import settings as s
from tractionlab.control.phases import ANTILOCK, DRIVER, FREE
from tractionlab.figures.best import best_launch
from tractionlab.physics import circuit as h
from tractionlab.run.assembly import vehicle_values
from tractionlab.units import BAR, IN_KMH, KMH

ROADS = ("dry_asphalt", "wet_asphalt", "packed_snow", "ice", "wet_cobblestone")
CYCLE = 0.01


def drawn(seed, count, make):
    rng = np.random.default_rng(seed)
    return simulate_many([make(rng) for _ in range(count)])


def stop(rng):
    return Scenario(
        vehicle=str(rng.choice(VEHICLES)),
        left=str(rng.choice(ROADS)),
        initial_speed_kmh=float(rng.uniform(30, 100)),
        pedal_percent=0.0,
        brake_bar=float(rng.uniform(60, 140)),
        brake_from_s=0.2,
        brake_until_s=100.0,
        duration_s=12.0,
    )


def launch(rng):
    left, right = rng.choice(ROADS, 2)
    return Scenario(
        vehicle=str(rng.choice(VEHICLES)),
        left=str(left),
        right=str(right),
        pedal_percent=float(rng.uniform(40, 100)),
        slope_percent=float(rng.uniform(-3, 6)),
        duration_s=6.0,
    )


def gentle(rng):
    """Pulling away, or slowing down, with grip in hand."""
    if rng.random() < 0.5:
        return Scenario(
            vehicle=str(rng.choice(VEHICLES)),
            left="dry_asphalt",
            pedal_percent=float(rng.uniform(5, 30)),
            pedal_rise_s=float(rng.uniform(0.3, 2.0)),
            duration_s=5.0,
        )
    return Scenario(
        vehicle=str(rng.choice(VEHICLES)),
        left="dry_asphalt",
        initial_speed_kmh=float(rng.uniform(20, 80)),
        pedal_percent=0.0,
        brake_bar=float(rng.uniform(5, 30)),
        brake_from_s=0.2,
        brake_until_s=100.0,
        duration_s=5.0,
    )


def energised(trace):
    """(n,) True where a coil carries current or the return pump is told to run."""
    command = trace.circuit.command
    return (command[:, : h.VALVES] > 0.0).any(1) | (command[:, h.RETURN_ON] > 0.0)


def longest(true):
    """The longest run of True [s]."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], true.astype(int), [0]))))
    return CYCLE * max((edges[1::2] - edges[::2]).max(initial=0), 0)


def test_with_grip_in_hand_nothing_moves():
    """No practitioner has heard a pump at a normal start. Common practice, no source."""
    for trace in drawn(1, 60, gentle):
        assert not energised(trace).any(), trace.scenario
        assert not trace.lamp.any() and not trace.torque_phase.any(), trace.scenario


def test_no_coil_is_energised_without_a_phase_that_says_why():
    for trace in drawn(2, 40, launch) + drawn(3, 20, stop):
        phases = (trace.phase != FREE).any(1)
        after = np.convolve(phases, np.ones(40))[: len(trace)] > 0.0
        coils = (trace.circuit.command[:, : h.VALVES] > 0.0).any(1)
        assert not (coils & ~phases).any(), trace.scenario
        assert not (energised(trace) & ~after).any(), "the pump runs on for 0.3 s, no longer"


def test_control_ends_when_the_slip_is_gone():
    """From 40 km/h on one-sided ice the brakes fade out; then all valves stand at rest."""
    for vehicle in VEHICLES:
        trace = simulate(
            Scenario(vehicle=vehicle, left="ice", right="wet_asphalt", duration_s=25.0)
        )
        over = np.flatnonzero(trace.speed * IN_KMH > 52.0)
        assert len(over), vehicle
        rest = slice(over[0] + 100, None)
        assert not energised(trace)[rest].any() and trace.pressure[rest].max() < 0.5 * BAR


def test_lifting_the_accelerator_ends_all_control_within_half_a_second_of_the_slip():
    for vehicle in VEHICLES:
        trace = simulate(
            Scenario(
                vehicle=vehicle,
                left="packed_snow",
                pedal_until_s=2.0,
                duration_s=6.0,
                drag_control=False,
            )
        )
        radius = vehicle_values(trace.scenario)["tyre_radius_m"]
        slips = (trace.wheel_speed * radius > 1.05 * trace.speed[:, None] + 3.0 * KMH).any(1)
        lifted = np.flatnonzero(trace.circuit.seen[:, s.SENSE_PEDAL] > 0.0)[-1]
        last = max(lifted, np.flatnonzero(slips)[-1])
        assert not (trace.torque_phase[last + 50 :] != DRIVER).any(), vehicle
        assert not (trace.phase[last + 50 :] != FREE).any(), vehicle


def test_a_wheel_that_the_unit_has_let_go_holds_no_pressure():
    """Also where its neighbour on the same line is still braked, after a pause for heat. When that
    one ends, too, what is in the line passes both within 50 ms.
    """
    hot = {"heat_pause_degC": 100.0, "heat_resume_degC": 60.0}
    runs = [
        Scenario(
            vehicle=vehicle,
            left="ice",
            right="dry_asphalt",
            settings=hot,
            control=control,
            duration_s=12.0,
        )
        for vehicle in VEHICLES
        for control in ("brake", "both")
    ]
    let_go = 0
    for trace in simulate_many(runs):
        for i in range(4):
            free = trace.phase[:, i] == FREE
            let_go += int((free[1:] & ~free[:-1]).sum())
            rested = np.convolve(free, np.ones(30))[: len(free)] >= 30.0
            over = rested & (trace.pressure[:, i] > 6.0 * BAR)
            assert np.convolve(over, np.ones(5)).max() < 5, (trace.scenario, i)
    assert let_go > 3


def pulses(trace, i):
    """Lengths [s] of the unit's pulses at wheel i: contiguous shares of cycles, one direction."""
    share = trace.valve_mode[:, i].copy()
    share[share == 2.0] = 0.0
    found, length, before = [], 0.0, 0.0
    for now in np.append(share, 0.0):
        if now != 0.0 and np.sign(now) == np.sign(before) and abs(before) == 1.0:
            length += abs(now)
        else:
            if length > 0.0:
                found.append(length * CYCLE)
            length = abs(now)
        before = now
    return found


def test_pulses_are_long_enough_for_a_plunger_and_not_too_many():
    """2 ms is under what a valve of this kind can do; up to about 40 changes of pressure a second
    are a public figure of first series units (second-hand)."""
    every = []
    for trace in drawn(4, 30, launch) + drawn(5, 20, stop):
        for i in range(4):
            every += pulses(trace, i)
            share = trace.valve_mode[:, i] % 2.0
            starts = (np.abs(share[1:]) > 0.0) & (np.abs(share[:-1]) < 1.0)
            second = np.convolve(starts, np.ones(100))
            assert 2 * second.max() <= 45, (trace.scenario, i)
    assert min(every) >= 0.00199 and np.median(every) >= 0.003


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize(
    "worse, better", [("wet_cobblestone", "dry_concrete"), ("packed_snow", "wet_asphalt")]
)
def test_the_brake_of_the_worse_wheel_leaves_it_its_grip(vehicle, worse, better):
    """A brake that holds more than the wheel has too much makes it roll: it pushes less, and what
    the brake takes is lost. A car that gains speed takes its wheels and their targets with it, so
    such a wheel gains, too, and yet comes no nearer to spinning. The bar is ours: for braking UN
    R13-H asks for 0.75 (second-hand), for pulling away no figure was found.
    """
    run = simulate(Scenario(vehicle=vehicle, left=worse, right=better, duration_s=4.0))
    wheel, steady = int(np.argmax(run.driven)), slice(200, 390)
    used = run.drive_force[steady, wheel] / run.grip_limit[steady, wheel]
    assert run.pressure[steady, wheel].min() > 0.0 and used.mean() > 0.7


@pytest.mark.parametrize("seed", range(8))
def test_the_better_wheel_need_not_wait_for_the_brake_of_the_worse(seed):
    """It has 0.8 of its grip within 0.35 s of the first spin: an answer of the brakes takes 0.1 to
    0.3 s (from memory). Rear drive, whose pressure lies ready in the accumulator.
    """
    draw = np.random.default_rng(seed)
    worse = str(draw.choice(["packed_snow", "ice", "wet_cobblestone"]))
    slope = float(draw.uniform(0.0, 5.0))
    road = dict(left=worse, right="wet_asphalt", slope_percent=slope)
    run = simulate(Scenario(vehicle="rear_petrol", duration_s=2.0, **road))
    used = run.drive_force[:, 3] / run.grip_limit[:, 3]
    spins = int(np.argmax(run.wheel_speed[:, 2] > 2.0 * run.wheel_speed[:, 3] + 10.0))
    reached = np.flatnonzero(used[spins:] > 0.8)
    assert spins > 0 and reached.size > 0 and reached[0] * CYCLE < 0.35


def test_antilock_uses_the_grip_and_no_wheel_stays_locked():
    """UN R13-H asks for 0.75 of the adhesion (second-hand), and lets wheels lock under 15 km/h.

    From the moment the wheels are in control until 8 km/h."""
    used = []
    for trace in drawn(6, 60, stop):
        kmh = trace.speed * IN_KMH
        control = trace.antilock > 0.0
        if not control.any():
            continue
        rows = slice(np.flatnonzero(control)[0], int(np.argmax(kmh < 8.0)) or None)
        share = -trace.drive_force[rows].sum() / trace.grip_limit[rows].sum()
        used.append(share)
        assert share >= 0.75, (trace.scenario, share)
        standing = (np.abs(trace.wheel_speed) < 0.5) & (kmh > 15.0)[:, None]
        assert max(longest(standing[:, i]) for i in range(4)) <= 0.1, trace.scenario
        assert kmh[np.flatnonzero(control)[-1]] <= 7.0 or kmh[-1] > 7.0, trace.scenario
    assert len(used) > 40 and np.median(used) >= 0.85


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_driver_with_both_feet_down_is_braked_whenever_the_second_comes(vehicle):
    """A driven wheel that the engine pushes may not carry the reference speed up with it."""
    launch = Scenario(
        vehicle=vehicle,
        left="ice",
        right="wet_asphalt",
        both_feet=True,
        brake_bar=30.0,
        brake_until_s=100.0,
        duration_s=5.0,
    )
    seconds = [1.5 + 0.05 * k for k in range(12)]
    for trace in simulate_many([replace(launch, brake_from_s=second) for second in seconds]):
        ahead = (trace.reference_speed - trace.speed)[trace.time > 2.5] * IN_KMH
        assert ahead.max() < 5.0, (vehicle, trace.scenario.brake_from_s, ahead.max())


def test_a_wheel_that_spins_does_not_fool_the_reference_when_the_driver_brakes():
    """The reference rises no faster than a car can (EP 0 348 072, abstract)."""
    for vehicle in VEHICLES:
        trace = simulate(
            Scenario(
                vehicle=vehicle,
                left="ice",
                right="wet_asphalt",
                brake_bar=60.0,
                brake_from_s=1.5,
                brake_until_s=9.0,
                duration_s=4.0,
                control="off",
            )
        )
        ahead = (trace.reference_speed - trace.speed) * IN_KMH
        assert longest(ahead > 2.0) <= 0.2, vehicle
        assert np.diff(trace.reference_speed).max() <= 8.0 * CYCLE + 1e-9, vehicle


def test_the_brake_pedal_ends_traction_control_at_once():
    for vehicle in VEHICLES:
        trace = simulate(
            Scenario(
                vehicle=vehicle,
                left="ice",
                right="wet_asphalt",
                brake_bar=40.0,
                brake_from_s=1.5,
                brake_until_s=9.0,
                both_feet=True,
                duration_s=3.0,
            )
        )
        pressed = int(np.argmax(trace.circuit.seen[:, s.SENSE_BRAKE_SWITCH] == 1.0))
        later = trace.phase[pressed + 5 :]
        assert np.isin(later, (FREE, *ANTILOCK)).all() and pressed > 0, vehicle
        command = trace.circuit.command[pressed + 5 :]
        assert command[:, [h.CUT_OFF, h.CUT_OFF + 1, h.FEED, h.FEED + 1, h.DRAIN]].max() == 0.0


CARS = {
    "mass_kg": (1.0, 1.2),
    "wheel_inertia_kg_m2": (0.8, 1.4),
    "max_torque_Nm": (0.8, 1.2),
    "centre_of_mass_height_m": (0.9, 1.1),
}


def other_car(rng):
    vehicle = str(rng.choice(VEHICLES))
    sound = vehicle_values(Scenario(vehicle=vehicle))
    left, right = rng.choice(ROADS[1:], 2)
    return Scenario(
        vehicle=vehicle,
        left=str(left),
        right=str(right) if rng.random() < 0.5 else "",
        pedal_percent=float(rng.uniform(40, 100)),
        slope_percent=float(rng.uniform(-3, 6)),
        duration_s=8.0,
        vehicle_values={key: sound[key] * float(rng.uniform(*span)) for key, span in CARS.items()},
    )


def shares_of_the_best(seed, count):
    found = []
    for trace in drawn(seed, count, other_car):
        best = best_launch(trace.scenario)
        if best >= 3.0:
            found.append((trace.merit().distance_m / best, trace.scenario))
    return sorted(found, key=lambda pair: pair[0])


def test_traction_control_is_worth_it_on_any_car_and_road():
    """Share of a bound that no controller passes, 8 s, drawn cars and roads."""
    shares = np.array([share for share, _ in shares_of_the_best(7, 60)])
    assert len(shares) > 40 and shares.max() <= 1.0
    assert np.median(shares) >= 0.85 and np.quantile(shares, 0.05) >= 0.7


@pytest.mark.parametrize("road, least", [("loose_gravel", 0.9), ("dry_cobblestone", 0.95)])
def test_a_road_that_takes_more_from_a_wheel_that_slips_more_is_let_have_it(road, least):
    """Where grip has no top, or a late one, a low target costs up to a sixth of the way. The bars
    are ours: no figure of a measured car on gravel was found.
    """

    def pull_away(rng):
        return Scenario(
            vehicle=str(rng.choice(VEHICLES)),
            left=road,
            tyre=str(rng.choice(["summer", "winter", "all_season"])),
            pedal_percent=float(rng.uniform(40, 100)),
            slope_percent=float(rng.uniform(-3, 10)),
            duration_s=6.0,
        )

    with_control = drawn(17, 16, pull_away)
    without = simulate_many([replace(run.scenario, control="off") for run in with_control])
    shares = [on.x[-1] / off.x[-1] for on, off in zip(with_control, without)]
    assert min(shares) >= least and np.median(shares) >= 0.97, sorted(shares)


@pytest.mark.parametrize("road", ["ice", "wet_cobblestone", "wet_asphalt"])
def test_where_grip_has_a_top_the_target_stays_near_the_cars_speed(road):
    runs = drawn(18, 8, lambda rng: replace(launch(rng), left=road, right=""))
    assert max(run.best_slip_speed.max() for run in runs) < 10.0 * KMH


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_with_control_no_launch_is_worse_than_without(vehicle):
    for left, right in (("packed_snow", ""), ("ice", "wet_asphalt"), ("wet_asphalt", "")):
        found = {
            control: simulate(
                Scenario(vehicle=vehicle, left=left, right=right, control=control, duration_s=8.0)
            ).merit()
            for control in ("off", "both")
        }
        assert found["both"].distance_m >= 0.98 * found["off"].distance_m, (left, right)
