"""Names of the phases and of the reasons that the control unit notes in each cycle, as numbers.

Their words stand in data/reasons.toml, in the same order.
"""

# Phases of a wheel: at rest the brake follows the pedal.
(
    FREE,
    HOLD_PRESSURE,
    RELEASE,
    AWAIT_WHEEL,
    STEP_UP,
    BUILD_UP,
    KEEP,
    EASE,
    LET_GO,
) = range(9)
#: Phases of anti-lock control; those after them are of traction control.
ANTILOCK = (HOLD_PRESSURE, RELEASE, AWAIT_WHEEL, STEP_UP)

# Phases of the drive torque.
DRIVER, CUT, HELD, RETURN, DRAG = range(5)

# Why a phase began. Each reason compares two values, what was seen and its limit.
(
    NOTHING,
    SLOWS_TOO_FAST,
    SLIPS,
    SLIPS_SOON,
    NO_LONGER_SLOWS,
    PICKS_UP,
    WHEEL_IS_BACK,
    NEXT_STEP,
    WORSE_REAR_WHEEL,
    OTHER_FRONT_WHEEL,
    PEDAL_FREE,
    TOO_SLOW_TO_CONTROL,
    PEDAL_REACHED,
    SPINS,
    SPINS_FASTER,
    SPIN_FALLS,
    UNDER_TARGET,
    PRESSURE_LIMIT,
    SPEED_LIMIT,
    DISC_HOT,
    BRAKE_PEDAL,
    SPIN_IS_GONE,
    NOT_ABLE,
    CUT_TO_ROAD,
    CUT_ORDERED,
    ROOM_FOR_MORE,
    STILL_SPINS,
    WISH_REACHED,
    DRAGS,
    ROLLS_AGAIN,
    SWITCHED_OFF,
    STAYS_UNDER,
    CLUTCH_OPEN,
) = range(33)
