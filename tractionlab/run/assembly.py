"""From a scenario in everyday units to the parameters of the kernels in SI."""

from functools import lru_cache
from math import atan, cos, pi, sin

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.gears import MOST_GEARS, overall_ratios
from tractionlab.control.settings import Settings
from tractionlab.physics.brake import Brakes
from tractionlab.physics.car import Car, Driveline, Tyres
from tractionlab.physics.chassis import Body
from tractionlab.physics.driveline import compliance, torque_shares
from tractionlab.physics.engine import Engine
from tractionlab.run.circuit_assembly import blind_speed_of, hydraulics_of
from tractionlab.run.scenario import vehicle_values
from tractionlab.run.signal_faults import engine_excess
from tractionlab.run.surfaces import row_of
from tractionlab.units import BAR, KMH, RPM

GRAVITY = 9.81
AIR_DENSITY = 1.2
OUTDOORS_DEGC = 20.0


def front_axle_share(scenario):
    """Share of the weight on the front axle: a property of the vehicle, whatever axle the scenario
    drives.
    """
    original = catalogue.in_use().vehicles()[scenario.vehicle]["drive"]
    share = vehicle_values(scenario)["driven_axle_load_share"]
    return 1.0 - share if original == "rear" else share


def car_of(scenario):
    """Car of a scenario: parameters of body, tyres, driveline, engine and brakes on its slope."""
    v = vehicle_values(scenario)
    angle = atan(scenario.slope_percent / 100.0)
    base, front_share = v["wheelbase_m"], front_axle_share(scenario)
    driven, other = v["driven_brake_Nm_per_bar"] / BAR, v["other_brake_Nm_per_bar"] / BAR
    front_driven = catalogue.in_use().vehicles()[scenario.vehicle]["drive"] == "front"
    electric, ratios = v["motor"] == "electric", overall_ratios(v)
    axles, centre = scenario.differential == "limited_slip", scenario.centre == "limited"
    preload, share = v["limited_slip_preload_Nm"], 0.5 * v["locking_value"]
    return Car(
        body=Body(
            mass=v["mass_kg"],
            yaw_inertia=v["yaw_inertia_kg_m2"],
            to_front=base * (1.0 - front_share),
            to_rear=base * front_share,
            height=v["centre_of_mass_height_m"],
            track=v["track_m"],
            drag=0.5 * AIR_DENSITY * v["drag_area_m2"],
            slope_sin=sin(angle),
            slope_cos=cos(angle),
            gravity=GRAVITY,
            load_time=0.05,
        ),
        tyres=Tyres(
            radius=v["tyre_radius_m"],
            radius_loss=v["rolling_radius_loss"],
            rolling=v["rolling_coefficient"],
            relaxation=v["relaxation_length_m"],
            damping_time=v["tyre_damping_time_s"],
            side_ratio=v["side_stiffness_ratio"],
            sensitivity=v["load_sensitivity"],
            reference_load=v["reference_load_N"],
        ),
        driveline=Driveline(
            wheel_inertia=v["wheel_inertia_kg_m2"],
            gear_inertia=v["gear_inertia_kg_m2"],
            ratios=ratios + (0.0,) * (MOST_GEARS - len(ratios)),
            gears=float(len(ratios)),
            efficiency=v["driveline_efficiency"],
            lock_preload=preload if axles else 0.0,
            lock_share=share if axles else 0.0,
            centre_preload=preload if centre else 0.0,
            centre_share=share if centre else 0.0,
        ),
        engine=Engine(
            electric=1.0 if electric else 0.0,
            max_torque=v["max_torque_Nm"],
            max_power=1e3 * v["max_power_kW"],
            best_speed=v["best_speed_rpm"] * RPM,
            droop=v["torque_droop"],
            idle_speed=v["idle_speed_rpm"] * RPM,
            bite_speed=v["bite_speed_rpm"] * RPM,
            top_speed=v["top_speed_rpm"] * RPM,
            friction=v["engine_friction_Nm"],
            inertia=v["engine_inertia_kg_m2"],
            clutch_capacity=v["clutch_capacity_Nm"],
            clutch_slip=v["clutch_slip_rad_per_s"],
            intake_time=v["intake_time_s"],
            airflow=v["airflow"],
            plate_rate=v["throttle_rate_per_s"],
            second_plate=1.0 if v["layout"] == "A" else 0.0,
            torque_rate=v["torque_rate_Nm_per_s"],
            recuperation=v["recuperation_Nm"],
            excess=engine_excess(scenario),
        ),
        brakes=Brakes(
            front_torque=0.0 if scenario.braked == "rear" else driven if front_driven else other,
            rear_torque=0.0 if scenario.braked == "front" else other if front_driven else driven,
            pads=scenario.pad_friction,
            disc_heat=v["disc_mass_kg"] * v["disc_specific_heat_J_per_kg_K"],
            cooling_still=v["disc_cooling_still_per_s"],
            cooling_speed=v["disc_cooling_per_m"],
            air_temperature=OUTDOORS_DEGC,
        ),
    )


