"""What the control unit makes of its inputs before it judges them: which voltages mean what, its
road speed, its yaw rate.
"""

import numpy as np

from tractionlab.diagnosis import coded
from tractionlab.diagnosis.monitors_circuit import level_in_order
from tractionlab.diagnosis.watch import mean_over

SUPPLY_MIN_V = 9.5  # below it nothing is judged
_AWAKE_S = 0.1
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
    found["fed"] = awake & late & (inputs["supply"] >= SUPPLY_MIN_V) & ~inputs["starting"]
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
        found["pressure_bar"] = coded.pressure_bar(inputs["pressure"])
        found["yaw_read"] = np.radians(coded.yaw_degrees(inputs["yaw_rate"]))
        found["yaw"] = mean_over(found["yaw_read"], 0.1)
        found["steering_ratio"] = coded.STEERING_RATIO
    if "second_throttle" in inputs:
        found["second_degrees"] = coded.second_degrees(inputs["second_throttle"])
        found["main_closed"] = coded.main_closed_V()
        found["second_full"] = coded.SECOND_FULL_DEG
    running = np.maximum.accumulate(np.where(inputs["pump_on"], np.arange(n), 0))
    found["pump_expected"] = _EMF_SHARE * inputs["pump_voltage"][running]
    return found


def _yaw_by_wheels(speed, car):
    """Yaw rate [rad/s] from the wheels that are not driven."""
    left = 2 if car["drive"] == "front" else 0
    return mean_over((speed[:, left + 1] - speed[:, left]) / car["track_m"], 0.1)
