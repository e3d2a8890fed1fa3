"""Half the step, same figures: random scenarios at 1 ms and at 0.5 ms, and why the few that differ
do. The car alone gives the same. With its control unit a tooth that comes into one cycle or the
next is a reading that no step makes the same, and a spinning or locking wheel amplifies it: there
the figures of many runs are the same, and those of most single ones.
"""

import dataclasses
from collections import Counter

import numpy as np
import pytest
from random_scenarios import random_scenario

from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate_many
from tractionlab.wheels import WHEELS

#: How many scenarios: of the car alone, of which none differs, and with its control unit.
ALONE, CONTROLLED = 100, 200
#: Least share of single runs that keep every figure with the control unit at work.
CONTROL_SHARE = 0.85
#: Most of the means and ends of ranges over all runs that may differ. The end of a range is one or
#: two runs, and one of these may have gone another way.
STRAY = 2
RELATIVE = 0.01
#: A difference below this is none, however small the figure: finer than anyone reads the figure or
#: could measure it in a car.
FLOORS = {
    "grip_share": 0.001,  # a tenth of the percent point that is printed
    "final_speed_kmh": 0.05,  # half the last digit printed
    "distance_m": 0.01,  # a tape measure
    "time_to_10_kmh_s": 0.005,  # half a cycle of the control unit, which is a row of the trace
    "time_to_20_kmh_s": 0.005,
    "time_to_30_kmh_s": 0.005,
    "distance_to_20_kmh_m": 0.01,
    "peak_slip": 0.001,
    "mean_slip": 0.001,
    "spin_energy_kJ": 0.01,  # heats a brake disc of some kg by a few thousandths of a degree
    "brake_heat_kJ": 0.01,
    "hottest_disc_degC": (
        0.1
    ),  # figures of temperature have no natural zero, so 1 % means little below 10 degC
    "yaw_deviation_deg": 0.05,  # 5 cm at the end of a lane of 60 m
    "side_deviation_m": 0.01,
}


def differing(coarse, fine):
    """Figures of merit that differ: {name: (coarse, fine)}.

    One that only one of the runs reaches differs.
    """
    found = {}
    for name, floor in FLOORS.items():
        a, b = coarse[name], fine[name]
        if (a is None) != (b is None) or (
            a is not None and abs(a - b) > max(RELATIVE * abs(b), floor)
        ):
            found[name] = a, b
    return found


def reason(coarse, fine):
    """Why two traces of one scenario went apart.

    Either they did not, and only the figure did: it reads force and slip once a row, and these pass
    from slip to grip within less, or change quickly with the wheel's speed near standstill. Or a
    decision of the control unit, taken every 10 ms against a threshold, fell differently; the first
    one is named. Or a wheel past the top of its curve ran away from any difference. The last two
    turn a small difference, said here, into a large one. Of a run that ends early, with a car that
    turned round, the common part is compared."""
    rows = min(len(coarse), len(fine))
    coarse, fine = coarse.until(rows), fine.until(rows)
    apart = np.abs(coarse.wheel_speed - fine.wheel_speed).max(axis=1)
    if apart.max() < 0.1:
        forces, slips = (
            np.abs(coarse.drive_force - fine.drive_force),
            np.abs(coarse.slip - fine.slip),
        )
        k = int(np.argmax(forces.max(axis=1)))
        return (
            f"same run, figure read from rows: wheels never more than {apart.max():.0e} rad/s"
            f" apart, slip {slips.max():.0e}, but force {forces.max():.0f} N at"
            f" {coarse.time[k]:.2f} s"
        )
    decisions = {
        f"valve {name}": np.sign(coarse.valve_mode[:, i]) != np.sign(fine.valve_mode[:, i])
        for i, name in enumerate(WHEELS)
    }
    decisions["fuel cut"] = coarse.fuel_cut != fine.fuel_cut
    decisions["lamp"] = coarse.lamp != fine.lamp
    decisions["torque request"] = np.abs(coarse.torque_request - fine.torque_request) > 2.0
    first = {name: int(np.argmax(unequal)) for name, unequal in decisions.items() if unequal.any()}
    if first:
        name = min(first, key=first.get)
        k = first[name]
        return (
            f"decision: {name} at {coarse.time[k]:.2f} s, wheels {apart[max(0, k - 1)]:.0e} rad/s"
            " apart before"
        )
    largest = np.maximum.accumulate(apart) + 1e-9
    k = int(np.argmax(largest[10:] / largest[:-10]))
    wheel = int(np.argmax(np.abs(coarse.wheel_speed - fine.wheel_speed)[k + 10]))
    return (
        f"knife edge: wheel {WHEELS[wheel]} at {coarse.time[k]:.2f} s, slip"
        f" {coarse.slip[k, wheel]:.2f}, {largest[k]:.0e} to {largest[k + 10]:.0e} rad/s apart"
        " within 0.1 s"
    )


