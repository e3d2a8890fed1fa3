"""Stops by the procedure of the braking rules, driven by the course's cars: adhesion from one
braked axle, and how much of it anti-lock uses.

An axle alone, anti-lock off, is braked from 50 km/h with more and more pressure; the shortest times
from 40 to 20 km/h that come without a locked wheel give its adhesion. Both axles with anti-lock, 55
km/h, timed from 45 to 15 km/h, give the braking rate. Source: see S01 to S03 in
data/checks/outside.toml."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.errors import UserError
from tractionlab.physics.tyre import PEAK
from tractionlab.run.assembly import car_of
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate_many
from tractionlab.run.surfaces import row_of
from tractionlab.textbook.brake_rules import (
    axle_adhesion,
    braking_rate,
    mean_adhesion,
    mean_developed_deceleration,
)
from tractionlab.textbook.longitudinal import GRAVITY, LoadedAxles, braked_axle_loads
from tractionlab.units import BAR, KMH

_STEPS = 8
_MOST_BAR = 160.0


@dataclass(frozen=True)
class Utilisation:
    """Adhesion [-] of the front axle, of the rear axle, of the car; braking rate [-] with
    anti-lock; the share of the adhesion that it uses.
    """

    front: float
    rear: float
    car: float
    rate: float

    @property
    def share(self):
        return self.rate / self.car


def _stop(vehicle, left, right, speed_kmh, **more):
    """A stop with the engine disconnected, as the rules ask: the driver presses the clutch, and a
    motor does not brake.
    """
    return Scenario(
        vehicle=vehicle,
        left=left,
        right=right,
        control="off",
        pedal_percent=0.0,
        initial_speed_kmh=speed_kmh,
        brake_from_s=0.1,
        brake_until_s=120.0,
        vehicle_values={"recuperation_Nm": 0.0},
        **more,
    )


def passing_time(trace, fast_kmh, slow_kmh):
    """Time [s] the car takes from one speed to a lower one [km/h]; NaN if it does not get there."""
    times = []
    for limit in (fast_kmh * KMH, slow_kmh * KMH):
        below = np.flatnonzero(trace.speed < limit)
        if not len(below) or below[0] == 0:
            return float("nan")
        k = below[0]
        share = (trace.speed[k - 1] - limit) / (trace.speed[k - 1] - trace.speed[k])
        times.append(trace.time[k - 1] + share * (trace.time[k] - trace.time[k - 1]))
    return times[1] - times[0]


def locks(trace, above_kmh):
    """Whether a wheel stands still while the car is faster than a speed [km/h]."""
    moving = trace.speed > above_kmh * KMH
    return bool((trace.wheel_speed[moving] <= 0.05 * trace.speed[moving, None]).any())


def ramp_times(vehicle, surface, axle):
    """Times [s] from 40 to 20 km/h of one braked axle ("front", "rear") without locking, shortest
    first.

    Two rounds of rising pressure: the second between the highest that did not lock and the lowest
    that did."""
    peak = row_of(surface, Scenario.tyre)[PEAK]
    seconds = min(20.0, 2.0 + 35.0 * KMH / (0.3 * peak * GRAVITY))
    low, high, times = 0.0, min(_MOST_BAR, 1.5 * _locking_bar(vehicle, peak, axle)), []
    for _ in range(2):
        pressures = np.linspace(low, high, _STEPS + 1)[1:]
        traces = simulate_many(
            [
                _stop(
                    vehicle,
                    surface,
                    "",
                    50.0,
                    antilock=False,
                    braked=axle,
                    brake_bar=float(bar),
                    duration_s=seconds,
                )
                for bar in pressures
            ]
        )
        fit = [not locks(trace, 20.0) for trace in traces]
        times += [
            time
            for trace, good in zip(traces, fit)
            if good and (time := passing_time(trace, 40.0, 20.0)) == time
        ]
        rising = fit.index(False) if False in fit else len(fit)
        low, high = (pressures[rising - 1] if rising else low), pressures[min(rising, _STEPS - 1)]
    if len(times) < 3:
        raise UserError(
            f"{vehicle} on {surface}: fewer than three {axle}-axle stops from 40 to 20 km/h without"
            " a locked wheel"
        )
    return sorted(times)


def _locking_bar(vehicle, peak, axle):
    """Pressure [bar] at which an axle about reaches the peak adhesion, all load of the stop
    counted.
    """
    car = car_of(Scenario(vehicle=vehicle))
    load = getattr(
        braked_axle_loads(
            _static(car), 0.5 * peak, car.body.height, car.body.to_front + car.body.to_rear
        ),
        axle,
    )
    return peak * load * car.tyres.radius / (2.0 * getattr(car.brakes, f"{axle}_torque")) / BAR


@lru_cache(maxsize=64)
def utilisation(vehicle, surface):
    """Utilisation of a car on a surface; stops with one axle, then with anti-lock."""
    car, driven = car_of(Scenario(vehicle=vehicle)), _driven_axle(vehicle)
    static = _static(car)
    height, base = car.body.height, car.body.to_front + car.body.to_rear
    adhesion = {}
    for axle in ("front", "rear"):
        times = ramp_times(vehicle, surface, axle)
        least = [time for time in times[:3] if time <= 1.05 * times[0]]
        rate = braking_rate(40.0 * KMH, 20.0 * KMH, sum(least) / len(least))
        adhesion[axle] = axle_adhesion(
            rate, axle, static, height, base, unbraked_driven=driven != axle
        )
    rate = antilock_rate(vehicle, surface, surface)
    return Utilisation(
        adhesion["front"],
        adhesion["rear"],
        mean_adhesion(adhesion["front"], adhesion["rear"], rate, static, height, base),
        rate,
    )


def antilock_rate(vehicle, left, right):
    """Braking rate [-] of a full stop with anti-lock between 45 and 15 km/h."""
    (trace,) = simulate_many([_stop(vehicle, left, right, 55.0, brake_bar=130.0, duration_s=12.0)])
    return braking_rate(45.0 * KMH, 15.0 * KMH, passing_time(trace, 45.0, 15.0))


def _driven_axle(vehicle):
    return catalogue.in_use().vehicles()[vehicle]["drive"]


def _static(car):
    weight, base = car.body.mass * car.body.gravity, car.body.to_front + car.body.to_rear
    return LoadedAxles(weight * car.body.to_rear / base, weight * car.body.to_front / base)


#: Pressure [bar] of a firm stop; chosen for this course.
FIRM_BAR = 100.0


def service_stop(vehicle, booster=True, **values):
    """(way [m], mean deceleration [m/s^2]) of a firm stop from 100 km/h on dry asphalt, motor or
    engine disconnected, with or without the help of the booster. `values` replaces values of the
    vehicle.
    """
    stop = _stop(
        vehicle,
        "dry_asphalt",
        "",
        100.0,
        brake_bar=FIRM_BAR,
        brake_rise_s=0.2,
        duration_s=25.0,
        faults={} if booster else {"booster": "lost"},
    )
    stop = replace(stop, vehicle_values={**stop.vehicle_values, **values})
    trace = simulate_many([stop])[0]
    moving = trace.speed > 0.3
    way = float(trace.x[moving][-1] - trace.x[0])
    fast, slow = (float(np.interp(-v * KMH, -trace.speed, trace.x)) for v in (80.0, 10.0))
    return way, mean_developed_deceleration(100.0, fast, slow)
