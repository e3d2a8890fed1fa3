"""Monitors that need a moving car: switches and sensors against each other, messages, torque,
throttle plates.
"""

import numpy as np

from tractionlab.diagnosis.watch import alarm, mean_over, often, since, watch
from tractionlab.units import KMH

DEGREE = np.pi / 180.0
_STRAIGHT = 0.05  # rad/s of yaw rate up to which the road counts as straight; invented
_BEFORE_S = 5.0  # s over which the pressure before a press of the pedal is remembered
_STANDS = 0.1  # m/s
_MATCH_S = 0.3  # s over which torques are compared; longer than the engine takes to follow


def watches(inputs, car, monitors):
    """Watches of pairs and messages. inputs: see workshop.inputs; names that a car has not are left
    out.
    """
    found = _pedal(inputs, monitors)
    if "pressure" in inputs:
        found += (
            _pressure(inputs, monitors)
            + _cornering(inputs, car, monitors)
            + _messages(inputs, monitors)
        )
    if "second_throttle" in inputs:
        found += _throttles(inputs, monitors)
    if "engine_speed_heard" in inputs:
        found += _lines(inputs, monitors)
    if "given" in inputs:
        found += _torque(inputs, car, monitors)
    return found


def pressed(inputs, monitors):
    """What the unit takes for a pressed pedal, bool (n,)."""
    return inputs["stop_contact"] > monitors["pedal_contacts"]["pressed_from"]


def _pedal(inputs, monitors):
    monitor = monitors["pedal_plausible"]
    fast = (inputs["road_speed"] > monitor["least_speed"] * KMH) & inputs["fed"]
    accelerating = inputs["accelerator"] > monitor["accelerator"]
    return [watch(monitor, "C0040", "64", pressed(inputs, monitors), fast & accelerating)]


def _pressure(inputs, monitors):
    bar = mean_over(inputs["pressure_bar"], 0.05)
    fed, brake = inputs["fed"], pressed(inputs, monitors)
    usable = (inputs["pressure"] > monitors["pressure_range"]["low"]) & (
        inputs["pressure"] < monitors["pressure_range"]["high"]
    )
    zero, line = monitors["pressure_zero"], monitors["pedal_pressure"]
    free = fed & usable & ~brake & ~inputs["control"]
    driving = free & (inputs["accelerator"] > 0.05)
    return [
        watch(
            zero,
            "C0044",
            "28",
            np.abs(bar) > zero["most"],
            driving | free & (inputs["road_speed"] < _STANDS),
        ),
        watch(
            line,
            "C0040",
            "23",
            bar - mean_over(bar, _BEFORE_S) > line["pressure"],
            free & ~driving & (inputs["road_speed"] > _STANDS),
        ),
    ]


def _cornering(inputs, car, monitors):
    """Yaw rate sensor against itself, and steering angle against yaw rate on a straight road."""
    fed = inputs["fed"]
    shake, zero = monitors["yaw_jump"], monitors["steer_zero"]
    jump = (
        np.abs(np.diff(inputs["yaw_read"], prepend=inputs["yaw_read"][:1])) > shake["step"] * DEGREE
    )
    bad = often(jump, shake["times"], shake["within"])
    speed = np.maximum(inputs["road_speed"], 1.0)
    expected = car["wheelbase_m"] * inputs["steering_ratio"] * inputs["yaw"] / speed
    off = np.abs(mean_over(inputs["steer"] - expected, 0.5)) > zero["most"] * DEGREE
    straight = (
        (np.abs(inputs["yaw"]) < _STRAIGHT)
        & (inputs["road_speed"] > zero["least_speed"] * KMH)
        & ~inputs["control"]
        & (inputs["steer_age"] < 0.1)
    )
    return [alarm(shake, "C0063", "29", bad, fed), watch(zero, "C0051", "54", off, fed & straight)]


def _messages(inputs, monitors):
    fed, dead = inputs["fed"], inputs["network_off"]
    refuses = monitors["engine_refuses"]
    steer, engine = (
        inputs["steer_age"] > monitors["steer_message"]["age"],
        inputs["engine_age"] > monitors["engine_message"]["age"],
    )
    return [
        watch(monitors["network_off"], "U0073", "88", dead, fed),
        watch(monitors["steer_message"], "U0126", "87", steer, fed & ~dead),
        watch(monitors["engine_message"], "U0100", "87", engine, fed & ~dead),
        watch(refuses, "P0856", "00", ~inputs["reduction_available"], fed & ~dead & ~engine),
    ]


def _lines(inputs, monitors):
    """Lines of a car without a network: the engine that drives the car must be heard, and a quiet
    request line is held up by the engine unit.
    """
    speed, request = monitors["engine_speed_line"], monitors["request_line"]
    driven = (inputs["road_speed"] > speed["least_speed"] * KMH) & (
        inputs["accelerator"] > speed["accelerator"]
    )
    quiet = inputs["fed"] & ~inputs["cutting"]
    return [
        watch(speed, "P0725", "31", ~inputs["engine_speed_heard"], inputs["fed"] & driven),
        watch(
            request,
            "C0076",
            "13",
            np.minimum(inputs["request_ignition"], inputs["request_fuel"]) < request["least"],
            quiet,
        ),
    ]


def _torque(inputs, car, monitors):
    """Torque that the drive reports against what control asks for; the engine is judged once a
    request has stood for as long as torques are compared.
    """
    given, asked = mean_over(inputs["given"], _MATCH_S), mean_over(inputs["asked"], _MATCH_S)
    most, slow = monitors["torque_given"], monitors["torque_slow"]
    able = inputs["fed"] & inputs["cutting"] & ~inputs["network_off"]
    stood = able & (since(~inputs["cutting"]) > _MATCH_S)
    found = [watch(most, "C0073", "92", given - asked > most["most"], stood)]
    if car["motor"] == "electric":
        fall = -np.gradient(inputs["given"], 0.01)
        behind = (inputs["given"] - inputs["asked"] > slow["gap"]) & able
        found.append(
            alarm(
                slow,
                "C0073",
                "54",
                behind & (since(~behind) > slow["time"]) & (mean_over(fall, 0.05) < slow["rate"]),
                able,
            )
        )
    return found


def _throttles(inputs, monitors):
    """Both plates: the track of the main one and its place at rest, the second one against the
    steps sent to it.
    """
    fed = inputs["fed"]
    jump, follow, rest = (
        monitors["main_throttle_jump"],
        monitors["second_throttle_follows"],
        monitors["throttle_closed"],
    )
    step = (
        np.abs(np.diff(inputs["main_throttle"], prepend=inputs["main_throttle"][:1])) > jump["step"]
    )
    odd = inputs["second_throttle"] < monitors["second_throttle_range"]["low"]
    off = np.abs(inputs["second_degrees"] - inputs["sent_degrees"]) > follow["most"]
    sweep = inputs["sweep"]
    fixed = np.abs(inputs["second_full"] - inputs["second_degrees"]) < follow["most"]
    closed = inputs["main_throttle"] - inputs["main_closed"]
    moves = (
        fed
        & (sweep | inputs["cutting"])
        & (off | (np.abs(inputs["second_full"] - inputs["sent_degrees"]) > follow["most"]))
    )
    still = (inputs["accelerator"] == 0.0) & ~inputs["control"] & ~sweep
    return [
        alarm(jump, "P0121", "00", often(step, jump["times"], jump["within"]), fed),
        watch(follow, "P2101", "71", off & fixed & ~odd, moves),
        watch(follow, "P2101", "97", off & ~fixed & ~odd, moves),
        watch(rest, "P2135", "62", closed > rest["most"], fed & still),
    ]
