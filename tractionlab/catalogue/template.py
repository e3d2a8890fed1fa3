"""`tractionlab vehicle new`: a commented my_vehicles.toml with every key, its meaning, unit, range
and the value of a car of the course.
"""

from pathlib import Path

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.ranges import VEHICLE_RANGES, VEHICLE_WORDS
from tractionlab.errors import UserError

#: Group -> {key: (unit, meaning)}, in the order of the file. Every key of a vehicle stands here
#: once.
MEANINGS = {
    "Kind of car": {
        "drive": ("", "axle that the engine drives"),
        "motor": ("", "kind of engine"),
        "layout": (
            "",
            "hydraulic layout: A with an accumulator, B with valve pairs and a return pump",
        ),
    },
    "Body": {
        "mass_kg": ("kg", "the whole car as it drives"),
        "yaw_inertia_kg_m2": ("kg m2", "inertia about the upright axis"),
        "wheelbase_m": ("m", "from axle to axle"),
        "driven_axle_load_share": ("share", "weight on the driven axle, car standing"),
        "centre_of_mass_height_m": ("m", "height of the centre of mass"),
        "track_m": ("m", "from the left wheel to the right one"),
        "drag_area_m2": ("m2", "drag coefficient times frontal area"),
    },
    "Tyres and wheels": {
        "tyre_radius_m": ("m", "rolling radius at the reference load, 0.485 x outer diameter"),
        "rolling_radius_loss": ("-", "share of it lost when the load rises by the reference load"),
        "rolling_coefficient": ("share", "rolling drag over wheel load"),
        "relaxation_length_m": ("m", "distance a tyre rolls until its force has built up"),
        "tyre_damping_time_s": ("s", "damping of the tyre force; numerical"),
        "side_stiffness_ratio": ("share", "cornering stiffness over drive stiffness"),
        "load_sensitivity": ("share", "grip lost when the wheel load doubles"),
        "reference_load_N": ("N", "wheel load at which grip is as the road says"),
        "wheel_inertia_kg_m2": ("kg m2", "one wheel with its brake disc"),
    },
    "Driveline": {
        "gear_ratio": ("", "first gear times final drive"),
        "gear_ratio_2": ("", "second gear times final drive; 0: the car has none"),
        "gear_ratio_3": ("", "third gear times final drive; 0: the car has none"),
        "gear_ratio_4": ("", "fourth gear times final drive; 0: the car has none"),
        "gear_ratio_5": ("", "fifth gear times final drive; 0: the car has none"),
        "gear_ratio_6": ("", "sixth gear times final drive; 0: the car has none"),
        "gear_inertia_kg_m2": ("kg m2", "gearbox, seen at the engine"),
        "driveline_efficiency": ("share", "what arrives at the wheels"),
        "limited_slip_preload_Nm": (
            "N m",
            "what a limited-slip differential moves to the slower side without drive torque",
        ),
        "locking_value": (
            "share",
            "locking value of a limited-slip differential: difference of the two torques over"
            " their sum",
        ),
        "clutch_capacity_Nm": ("N m", "most torque of the clutch; petrol"),
        "clutch_slip_rad_per_s": ("rad/s", "speed over which it begins to grip; numerical"),
    },
    "Engine": {
        "max_torque_Nm": ("N m", "most torque"),
        "max_power_kW": ("kW", "most power"),
        "best_speed_rpm": ("rpm", "speed of most torque"),
        "torque_droop": ("share", "torque lost far away from it"),
        "idle_speed_rpm": ("rpm", "idle speed; 0 for an electric motor"),
        "bite_speed_rpm": ("rpm", "speed at which the clutch takes hold"),
        "top_speed_rpm": ("rpm", "top speed"),
        "engine_friction_Nm": ("N m", "drag with the fuel cut off"),
        "engine_inertia_kg_m2": ("kg m2", "engine and flywheel, or rotor"),
        "intake_time_s": ("s", "filling of the intake; petrol"),
        "airflow": ("", "how much air an open throttle lets through; petrol"),
        "throttle_rate_per_s": ("1/s", "how fast the plate moves, strokes a second"),
        "recuperation_Nm": ("N m", "drag of an electric motor, accelerator free and car rolling"),
        "torque_rate_Nm_per_s": ("N m/s", "how fast an electric motor changes its torque"),
    },
    "Brakes": {
        "driven_brake_Nm_per_bar": ("N m/bar", "torque of one brake of the driven axle"),
        "other_brake_Nm_per_bar": ("N m/bar", "torque of one brake of the other axle"),
        "driven_gap_cm3": ("cm3", "fluid until the pads touch, one caliper of the driven axle"),
        "driven_cm3_per_bar": ("cm3/bar", "further fluid with pressure, caliper and line"),
        "other_gap_cm3": ("cm3", "fluid until the pads touch, one caliper of the other axle"),
        "other_cm3_per_bar": ("cm3/bar", "further fluid with pressure, caliper and line"),
        "gap_knee_bar": ("bar", "pressure at which half the clearance is closed"),
        "disc_mass_kg": ("kg", "one brake disc"),
        "disc_specific_heat_J_per_kg_K": ("J/(kg K)", "specific heat of the disc"),
        "disc_cooling_still_per_s": ("1/s", "cooling of the standing car"),
        "disc_cooling_per_m": ("1/m", "further cooling with speed"),
    },
    "Sensors": {
        "wheel_sensors": ("", "passive: a coil with a magnet; active: electronics in the sensor"),
        "sensor_gap_mm": ("mm", "gap from each wheel sensor to its ring"),
        "teeth": ("", "teeth of each wheel's ring; the control unit is coded for them"),
        "yaw_sensor": ("", "1: the control unit reads a yaw rate sensor, 0: it has none"),
    },
}

