"""Gears and clutch pedal: which gear the driver takes, and how hands and feet take it.

A change goes: clutch down and accelerator up, the lever brings the gearbox to the speed of the next
gear, the clutch bites softly until engine and gearbox turn alike, then it shuts and the accelerator
comes back. Pulling away needs no pedal here: the clutch of the car bites with engine speed, see
`engine.clutch_torque`. An electric car has one ratio and no clutch."""

from tractionlab.physics.car import ENGINE, WHEEL, WORK_OTHER, U
from tractionlab.physics.driveline import add_gearbox, case_speed, take_ratio
from tractionlab.slots import slots

#: What `Driver.clutch` says: the driver's own choice, never down but in a change, always down.
DRIVER, SHUT, OPEN = 0.0, 1.0, 2.0

# What hands and feet do: number of the gear, counted from 0; overall ratio, which slides while the
# lever moves, and how fast [1/s]; how far the clutch may close; the share of the accelerator that
# is left; whether a change is going on; whether the hand brake is pulled.
H_GEAR, H_RATIO, H_RATE, H_CLUTCH, H_FOOT, H_CHANGING, H_HOLDS, HANDS = slots(
    gear=1, ratio=1, rate=1, clutch=1, foot=1, changing=1, holds=1
)


def fitting_gear(turning, line, driver):
    """Highest gear, counted from 0, that turns the engine at `shift_fit` or faster with wheels at a
    speed [rad/s]; else the first.
    """
    gear = 0
    for g in range(1, int(line.gears)):
        if turning * line.ratios[g] >= driver.shift_fit:
            gear = g
    return gear


def wished_gear(gear, pedal, free, turning, engine_speed, line, driver):
    """Gear the driver wants next, counted from 0.

    Up when the engine is fast for this much accelerator (0..1) and the car, whatever its driven
    wheels do, fast enough for the next gear; down when the car is too slow for this one. `free`:
    the clutch is down, and the lever follows the speed of the car. `turning` : speed of a wheel
    that rolls [rad/s].
    """
    if driver.gear > 0.0:
        return gear
    if turning * line.ratios[gear] < driver.shift_down:
        return fitting_gear(turning, line, driver)
    fast = driver.shift_up_easy + pedal * (driver.shift_up - driver.shift_up_easy)
    if not free and engine_speed >= fast and gear + 1 < line.gears:
        if turning * line.ratios[gear + 1] >= driver.shift_fit:
            return gear + 1
    return gear


def towards(value, goal, step):
    """The value, brought nearer to a goal by at most `step`."""
    return min(goal, value + step) if value < goal else max(goal, value - step)


def move_clutch(elapsed, down, shaft, y, engine, driver, hands):
    """Press the clutch pedal, or let it come: softly while engine and gearbox, which turns at
    `shaft` [rad/s], differ. Below the biting speed the clutch of the car does that by itself.
    """
    clutch = hands[H_CLUTCH]
    if down:
        hands[H_CLUTCH] = towards(clutch, 0.0, elapsed / driver.clutch_open)
        return
    alike = abs(y[ENGINE] - shaft) < driver.clutch_match or shaft < engine.bite_speed
    most = 1.0 if alike or clutch > driver.clutch_soft else driver.clutch_soft
    hands[H_CLUTCH] = towards(clutch, most, elapsed / driver.clutch_close)


def move_lever(elapsed, run):
    """Bring the gearbox towards the ratio of the wanted gear; the clutch is down. The wheels feel
    it, and the compliance in `run.work.soft` becomes that with the new ratio.
    """
    line, hands, y, shares = run.car.driveline, run.hands, run.y, run.shares
    soft, before = run.work.soft, hands[H_RATIO]
    after = towards(before, line.ratios[int(hands[H_GEAR])], elapsed * hands[H_RATE])
    add_gearbox(run.compliance, shares, line.gear_inertia, after, soft)
    y[WORK_OTHER] += take_ratio(
        y[WHEEL : WHEEL + 4], before, after, shares, line.gear_inertia, soft
    )
    hands[H_RATIO] = after


def change_gear(elapsed, pedal, braking, run):
    """Let hands and feet work for `elapsed` s, into `run.hands` (HANDS,).

    `pedal` : accelerator 0..1 as the scenario has it; `braking` : the foot is on the brake.
    """
    car, driver, hands, y = run.car, run.driver, run.hands, run.y
    line, engine = car.driveline, car.engine
    if engine.electric == 1.0:
        return
    shaft = hands[H_RATIO] * case_speed(y[WHEEL : WHEEL + 4], run.shares)
    told = driver.clutch == OPEN or (driver.clutch == DRIVER and braking and pedal == 0.0)
    gear = int(hands[H_GEAR])
    if hands[H_RATIO] == line.ratios[gear] and (told or hands[H_CHANGING] == 0.0):
        turning = abs(y[U]) / car.tyres.radius
        wish = wished_gear(gear, pedal, told, turning, y[ENGINE], line, driver)
        if wish != gear:
            hands[H_GEAR] = wish
            hands[H_RATE] = abs(line.ratios[wish] - hands[H_RATIO]) / driver.shift
            hands[H_CHANGING] = 1.0
    on_the_way = hands[H_RATIO] != line.ratios[int(hands[H_GEAR])]
    move_clutch(elapsed, told or on_the_way, shaft, y, engine, driver, hands)
    if on_the_way and hands[H_CLUTCH] == 0.0:
        move_lever(elapsed, run)
    if told or (hands[H_CLUTCH] == 1.0 and not on_the_way):
        hands[H_CHANGING] = 0.0
    if hands[H_CHANGING] == 1.0 and (on_the_way or hands[H_CLUTCH] <= driver.clutch_soft):
        hands[H_FOOT] = towards(hands[H_FOOT], 0.0, elapsed / driver.clutch_open)
    else:
        hands[H_FOOT] = towards(hands[H_FOOT], 1.0, elapsed / driver.clutch_close)