def halved(count, **fixed):
    """Pairs of traces of random scenarios: at the usual step, and at half of it."""
    scenarios = [random_scenario(seed, **fixed) for seed in range(count)]
    fine = [dataclasses.replace(scenario, step_s=0.5 * scenario.step_s) for scenario in scenarios]
    return list(zip(simulate_many(scenarios), simulate_many(fine)))


def compare(pairs):
    """[(seed, differing figures, reason)] of the scenarios that differ."""
    found = []
    for seed, (coarse, fine) in enumerate(pairs):
        if figures := differing(coarse.merit().as_dict(), fine.merit().as_dict()):
            found.append((seed, figures, reason(coarse, fine)))
    return found


def spread(pairs, name):
    """Mean and both ends of the 90 % range of a figure of merit at either step, array (2, 3), over
    the scenarios in which both runs reach it.
    """
    runs = [
        (coarse.merit().as_dict()[name], fine.merit().as_dict()[name]) for coarse, fine in pairs
    ]
    both = np.array([run for run in runs if None not in run])
    return np.vstack((both.mean(axis=0), np.quantile(both, [0.05, 0.95], axis=0))).T


def report(found, count):
    """Text: the share that agrees, how often each figure differs, and every scenario that
    differs.
    """
    names = Counter(name for _, figures, _ in found for name in figures)
    lines = [
        f"{count - len(found)} of {count} scenarios agree ({1 - len(found) / count:.1%}); differing"
        " figures: " + ", ".join(f"{name} {times}" for name, times in names.most_common())
    ]
    for seed, figures, why in found:
        pairs = ", ".join(
            f"{name} {a:.4g}/{b:.4g}" if None not in (a, b) else f"{name} {a}/{b}"
            for name, (a, b) in figures.items()
        )
        lines.append(f"  seed {seed}: {why}; {pairs}")
    return "\n".join(lines)


def test_half_the_step_gives_the_same_figures_of_the_car_alone():
    found = compare(halved(ALONE, control="off", antilock=False, drag_control=False))
    assert not found, report(found, ALONE)


@pytest.fixture(scope="module")
def controlled():
    """Pairs of traces with the control unit at work."""
    return halved(CONTROLLED)


def test_with_the_unit_most_single_runs_keep_every_figure(controlled):
    found = compare(controlled)
    text = report(found, CONTROLLED)
    print(text)
    assert len(found) <= (1 - CONTROL_SHARE) * CONTROLLED, text


def test_with_the_unit_means_and_ranges_over_many_runs_stay(controlled):
    differ = {}
    for name in FLOORS:
        coarse, fine = spread(controlled, name)
        for what, a, b in zip(("mean", "5 %", "95 %"), coarse, fine):
            if abs(a - b) > RELATIVE * abs(b) + 1e-9:
                differ[f"{name}, {what}"] = f"{a:.4g} at 1 ms, {b:.4g} at 0.5 ms"
    print(differ)
    assert len(differ) <= STRAY and not any("mean" in name for name in differ), differ


def test_a_reason_is_found_for_a_changed_run():
    """The listing works: of two runs that differ in one value of the control unit, a decision is
    named.
    """
    scenario = Scenario(left="ice", right="wet_asphalt", duration_s=2.0)
    first, second = simulate_many(
        [scenario, dataclasses.replace(scenario, settings={"limit_offset_kmh": 4.0})]
    )
    assert differing(first.merit().as_dict(), second.merit().as_dict())
    assert reason(first, second).startswith("decision: ")
    assert not differing(first.merit().as_dict(), first.merit().as_dict())
