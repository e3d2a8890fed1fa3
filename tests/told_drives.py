"""Drives of their own that customers' sentences are held against: functions of a `told.Car`."""

from functools import lru_cache

import numpy as np

from tractionlab.catalogue.entries import shipped
from tractionlab.control.phases import EASE
from tractionlab.diagnosis.reduced import PARTS
from tractionlab.physics import circuit as h
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.units import BAR, IN_KMH
from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.drive import bay
from tractionlab.workshop.drive.as_driven import as_driven
from tractionlab.workshop.drive.computed_runs import CYCLE, computed
from tractionlab.workshop.drive.diagnosis import diagnose, drive_on
from tractionlab.workshop.drive.world import drive
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_bay import PEDAL_RATIO, PISTON_MM, under_pedal
from tractionlab.workshop.hydraulic_car import bench_of
from tractionlab.workshop.wiring.electric_state import electrics_of

_PLACES = {"left_ice": 3, "onto_ice": 4, "right_ice": 5}
_FREE_DRAG = 3.0  # N m of a sound bearing
_SNOWY_HILL = {"left": "ice", "right": "wet_asphalt", "pedal_percent": 50.0, "slope_percent": 12.0}


@lru_cache(maxsize=512)
def _driven(vehicle, values, when):
    """(Diagnosis, World) of a slippery start as it went, without memory."""
    return drive_on(vehicle, values, bay.customer_drives(vehicle)[_PLACES[when]])


@lru_cache(maxsize=512)
def _run(vehicle, values, what):
    """Trace of a car as it is driven, without what its self-diagnosis takes away with ignition
    on.
    """
    gone = diagnose(vehicle, values, bay.ignition_on(vehicle)).works[-1]
    gone = [part for part, works in zip(PARTS, gone) if not works]
    scenario = {
        "stop": {
            "left": "dry_asphalt",
            "initial_speed_kmh": 50.0,
            "pedal_percent": 0.0,
            "brake_bar": 40.0,
            "brake_until_s": 20.0,
            "duration_s": 6.0,
        },
        "pull_away": {"left": "dry_asphalt", "pedal_percent": 60.0, "duration_s": 5.0},
        "motorway": {
            "left": "dry_asphalt",
            "initial_speed_kmh": 110.0,
            "pedal_percent": 60.0,
            "duration_s": 6.0,
        },
        "gentle": {
            "left": "dry_asphalt",
            "initial_speed_kmh": 40.0,
            "pedal_percent": 0.0,
            "brake_bar": 12.0,
            "brake_from_s": 0.2,
            "brake_until_s": 30.0,
            "duration_s": 10.0,
        },
        "hill": {**_SNOWY_HILL, "duration_s": 30.0},
        "pass": {
            "left": "dry_asphalt",
            "slope_percent": -10.0,
            "initial_speed_kmh": 60.0,
            "pedal_percent": 0.0,
            "brake_bar": 5.0,
            "brake_until_s": 120.0,
            "duration_s": 120.0,
        },
    }[what]
    fields = as_driven(vehicle, values).fields()
    if what == "pass":
        fields["vehicle_values"] = {**fields["vehicle_values"], "recuperation_Nm": 0.0}
    return simulate(
        Scenario(vehicle=vehicle, taken_away=[(0.0, gone)] if gone else [], **scenario, **fields)
    )


def _window(world):
    return slice(world.run_from, world.run_from + len(computed(world.vehicle, world.run)))


def spin(car, when, wheel):
    """How much faster a wheel turns than the car goes, mean over a slippery start [m/s]."""
    world = _driven(car.vehicle, car.values, when)[1]
    return _spin(world, _window(world), wheel)


def unnoticed(car, when, wheel):
    """The same before the self-diagnosis has taken anything away."""
    world = bay.customer_drives(car.vehicle)[_PLACES[when]]
    run = computed(car.vehicle, world.run, as_driven(car.vehicle, car.values))
    return _spin(run, slice(None), wheel)


def _spin(run, window, wheel):
    radius = shipped().vehicles()["rear_petrol"]["tyre_radius_m"]  # the same on all three
    rim = run.wheel_speed[window, WHEEL_KEYS.index(wheel)] * radius
    return float(np.mean(rim - run.speed[window]))


def way(car, when):
    """Way of a slippery start [m]."""
    world = _driven(car.vehicle, car.values, when)[1]
    return float(CYCLE * np.sum(world.speed[_window(world)]))


def control(car, when, what):
    """Time into a slippery start at which control begins [s]."""
    world = _driven(car.vehicle, car.values, when)[1]
    at_work = world.control[_window(world)]
    return float(CYCLE * np.argmax(at_work)) if at_work.any() else np.inf


