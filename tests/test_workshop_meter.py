"""Meter, clamp and oscilloscope: what they show, do to the circuit, and refuse."""

from dataclasses import replace
from math import isnan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from workshop_readings import PUMP, V1, V2, at

from tractionlab.errors import UserError
from tractionlab.sensors.ring import TURN
from tractionlab.workshop.instruments.meter import (
    COUNTS,
    INPUT_OHM,
    RANGES,
    clamp,
    measure,
    refusal,
)
from tractionlab.workshop.instruments.scope import pump_current, record, turned_by_hand, wheel_waves
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.network import Network

UNIT_PINS = ("unit.sensor_fl", "unit.ground")
OFF = at("off", pulled=("unit",))


def car(vehicle=V1, **changes):
    return Network(
        vehicle,
        changed(
            part_values(vehicle),
            {name.replace("__", "."): value for name, value in changes.items()},
        ),
    )


# Voltage


def test_the_meter_loads_what_it_measures():
    """5 V through 1 Mohm, over the meter's 10 Mohm beside the input's 10 Mohm: 5 x 5/6."""
    net = car(unit__bias_ohm=1e6)
    reading = measure(net, at(pulled=("sensor_fl",)), "volt_dc", *UNIT_PINS)
    assert INPUT_OHM == 1e7 and reading.value == pytest.approx(5.0 * 5 / 6, abs=0.01)
    assert net.solve(at(pulled=("sensor_fl",))).voltage(*UNIT_PINS) == pytest.approx(
        5.0 * 10 / 11, abs=0.01
    )


def test_probes_changed_over_give_the_other_sign():
    there, back = (measure(car(), at(), "volt_dc", *pins) for pins in (UNIT_PINS, UNIT_PINS[::-1]))
    assert there.shown == "0.547 V" and back.shown == "\u22120.547 V" and there.value == -back.value


@pytest.mark.parametrize(
    "span, shown", [(0.2, "OL"), (2.0, "0.547 V"), (20.0, "0.55 V"), (200.0, "0.5 V")]
)
def test_ranges_and_over_range(span, shown):
    assert measure(car(), at(), "volt_dc", *UNIT_PINS, span=span).shown == shown


@given(st.floats(-199.0, 199.0))
@settings(max_examples=200, deadline=None)
def test_display_is_within_half_a_count(volt):
    reading = measure(car(), at(), "volt_dc", *UNIT_PINS, wave=np.full(3, volt))
    span = next(span for span in RANGES["volt_dc"] if abs(volt) < span * (1 - 0.5 / COUNTS))
    assert abs(reading.value - volt) <= 0.5 * span / COUNTS * 1.0001
    assert float(reading.shown.split()[0].replace("\u2212", "-")) == pytest.approx(
        reading.value, abs=1e-9
    )


def test_alternating_voltage_of_a_wheel_turned_once_a_second():
    """0.58 V from peak to peak is 0.20 V rms for a sine; direct voltage stays at the bias (course
    values, invented).
    """
    time = np.linspace(0.0, 1.0, 4001)
    wave = wheel_waves(car(), at(), [UNIT_PINS], time, turned_by_hand("fl", 1.0, time))[0]
    assert measure(car(), at(), "volt_ac", *UNIT_PINS, wave=wave).value == pytest.approx(
        0.204, abs=0.002
    )
    assert measure(car(), at(), "volt_dc", *UNIT_PINS, wave=wave).shown == "0.547 V"
    assert measure(car(), at(), "volt_ac", *UNIT_PINS).value == 0.0


@pytest.mark.parametrize(
    "changes, low, high",
    [
        ({}, 0.19, 0.22),
        ({"sensor_fl__gap_mm": 2.0}, 0.04, 0.06),
        ({"sensor_fl__coil_ohm": 200.0, "sensor_fl__volts_per_hertz": 0.0027}, 0.0, 0.05),
    ],
)
def test_catalogue_readings_at_one_turn_a_second(changes, low, high):
    assert (
        low <= record(car(**changes), at(), "turn", [UNIT_PINS], seconds=1.0).figures(0)[4] <= high
    )


