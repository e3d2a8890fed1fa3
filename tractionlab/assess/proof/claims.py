"""Statements to choose between, tested one by one by the course's own models: a second route for
keys that are marked in the bank. Each function takes the drawn values and says of every option, in
the order of the bank, whether it holds. It does not know which one is marked right."""

import numpy as np

from tractionlab.assess.proof import claims_bay
from tractionlab.assess.proof.second.fluid import reached
from tractionlab.bench.bench import Bench
from tractionlab.catalogue.entries import shipped
from tractionlab.hydraulics.layout import layout
from tractionlab.physics.tyre import combined_force
from tractionlab.run.merit import merit
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.run.surfaces import surface_row

_LOAD, _SPEED, _DRIFT = (
    3500.0,
    12.0,
    0.06,
)  # N, m/s and side slip at which tyres are compared; any usual ones do


def side_hold(p):
    """Tyre with both slips at once: the spinning one against the rolling one, its push, a front
    one, and more load.
    """
    row = surface_row(shipped().surfaces()[p["surface"]].curves["burckhardt"])

    def side(slip, load=_LOAD):
        return combined_force(slip, _DRIFT, load, _SPEED, row, 1.0, 0.0, _LOAD)[1]

    push_outwards = abs(combined_force(0.9, 0.0, _LOAD, _SPEED, row, 1.0, 0.0, _LOAD)[1])
    return (
        side(0.9) < 0.5 * side(0.0),
        push_outwards > 0.0,
        side(0.0) < side(0.9),
        side(0.9, 1.2 * _LOAD) < side(0.9),
    )


def _other_side(torque):
    """Torques (right, case) of an open differential: no power is lost whatever the speeds, and the
    case turns at their mean.
    """
    left, right = np.array([3.0, 7.0]), np.array([5.0, 1.0])
    case = (left + right) / 2
    return np.linalg.solve(np.column_stack([right, -case]), -torque * left)


def other_side(p):
    """Power balance at two pairs of speeds.

    What the engine could give is that of the course car at full throttle in first gear.
    """
    torque = p["torque"]
    right, _ = _other_side(torque)
    car = shipped().vehicles()["front_petrol"]
    engine = (
        max(
            simulate(
                Scenario(vehicle="front_petrol", left="dry_asphalt", control="off", duration_s=3.0)
            ).engine_torque
        )
        * car["gear_ratio"]
    )
    return tuple(
        bool(abs(right - said) < 1e-6) for said in (torque, 2 * torque, engine - torque, 0.0)
    )


def spin_speed(p):
    """The wheels turn against each other, seen from the case: what one loses the other gains."""
    case = p["case"]
    right = case - (0.0 - case)
    return tuple(right == said for said in (2 * case, case, case / 2, 0))


def _one_sided(control):
    return simulate(
        Scenario(
            vehicle="front_petrol", left="ice", right="dry_asphalt", control=control, duration_s=4.0
        )
    )


def price(p):
    """One-sided ice with brake action against none: engine power, brake heat, slip of the wheel
    with grip.
    """
    with_brake, without = _one_sided("brake"), _one_sided("off")
    heat, more = (
        merit(with_brake).brake_heat_kJ,
        with_brake.engine_torque.mean() - without.engine_torque.mean(),
    )
    good_side = with_brake.slip[:, 1][with_brake.time > 1.0]
    return heat > 1.0 and more > 0.0, heat < 0.01, float(np.median(good_side)) > 0.15, heat < 0.01


def no_more(p):
    """Push on both sides while the brake torque rises: where it ends, whether a held wheel still
    passes torque, how warm the disc is.
    """
    radius = 0.3
    brake = np.linspace(0.0, 3000.0, 601)
    good = np.minimum(p["low"] * _LOAD + brake / radius, p["high"] * _LOAD)
    ends = brake[np.argmax(good >= good[-1] - 1e-9)]
    held_passes = good[np.searchsorted(brake, 1.5 * p["low"] * _LOAD * radius)] > p["low"] * _LOAD
    shares_equal = abs(_other_side(100.0)[0] - 100.0) < 1e-6
    warm = 20.0 + ends * (_SPEED / 2 / radius) * 1.0 / (4.0 * 460.0)
    return (
        bool(good[-1] == p["high"] * _LOAD),
        not held_passes,
        not shares_equal,
        bool(warm > shipped().control_values()["heat_pause_degC"]),
    )