def stop(car, what):
    """Way of a firm stop [m]."""
    return float(_run(car.vehicle, car.values, "stop").x[-1])


def pull_away(car, what):
    """Way of pulling away on a dry road [m]."""
    return float(_run(car.vehicle, car.values, "pull_away").x[-1])


def motorway(car, what):
    """Share of the time in which control acts at 110 km/h, or the speed after 6 s."""
    run = _run(car.vehicle, car.values, "motorway")
    if what == "speed":
        return float(run.speed[-1])
    return float(np.mean(np.asarray(run.lamp) > 0))


def gentle(car, what):
    """Anti-lock in a gentle stop: how many times it begins, its fastest begin, its last moment
    [km/h].
    """
    run = _run(car.vehicle, car.values, "gentle")
    on, speed = np.asarray(run.antilock) > 0, IN_KMH * np.asarray(run.speed)
    if on.ndim > 1:
        on = on.any(axis=1)
    begins = speed[1:][np.diff(on.astype(int)) > 0]
    if what == "times":
        return len(begins)
    return float(begins.max() if what == "fastest" else speed[on][-1])


def pull(car):
    """How far the car turns to the right [deg] in 3 s of coasting from 60 km/h with the steering
    held, by what drags and by what is left of the last stop at its brakes.
    """
    table, left = shipped().vehicles()[car.vehicle], under_pedal(car.vehicle, car.values)
    bars = []
    for wheel in WHEEL_KEYS:
        driven = wheel in DRIVEN[car.vehicle]
        gain = table["driven_brake_Nm_per_bar" if driven else "other_brake_Nm_per_bar"]
        drag = max(0.0, car.values[f"hub_{wheel}.drag_Nm"] - _FREE_DRAG) / gain
        bars.append(drag + max(0.0, left.get(f"left_{wheel}", 0.0)))
    run = simulate(
        Scenario(
            vehicle=car.vehicle,
            left="dry_asphalt",
            initial_speed_kmh=60.0,
            pedal_percent=0.0,
            keep_lane=False,
            duration_s=3.0,
            hand_brake_bar=bars,
        )
    )
    return float(-np.degrees(run.yaw[-1]))


def pedal(car, what):
    """Travel of the pedal at 50 bar [mm]."""
    bench = bench_of(car.vehicle, car.values, electrics_of(car.vehicle, car.values))
    bench.mode("normal")
    before = bench.state[h.STROKE : h.STROKE + 2].copy()
    bench.pedal(50.0)
    bench.run(2.0)
    volume = float(np.sum(bench.state[h.STROKE : h.STROKE + 2] - before))  # one pushes the other
    return 1e3 * PEDAL_RATIO * volume / (0.25 * np.pi * (1e-3 * PISTON_MM) ** 2)


def hill(car, what):
    """A long hill, its left side on ice: how often the charge pump starts, last speed [m/s],
    greatest pressure at the wheel that spins in the first 3 s, and what is let out there late
    [bar].
    """
    run = _run(car.vehicle, car.values, "hill")
    wheel, late = WHEEL_KEYS.index(DRIVEN[car.vehicle][0]), slice(2500, None)
    if what == "pumps":
        return int(np.sum(np.diff(run.circuit.command[:, h.CHARGE_ON]) > 0))
    if what == "speed":
        return float(run.speed[-1])
    if what == "early":
        return float(run.pressure[:300, wheel].max() / BAR)
    eased = run.phase[late, wheel][1:] == EASE
    return float(-np.diff(run.pressure[late, wheel])[eased].sum() / BAR)


def pass_(car, what):
    """A long way down with the foot on the brake, an electric car with its battery full: the
    hottest disc [degC]. Fluid at the piston gets no hotter than that.
    """
    return float(_run(car.vehicle, car.values, "pass").disc_temperature.max())


def ice_stop(car, what):
    """How long a wheel stands while the car goes faster than 15 km/h in a stop on ice or snow
    [s].
    """
    world = drive_on(car.vehicle, car.values, drive(car.vehicle, 3, "winter"))[1]
    radius = shipped().vehicles()[car.vehicle]["tyre_radius_m"]
    stands = (world.wheel_speed * radius).min(axis=1) < 0.1 * world.speed
    return float(CYCLE * np.sum(stands & (world.speed > 15.0 / 3.6)))


OWN_DRIVES = {
    drive_.__name__.rstrip("_"): drive_
    for drive_ in (
        spin,
        unnoticed,
        way,
        control,
        stop,
        pull_away,
        motorway,
        gentle,
        pull,
        pedal,
        hill,
        pass_,
        ice_stop,
    )
}