_HEAD = (
    "# Vehicles of your own. Put this file beside the lessons under the name "
    "my_vehicles.toml: panels, exercises and runs started there find it.\n"
    "# The table's name, [my_car], is what scenario files say; `name` is what people "
    "read in the menus. Further cars are further tables.\n"
    "# What you leave out is as in the course's car of the line `like`. To change a "
    "value, take away the # before it, write your number,\n"
    "# and say in `source` where it comes from. Behind each value: its unit, the "
    "range it may have, and what it means.\n"
    "\n"
    "[my_car]\n"
    'name = "My own car"\n'
    'like = "{like}"\n'
)


def template(like):
    """Text of a my_vehicles.toml whose one vehicle is like the course car `like`."""
    car = catalogue.pick(catalogue.shipped().vehicles(), like, "car of the course")
    lines = [_HEAD.format(like=like)]
    for group, keys in MEANINGS.items():
        lines.append(f"# ---- {group}")
        lines += [_line(key, car[key], unit, meaning) for key, (unit, meaning) in keys.items()]
        lines.append("")
    return "\n".join(lines)


def _line(key, value, unit, meaning):
    if key in VEHICLE_WORDS:
        shown, span = f'"{value}"', " or ".join(VEHICLE_WORDS[key])
    else:
        low, high = VEHICLE_RANGES[key]
        shown, span = f"{value:g}", f"{low:g} to {high:g}" + (f" {unit}" if unit else "")
    return f'#{key} = {{ value = {shown}, source = "where from" }}   # {span}: {meaning}'


def main(args):
    """Run `tractionlab vehicle new FILE`."""
    path, text = Path(args.file), template(args.like)
    try:
        with open(path, "x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise UserError(
            f"{path} is there already, and stays as it is. Choose another name, or add a table"
            " to it."
        ) from None
    except OSError as problem:
        raise UserError(
            f"{path} cannot be written ({problem.strerror}). Choose another folder."
        ) from None
    like = catalogue.shipped().vehicles()[args.like]
    print(
        f"Saved {path}: a car like the {like.name.lower()}. Open it in an editor; what to do"
        " stands at its top."
    )
    if path.name != "my_vehicles.toml":
        print("The course reads it under the name my_vehicles.toml, beside the lessons.")
