"""Which keys surfaces, vehicles, control settings and drivers have, and from where to where each number may go."""

SURFACE_RANGES = {
    "burckhardt": {"c1": (0.0, 2.0), "c2": (0.5, 1000.0), "c3": (0.0, 2.0), "speed_factor_s_per_m": (0.0, 0.1)},
    "magic_formula": {"b": (0.5, 60.0), "c": (1.0, 2.5), "d": (0.01, 2.0), "e": (-10.0, 1.0), "speed_factor_s_per_m": (0.0, 0.1)},
}
CALIPER_RANGES = {
    "driven_gap_cm3": (0.05, 3), "driven_cm3_per_bar": (0.008, 0.2), "other_gap_cm3": (0.05, 3), "other_cm3_per_bar": (0.008, 0.2),
    "gap_knee_bar": (0.1, 3),
}
VEHICLE_RANGES = {
    "mass_kg": (500, 4000), "yaw_inertia_kg_m2": (300, 12000), "wheelbase_m": (1.5, 5), "driven_axle_load_share": (0.2, 0.8),
    "centre_of_mass_height_m": (0.2, 1.5), "track_m": (1, 2.5), "drag_area_m2": (0.2, 3), "tyre_radius_m": (0.2, 0.6),
    "rolling_coefficient": (0, 0.05), "relaxation_length_m": (0.1, 1), "tyre_damping_time_s": (0.001, 0.02),
    "side_stiffness_ratio": (0.2, 1.5), "load_sensitivity": (0, 0.3), "reference_load_N": (1000, 10000),
    "wheel_inertia_kg_m2": (0.3, 5), "gear_ratio": (3, 30), "gear_inertia_kg_m2": (0.005, 0.3), "driveline_efficiency": (0.7, 1),
    "limited_slip_preload_Nm": (0, 300), "limited_slip_share": (0, 0.8), "max_torque_Nm": (30, 800), "max_power_kW": (20, 500),
    "best_speed_rpm": (1000, 9000), "torque_droop": (0, 0.9), "idle_speed_rpm": (0, 1500), "bite_speed_rpm": (0, 3000),
    "top_speed_rpm": (3000, 20000), "engine_friction_Nm": (0, 80), "engine_inertia_kg_m2": (0, 1), "clutch_capacity_Nm": (0, 1200),
    "clutch_slip_rad_per_s": (5, 50), "intake_time_s": (0.02, 0.5), "airflow": (1, 20), "throttle_rate_per_s": (1, 50),
    "torque_rate_Nm_per_s": (200, 50000), "brake_supply_bar": (50, 250), "pressure_rise_time_s": (0.05, 10),
    "pressure_fall_time_s": (0.02, 5), "pedal_pressure_time_s": (0.02, 1), "driven_brake_Nm_per_bar": (2, 60),
    "other_brake_Nm_per_bar": (2, 60), "disc_mass_kg": (1, 25), "disc_specific_heat_J_per_kg_K": (300, 1200),
    "disc_cooling_still_per_s": (0, 0.1), "disc_cooling_per_m": (0, 0.01), "yaw_sensor": (0, 1), "teeth": (12, 200),
} | CALIPER_RANGES
VEHICLE_WORDS = {"drive": ("rear", "front", "all"), "motor": ("combustion", "electric"), "layout": ("A", "B")}
CONTROL_RANGES = {
    "cycle_s": (0.001, 0.02), "limit_slip": (0, 0.5), "limit_offset_kmh": (0.2, 20), "target_slip": (0, 0.5),
    "target_offset_kmh": (0.1, 20), "reference_rise_m_per_s2": (0.5, 15), "reference_blend_s": (0.01, 10), "torque_gain_per_s": (0, 50), "torque_lead_s": (0, 0.5), "torque_filter_s": (0, 1),
    "torque_return_Nm_per_s": (10, 5000), "torque_return_full_Nm": (1, 2000), "pull_away_Nm_per_s": (50, 10000), "torque_floor_share": (0, 1), "torque_floor_until_kmh": (0.1, 200), "fast_wheel_band_kmh": (0, 100),
    "split_from_kmh": (0, 50), "split_over_kmh": (0.01, 50), "split_pressure_bar": (0.1, 200), "ignition_least": (0.2, 1), "ignition_delay_s": (0, 0.5),
    "fuel_delay_s": (0, 0.5), "motor_delay_s": (0, 0.5), "throttle_delay_s": (0, 0.5), "brake_gain_bar_per_m": (0, 1000),
    "brake_lead_bar_s_per_m": (0, 200), "brake_lead_least": (0, 1), "brake_lead_full_kmh": (0.01, 50), "brake_band_kmh": (0, 20), "brake_ramp_bar_per_s": (5, 2000), "brake_release_bar_per_s": (5, 5000),
    "brake_most_bar": (0, 200), "brake_speed_limit_kmh": (5, 150), "antilock_margin": (0, 2), "antilock_watch_s": (0.02, 1), "antilock_step": (0, 1),
    "antilock_least_slip": (0.005, 0.5), "antilock_most_slip": (0.01, 0.9), "antilock_first_slip": (0.01, 0.5),
    "antilock_offset_kmh": (0, 5), "antilock_lead_s": (0, 0.2), "antilock_gain_bar_per_m": (0, 5000), "antilock_rise_bar_per_s": (10, 5000),
    "antilock_fall_bar_per_s": (10, 10000), "antilock_speed_kmh": (1, 30), "rate_filter_s": (0, 0.2), "heat_pause_degC": (100, 900), "heat_resume_degC": (50, 900),
}
DRIVER_RANGES = {
    "lane_gain_rad_per_m": (0, 1), "heading_gain": (0, 5), "steer_most_deg": (0, 45), "steer_lag_s": (0.01, 2), "brake_ramp_s": (0.01, 5),
}
