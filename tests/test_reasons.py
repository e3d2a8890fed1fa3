"""What the control unit says of itself is true: every number of an explanation is worked out once
more from what was recorded of the run.
"""

import dataclasses
import re

import numpy as np
import pytest

from tractionlab import Scenario, simulate
from tractionlab.control import phases as p
from tractionlab.control import settings as s
from tractionlab.control.paths import driver_wish
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.run.assembly import car_of, settings_of
from tractionlab.run.decisions import TORQUE, decisions

CARS = ("front_petrol", "rear_petrol", "front_electric")
ROADS = (
    ("ice", "wet_asphalt"),
    ("packed_snow", ""),
    ("packed_snow", "dry_asphalt"),
    ("loose_gravel", ""),
)
#: Reasons that a straight run on these roads gives; the others need a pedal or a hot disc.
COMMON = {
    p.SLOWS_TOO_FAST,
    p.SLIPS,
    p.SLIPS_SOON,
    p.NO_LONGER_SLOWS,
    p.WHEEL_IS_BACK,
    p.NEXT_STEP,
    p.TOO_SLOW_TO_CONTROL,
    p.SPINS,
    p.SPINS_FASTER,
    p.SPIN_FALLS,
    p.UNDER_TARGET,
    p.CUT_TO_ROAD,
    p.CUT_ORDERED,
    p.ROOM_FOR_MORE,
    p.STAYS_UNDER,
}


class Told:
    """One run, and what the unit could know in each cycle: speeds as read, their smoothed
    accelerations, reference speed and its own (`gain`: how much faster than the car a wheel gains),
    limit and target.
    """

    def __init__(self, scenario):
        self.trace, self.brakes = simulate(scenario), scenario.brake_bar > 0.0
        self.settings = known = settings_of(scenario)
        self.speed = self.trace.circuit.measured
        self.reference = self.trace.reference_speed
        self.rate = np.zeros_like(self.speed)
        share = known.cycle / (known.cycle + known.rate_filter)
        for n in range(1, len(self.rate)):
            rate = (self.speed[n] - self.speed[n - 1]) / known.cycle
            rate[self.speed[n - 1] == 0.0] = 0.0
            self.rate[n] = self.rate[n - 1] + share * (rate - self.rate[n - 1])
        rise = np.diff(self.reference, prepend=0.0) / known.cycle
        rise[1:][self.reference[:-1] == 0.0] = 0.0
        car, share = np.zeros(len(rise)), known.cycle / (known.cycle + known.road_filter)
        for n in range(1, len(rise)):
            car[n] = car[n - 1] + share * (rise[n] - car[n - 1])
        self.gain = self.rate - car[:, None]
        expected = np.maximum(known.blind_speed, self.reference)
        limit = expected * (1.0 + known.limit_slip) + known.limit_offset
        target = expected + known.target_part * (limit - expected)
        best = np.concatenate([[0.0], self.trace.best_slip_speed[:-1]])
        raised = np.maximum(0.0, expected + best - target)
        self.limit, self.target = limit + raised, target + raised
        self.lowest = self.reference * (1.0 - known.antilock_slip) - known.antilock_offset
        self.decisions = decisions(self.trace)

    def wheel_of(self, one, row):
        """The wheel that decides in a row: at the rear the slower one, when the driver brakes."""
        if one.subject < 2 or not self.brakes:
            return one.subject
        return 2 if self.speed[row, 2] <= self.speed[row, 3] else 3

    def begin(self, one):
        """Row in which the phase before this decision began."""
        phase, begin = self.trace.phase[:, one.subject], one.row - 1
        while begin > 0 and phase[begin - 1] == phase[one.row - 1]:
            begin -= 1
        return begin

    def last_step(self, one):
        """Time [s] since the phase of a wheel or its last step began."""
        steps = [
            other.row
            for other in self.decisions
            if other.subject == one.subject and other.row < one.row and other.duration
        ]
        return (one.row - max([self.begin(one), *steps[-1:]])) * self.settings.cycle

    def let_go_before(self, one):
        """What let the other front wheel go."""
        other = [d for d in self.decisions if d.subject == 1 - one.subject and d.row < one.row]
        assert other[-1].reason in (p.SLIPS, p.SLIPS_SOON)
        return other[-1].seen, other[-1].limit

    def worst_rate(self, one, pick):
        """Smallest or largest acceleration of the wheel that decided since its phase began."""
        rows = range(self.begin(one) + 1, one.row + 1)
        return pick([0.0, *(self.rate[row, self.wheel_of(one, row)] for row in rows)])

    def expected(self, one):
        """(seen, limit) of a decision of a wheel, in SI units; None where only the unit's own
        counting has it.
        """
        known, row = self.settings, round(one.noted / self.settings.cycle)
        wheel = self.wheel_of(one, row)
        speed, rate, reference = self.speed[row, wheel], self.rate[row, wheel], self.reference[row]
        slower, faster = sorted(self.speed[row, 2:])
        enough = (self.target[row] - speed) / known.fall_time
        gain = self.gain[row, wheel]
        soon = max(0.0, speed + known.brake_lead * gain)
        every = known.step_every
        return {
            p.SLOWS_TOO_FAST: lambda: (-rate, known.antilock_slowing),
            p.SLIPS: lambda: (speed, self.lowest[row]),
            p.SLIPS_SOON: lambda: (
                max(0.0, speed + known.antilock_lead * rate),
                self.lowest[row],
            ),
            p.NO_LONGER_SLOWS: lambda: (
                rate,
                max(0.5 * self.worst_rate(one, min), -known.antilock_slowing)
                if one.before == p.RELEASE
                else -known.reference_fall,
            ),
            p.PICKS_UP: lambda: (self.worst_rate(one, max), rate),
            p.WHEEL_IS_BACK: lambda: (
                speed,
                self.lowest[row]
                if one.row - self.begin(one) >= round(known.settle / known.cycle)
                else reference * (1.0 - 0.5 * known.antilock_slip),
            ),
            p.NEXT_STEP: lambda: (self.last_step(one), every),
            p.WORSE_REAR_WHEEL: lambda: (slower, faster),
            p.OTHER_FRONT_WHEEL: lambda: self.let_go_before(one),
            p.TOO_SLOW_TO_CONTROL: lambda: (reference, known.antilock_end),
            p.SPINS: lambda: (speed, self.limit[row]),
            p.SPINS_FASTER: lambda: (speed, self.target[row]),
            p.SPIN_FALLS: lambda: (gain, enough),
            p.UNDER_TARGET: lambda: (soon, self.target[row]),
            p.SPEED_LIMIT: lambda: (reference, known.brake_speed_limit),
            p.SPIN_IS_GONE: lambda: (None, known.brake_step),
            p.PRESSURE_LIMIT: lambda: (None, None),
            p.DISC_HOT: lambda: (None, known.heat_pause),
        }[one.reason]()


