"""What is noted in a run, a row a cycle: names, widths and units of the record's columns, and the
columns of the circuit's film.
"""

from tractionlab.control.settings import SENSORS
from tractionlab.physics import circuit as h
from tractionlab.slots import slots

#: A row of the record, one a cycle: name -> (how many numbers, unit). What is counted for each
#: wheel stands in wheel order.
RECORD = {
    "time": (1, "s"),
    "speed": (1, "m/s"),
    "side_speed": (1, "m/s"),
    "yaw_rate": (1, "rad/s"),
    "x": (1, "m"),
    "y": (1, "m"),
    "yaw": (1, "rad"),
    "wheel_speed": (4, "rad/s"),
    "slip": (4, "-"),
    "side_slip": (4, "-"),
    "drive_force": (4, "N"),
    "side_force": (4, "N"),
    "load": (4, "N"),
    "grip_limit": (4, "N"),
    "pressure": (4, "Pa"),
    "disc_temperature": (4, "degC"),
    "valve_mode": (4, "-"),
    "engine_speed": (1, "rad/s"),
    "engine_torque": (1, "N m"),
    "throttle": (1, "-"),
    "ignition": (1, "-"),
    "fuel_cut": (1, "-"),
    "pedal": (1, "-"),
    "reference_speed": (1, "m/s"),
    "torque_request": (1, "N m"),
    "lamp": (1, "-"),
    "steer": (1, "rad"),
    "antilock": (1, "-"),
    "pedal_pressure": (1, "Pa"),
    "work_in": (1, "J"),
    "work_tyres": (1, "J"),
    "work_brakes": (1, "J"),
    "work_other": (1, "J"),
}
(
    TIME,
    R_BODY,
    _,
    _,
    _,
    _,
    _,
    R_WHEEL,
    R_SLIP,
    R_SIDE_SLIP,
    R_DRIVE,
    R_SIDE,
    R_LOAD,
    R_LIMIT,
    R_PRESSURE,
    R_DISC,
    R_VALVE,
    R_ENGINE,
    R_TORQUE,
    R_THROTTLE,
    R_IGNITION,
    R_CUT,
    R_PEDAL,
    R_REFERENCE,
    R_REQUEST,
    R_LAMP,
    R_STEER,
    R_ANTILOCK,
    R_PEDAL_PRESSURE,
    R_WORK,
    _,
    _,
    _,
    COLUMNS,
) = slots(**{name: width for name, (width, _) in RECORD.items()})

# A row of the circuit's record: pressures and fluid at each place, mean flows of the cycle,
# plungers, commands, pulses, what the sensors told.
F_PRESSURE, F_FLUID, F_FLOW, F_TRAVEL, F_COMMAND, F_PULSE, F_SEEN, FILM_COLUMNS = slots(
    pressure=h.PLACES,
    fluid=h.PLACES,
    flow=h.FLOWS,
    travel=h.VALVES,
    command=h.AIM,
    pulse=h.VALVES,
    seen=SENSORS,
)