# Resistance


def test_coil_through_its_leads_and_alone():
    assert measure(car(), OFF, "ohm", "unit.sensor_fl", "unit.return_fl").shown == "1.100 kohm"
    assert (
        measure(
            car(),
            at("off", pulled=("sensor_fl",)),
            "ohm",
            "sensor_fl.1.device",
            "sensor_fl.2.device",
        ).shown
        == "1.100 kohm"
    )
    assert (
        measure(
            car(),
            at("off", pulled=("unit", "sensor_fl")),
            "ohm",
            "unit.sensor_fl",
            "unit.return_fl",
        ).shown
        == "OL"
    )


def test_ohms_under_voltage_warn_and_mean_nothing():
    reading = measure(car(), at(), "ohm", *UNIT_PINS)
    assert (
        reading.shown == "OL"
        and "547 mV" in reading.warnings[0]
        and "Ohms are measured without voltage" in reading.warnings[0]
    )


def test_nonsense_is_what_a_real_ohmmeter_would_show():
    """Its display is the voltage over its test current: 0.2 V fills a range.

    With U of the circuit itself it shows R + U/I.
    """
    net, ends = car(V2, stud_pump__ohm=0.002), ("stud_pump.lead", "body")
    own = net.solve(PUMP).voltage(*ends)
    assert 0.03 < own < 0.1
    reading = measure(net, PUMP, "ohm", *ends, span=200.0)
    assert reading.value == pytest.approx(0.002 + own / (0.2 / 200.0), abs=0.2) and reading.warnings
    assert measure(net, at("off", pulled=("pump",)), "ohm", *ends).value == pytest.approx(
        0.0, abs=0.1
    )


def test_a_way_beside_the_part_is_measured_too():
    """Two end resistors of 120 ohm side by side: 60 ohm; one plug off: 120; both off: nothing."""
    pins = ("diagnosis_socket.bus_high", "diagnosis_socket.bus_low")
    shown = [
        measure(car(V2), at("off", pulled=plugs), "ohm", *pins).value
        for plugs in ((), ("engine_unit",), ("unit",))
    ]
    assert shown == pytest.approx([60.1, 120.0, 120.0], abs=0.2)
    assert measure(car(V2), at("off", pulled=("engine_unit", "unit")), "ohm", *pins).shown == "OL"


def test_continuity_beeps_for_one_strand():
    net, ends, pulled = (
        car(V2, lead_pump_feed_1__ohm=0.304),
        ("relay_pump.out", "pump.1"),
        at("off", pulled=("pump", "unit", "relay_pump")),
    )
    assert measure(net, pulled, "continuity", *ends).beeps
    assert not measure(
        net,
        at("off", pulled=("pump", "unit", "relay_pump")),
        "continuity",
        "relay_pump.out",
        "relay_pump.in",
    ).beeps


def test_diode_function_tells_the_direction():
    pins = ("unit.ground.device", "unit.supply.device")
    assert measure(car(V2), OFF, "diode", *pins).value == pytest.approx(0.6, abs=0.002)
    assert measure(car(V2), OFF, "diode", *pins[::-1]).shown == "OL"


@given(st.floats(1.0, 1.9e7))
@settings(max_examples=25, deadline=None)
def test_ohmmeter_shows_any_resistance(ohm):
    net = car(tc_switch__bridge_ohm=ohm)
    reading = measure(
        net, at("off", pulled=("tc_switch",)), "ohm", "tc_switch.1.device", "tc_switch.2.device"
    )
    assert reading.value == pytest.approx(ohm, rel=0.011, abs=0.11)


# Current


def test_current_in_series_with_the_fuse_pulled():
    moment = at(pulled=("fuse_lamps",), commands={"lamp_abs": 1.0})
    reading = measure(car(), moment, "milliampere", "fuse_box.switched", "fuse_box.lamps")
    direct = car().solve(at(commands={"lamp_abs": 1.0})).current("fuse_lamps")
    assert not reading.fuse_blown and reading.value == pytest.approx(1e3 * direct, rel=0.02)