def launch(car, road):
    left, right = road
    return Scenario(vehicle=car, left=left, right=right, duration_s=6, bend_allowance=False)


def stop(car, road):
    left, right = road
    return Scenario(
        vehicle=car,
        left=left,
        right=right,
        initial_speed_kmh=50,
        pedal_percent=0,
        brake_bar=100,
        brake_from_s=0.2,
        brake_until_s=60,
        duration_s=6,
    )


@pytest.fixture(scope="module")
def runs():
    """Launches and stops of the course's cars."""
    return [Told(drive(car, road)) for drive in (launch, stop) for car in CARS for road in ROADS]


def drawn(runs, wanted, count=50, seed=20261130):
    """So many decisions by lot, each with its run, of those that are `wanted`."""
    every = [(told, one) for told in runs for one in told.decisions if wanted(one)]
    lot = np.random.default_rng(seed)
    return [every[n] for n in lot.choice(len(every), count, replace=False)]


def test_the_drives_give_the_common_reasons(runs):
    assert COMMON <= {one.reason for told in runs for one in told.decisions}


def test_what_a_wheel_is_said_to_do_is_what_was_read_of_it(runs):
    told_aloud = [p.PEDAL_FREE, p.BRAKE_PEDAL, p.NOT_ABLE]

    def of_a_wheel(one):
        return one.subject != TORQUE and one.reason not in told_aloud

    for told, one in drawn(runs, of_a_wheel, 200):
        if told.brakes and one.subject == 3:
            continue  # repeats what was noted of the rear axle
        expected = told.expected(one)
        if one.reason == p.NEXT_STEP and one.subject == 2:
            expected = (None, expected[1])  # two steps that meet are one opening of the valve
        for said, value in zip((one.seen, one.limit), expected):
            if value is not None:
                assert said == pytest.approx(value, abs=1e-6), one.sentence


