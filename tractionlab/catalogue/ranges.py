"""Which keys surfaces, tyres, vehicles, control settings and drivers have, and from where to
where each number may go.
"""

import tomllib

from tractionlab.catalogue.places import data_folder

SURFACE_RANGES = {
    "burckhardt": {
        "c1": (0.0, 2.0),
        "c2": (0.5, 1000.0),
        "c3": (-0.5, 2.0),
        "speed_factor_s_per_m": (0.0, 0.1),
    },
    "magic_formula": {
        "b": (0.5, 60.0),
        "c": (1.0, 2.5),
        "d": (0.01, 2.0),
        "e": (-10.0, 1.0),
        "speed_factor_s_per_m": (0.0, 0.1),
    },
}
TYRE_RANGES = {"adhesion": (0.2, 2.0), "slip": (0.7, 1.5)}
CALIPER_RANGES = {
    "driven_gap_cm3": (0.05, 3),
    "driven_cm3_per_bar": (0.008, 0.2),
    "other_gap_cm3": (0.05, 3),
    "other_cm3_per_bar": (0.008, 0.2),
    "gap_knee_bar": (0.1, 3),
}
VEHICLE_RANGES = {
    "mass_kg": (500, 4000),
    "yaw_inertia_kg_m2": (300, 12000),
    "wheelbase_m": (1.5, 5),
    "driven_axle_load_share": (0.2, 0.8),
    "centre_of_mass_height_m": (0.2, 1.5),
    "track_m": (1, 2.5),
    "drag_area_m2": (0.2, 3),
    "tyre_radius_m": (0.2, 0.6),
    "rolling_radius_loss": (0, 0.05),
    "rolling_coefficient": (0, 0.05),
    "relaxation_length_m": (0.1, 1),
    "tyre_damping_time_s": (0.001, 0.02),
    "side_stiffness_ratio": (0.2, 1.5),
    "load_sensitivity": (0, 0.3),
    "reference_load_N": (1000, 10000),
    "wheel_inertia_kg_m2": (0.3, 5),
    "gear_ratio": (3, 30),
    "gear_ratio_2": (0, 30),
    "gear_ratio_3": (0, 30),
    "gear_ratio_4": (0, 30),
    "gear_ratio_5": (0, 30),
    "gear_ratio_6": (0, 30),
    "gear_inertia_kg_m2": (0.005, 0.3),
    "driveline_efficiency": (0.7, 1),
    "limited_slip_preload_Nm": (0, 300),
    "locking_value": (0, 0.9),
    "max_torque_Nm": (30, 800),
    "max_power_kW": (20, 500),
    "best_speed_rpm": (1000, 9000),
    "torque_droop": (0, 0.9),
    "idle_speed_rpm": (0, 1500),
    "bite_speed_rpm": (0, 3000),
    "top_speed_rpm": (3000, 20000),
    "engine_friction_Nm": (0, 80),
    "engine_inertia_kg_m2": (0, 1),
    "clutch_capacity_Nm": (0, 1200),
    "clutch_slip_rad_per_s": (5, 50),
    "intake_time_s": (0.02, 0.5),
    "airflow": (1, 20),
    "throttle_rate_per_s": (1, 50),
    "recuperation_Nm": (0, 500),
    "torque_rate_Nm_per_s": (200, 50000),
    "driven_brake_Nm_per_bar": (2, 60),
    "other_brake_Nm_per_bar": (2, 60),
    "disc_mass_kg": (1, 25),
    "disc_specific_heat_J_per_kg_K": (300, 1200),
    "disc_cooling_still_per_s": (0, 0.1),
    "disc_cooling_per_m": (0, 0.01),
    "yaw_sensor": (0, 1),
    "sensor_gap_mm": (0.1, 10),
    "teeth": (12, 200),
} | CALIPER_RANGES
#: Numbers of a vehicle that count something, or say whether it is there.
VEHICLE_WHOLE = ("teeth", "yaw_sensor")
VEHICLE_WORDS = {
    "drive": ("rear", "front", "all"),
    "motor": ("combustion", "electric"),
    "layout": ("A", "B"),
    "wheel_sensors": ("passive", "active"),
}
#: name -> {low, high, does} of each parameter of the control unit, from data/control.toml.
CONTROL_PARAMETERS = tomllib.loads((data_folder() / "control.toml").read_text("utf-8"))[
    "parameters"
]
CONTROL_RANGES = {name: (row["low"], row["high"]) for name, row in CONTROL_PARAMETERS.items()}
DRIVER_RANGES = {
    "lane_gain_rad_per_m": (0, 1),
    "heading_gain": (0, 5),
    "steer_most_deg": (0, 45),
    "steer_lag_s": (0.01, 2),
    "brake_ramp_s": (0.1, 5),
    "foot_change_s": (0.05, 2),
    "clutch_open_s": (0.02, 2),
    "clutch_close_s": (0.02, 2),
    "clutch_soft_share": (0.02, 1),
    "clutch_match_rpm": (10, 1000),
    "shift_s": (0.05, 2),
    "shift_up_below_top_rpm": (300, 3000),
    "shift_up_easy_rpm": (1500, 9000),
    "shift_fit_rpm": (1000, 4000),
    "shift_down_rpm": (800, 3000),
    "hold_longest_s": (0, 5),
    "hold_hill_percent": (5, 60),
}
