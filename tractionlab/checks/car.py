"""Checks of the car: layouts, load transfer, differential, braked wheel, stopping.

The computed side.
"""

import math

from tractionlab.checks.row import published_table
from tractionlab.textbook import longitudinal as line
from tractionlab.textbook import quarter_car

MPH = 0.44704
FOOT = 0.3048
DRY_QUARTER = quarter_car.QuarterCar(225.0, 1.0, 0.3, 1.2801, 23.99, 0.52)


def layout_acceleration():
    layout = line.Layout(2.75, 0.85, 1.15)
    return {
        f"{driven}-wheel drive": line.best_acceleration(0.6, layout, driven)
        for driven in ("rear", "front", "all")
    }


def layout_grade():
    layout = line.Layout(2.675, 0.475, 0.875)
    return {
        f"{driven}-wheel drive": math.degrees(line.steepest_grade(0.5, layout, driven))
        for driven in ("rear", "front", "all")
    }


def axle_loads():
    layout = line.Layout(1.156196 + 1.422717, 0.574869, 1.156196)
    driving, standing = (line.axle_loads(1093.2952, a, layout) for a in (3.0, 0.0))
    return {
        "front axle at 3 m/s2": driving.front,
        "front axle at rest": standing.front,
        "both axles at 3 m/s2": driving.front + driving.rear,
    }


def braked_axles():
    front, rear = line.braked_axle_loads(line.LoadedAxles(8829.0, 5886.0), 0.68, 0.55, 2.7)
    return {"front axle": front, "rear axle": rear}


def split_grip():
    values = {
        f"drive force, {torque:g} N m on the low side": line.open_axle_force(
            0.1, 0.8, 1800.0, torque, 0.3
        )
        for torque in (0.0, 100.0, 200.0, 378.0, 500.0)
    }
    return values | {
        "brake torque for full grip": line.brake_torque_for_full_grip(0.1, 0.8, 1800.0, 0.3)
    }


def differential():
    return {
        "case speed with 0 and 40 rad/s": line.case_speed(0.0, 40.0),
        "free wheel, other held, case 20 rad/s": line.other_wheel_speed(20.0, 0.0),
    }


def trim_torque():
    values = {
        f"steady torque at slip {slip:g}": quarter_car.trim_torque(slip, DRY_QUARTER)
        for slip in (0.02, 0.05, 0.1)
    }
    slip, most = quarter_car.greatest_trim(DRY_QUARTER)
    low, high = quarter_car.equilibria(750.0, DRY_QUARTER)
    return values | {
        "greatest steady torque": most,
        "slip at the greatest torque": slip,
        "750 N m: stable slip": low,
        "750 N m: unstable slip": high,
        "torque of a locked wheel": quarter_car.locked_torque(DRY_QUARTER),
    }


def slip_pole():
    values = {
        f"20 m/s, slip {slip:g}": quarter_car.pole(slip, 20.0, DRY_QUARTER)
        for slip in (0.02, 0.05, 0.1, 0.25, 0.5)
    }
    rows = published_table("slip_dynamics_poles.csv")
    away = {
        key: max(
            abs(quarter_car.pole(row["slip"], row["speed"], DRY_QUARTER) - row[key]) for row in rows
        )
        for key in ("pole", "pole_linearised")
    }
    return values | {
        f"largest difference over {len(rows)} poles": away["pole"],
        f"largest difference over {len(rows)} linearised poles": away["pole_linearised"],
    }


def rule_letter():
    return {"60 mph at 20 ft/s2": line.braking_distance(60.0 * MPH, 20.0 * FOOT) / FOOT}


def highway_code():
    values = {}
    for mph in (20, 30, 40, 50, 60, 70):
        values[f"{mph} mph: braking"] = line.braking_distance(mph * MPH, 6.5563)
        values[f"{mph} mph: total"] = line.stopping_distance(mph * MPH, 0.6818, 6.5563)
    return values


def road_design():
    values = {f"{mph} mph": line.sight_distance_ft(mph) for mph in (30, 60, 70, 80)}
    rows = [
        row for row in published_table("stopping_distances.csv") if row["table"] == "road design"
    ]
    away = max(abs(line.sight_distance_ft(row["speed"]) - row["total"]) for row in rows)
    return values | {f"largest difference over {len(rows)} speeds": away}


def friction_of_stop():
    return {
        "100 km/h in 40 m": line.friction_from_distance(100 / 3.6, 40.0),
        "100 km/h in 60 m": line.friction_from_distance(100 / 3.6, 60.0),
    }


def equivalent_mass():
    parts = line.RotatingParts(2.7, 0.05, 0.7, 4.0, 0.97, 0.95)
    return {
        "first gear, 3.5": line.equivalent_mass(parts, 3.5, 0.3),
        "direct gear": line.equivalent_mass(parts, 1.0, 0.3),
        "rule of thumb, total ratio 4": line.mass_factor(4.0),
        "rule of thumb, total ratio 14": line.mass_factor(14.0),
    }


def flare():
    return {"300 N m on 180 N of grip": line.wheel_flare(300.0, 0.1, 1800.0, 0.3, 1.0)}


CHECKS = {
    "V01": layout_acceleration,
    "V02": layout_grade,
    "V04": axle_loads,
    "V05": braked_axles,
    "V06": split_grip,
    "V07": differential,
    "V08": trim_torque,
    "V09": slip_pole,
    "V11": rule_letter,
    "V12": highway_code,
    "V13": road_design,
    "V14": friction_of_stop,
    "V16": equivalent_mass,
    "V17": flare,
}