def why_not_long(p):
    """Delays and smallest shares of the ways in the control settings, and a run in which every way
    is used.
    """
    course = shipped().control_values()
    delays = {way: course[f"{way}_delay_s"] for way in ("ignition", "fuel")}
    run = simulate(
        Scenario(
            vehicle="rear_petrol",
            left="ice",
            control="torque",
            paths=("throttle", "ignition"),
            duration_s=4.0,
        )
    )
    without_fuel = simulate(
        Scenario(vehicle="rear_petrol", left="ice", control="off", duration_s=4.0)
    )
    return (
        0.0 < course["ignition_min"] < 1.0,
        delays["ignition"] > delays["fuel"],
        bool(run.engine_torque.mean() >= without_fuel.engine_torque.mean()),
        bool(run.pressure.max() > 1e3),
    )


def _from(key, mode, start, *goals):
    shown = layout(key)
    return all(goal in reached(shown, shown.modes[mode], start) for goal in goals)


def pedal_not_needed(p):
    """The bench without foot and booster, its pumps standing, with a full and with an empty
    accumulator; whether the return pump should run.
    """

    def most(filled):
        bench = Bench("A", filled=filled)
        bench.mode("tc_increase")
        bench.powered = False  # nobody watches the accumulator, so the charge pump does not help
        return float(bench.run(0.5).wheel("RL").max())

    alone, pump = (
        most(True) > p["pressure"],
        layout("A").modes["tc_increase"]["return_pump"] == "run",
    )
    return alone and most(False) < 1.0, not alone, pump, not alone


def _pedal_brakes(key):
    """Wheels that the pedal reaches without current."""
    shown = layout(key)
    starts = [name for name in shown.nodes if name.startswith("MC_")]
    return {
        wheel
        for wheel in shown.nodes
        if wheel.startswith("W_") and any(_from(key, "all_off", start, wheel) for start in starts)
    }


def no_current(p):
    """Rest positions: which wheels the pedal and the accumulator reach."""
    wheels, store = _pedal_brakes("A"), _from("A", "all_off", "ACC", "W_RL")
    return (
        len(wheels) == 4 and not store,
        not wheels,
        wheels == {"W_FL", "W_FR"},
        len(wheels) == 4 and store,
    )


def extra(p):
    """Parts that move for traction control and never for anti-lock; whether plain anti-lock
    positions let pump pressure stay.
    """
    shown = layout("B")

    def moved(prefix):
        return {
            part.rsplit("_", 1)[0]
            for mode, positions in shown.modes.items()
            if mode.startswith(prefix)
            for part, position in positions.items()
            if position != shown.components[part].rest_position
            and part not in ("pedal_port", "return_pump")
        }

    only = moved("tc_") - moved("abs_")
    open_to_pedal = _from("B", "abs_increase", "L_1", "MC_1")
    return (
        only == {"isolating_valve", "priming_valve"},
        any(name.startswith("ACC") for name in shown.nodes),
        bool(only & {"inlet", "outlet"}),
        not open_to_pedal,
    )


def _time_to_brake(degrees):
    """Seconds until the bench, which has no pads, no road and no control unit, brings 10 bar to a
    wheel of layout B.
    """
    bench = Bench("B", temperature=float(degrees))
    bench.mode("tc_increase")
    bench.run(3.0)
    return float(bench.time[np.argmax(bench.wheel("FL") >= 10.0)])


def cold_pump(p):
    """The bench alone is late in the cold: so it takes neither pads nor tyres nor a unit that
    waits.
    """
    late = _time_to_brake(p["degrees"]) > 1.5 * _time_to_brake(20)
    return late, not late, not late, not late


def brake_electric(p):
    """Both layouts at rest, and a full stop without anti-lock."""
    wheels = [_pedal_brakes(key) for key in "AB"]
    stop = simulate(
        Scenario(
            vehicle="rear_petrol",
            left="wet_asphalt",
            initial_speed_kmh=60.0,
            pedal_percent=0.0,
            brake_bar=150.0,
            brake_until_s=4.0,
            antilock=False,
            duration_s=2.0,
        )
    )
    locks = bool(stop.slip.min() < -0.9)
    return (
        all(len(found) == 4 for found in wheels) and locks,
        any(not found for found in wheels),
        any(found == {"W_FL", "W_FR"} for found in wheels),
        not locks,
    )


CLAIMS = {
    "1-side-hold": side_hold,
    "2-other-side": other_side,
    "2-price": price,
    "2-spin-speed": spin_speed,
    "2-no-more": no_more,
    "5-why-not-long": why_not_long,
    "6-pedal-not-needed": pedal_not_needed,
    "6-no-current": no_current,
    "7-extra": extra,
    "7-cold": cold_pump,
    "9-brake-electric": brake_electric,
    **claims_bay.CLAIMS,
}