@pytest.mark.parametrize("function", ["ampere", "milliampere"])
def test_current_in_parallel_blows_the_fuse_of_the_meter(function):
    reading = measure(car(), at(), function, "battery.plus", "battery.minus")
    assert reading.fuse_blown and isnan(reading.value) and "fuse" in reading.warnings[0]


def test_a_bridged_part_is_noticed():
    reading = measure(car(), at(), "milliampere", "unit.sensor_fl", "unit.ground")
    assert reading.value == pytest.approx(0.55, abs=0.05) and "in series" in reading.warnings[0]


def test_clamp_reads_the_lead_it_lies_round():
    assert clamp(car(V2), PUMP, "lead_pump_feed_1").value == pytest.approx(24.7, abs=0.2)
    assert clamp(car(V2), PUMP, "lead_pump_ground_1").value == pytest.approx(24.7, abs=0.2)
    assert clamp(car(V2), at(), "lead_pump_feed_1").value == 0.0
    with pytest.raises(UserError, match="goes round a lead"):
        clamp(car(V2), PUMP, "pump.1")


# Where no probe may go


@pytest.mark.parametrize(
    "point, pulled, words",
    [
        ("sensor_fl.1", (), "sealed"),
        ("sensor_fl.1", ("sensor_fl",), ""),
        ("sensor_fl.1.device", (), "hidden"),
        ("sensor_fl.1.device", ("sensor_fl",), ""),
        ("unit.sensor_fl", (), ""),
        ("unit.sensor_fl.device", (), "hidden"),
        ("tc_switch.1", (), ""),
        ("airbag", (), "Airbag"),
        ("body", (), ""),
    ],
)
def test_points_that_may_be_touched(point, pulled, words):
    reason = refusal(car(), at(pulled=pulled), point)
    assert (words in reason) and bool(reason) == bool(words)
    if words:
        with pytest.raises(UserError, match=words):
            measure(car(), at(pulled=pulled), "volt_dc", point, "body")


def test_high_voltage_is_never_measured():
    with pytest.raises(UserError, match="High voltage can kill"):
        measure(car("front_electric"), Moment(key="off"), "ohm", "high_voltage", "body")


@pytest.mark.parametrize(
    "call, words",
    [
        (lambda: measure(car(), at(), "farad", *UNIT_PINS), "no function 'farad'"),
        (lambda: measure(car(), at(), "ohm", *UNIT_PINS, span=7.0), "the ranges for resistance"),
        (lambda: record(car(), at(), "dance", [UNIT_PINS]), "no record of 'dance'"),
        (lambda: record(car(), at(), "turn", [UNIT_PINS] * 3), "two channels, got 3"),
        (lambda: record(car(), at(), "turn", [("sensor_fl.1", "body")]), "sealed"),
    ],
)
def test_mistakes_are_one_sentence(call, words):
    with pytest.raises(UserError) as problem:
        call()
    assert words in str(problem.value)


# Oscilloscope


def test_teeth_can_be_counted_on_the_screen():
    for vehicle, changes, teeth in (
        (V1, {}, 48),
        (V2, {}, 48),
        (V1, {"ring_fl__missing": 1.0}, 47),
        (V2, {"ring_fl__merged": 3.0}, 45),
        (V1, {"ring_fl__teeth": 44.0}, 44),
        (V2, {"ring_fl__turned_away": 1.0}, 0),
    ):
        got = record(
            car(vehicle, **changes), at(), "turn", [UNIT_PINS], turns_per_s=2.0, seconds=0.5
        )
        volt, middle = got.volt[0], got.figures(0)[3] if vehicle == V1 else 1.05
        edges = np.flatnonzero((volt[1:] > middle + 0.05) & (volt[:-1] <= middle + 0.05))
        assert abs(len(edges) - teeth) <= 1, (vehicle, changes, len(edges))


