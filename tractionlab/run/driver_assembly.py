"""From a scenario in everyday units to its driver in SI: feet, hands and steering."""

from math import atan, radians, sin

from tractionlab.catalogue import entries as catalogue
from tractionlab.run.assembly import GRAVITY
from tractionlab.run.driver import Driver
from tractionlab.run.gear_change import DRIVER, OPEN, SHUT
from tractionlab.run.scenario import vehicle_values
from tractionlab.units import BAR, RPM


def driver_of(scenario):
    """Driver of a scenario."""
    d, top = catalogue.in_use().driver_settings()["course"], vehicle_values(scenario)
    start, until, fall, brake_from = _feet(scenario, d)
    up = top["top_speed_rpm"] - d["shift_up_below_top_rpm"]
    return Driver(
        start=start,
        pedal=scenario.pedal_percent / 100.0,
        pedal_rise=scenario.pedal_rise_s,
        pedal_until=until,
        pedal_fall=fall,
        brake_pressure=scenario.brake_bar * BAR,
        brake_from=brake_from,
        brake_until=scenario.brake_until_s,
        brake_rise=d["brake_ramp_s"] if scenario.brake_rise_s is None else scenario.brake_rise_s,
        brake_fall=d["brake_ramp_s"],
        gear=0.0 if scenario.gear == "auto" else float(scenario.gear),
        clutch={"driver": DRIVER, "shut": SHUT, "open": OPEN}[scenario.clutch],
        clutch_open=d["clutch_open_s"],
        clutch_close=d["clutch_close_s"],
        clutch_soft=d["clutch_soft_share"],
        clutch_match=d["clutch_match_rpm"] * RPM,
        shift=d["shift_s"],
        shift_up=up * RPM,
        shift_up_easy=min(up, d["shift_up_easy_rpm"]) * RPM,
        shift_fit=d["shift_fit_rpm"] * RPM,
        shift_down=d["shift_down_rpm"] * RPM,
        hold_torque=_hand_brake(scenario, d, top),
        hold_longest=d["hold_longest_s"],
        steer=radians(scenario.steer_deg),
        keep_lane=float(scenario.keep_lane),
        lane_gain=d["lane_gain_rad_per_m"],
        heading_gain=d["heading_gain"],
        steer_most=radians(d["steer_most_deg"]),
        steer_lag=d["steer_lag_s"],
        control_off=float(scenario.switched_off),
    )


def _hand_brake(scenario, d, car):
    """Torque [N m] that the hand brake holds at each rear wheel; 0 but for a car that stands on a
    road uphill, and not by the foot brake. `d`, `car`: values of driver and vehicle.
    """
    stands = scenario.slope_percent > 0.0 and scenario.initial_speed_kmh == 0.0
    by_foot = scenario.brake_bar > 0.0 and scenario.brake_from_s == 0.0
    if by_foot or not (scenario.hold_on_hill and stands):
        return 0.0
    steepest = car["mass_kg"] * GRAVITY * sin(atan(d["hold_hill_percent"] / 100.0))
    return 0.5 * steepest * car["tyre_radius_m"]


def _feet(scenario, d):
    """(when the accelerator is pressed and lifted, how long lifting takes, when the brake pedal
    is pressed) [s]: one foot does both, and a change from accelerator to brake takes its time. A
    standing car is held, by foot or hand, while it pulls away. `d`: values of the driver."""
    start, until, fall = scenario.pedal_from_s, scenario.pedal_until_s, scenario.pedal_fall_s
    brake, let_go = scenario.brake_from_s, scenario.brake_until_s
    if scenario.both_feet or scenario.brake_bar == 0.0 or scenario.pedal_percent == 0.0:
        return start, until, fall, brake
    if start < brake < until + fall:
        if until >= brake:
            until, fall = brake, d["foot_change_s"]
        brake = until + fall
    elif brake <= start < let_go and scenario.initial_speed_kmh > 0.0:
        start = let_go + d["brake_ramp_s"]
    return start, until, fall, brake
