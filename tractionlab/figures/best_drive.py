"""What engine, clutch, gears and the driver's hands and foot let any controller have at most: the
drive of the best launch.
"""

from math import exp, inf, sqrt

import numpy as np

from tractionlab.figures.grip import slip_at
from tractionlab.physics.driveline import geared_torque
from tractionlab.physics.engine import (
    air_charge,
    clutch_torque,
    full_torque,
    idle_support,
    plate_area,
)
from tractionlab.run import assembly
from tractionlab.run.driver_assembly import driver_of

#: Step of the launch [s]: a row of a trace, so that pressures of a run fit.
STEP = 0.01
#: Parts of a step in which a clutch that bites is worked out: its torque grows fast with speed.
_PARTS = 10
#: Engine speeds for which the torque is tabled.
_SPEEDS = 400
#: A wheel that is pushed with less than this share of its grip does not spin.
GRIPS = 0.95


class Hands:
    """Gears as a bound: changes as late as the driver lets any controller have them.

    The driver changes up when the car is fast enough, see `gear_change.wished_gear`; a wheel that
    spins makes it earlier, never later. So after a standing start on a road that stays as it is,
    the engine gives nothing while the lever moves, and then no more than a foot that comes back:
    not before the clutch has brought engine and gearbox together, see `foot_back`.
    The gear above is free before: it is what an early change could be worth. Who brakes a driven
    wheel to a stand lets the engine turn half as fast, and the driver waits (`late`). Any other
    start may have all gears at any time."""

    def __init__(self, scenario, engine, ratios, late):
        self.driver, self.engine, self.ratios = driver_of(scenario), engine, ratios
        free = scenario.initial_speed_kmh > 0.0 or scenario.patches or scenario.brake_bar > 0.0
        self.gear = len(ratios) - 1 if free or scenario.gear != "auto" else 0
        self.lowest, self.since, self.back = 0, inf, 0.0
        self.slowest, self.waits = 0.5 if late else 1.0, False

    def change(self, pedal, turning):
        """A step with the accelerator at `pedal` 0..1 and wheels that roll at `turning` [rad/s];
        True if the driver presses the clutch in it.
        """
        self.since += STEP
        self.waits = False
        driver, after = self.driver, self.gear + 1
        if after >= len(self.ratios) or self.since < driver.clutch_open + driver.shift:
            return False
        fast = driver.shift_up_easy + pedal * (driver.shift_up - driver.shift_up_easy)
        slow = turning * self.ratios[after] < driver.shift_fit
        engine = turning * self.ratios[self.gear]
        if pedal < driver.pedal or slow or engine < fast:
            return False
        self.waits = self.slowest * engine < fast
        if self.waits:
            return False
        self.gear, self.lowest, self.since = after, after, 0.0
        self.back = self.foot_back(fast, turning * self.ratios[after])
        return True

    def foot_back(self, fast, shaft):
        """Least time [s] from when the clutch goes down until the foot may come back: the engine,
        which turned at `fast` [rad/s] or more, must come down to the gearbox, at most at `shaft`
        [rad/s], by its own friction and, once it bites, what a soft clutch takes.
        """
        driver, engine = self.driver, self.engine
        bites = driver.clutch_open + driver.shift
        slowed = engine.friction / engine.inertia * bites
        takes = driver.clutch_soft * engine.clutch_capacity + engine.friction
        apart = fast - slowed - shaft - driver.clutch_match
        return bites + max(driver.clutch_soft * driver.clutch_close, engine.inertia * apart / takes)

    def busy(self):
        """True while the lever moves."""
        driver = self.driver
        return driver.clutch_open <= self.since < driver.clutch_open + driver.shift

    def foot(self):
        """Share of the accelerator that is still pressed or has come back, 0..1: up while the
        clutch goes down, back when it has begun to bite.
        """
        driver = self.driver
        up = 1.0 - self.since / driver.clutch_open
        back = (self.since - self.back) / driver.clutch_close
        return min(1.0, max(0.0, up, back))

    def reach(self):
        """Ratios to be had now."""
        return self.ratios[self.lowest : self.gear + 2]


