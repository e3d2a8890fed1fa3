"""What the control unit makes of its inputs before it judges them: which voltages mean what, its
road speed, its yaw rate.
"""

import numpy as np

from tractionlab.diagnosis.monitors_circuit import level_in_order
from tractionlab.diagnosis.watch import mean_over

STEERING_RATIO = 16.0  # that the unit is coded for; invented
SUPPLY_LEAST_V = 9.5  # below it nothing is judged
_AWAKE_S = 0.1
_SECOND = (0.60, 3.80, 54.0)  # V shut, V of travel, degrees of travel; invented
_MAIN_CLOSED_V = 0.60
_EMF_SHARE = (
    0.643  # voltage of the turning pump motor over its feed while it runs, as coded; invented
)


def understood(inputs, car, monitors):
    """Inputs with what follows from them, name -> array.

    inputs : see workshop.inputs; car : catalogue entry of the vehicle
    """
    found = dict(inputs)
    n = len(inputs["time"])
    awake = inputs["awake"]
    late = np.concatenate((np.zeros(int(_AWAKE_S / 0.01), bool), awake))[:n]
    found["fed"] = awake & late & (inputs["supply"] >= SUPPLY_LEAST_V) & ~inputs["starting"]
    window = monitors["wheel_range"]
    if inputs["active"]:
        found["at_level"] = level_in_order(inputs["current"], window)
        found["circuit_odd"] = (inputs["current"] < monitors["wheel_open"]["active_below"]) | (
            inputs["current"] > monitors["wheel_to_battery"]["active_from"]
        )
    else:
        found["at_level"] = np.zeros((n, 4), bool)
        found["circuit_odd"] = (inputs["bias"] < window["passive_low"]) | (
            inputs["bias"] > window["passive_high"]
        )
    found["road_speed"] = np.sort(inputs["wheel_speed"], axis=1)[:, 1:3].mean(axis=1)
    found["yaw"] = found["yaw_by_wheels"] = _yaw_by_wheels(inputs["wheel_speed"], car)
    if "pressure" in inputs:
        found["pressure_bar"] = (inputs["pressure"] - 0.5) / 0.020
        found["yaw_read"] = np.radians((inputs["yaw_rate"] - 2.5) / 0.020)
        found["yaw"] = mean_over(found["yaw_read"], 0.1)
        found["steering_ratio"] = STEERING_RATIO
    if "second_throttle" in inputs:
        shut, travel, degrees = _SECOND
        found["second_degrees"] = (inputs["second_throttle"] - shut) / travel * degrees
        found["main_closed"], found["second_full"] = _MAIN_CLOSED_V, degrees
    running = np.maximum.accumulate(np.where(inputs["pump_on"], np.arange(n), 0))
    found["pump_expected"] = _EMF_SHARE * inputs["pump_voltage"][running]
    return found


def _yaw_by_wheels(speed, car):
    """Yaw rate [rad/s] from the wheels that are not driven."""
    left = 2 if car["drive"] == "front" else 0
    return mean_over((speed[:, left + 1] - speed[:, left]) / car["track_m"], 0.1)