def test_what_the_torque_goes_by_is_a_driven_wheel_or_the_drivers_wish(runs):
    for told, one in drawn(runs, lambda one: one.subject == TORQUE, 50):
        row, known = one.row, told.settings
        if one.reason in (p.CUT_ORDERED, p.ROOM_FOR_MORE, p.STILL_SPINS, p.STAYS_UNDER):
            driven = np.array(told.trace.driven)
            seen = told.speed[row, driven]
            if one.reason == p.ROOM_FOR_MORE:  # where the wheel will be when the throttle is open
                seen = np.maximum(0.0, seen + known.return_lead * told.gain[row, driven])
            assert np.abs(seen - one.seen).min() < 1e-6, one.sentence
            by_limit = one.reason in (p.STILL_SPINS, p.STAYS_UNDER)
            bound = (told.limit if by_limit else told.target)[row]
            left_to_its_brake = bound + known.fast_wheel
            assert one.limit in (pytest.approx(bound), pytest.approx(left_to_its_brake))
        elif one.reason in (p.DRAGS, p.ROLLS_AGAIN):
            slowest = told.speed[row, np.array(told.trace.driven)].min()
            assert one.seen == pytest.approx(slowest) and one.limit < told.reference[row]
            assert (one.seen < one.limit) == (one.reason == p.DRAGS)
        elif one.reason == p.CLUTCH_OPEN:
            assert told.trace.circuit.seen[row, s.SENSE_RATIO] == 0.0
        else:
            assert one.reason in (p.CUT_TO_ROAD, p.WISH_REACHED)
            wish = driver_wish(told.trace.circuit.seen[row], car_of(told.trace.scenario).engine)
            assert (one.seen if one.reason == p.CUT_TO_ROAD else one.limit) == pytest.approx(wish)


def test_the_words_compare_as_the_numbers_do(runs):
    """What is told to be over or under its target reads so, and whoever is told that a wheel is
    left to its brake can see that brake at work. On an icy hill where nobody holds the car both
    wheels of an axle spin: one is braked, the torque goes by the other.
    """
    road = launch("front_petrol", ("ice", ""))
    hill = dataclasses.replace(road, slope_percent=10, pedal_percent=50, hold_on_hill=False)
    compared = re.compile(r"(\d[\d.]*) km/h, (over|under) (?:the|its) target of (\d[\d.]*) km/h")
    seen = {"over": 0, "under": 0, "gaining": 0, "left": 0}
    for told in [*runs, Told(hill)]:
        driven = np.array(told.trace.driven)
        for one in told.decisions:
            if found := compared.search(one.sentence):
                wheel, target = float(found[1]), float(found[3])
                seen[found[2]] += 1
                assert wheel >= target if found[2] == "over" else wheel <= target, one.sentence
            if "gaining" in one.sentence:
                seen["gaining"] += 1
                assert told.gain[one.row, one.subject] > 0.0, one.sentence
            if "left to its brake" in one.sentence:
                seen["left"] += 1
                assert told.trace.phase[one.row, driven].max() >= p.BUILD_UP, one.sentence
    assert min(seen.values()) > 0, seen


def test_what_the_road_takes_is_what_the_tyres_push(runs):
    found = []
    for told in runs:
        trace, known = told.trace, told.settings
        if told.brakes or trace.scenario.right:
            continue
        push = trace.drive_force[:, np.array(trace.driven)].sum(axis=1)
        for one in told.decisions:
            if one.reason == p.CUT_TO_ROAD and one.time > 1.0:
                ratio = trace.circuit.seen[one.row, s.SENSE_RATIO]
                before = push[one.row - 10 : one.row].mean()
                found.append(one.limit * ratio * known.efficiency / known.radius / before)
    assert len(found) >= 10 and min(found) > 0.9 and max(found) < 1.15


def test_the_valves_do_what_the_decisions_say(runs):
    for told in runs:
        trace, cycle = told.trace, told.settings.cycle
        for wheel in range(4):
            orders = np.full(len(trace), FOLLOW_PEDAL)
            for one in (d for d in told.decisions if d.subject == wheel):
                orders[one.row :] = FOLLOW_PEDAL if one.order == "follow" else 0.0
                left = one.duration / cycle
                for row in range(one.row, one.row + int(np.ceil(left - 1e-9))):
                    part = min(1.0, left - (row - one.row))
                    orders[row] = part if one.order == "up" else -part
            assert orders == pytest.approx(trace.valve_mode[:, wheel], abs=1e-9)
