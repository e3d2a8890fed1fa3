"""A drive as it goes when brakes or motor of the car do not obey the control."""
import numpy as np

from tractionlab.catalogue import vehicles
from tractionlab.workshop.road_trip import control_runs
from tractionlab.workshop.world import insert

_NO_BRAKE = ("driven_brake_Nm_per_bar", 2.0)     # next to nothing
_LEAST_RATE = 200.0       # N m/s that a run can be computed with
_HANGING = 0.75           # share of the road speed at which a wheel turns that is braked too hard; invented
_LEAK_MM = 0.08           # leak of a seat from which the pump cannot keep the pressure up; invented


def control_felt(world, values):
    """The drive as it goes when brakes or motor do not obey: a wheel whose pressure cannot build up spins on, one whose pressure cannot be let
    out hangs, a motor whose torque falls slowly lets the wheels run away.

    A run computed with next to no brake, or with the slow motor, takes the place of the sound one. A wheel that hangs turns at a share of
    the road speed: a stand-in for the brake that is not let go.
    """
    if world.run < 0:
        return world
    drive = vehicles()[world.vehicle]["drive"]
    driven = (0, 1) if drive == "front" else (2, 3)
    dead = brakes_without_pressure(values)
    if dead[driven.index(_spinning(world, driven))]:
        return insert(world, control_runs(world.vehicle, _NO_BRAKE)[world.run], world.run_from)
    rate = values.get("drive_motor.rate_Nm_per_s")
    if rate is not None and rate < vehicles()[world.vehicle]["torque_rate_Nm_per_s"]:
        return insert(world, control_runs(world.vehicle, ("torque_rate_Nm_per_s", max(rate, _LEAST_RATE)))[world.run], world.run_from)
    if values.get("drain_valve_body.stuck", 0.0) < 0.0:
        wheels = world.wheel_speed.copy()
        road = world.speed / vehicles()[world.vehicle]["tyre_radius_m"]
        for i in driven:
            let = np.cumsum(world.valve[:, i] == -1) > 0
            held = let & world.control & (world.valve[:, i] != 2)
            wheels[held, i] = np.minimum(wheels[held, i], _HANGING * road[held])
        return world.with_(wheel_speed=wheels)
    return world


def brakes_without_pressure(values):
    """(left, right) driven wheel: True if the pressure supply's valves leave it no pressure in traction control."""
    def body(part):
        return values.get(f"{part}_body.stuck", 0.0), values.get(f"{part}_body.leak_mm", 0.0)
    if "cut_off_valve.ohm" in values:
        dead = body("cut_off_valve")[0] > 0.0 or body("feed_valve")[0] < 0.0
        return dead, dead
    return tuple(body(f"isolating_valve_{k}")[0] > 0.0 or body(f"isolating_valve_{k}")[1] >= _LEAK_MM or body(f"priming_valve_{k}")[0] < 0.0
                 for k in (1, 2))


def _spinning(world, driven):
    """The driven wheel that is braked for longer."""
    return max(driven, key=lambda i: int(np.sum(world.valve[:, i] != 2)))