def test_levels_of_an_active_sensor_and_of_one_with_a_leak():
    for changes, levels in (
        ({}, (0.70, 1.40)),
        ({"plug_sensor_fl__leak_ohm": 3000.0}, (1.07, 1.74)),
    ):
        low, high, *_ = record(car(V2, **changes), at(), "turn", [UNIT_PINS]).figures(0)
        assert (low, high) == pytest.approx(levels, abs=0.006)


def test_a_run_can_be_looked_at_like_a_hand_turned_wheel():
    """Wheel angles of any source: a wheel at 30 km/h gives 2.5 V from peak to peak (course value,
    invented).
    """
    time = np.linspace(0.0, 0.2, 8001)
    angle = np.outer(30 / 3.6 / 0.305 * time, np.ones(4))
    wave = wheel_waves(car(), at(), [UNIT_PINS], time, angle)[0]
    assert np.ptp(wave) == pytest.approx(
        2.5, rel=0.06
    )  # the bearing's play of 0.02 mm makes some teeth 4 % stronger
    assert 209 == pytest.approx(angle[-1, 0] / TURN * 48 / 0.2, abs=1)


def test_inrush_and_coast_down_of_the_pump():
    """70 A at first and under 0.1 s long, 25 A running, over 2 V for 0.1 s after it is switched off
    (course values, invented).
    """
    time = np.linspace(0.0, 1.0, 4001)
    current = pump_current(car(V2), at(), "lead_pump_feed_1", time, on=0.1, off=0.6)
    assert (
        64 < current.max() < 72
        and current[np.searchsorted(time, 0.2)] < 30
        and current[np.searchsorted(time, 0.55)] == pytest.approx(24.7, abs=0.3)
    )
    motor = record(car(V2), at(), "pump", [("pump.1", "battery.minus")], seconds=1.0)
    after = motor.volt[0][(motor.time > 0.601) & (motor.time < 0.699)]
    assert after.min() > 2.0 and motor.volt[0][-1] < 1.0
    seized = pump_current(
        car(V2, return_pump_body__seized=1.0), at(), "lead_pump_feed_1", time, on=0.1, off=0.6
    )
    assert seized[np.searchsorted(time, 0.55)] == pytest.approx(seized.max())
    assert record(
        car(V2, return_pump_body__seized=1.0),
        at(),
        "pump",
        [("pump.1", "battery.minus")],
        seconds=1.0,
    ).volt[0][-1] == pytest.approx(0.0, abs=0.01)


def test_throttle_sweep_shows_a_worn_track():
    pins = ("unit.throttle_main", "unit.throttle_ground")
    sound, worn = (
        record(car(**changes), at(), "sweep", [pins]).volt[0]
        for changes in ({}, {"throttle_main__worn_V": 0.8})
    )
    assert (sound.min(), sound.max()) == pytest.approx((0.60, 4.40), abs=0.02)
    assert np.max(np.abs(np.diff(sound))) < 0.01 and np.max(np.abs(np.diff(worn))) > 0.5


def test_pulses_and_network_levels():
    driven = record(
        car(),
        at(commands={"feed_valve": 1.0}),
        "pulse",
        [("unit.feed_valve", "unit.ground")],
        seconds=0.09,
    ).volt[0]
    assert (
        driven.min() < 0.3
        and driven.max() > 11
        and np.mean(driven < 1.0) == pytest.approx(1 / 3, abs=0.01)
    )
    pins = [(f"diagnosis_socket.bus_{wire}", "battery.minus") for wire in ("high", "low")]
    bus = record(car(V2), at(), "bus", pins)
    assert bus.figures(0)[:2] == pytest.approx((2.5, 3.5), abs=0.02) and bus.figures(1)[
        :2
    ] == pytest.approx((1.5, 2.5), abs=0.02)
    shorted = record(car(V2, bus_wires__between_ohm=0.5), at(), "bus", pins)
    assert np.max(np.abs(shorted.volt[0] - shorted.volt[1])) < 0.1


def test_the_moment_is_not_changed_by_measuring():
    moment = at(commands={"return_pump": 1.0})
    before = replace(moment)
    measure(car(V2), moment, "ampere", "battery.plus", "battery.minus")
    assert moment == before
