"""What both hydraulic layouts share: order of state, valves, commands, flows and numbers, and the
parameters of a circuit.
"""

from typing import NamedTuple

import numpy as np

from tractionlab.slots import slots

LAYOUT_A, LAYOUT_B = 0.0, 1.0

# Valves: the order of the rows of `valves`, of the last numbers of the state, and of the first
# commands and flows.
(
    INLET,
    OUTLET,
    CUT_OFF,
    FEED,
    DRAIN,
    VALVES,
) = slots(
    inlet=4,
    outlet=4,
    cut_off=2,
    feed=2,
    drain=1,
)
(
    FLOW,
    LAMINAR,
    ROOT,
    PIPE,
    LEAK,
    NON_RETURN,
    LOW,
    HIGH,
    WIRE,
    MOST_CURRENT,
    REST,
    BEGIN,
    DONE,
) = range(13)
COLUMNS = 13

# State: fluid at each place [m^3] (its pressure stands at the same index in `pressures`), strokes
# [m^3], pump speeds, warmth of the accumulator's gas, valve travels.
(
    RESERVOIR,
    BOTTLE,
    CHAMBER,
    LINE,
    WHEEL,
    ACCUMULATOR,
    GALLERY,
    SUCTION,
    PLACES,
) = slots(
    reservoir=1,
    bottle=1,
    chamber=2,
    line=2,
    wheel=4,
    accumulator=1,
    gallery=2,
    suction=2,
)
(
    _,
    STROKE,
    RETURN_SPEED,
    CHARGE_SPEED,
    GAS_WARMTH,
    VALVE,
    STATES,
) = slots(
    places=PLACES,
    stroke=2,
    return_speed=1,
    charge_speed=1,
    gas_warmth=1,
    valve=VALVES,
)

# Commands, constant during a step: a current for each valve [A], then these, then what `aim_valves`
# makes of the currents.
(
    _,
    COMMAND_PEDAL,
    RETURN_ON,
    CHARGE_ON,
    BLEED,
    AIM,
    COMMANDS,
) = slots(
    valves=VALVES,
    command_pedal=1,
    return_on=1,
    charge_on=1,
    bleed=1,
    aim=VALVES,
)

# Flows [m^3/s], positive the way the fluid is meant to go: through each valve, then these.
(
    _,
    PORT,
    PUMPED,
    DRAWN,
    CHARGED,
    RELIEVED,
    BLED,
    FLOWS,
) = slots(
    valves=VALVES,
    port=2,
    pumped=2,
    drawn=2,
    charged=1,
    relieved=2,
    bled=1,
)

# What a wheel brake is described by.
GAP, KNEE, SLOPE, AIR = range(4)

# Numbers of a circuit. Pressures in Pa, volumes in m^3, flows in m^3/s, gains in 1/Pa or 1/m^3,
# coefficients in m^3/s/Pa^0.5. At the end compliance [m^3/Pa] and soft volume [m^3] of each place,
# then GAP, KNEE, SLOPE, AIR of each wheel.
(
    LAYOUT,
    LINE_AXLE,
    QUICK,
    OVERLAP,
    CRACK,
    SEAT_GAIN,
    DRAW,
    DRAW_GAIN,
    WIDE_LAMINAR,
    WIDE_ROOT,
    RELIEF_PRESSURE,
    RELIEF_GAIN,
    RELIEF,
    BLEED_SCREW,
    GAS,
    GAS_WORK,
    GAS_COVOLUME,
    GAS_PULL,
    GAS_STIFFNESS,
    GAS_COOLING,
    GAS_FIRST,
    PRELOAD,
    SPRING,
    STOP,
    FULL,
    GALLERY_FIRST,
    BOOST,
    FOOT,
    FASTEST,
    RETURN_SPRING,
    MOST_STROKE,
    STROKE_GAIN,
    PORT_GAIN,
    PORT_FLOW,
    PORT_LAMINAR,
    PORT_ROOT,
    CUP,
    REST_VOLUME,
    RETURN_FLOW,
    SUCTION_EMPTY,
    SUCTION_GAIN,
    CHARGE_FLOW,
    RETURN_FREE,
    RETURN_DROP,
    CHARGE_FREE,
    CHARGE_DROP,
    MOTOR_START,
    MOTOR_COAST,
    CUT_IN,
    CUT_OUT,
    PLACE,
    BRAKE,
    NUMBERS,
) = slots(
    layout=1,
    line_axle=1,
    quick=1,
    overlap=1,
    crack=1,
    seat_gain=1,
    draw=1,
    draw_gain=1,
    wide_laminar=1,
    wide_root=1,
    relief_pressure=1,
    relief_gain=1,
    relief=1,
    bleed_screw=1,
    gas=1,
    gas_work=1,
    gas_covolume=1,
    gas_pull=1,
    gas_stiffness=1,
    gas_cooling=1,
    gas_first=1,
    preload=1,
    spring=1,
    stop=1,
    full=1,
    gallery_first=1,
    boost=1,
    foot=1,
    fastest=1,
    return_spring=1,
    most_stroke=1,
    stroke_gain=1,
    port_gain=1,
    port_flow=1,
    port_laminar=1,
    port_root=1,
    cup=1,
    rest_volume=1,
    return_flow=2,
    suction_empty=1,
    suction_gain=1,
    charge_flow=1,
    return_free=1,
    return_drop=1,
    charge_free=1,
    charge_drop=1,
    motor_start=1,
    motor_coast=1,
    cut_in=1,
    cut_out=1,
    place=2 * PLACES,
    brake=4 * 4,
)


class Circuit(NamedTuple):
    """All parameters of a brake circuit: valves (VALVES, COLUMNS) and numbers (NUMBERS,).

    A fault is a changed cell.
    """

    valves: np.ndarray
    numbers: np.ndarray
