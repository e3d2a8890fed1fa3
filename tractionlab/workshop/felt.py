"""A drive as it goes when brakes or motor of the car do not obey the control, or when its self-diagnosis has taken part of the control away."""
from tractionlab.catalogue import vehicles
from tractionlab.workshop.computed_runs import computed
from tractionlab.workshop.inputs_wheels import NEW_RADIUS_M, tyre_radius
from tractionlab.workshop.pins import WHEEL_KEYS
from tractionlab.workshop.world import insert

_LEAST_RATE = 200.0       # N m/s that a run can be computed with
_LEAK_MM = 0.08           # leak of a seat from which the pump cannot keep the pressure up; invented


def control_felt(world, values, left=()):
    """The drive as it goes with a car of these part values: a wheel whose pressure cannot build up spins on, one whose pressure cannot be let out
    hangs, a motor that gives too much torque or takes it away slowly lets the wheels run away, control goes by the wheel speeds that it reads, and there
    is what is left of it.

    Parameters
    ----------
    world : World of a sound car
    left : pairs (sample of the computed run, (torque, brake, antilock) that work from there on), see `computed_runs.computed`
    """
    if world.run < 0:
        return world
    car = vehicles()[world.vehicle]
    driven = (0, 1) if car["drive"] == "front" else (2, 3)
    hindered = tuple((wheel, "dead") for wheel, dead in zip(driven, brakes_without_pressure(values)) if dead)
    if values.get("drain_valve_body.stuck", 0.0) < 0.0:
        hindered += tuple((wheel, "held") for wheel in driven)
    rate, changes = values.get("drive_motor.rate_Nm_per_s"), ()
    if rate is not None and rate < car["torque_rate_Nm_per_s"]:
        changes = (("torque_rate_Nm_per_s", max(rate, _LEAST_RATE)),)
    reads = read_for(values, car["teeth"])
    excess = values.get("torque_path.excess_Nm", 0.0)
    if not (left or hindered or changes or excess or reads):
        return world
    return insert(world, computed(world.vehicle, world.run, changes, left, hindered, excess, reads), world.run_from)


def brakes_without_pressure(values):
    """(left, right) driven wheel: True if the pressure supply's valves leave it no pressure in traction control."""
    def body(part):
        return values.get(f"{part}_body.stuck", 0.0), values.get(f"{part}_body.leak_mm", 0.0)
    if "cut_off_valve.ohm" in values:
        dead = body("cut_off_valve")[0] > 0.0 or body("feed_valve")[0] < 0.0
        return dead, dead
    return tuple(body(f"isolating_valve_{k}")[0] > 0.0 or body(f"isolating_valve_{k}")[1] >= _LEAK_MM or body(f"priming_valve_{k}")[0] < 0.0
                 for k in (1, 2))


def read_for(values, teeth):
    """For each channel of wheel speed (wheel that it reads, share of the true speed that it shows), empty if all is as coded: `teeth` and new tyres."""
    reads = [(i, values[f"ring_{wheel}.teeth"] / teeth * NEW_RADIUS_M / tyre_radius(values, wheel)) for i, wheel in enumerate(WHEEL_KEYS)]
    if values["rear_plugs.crossed"] >= 0.5:
        reads[2:] = reads[:1:-1]
    sound = [(i, 1.0) for i in range(4)]
    return () if reads == sound else tuple(reads)