def settings_of(scenario, gone=()):
    """Settings of the control unit for a scenario, coded for its car; `gone`: names of what its
    self-diagnosis has taken away.
    """
    values = {**catalogue.in_use().control_values().values, **scenario.settings}
    v = vehicle_values(scenario)
    return Settings(
        **{key.removesuffix(unit): value * factor for key, value, unit, factor in _in_si(values)},
        torque_on=float(scenario.control in ("torque", "both") and "torque" not in gone),
        brake_on=float(scenario.control in ("brake", "both") and "brake" not in gone),
        antilock_on=float(scenario.antilock and "antilock" not in gone),
        drag_on=float(scenario.drag_control and "torque" not in gone),
        bend_allowance=float(scenario.bend_allowance),
        throttle_path=float("throttle" in scenario.paths),
        ignition_path=float("ignition" in scenario.paths),
        fuel_path=float("fuel" in scenario.paths),
        all_wheel=float(v["drive"] == "all"),
        yaw_sensor=v["yaw_sensor"],
        blind_speed=blind_speed_of(scenario),
        tooth_pitch=2.0 * pi * v["tyre_radius_m"] / v["teeth"],
        wheel_inertia=v["wheel_inertia_kg_m2"],
        radius=v["tyre_radius_m"],
        track=v["track_m"],
        mass=v["mass_kg"],
        gear_inertia=v["gear_inertia_kg_m2"],
        driven_wheels=4.0 if v["drive"] == "all" else 2.0,
        engine_inertia=v["engine_inertia_kg_m2"],
        efficiency=v["driveline_efficiency"],
        hydraulics=hydraulics_of(scenario),
    )


#: Units at the end of the names in data/control.toml -> what they are in SI.
_UNITS = {"_kmh": KMH, "_bar": BAR, "_m_per_s2": 1.0, "_degC": 1.0, "_s": 1.0}


def _in_si(values):
    """(key, value, unit at the end of the key, its size in SI) of each value."""
    for key, value in values.items():
        unit = next((unit for unit in _UNITS if key.endswith(unit)), "")
        yield key, value, unit, _UNITS.get(unit, 1.0)


def road_of(scenario):
    """(compliance without gearbox, torque shares, surface rows, patches) of a scenario: arrays for
    the loop.
    """
    soft, shares = _driveline(*_driveline_key(scenario))
    names = [patch.surface for patch in scenario.patches] + [
        scenario.left,
        scenario.right or scenario.left,
    ]
    rows = np.array([row_of(name, scenario.tyre) for name in names])
    far = 1e9
    patches = [
        (p.x_from, p.x_to, p.y_from, p.y_to, p.t_from, p.t_to, i)
        for i, p in enumerate(scenario.patches)
    ]
    patches.append((-far, far, 0.0, far, -far, far, len(names) - 2))
    patches.append((-far, far, -far, far, -far, far, len(names) - 1))
    return soft, shares, rows, np.array(patches, dtype=float)


def _driveline_key(scenario):
    v = vehicle_values(scenario)
    return (
        v["wheel_inertia_kg_m2"],
        v["drive"],
        scenario.differential == "locked",
        scenario.centre == "locked",
    )


@lru_cache(maxsize=64)
def _driveline(wheel_inertia, drive, locked, centre_locked):
    shares = torque_shares(drive)
    return compliance(wheel_inertia, shares, locked, centre_locked), shares
