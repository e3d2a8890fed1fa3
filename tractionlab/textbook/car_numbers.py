"""Numbers of a car as a task gives them: rounded to the figures that are shown, and worked with."""

from tractionlab.textbook.formulas import inertia_at_wheel
from tractionlab.textbook.longitudinal import GRAVITY


def _short(value):
    """A value in few digits: whole, or with one place."""
    return round(value) if value == round(value) else round(value, 1)


def suits(car, about):
    """True if a task can take numbers of a car: it has one driven axle, and what the task is about,
    {key of the vehicle: value}.
    """
    return car["drive"] != "all" and all(car[key] == value for key, value in about.items())


def car_numbers(car):
    """What a task can take from a car of the catalogue, by name, in the units of the trade.

    Parameters
    ----------
    car : Entry of a vehicle

    Returns
    -------
    dict : mass [kg], axle (drive, share of the weight), share [%], height, wheelbase, track, radius
        [m], load (driven wheel at rest) [N], Nm_per_bar (brake of a driven wheel), gap [cm3] and
        cm3_per_bar of this brake, disc [kg], ratio (first gear), gears (with losses), efficiency
        [%], full, friction and burning torque of the engine [N m], wheel_torque (full, at each of
        two driven wheels) [N m], inertia (that one wheel turns) [kg m2], teeth
    """
    ratio, efficiency = car["gear_ratio"], car["driveline_efficiency"]
    friction = _short(car["engine_friction_Nm"])
    turning = inertia_at_wheel(
        car["wheel_inertia_kg_m2"], car["gear_inertia_kg_m2"] + car["engine_inertia_kg_m2"], ratio
    )
    return {
        "mass": round(car["mass_kg"]),
        "axle": (car["drive"], round(car["driven_axle_load_share"], 2)),
        "share": round(100 * car["driven_axle_load_share"]),
        "height": round(car["centre_of_mass_height_m"], 2),
        "wheelbase": round(car["wheelbase_m"], 2),
        "track": round(car["track_m"], 2),
        "radius": round(car["tyre_radius_m"], 3),
        "load": round(car["mass_kg"] * GRAVITY * car["driven_axle_load_share"] / 2),
        "Nm_per_bar": _short(car["driven_brake_Nm_per_bar"]),
        "gap": round(car["driven_gap_cm3"], 2),
        "cm3_per_bar": round(car["driven_cm3_per_bar"], 3),
        "disc": _short(car["disc_mass_kg"]),
        "ratio": _short(ratio),
        "gears": round(ratio * efficiency, 2),
        "efficiency": round(100 * efficiency),
        "full": _short(car["max_torque_Nm"]),
        "friction": friction,
        "burning": _short(car["max_torque_Nm"] + friction),
        "wheel_torque": round(car["max_torque_Nm"] * ratio * efficiency / 2, 1),
        "inertia": round(turning, 2),
        "teeth": int(car["teeth"]),
    }
