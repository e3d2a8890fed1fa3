"""What tyres and brake fluid of a course car amount to, and which sensor was fitted.

Pure functions of the part values.
"""

from tractionlab.workshop.drive.inputs_wheels import tyre_radius

DRY_DEGC = 245.0  # new fluid without water; invented


def diameter_mm(values, wheel):
    """Outer diameter of a tyre [mm], by its marking less what is worn off."""
    return 2e3 * tyre_radius(values, wheel)


def boiling_point(values):
    """Boiling point of the brake fluid [degC]; the first water takes most of it away.

    A curve of our own: 245 degC without water, 155 at 3.7 %; DOT 4 must have 230 and 155 by 49 CFR
    571.116 (limits second-hand)."""
    water = values["brake_fluid.water_percent"]
    return DRY_DEGC - 126.0 * water / (water + 1.5)


def is_coil_sensor_in_active_circuit(values, wheel):
    """True where a sensor with a coil sits in a circuit for sensors with electronics."""
    low = values.get(f"sensor_{wheel}.low_mA")
    return low is not None and low == 0.0 and values[f"sensor_{wheel}.coil_ohm"] < 1e5
