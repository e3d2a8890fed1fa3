"""Self-diagnosis of single drives: start-up check, monitors, lamps, modes, and that everything
follows from the part values.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.catalogue.places import data_folder
from tractionlab.diagnosis.lamps import FLASHING, LAMPS, OFF, ON, lamps, switched_off
from tractionlab.diagnosis.monitor_settings import monitors
from tractionlab.diagnosis.reduced import MODES, reduced
from tractionlab.diagnosis.start_up import PUMP_TEST_S, start_up, sweep_degrees
from tractionlab.diagnosis.watch import mean_over, often, since
from tractionlab.errors import UserError
from tractionlab.sensors.counting import read_wheel
from tractionlab.workshop.codes import code_list
from tractionlab.workshop.drive.diagnosis import diagnose, live_values
from tractionlab.workshop.drive.edges import speed_of
from tractionlab.workshop.drive.world import drive, in_the_bay, still
from tractionlab.workshop.part_values import changed, part_values

REAR, FRONT, ELECTRIC = "rear_petrol", "front_petrol", "front_electric"
FILE = data_folder() / "workshop" / "monitors.toml"
OPEN_COIL = {"sensor_fl.coil_ohm": 1e9}


def found(vehicle, changes, world=None, memory=None):
    world = world or still(vehicle, 800)
    return diagnose(vehicle, changed(part_values(vehicle), changes), world, memory)


def lit(diagnosis):
    """Lamps that are on at the end."""
    return tuple(name for name in LAMPS if diagnosis.lamps[name][-1] == ON)


# ---- settings


@pytest.mark.parametrize(
    "old, new, message",
    [
        ('kind = "jump"', 'kind = "leap"', "kind must be one of"),
        ("trips = 3", "trips = 0", "whole number from 1 to 10"),
        (
            "step = { value = 12.0",
            "step = { value = 99.0",
            "must be a number from 5 to 30 km/h, got 99",
        ),
        (
            'step = { value = 12.0, unit = "km/h"',
            'step = { value = 12.0, einheit = "km/h"',
            "needs value, unit, low, high and source",
        ),
        ("step = { value = 12.0", "step = { value = nan", "must be a number"),
        ('reaction = "R4"', 'reaction = "R9"', "reaction must be one of"),
        (
            'needs = ["wheels"]',
            'needs = ["wings"]',
            "needs may hold wheels, pedal, .*; got 'wings'",
        ),
        ("[wheel_jump]", "[wheel_jump", "not readable as TOML"),
    ],
)
def test_broken_settings_are_named(tmp_path, old, new, message):
    text = FILE.read_text(encoding="utf-8")
    assert old in text
    broken = tmp_path / "monitors.toml"
    broken.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UserError, match=message) as caught:
        monitors(broken)
    assert str(broken) in str(caught.value)


def test_every_number_has_range_and_source_and_every_kind_is_used():
    table = monitors()
    assert all(
        monitor.sources.keys() == monitor.units.keys() == {"confirm_s", *monitor.limits}
        and all(monitor.sources.values())
        for monitor in table.values()
    )
    assert len({monitor.kind for monitor in table.values()}) >= 12 and set(MODES) == {
        f"R{k}" for k in range(7)
    }


@pytest.mark.parametrize("vehicle", (REAR, FRONT, ELECTRIC))
def test_every_code_that_a_monitor_can_set_is_in_the_list(vehicle):
    for w in found(vehicle, {}).watches:
        if w.code:
            assert w.code in code_list().codes and w.failure_type in code_list().failure_types, (
                w.monitor.key,
                w.code,
                w.failure_type,
            )


def test_every_code_of_our_own_has_a_monitor():
    """Codes of the open lists may be there to read; one that was made for this course is there to
    be set.
    """
    set_by = {w.code for vehicle in (REAR, FRONT, ELECTRIC) for w in found(vehicle, {}).watches}
    assert {code for code, entry in code_list().codes.items() if entry.evidence == "own"} <= set_by


# ---- helpers over time


@given(
    st.lists(st.booleans(), min_size=1, max_size=300),
    st.integers(1, 5),
    st.sampled_from((0.05, 0.2, 1.0)),
)
def test_often_and_since_count_as_one_would_by_hand(events, times, within):
    event, width = np.array(events), round(within / 0.01)
    assert list(often(event, times, within)) == [
        sum(events[max(0, k - width + 1) : k + 1]) >= times for k in range(len(events))
    ]
    last = [max((j for j in range(k + 1) if events[j]), default=None) for k in range(len(events))]
    np.testing.assert_allclose(
        since(event),
        [np.inf if j is None else (k - j) * 0.01 for k, j in enumerate(last)],
        atol=1e-9,
    )


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=200), st.sampled_from((0.01, 0.05, 0.3)))
def test_mean_over_is_the_mean(signal, seconds):
    width = round(seconds / 0.01)
    np.testing.assert_allclose(
        mean_over(np.array(signal), seconds),
        [np.mean(signal[max(0, k - width + 1) : k + 1]) for k in range(len(signal))],
        atol=1e-9,
    )


@settings(deadline=None)
@given(st.lists(st.floats(1e-4, 0.6), max_size=120))
def test_speeds_of_a_whole_drive_are_those_worked_out_cycle_by_cycle(gaps):
    edges, time, pitch = np.cumsum(np.array(gaps, float)), 0.01 * np.arange(400), 0.04
    fast, _ = speed_of(edges, time, pitch)
    speed, last, slow = 0.0, -1.0, []
    before = 0
    for now in time:
        after = int(np.searchsorted(edges, now, side="right"))
        speed, last = read_wheel(
            float(after - before),
            float(edges[after - 1]) if after > before else 0.0,
            now,
            speed,
            last,
            pitch,
        )
        before = after
        slow.append(speed)
    np.testing.assert_allclose(fast, slow, atol=1e-9)


# ---- start-up check


def test_lamps_light_for_three_seconds_and_one_that_cannot_stays_dark():
    sound, dark = found(REAR, {}), found(REAR, {"lamp_tc.ohm": 1e9})
    assert all(
        np.all(sound.lamps[name][:300] == ON) and np.all(sound.lamps[name][301:] == OFF)
        for name in LAMPS
    )
    assert not dark.lamps["tc"].any() and ("C0085", "13") in dark.codes and lit(dark) == ()


@pytest.mark.parametrize("pedal, kmh", [(False, 8.0), (True, 16.0)])
def test_pump_is_tried_at_the_first_move(pedal, kmh):
    time = 0.01 * np.arange(1000)
    speed = time * 3.0 / 3.6
    check = start_up(time, np.ones(1000, bool), speed, np.full(1000, pedal))
    assert check.pump.sum() == round(PUMP_TEST_S / 0.01) and speed[check.pump][
        0
    ] * 3.6 == pytest.approx(kmh, abs=0.05)


def test_second_throttle_is_swept_shut_and_open():
    time = 0.01 * np.arange(200)
    sweep = (time >= 0.5) & (time < 0.8)
    sent = sweep_degrees(time, sweep, 54.0)
    assert (
        sent.max() == sent[0] == sent[-1] == 54.0
        and sent.min() < 4.0
        and np.abs(np.diff(sent)).max() <= 360.0 * 0.01 + 1e-9
    )


def test_a_seized_pump_shows_only_at_the_first_move():
    world = drive(FRONT, 3)
    diagnosis = found(FRONT, {"return_pump_body.seized": 1.0}, world)
    assert found(FRONT, {"return_pump_body.seized": 1.0}).codes == ()
    moved = world.time[np.argmax(world.speed > 8.0 / 3.6)]
    assert moved - 0.3 < diagnosis.found_at("C0020") < moved + 1.0


# ---- circuits


@pytest.mark.parametrize(
    "changes, failure_type, volts",
    [
        (OPEN_COIL, "13", 5.0),
        ({"lead_sensor_fl_signal_2.ohm": 1e9}, "13", 5.0),
        ({"lead_sensor_fl_signal_2.to_ground_ohm": 2.0}, "11", 0.0),
        ({"lead_sensor_fl_signal_2.to_battery_ohm": 2.0}, "12", 12.6),
        ({"lead_sensor_fl_signal_2.ohm": 2200.0}, "1B", 1.34),
        ({"sensor_fl.coil_ohm": 200.0}, "1A", 0.11),
    ],
)
def test_one_code_six_causes_and_six_sets_of_readings(changes, failure_type, volts):
    diagnosis = found(REAR, changes)
    assert diagnosis.codes == (("C0031", failure_type),) and diagnosis.found_at("C0031") <= 0.6
    assert np.median(diagnosis.seen["bias"][100:, 0]) == pytest.approx(volts, abs=0.06)
    assert lit(diagnosis) == ("abs", "tc") and diagnosis.mode[-1] == 4


@settings(max_examples=25, deadline=None)
@given(st.floats(30.0, 20_000.0))
def test_the_window_decides_by_the_voltage_that_the_coil_makes(ohm):
    """5 V through 9.0 kohm over the coil; in order from 0.30 to 0.90 V."""
    diagnosis = found(REAR, {"sensor_fr.coil_ohm": ohm})
    volts = 5.0 * ohm / (9000.0 + ohm)
    assert np.median(diagnosis.seen["bias"][100:, 1]) == pytest.approx(volts, rel=0.01, abs=0.005)
    if volts < 0.285 or volts > 0.915:
        assert diagnosis.codes and diagnosis.codes[0][0] == "C0034"
    elif 0.315 < volts < 0.885:
        assert diagnosis.codes == ()


@pytest.mark.parametrize(
    "vehicle, name, value, reading, moved",
    [
        (FRONT, "battery.charging_V", 13.2, "supply", -0.7),
        (FRONT, "pressure_sensor.offset", 7.0, "pressure_bar", 7.0),
        (FRONT, "yaw_sensor.offset", 2.0, "yaw_read", np.radians(2.0)),
        (FRONT, "steering_zero.offset_deg", 5.0, "steer", np.radians(5.0)),
        (FRONT, "yaw_bracket.tilt_deg", 6.0, "lateral", 0.1025),
        (REAR, "throttle_main.closed_share", 0.14, "main_throttle", 0.1),
        (REAR, "unit.bias_ohm", 4500.0, "bias", 0.438),
        (FRONT, "sensor_fl.low_mA", 8.0, "current", 0.25),
    ],
)
def test_readings_follow_the_part_values(vehicle, name, value, reading, moved):
    """No reading is stored as an answer: a changed value moves it by what the circuit says (all
    four wheels where it has four).
    """
    world = still(vehicle, 400, 3).with_(seed=2)
    before, after = (
        np.mean(found(vehicle, changes, world).seen[reading][50:])
        for changes in ({}, {name: value})
    )
    assert after - before == pytest.approx(moved, abs=max(0.02, 0.08 * abs(moved)))


# ---- lamps and modes


@pytest.mark.parametrize(
    "vehicle, changes, shown, mode",
    [
        (REAR, {}, (), 0),
        (REAR, {"feed_valve.ohm": 1e9}, ("tc",), 2),
        (FRONT, {"isolating_valve_1.ohm": 1e9}, ("tc",), 2),
        (FRONT, {"lead_sensor_fl_supply_2.ohm": 1e9}, ("abs", "tc"), 4),
        (FRONT, {"inlet_FR.ohm": 2.0}, ("abs", "tc", "brake"), 5),
        (REAR, {"reservoir.fill_share": 0.1}, ("tc", "brake"), 1),
        (REAR, {"customer.hard_launches": 11.0}, ("tc",), 6),
        (FRONT, {"customer.switched_off": 1.0}, ("tc_off",), 0),
        (FRONT, {"brake_unit.coded": 0.0}, ("abs", "tc"), 4),
    ],
)
def test_fault_lamp_and_what_is_left(vehicle, changes, shown, mode):
    diagnosis = found(vehicle, changes)
    assert lit(diagnosis) == shown and diagnosis.mode[-1] == mode


def test_working_control_flashes_and_a_fault_is_steady():
    n = 10
    yes, no = np.ones(n, bool), np.zeros(n, bool)
    assert np.all(lamps({}, no, yes, no)["tc"] == FLASHING)
    assert np.all(lamps({"traction": yes}, no, yes, no)["tc"] == ON)
    assert np.all(lamps({}, no, no, yes)["tc_off"] == ON) and not lamps({}, no, no, yes)["tc"].any()


def test_control_flashes_the_lamp_in_a_computed_run():
    world = drive(FRONT, 2, "slippery")
    diagnosis = found(FRONT, {}, world)
    assert np.all(diagnosis.lamps["tc"][world.control] == FLASHING) and diagnosis.codes == ()


def test_each_ignition_cycle_starts_with_control_on():
    button = np.zeros(1000, bool)
    button[400:420] = True
    assert (
        switched_off(button, np.ones(1000, bool))[-1]
        and not switched_off(button, np.ones(1000, bool))[:400].any()
    )
    off = found(FRONT, {"customer.switched_off": 1.0})
    assert lit(off) == ("tc_off",) and lit(found(FRONT, {}, memory=off.memory)) == ()


def test_a_stuck_button_puts_control_back_on():
    assert not switched_off(np.ones(6000, bool), np.ones(6000, bool))[-1]


def test_worst_mode_holds_and_engine_and_brake_gone_is_off():
    yes, no = np.ones(5, bool), np.zeros(5, bool)
    assert (
        reduced({}, 5).tolist() == [0] * 5
        and reduced({"R2": yes, "R3": yes}, 5).tolist() == [1] * 5
    )
    assert reduced({"R1": yes, "R5": no, "R4": yes}, 5).tolist() == [4] * 5


# ---- memory over drives


def test_present_then_stored_then_cleared_then_tested():
    first = found(REAR, OPEN_COIL)
    entry = first.memory[("C0031", "13")]
    assert (
        entry.status == 0xAF
        and entry.count == 1
        and entry.snapshot["FL [km/h]"] == 0.0
        and 11.0 < entry.snapshot["supply [V]"] < 15.0
    )
    mended = found(REAR, {}, memory=first.memory)
    assert (
        mended.memory[("C0031", "13")].status == 0x2C
        and lit(mended) == ()
        and mended.events[0].failed is False
    )
    assert mended.lamps["abs"][0] == ON and mended.codes == (("C0031", "13"),)
    cleared = mended.memory.clear()
    assert cleared[("C0031", "13")].status == 0x50
    assert found(REAR, {}, memory=cleared).memory[("C0031", "13")].status == 0x00


def test_lamp_of_the_drive_before_stays_until_the_test_has_run():
    """A wheel without signal is only found while driving, so standing still proves nothing."""
    world = drive(FRONT, 2)
    first = found(FRONT, {"ring_fr.turned_away": 1.0}, world)
    assert first.codes == (("C0033", "76"),)
    standing = found(FRONT, {}, memory=first.memory)
    assert lit(standing) == ("abs", "tc") and standing.memory[("C0033", "76")].status & 0x40
    driven = found(FRONT, {}, world, first.memory)
    assert lit(driven) == () and not driven.memory[("C0033", "76")].present


def test_a_shaky_fault_lights_its_lamp_for_the_trip_only():
    changes = {"lead_sensor_fl_signal_2.broken_share": 0.05}
    first = found(REAR, changes, drive(REAR, 4, "rough"))
    assert ("C0031", "1F") in first.codes and lit(first) == ("abs", "tc")
    assert lit(found(REAR, {}, memory=first.memory)) == ()


def test_pedal_that_is_always_pressed_is_stored_in_the_third_drive():
    """Both contacts stuck: only the drive itself shows that it cannot be."""
    changes = {"brake_switch.welded": 1.0, "brake_switch.test_contact_ohm": 1e9}
    memory = None
    for trip in range(3):
        diagnosis = found(FRONT, changes, drive(FRONT, 1, "straight", 90.0), memory)
        memory = diagnosis.memory
        assert (("C0040", "64") in diagnosis.codes) == (trip == 2)


def test_roller_test_leaves_codes_that_are_stored_and_not_present():
    diagnosis = found(REAR, {"customer.roller_test": 1.0}, drive(REAR, 5))
    assert diagnosis.codes == (("C0031", "64"), ("C0034", "64"))
    assert not any(entry.present for entry in diagnosis.memory.stored)
    snapshot = diagnosis.memory.stored[0].snapshot
    assert snapshot["FL [km/h]"] == 0.0 and snapshot["RL [km/h]"] > 12.0


# ---- live data


def test_a_wheel_turned_by_hand_shows_on_its_own_channel():
    for wheel, name in enumerate(("FL", "FR", "RL", "RR")):
        values = live_values(found(REAR, {}, in_the_bay(REAR, wheel, 1.0)), -1)
        assert values[f"wheel speed {name} [km/h]"] == pytest.approx(6.9, abs=0.1)
        assert sum(
            values[f"wheel speed {other} [km/h]"] for other in ("FL", "FR", "RL", "RR")
        ) == pytest.approx(6.9, abs=0.1)


def test_crossed_plugs_show_on_the_other_channel():
    values = live_values(found(REAR, {"rear_plugs.crossed": 1.0}, in_the_bay(REAR, 2, 1.0)), -1)
    assert values["wheel speed RR [km/h]"] > 6.0 and values["wheel speed RL [km/h]"] == 0.0


@settings(max_examples=20, deadline=None)
@given(st.integers(40, 56), st.floats(0.8, 3.0))
def test_a_ring_with_another_number_of_teeth_reads_in_proportion(teeth, turns):
    values = live_values(
        found(REAR, {"ring_rl.teeth": float(teeth)}, in_the_bay(REAR, 2, turns)), -1
    )
    assert values["wheel speed RL [km/h]"] == pytest.approx(
        3.6 * 2.0 * np.pi * 0.305 * turns * teeth / 48.0, rel=0.02
    )


def test_wide_gap_loses_the_slow_end():
    wide = {"sensor_rl.gap_mm": 2.0}
    slow, fast = (
        live_values(found(REAR, wide, in_the_bay(REAR, 2, turns)), -1)["wheel speed RL [km/h]"]
        for turns in (1.0, 2.0)
    )
    assert slow == 0.0 and fast > 13.0


@pytest.mark.parametrize(
    "call",
    [lambda: drive("tank", 1), lambda: drive(REAR, 1, "moon"), lambda: drive(REAR, 1, seconds=1.0)],
)
def test_a_wrong_wish_is_told_in_one_sentence(call):
    with pytest.raises(UserError):
        call()
