"""Numbers that the lessons state, computed by the package.

A lesson's cell calls one of these and says the result.
"""

import numpy as np
from IPython.display import Markdown

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.heat import launches, rests
from tractionlab.panels.launch import outcome
from tractionlab.panels.throttle import PEDALS, sweep
from tractionlab.panels.worked_out import once
from tractionlab.physics.tyre import adhesion
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import row_of
from tractionlab.textbook.formulas import brake_power, inertia_at_wheel
from tractionlab.textbook.longitudinal import (
    GRAVITY,
    Layout,
    grip_share,
    open_axle_force,
    wheel_flare,
)
from tractionlab.units import IN_KMH


def say(text):
    """Text with computed numbers, as a paragraph of the lesson."""
    return Markdown(text)


def reveal(text):
    """The result of something the learner has predicted: folded until it is opened."""
    return Markdown(f"<details><summary>Show the result</summary>\n\n{text}\n\n</details>")


def curve(surface):
    """(slip at the top [%], grip at the top, grip at 100 % slip) of a surface under the course's
    tyre at very low speed.
    """
    row = row_of(surface, Scenario.tyre)
    slips = np.linspace(0.0, 1.0, 10001)
    grip = np.array([adhesion(slip, 0.0, row) for slip in slips])
    top = int(grip.argmax())
    return 100 * float(slips[top]), float(grip[top]), float(grip[-1])


def hand_pull(grip):
    """(largest push [N] with, and without load transfer, engine torque for it [N m], full engine
    torque [N m]) of the rear-drive course car.
    """
    car = catalogue.in_use().vehicles()["rear_petrol"]
    base, share = car["wheelbase_m"], car["driven_axle_load_share"]
    weight = car["mass_kg"] * GRAVITY
    push = weight * grip_share(
        grip, Layout(base, car["centre_of_mass_height_m"], base * share), "rear"
    )
    torque = push * car["tyre_radius_m"] / (car["gear_ratio"] * car["driveline_efficiency"])
    return push, grip * weight * share, torque, car["max_torque_Nm"]


def best_throttle(surface, vehicle="rear_petrol"):
    """(best throttle of the sweep [%], speed it brings [km/h], speed at full throttle [km/h])
    without control.
    """
    speeds = sweep(vehicle, surface)
    best = int(speeds.argmax())
    return PEDALS[best], speeds[best], speeds[-1]


def split_push(pressure):
    """Push [N] of both wheels: load 3500 N, grip 0.10 and 0.8, 10 N m a bar, radius 0.305 m."""
    return open_axle_force(0.10, 0.8, 3500.0, 10.0 * pressure, 0.305)


def run_up(delay, grip=0.27):
    """Speed [km/h] the rim gains in `delay` [s] at full torque, by hand formula, for petrol and for
    electric course car.
    """
    gained = []
    for key in ("rear_petrol", "front_electric"):
        car = catalogue.in_use().vehicles()[key]
        torque = car["max_torque_Nm"] * car["gear_ratio"] * car["driveline_efficiency"] / 2
        inertia = inertia_at_wheel(
            car["wheel_inertia_kg_m2"],
            car["gear_inertia_kg_m2"] + car["engine_inertia_kg_m2"],
            car["gear_ratio"],
        )
        load = car["mass_kg"] * GRAVITY * car["driven_axle_load_share"] / 2
        gained.append(
            3.6
            * delay
            * car["tyre_radius_m"]
            * wheel_flare(torque, grip, load, car["tyre_radius_m"], inertia)
        )
    return tuple(gained)


@once
def by_control(left, right):
    """(speeds [km/h], brake heat [kJ]) of the rear-drive course car after the launch: without
    control, torque reduction, brake, both.
    """
    merits = [
        outcome(control, left=left, right=right) for control in ("off", "torque", "brake", "both")
    ]
    return [merit.final_speed_kmh for merit in merits], [merit.brake_heat_kJ for merit in merits]


_LIMIT_C = 480


@once
def _launches(rest):
    """(temperature [degC] that the hottest disc gets, whether the control rests a brake) of each of
    ten launches with so many seconds between them.
    """
    traces = launches({"vehicle": "rear_petrol", "slope": 10, "rest": rest, "limit": _LIMIT_C})
    return [(float(trace.disc_temperature.max()), rests(trace)) for trace in traces]


def hottest_by_launch(rest):
    """(launch, temperature [degC] that the hottest disc gets in it) with so many seconds between
    launches.
    """
    hottest = [peak for peak, _ in _launches(rest)]
    return range(1, len(hottest) + 1), hottest


def first_pause(rest):
    """Launch at which the control rests the brake, with so many seconds between launches; None if
    it does not in ten.
    """
    return next((n for n, (_, rested) in enumerate(_launches(rest), 1) if rested), None)


def hand_heat(torque, speed_kmh):
    """Brake power [kW] of a torque [N m] at a wheel speed, radius 0.30 m."""
    return brake_power(torque, speed_kmh / IN_KMH, 0.30) / 1000