class Drive:
    """Engine or motor and gears as a bound: after pedal and filling, with the most torque of any
    engine speed that is not below that of the rolling car, in the best gear that `Hands` have.

    A wheel may spin, so the engine may turn faster than the car needs; never slower. As long as the
    wheels grip (`grips`), it turns no faster than they and the clutch of a standing start let it,
    and in the first gear it must itself come to speed before that clutch bites (`bites`).
    """

    def __init__(self, scenario, late):
        car = assembly.car_of(scenario)
        self.engine, self.line = car.engine, car.driveline
        self.ratios = car.driveline.ratios[: int(car.driveline.gears)]
        if scenario.gear != "auto":
            self.ratios = (self.ratios[scenario.gear - 1],)
        _, shares, rows, _ = assembly.road_of(scenario)
        self.wheels = int(np.count_nonzero(shares))
        self.state, self.ratio = 0.0, self.ratios[0]
        self.hands = Hands(scenario, self.engine, self.ratios, late)
        weak = self.engine.max_torque < 0.9 * self.engine.clutch_capacity
        self.grips = weak and self.engine.electric == 0.0 and scenario.initial_speed_kmh == 0.0
        self.turns, self.through, self.bites = self.engine.idle_speed, 0.0, self.grips
        self.faster = 1.0 / (1.0 - slip_at(rows, GRIPS))
        self.step = self.engine.top_speed / _SPEEDS
        full = [full_torque(k * self.step, self.engine) for k in range(_SPEEDS + 1)]
        self.most = [*np.maximum.accumulate(full[::-1])[::-1].tolist(), 0.0]

    def full(self, speed):
        """Most torque of a fully open engine [N m] at an engine speed of at least `speed`
        [rad/s], and at most what clutch and wheels let it be while these grip.
        """
        if not self.grips:
            return self.most[min(_SPEEDS + 1, int(speed / self.step))]
        engine = self.engine
        share = engine.max_torque / engine.clutch_capacity
        lag = engine.clutch_slip * share / sqrt(1.0 - share * share)
        fastest = max(engine.bite_speed, self.faster * speed) + lag
        return full_torque(min(max(speed, engine.best_speed), fastest), engine)

    def change_gear(self, pedal, case, turning):
        """Let the driver change if a car whose wheels roll at `turning` [rad/s] makes it; what the
        engine gives away as it slows down to the next gear [N m s at the case, turning at `case`].
        """
        before = self.ratio
        if not self.hands.change(pedal, turning):
            return 0.0
        after = self.ratios[self.hands.gear]
        engine = max(self.turns, before * case) if self.bites else before * case
        self.bites = False
        return max(0.0, self.engine.inertia * after * (engine - after * case))

    def answer(self, pedal, case):
        """Let the filling, of a motor the torque, follow the pedal for a step, the differential's
        case turning at least at `case` [rad/s].
        """
        engine, speed = self.engine, self.ratio * max(0.0, case)
        if engine.electric == 1.0:
            self.state = min(pedal * self.full(speed), self.state + engine.torque_rate * STEP)
        else:
            wanted = air_charge(plate_area(pedal), max(speed, engine.idle_speed), engine)
            self.state += (wanted - self.state) * (1.0 - exp(-STEP / engine.intake_time))

    def given(self, speed):
        """Torque of a combustion engine [N m] whose gearbox turns at `speed` [rad/s]."""
        return self.state * (self.full(speed) + self.engine.friction) - self.engine.friction

    def in_gear(self, ratio, case):
        """(torque at the case [N m], inertia of all that turns with the driven wheels [kg m^2])."""
        engine, line, speed = self.engine, self.line, ratio * max(0.0, case)
        inertia = self.wheels * line.wheel_inertia + line.gear_inertia * ratio**2
        torque = min(self.state, self.full(speed))
        if self.hands.busy():
            torque = 0.0
        elif engine.electric == 0.0:
            torque = self.through if self.bites else self.given(speed)
            if not self.bites and speed > engine.idle_speed:
                inertia += engine.inertia * ratio**2
        return geared_torque(torque, case, ratio, line.efficiency), inertia

    def in_best_gear(self, case, gain):
        """As `in_gear`, in the gear with most torque left while the case gains speed [rad/s^2]."""

        def left(ratio):
            torque, inertia = self.in_gear(ratio, case)
            return torque - inertia * gain

        self.ratio = max(self.hands.reach(), key=left)
        return self.in_gear(self.ratio, case)

    def bite(self, case):
        """Let the clutch of a standing start bite for a step: the engine comes to speed by what it
        gives and the clutch does not take; idle control holds it up. When the wheels begin to spin,
        what it has more than they comes to the case: momentum [N m s].
        """
        engine, gear = self.engine, self.ratio * max(0.0, case)
        if not self.grips:
            self.bites = False
            return engine.inertia * self.ratio * max(0.0, self.turns - gear)
        given, self.through = self.given(gear), 0.0
        for _ in range(_PARTS):
            taken = clutch_torque(self.turns, gear, engine)
            held = idle_support(self.turns, engine)
            self.turns += (given + held - taken) / engine.inertia * STEP / _PARTS
            self.through += taken / _PARTS
        return 0.0
