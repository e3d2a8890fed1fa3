"""What the self-diagnosis takes away is gone from the drive: from the moment a fault is found the
car drives on with what is left of the control.
"""

import numpy as np
import pytest

from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.lamps import FLASHING, ON
from tractionlab.diagnosis.reduced import PARTS, TAKEN
from tractionlab.diagnosis.watch import since
from tractionlab.run.simulation import simulate
from tractionlab.workshop.drive.computed_runs import ROADS, STARTS, STOPS, computed, scenario_of
from tractionlab.workshop.drive.diagnosis import drive_on
from tractionlab.workshop.drive.world import drive
from tractionlab.workshop.faults import faults
from tractionlab.workshop.part_values import changed, part_values

REAR, FRONT, ELECTRIC = "rear_petrol", "front_petrol", "front_electric"
DRIVEN = {REAR: (2, 3), FRONT: (0, 1), ELECTRIC: (0, 1)}


def on_road(vehicle, kind, *roads):
    """The first drive of a kind with one of some ROADS in it."""
    return next(world for seed in range(1000) if (world := drive(vehicle, seed, kind)).run in roads)


def went(vehicle, changes, world):
    return drive_on(vehicle, changed(part_values(vehicle), changes), world)


def of_run(world):
    """The samples of the computed run in a drive."""
    return slice(world.run_from, world.run_from + len(computed(world.vehicle, world.run)))


def slip(world):
    """Mean of how much faster the driven wheels turn than the road, in the run [m/s]."""
    part, wheels = of_run(world), list(DRIVEN[world.vehicle])
    return float(
        np.mean(
            world.wheel_speed[part][:, wheels]
            * catalogue.in_use().vehicles()[world.vehicle]["tyre_radius_m"]
            - world.speed[part, None]
        )
    )


@pytest.mark.parametrize("vehicle", (REAR, FRONT, ELECTRIC))
@pytest.mark.parametrize("road", range(len(ROADS)))
def test_sound_car_drives_as_in_a_compiled_run(vehicle, road):
    run, trace = computed(vehicle, road), simulate(scenario_of(vehicle, road))
    for name, wanted in (
        ("speed", np.maximum(trace.speed, 0.0)),
        ("wheel_speed", np.abs(trace.wheel_speed)),
        ("given", trace.engine_torque),
    ):
        assert np.array_equal(getattr(run, name), wanted)


@pytest.mark.parametrize(
    "vehicle, changes",
    [
        (REAR, {"sensor_fl.coil_ohm": 1e9}),
        (FRONT, {"lead_pressure_feed_1.ohm": 1e9}),
        (ELECTRIC, {"brake_unit.coded": 0.0}),
    ],
)
def test_without_traction_control_the_wheels_spin_and_the_lamp_is_steady(vehicle, changes):
    world = on_road(vehicle, "slippery", 0, 2, 3)
    sound, gone = (went(vehicle, c, world) for c in ({}, changes))
    part = of_run(world)
    assert np.any(sound[0].lamps["tc"][part] == FLASHING) and np.all(
        gone[0].lamps["tc"][part] == ON
    )
    assert (
        not gone[1].control.any()
        and slip(gone[1]) > 5.0 * slip(sound[1])
        and gone[1].speed[part][-1] < sound[1].speed[part][-1]
    )


def test_engine_only_brakes_only_and_a_pause_of_hot_brakes():
    world = on_road(REAR, "slippery", 2, 3)
    _, both = went(REAR, {}, world)
    _, engine = went(REAR, {"feed_valve.ohm": 1e9}, world)
    hot, pause = went(REAR, {"customer.hard_launches": 11.0}, world)
    _, brakes = went(REAR, {"lead_throttle_second_signal_1.ohm": 1e9}, world)
    assert both.wheel_bar.max() > 20.0 and both.cutting.any()
    assert engine.wheel_bar.max() == 0.0 and engine.cutting.any()
    assert np.all(hot.mode[of_run(world)] == 6) and np.array_equal(
        pause.wheel_speed, engine.wheel_speed
    )
    assert brakes.wheel_bar.max() > 20.0 and not brakes.cutting.any() and brakes.control.any()


@pytest.mark.parametrize(
    "vehicle, changes", [(REAR, {"sensor_fr.coil_ohm": 200.0}), (FRONT, {"fuse_pump.ohm": 1e9})]
)
def test_without_anti_lock_the_wheels_lock_on_ice(vehicle, changes):
    world = on_road(vehicle, "winter", STOPS[0])
    (_, sound), (_, gone) = (went(vehicle, c, world) for c in ({}, changes))
    part = of_run(world)
    fast = world.speed[part] > 3.0
    locked = [np.mean(w.wheel_speed[part][fast] < 0.1) for w in (sound, gone)]
    assert sound.antilock.any() and not gone.antilock.any() and locked[0] < 0.1 and locked[1] > 0.5


def test_mode_that_leaves_anti_lock_alone_leaves_the_stop_alone():
    world = on_road(FRONT, "winter", *STOPS)
    found, gone = went(FRONT, {"lead_pressure_feed_1.ohm": 1e9}, world)
    assert 1 in found.mode and gone.antilock.any()
    part = of_run(world)
    fast = gone.speed[part] > 4.0
    assert np.mean(gone.wheel_speed[part][fast] < 0.1) < 0.1


@pytest.mark.parametrize(
    "name, vehicle",
    [
        ("valve-relay-contact-resistance", REAR),
        ("wheel-valve-high-resistance", REAR),
        ("torque-not-delivered", FRONT),
        ("cut-off-valve-stuck-open", REAR),
        ("isolating-valve-seat-leak", FRONT),
    ],
)
def test_the_symptom_changes_when_the_fault_is_found(name, vehicle):
    """Until then control works as it can with the fault; from then on something of it is gone."""
    fault = faults()[name]
    world = on_road(vehicle, "slippery", 2)
    found, gone = went(vehicle, fault.on(vehicle), world)
    at = round(found.found_at(fault.code) / 0.01)
    end = of_run(world).stop
    assert gone.control[world.run_from : at + 1].any() and at < end - 50
    taken = TAKEN[fault.reaction]
    if "torque" in taken:
        assert not gone.cutting[at + 1 : end].any()
    if "brake" in taken:
        assert np.all(gone.wheel_bar[at + 100 : end] < 2.0)
    assert np.all(found.lamps["tc"][at:] == ON)


#: Faults that rightly leave more than one code: several circuits or messages are bad at once, or it
#: depends on the drive which of two tests runs.
ALSO = {
    "bus-end-resistor-lost": {("U0126", "87")},
    "engine-ecu-message-missing": {("U0126", "87")},
    "roller-test-code-not-a-fault": {("C0034", "64")},
    "charge-pump-worn": {("C1F11", "24")},
    "water-in-ecu-plug": {
        ("C0020", "12"),
        ("C0031", "12"),
        ("C0034", "1D"),
        ("C0037", "1D"),
        ("C003A", "1D"),
        ("C0040", "24"),
        ("C0044", "28"),
        ("C0061", "12"),
        ("U0073", "88"),
    },
}


@pytest.mark.parametrize(
    "name, vehicle",
    [
        (name, vehicle)
        for name, fault in faults().items()
        for vehicle in fault.vehicles
        if fault.as_found_on(vehicle).code
    ],
    ids=lambda part: part,
)
def test_the_drive_agrees_with_its_own_diagnosis(name, vehicle):
    """What does not work in one cycle is not at work in the next, wherever the fault was found; and
    what is left does not make other codes.
    """
    fault = faults()[name].as_found_on(vehicle)
    for kind, seed in (("slippery", 0), ("slippery", 2), ("winter", 1), ("winter", 6)):
        found, gone = went(vehicle, fault.on(vehicle), drive(vehicle, seed, kind))
        assert set(found.codes) <= {(fault.code, fault.failure_type or "00"), *ALSO.get(name, ())}
        works = dict(zip(PARTS, found.works.T))
        assert not np.any(gone.cutting[1:] & ~works["torque"][:-1]) and not np.any(
            gone.antilock[1:] & ~works["antilock"][:-1]
        )
        some = works["torque"] | works["brake"]
        assert not np.any(gone.control & (since(some) > 1.0) & (gone.time > 1.0))


def test_a_pause_for_want_of_voltage_ends_by_itself():
    fault = faults()["supply-voltage-low"]
    found, gone = went(FRONT, fault.on(FRONT), on_road(FRONT, "slippery", 2))
    pause = found.mode == 6
    begin = int(np.argmax(pause))
    end = begin + int(np.argmin(pause[begin:]))
    assert (
        2.5 < 0.01 * (end - begin) < 4.5
        and not gone.control[begin + 80 : end].any()
        and gone.control[end:].any()
    )


def test_the_driver_can_take_the_torque_reduction_away():
    world = on_road(FRONT, "slippery", 2)
    (_, sound), (found, gone) = (
        went(FRONT, c, world) for c in ({}, {"customer.switched_off": 1.0})
    )
    assert (
        sound.cutting.any()
        and not gone.cutting.any()
        and slip(gone) > slip(sound)
        and np.all(found.lamps["tc_off"][of_run(world)] == ON)
    )


def test_the_engine_that_gives_too_much_and_wheels_read_wrongly_are_felt():
    world = on_road(REAR, "slippery", 2)
    (_, sound), (_, crossed), (_, fewer) = (
        went(REAR, c, world) for c in ({}, {"rear_plugs.crossed": 1.0}, {"ring_rl.teeth": 44.0})
    )
    part = of_run(world)
    assert crossed.speed[part][-1] < 0.3 * sound.speed[part][-1] and 0.9 * slip(fewer) > slip(sound)
    felt = []
    for seed in (0, 2, 4):
        world = on_road(FRONT, "slippery", seed)
        (_, sound), (_, more) = (
            went(FRONT, c, world) for c in ({}, {"torque_path.excess_Nm": 40.0})
        )
        felt.append(slip(more) / slip(sound))
    assert min(felt) > 1.04 and np.median(felt) > 1.25


@pytest.mark.parametrize(
    "name, vehicle",
    [
        (name, vehicle)
        for name, fault in faults().items()
        if "spins" in fault.symptoms
        for vehicle in fault.vehicles
    ],
)
def test_a_fault_of_which_the_customer_says_so_makes_a_wheel_spin_more(name, vehicle):
    most = []
    for changes in ({}, faults()[name].on(vehicle)):
        worst = 0.0
        for road in (2, 3):
            _, gone = went(vehicle, changes, on_road(vehicle, "slippery", road))
            part, wheels = of_run(gone), list(DRIVEN[vehicle])
            excess = (
                gone.wheel_speed[part][:, wheels]
                * catalogue.in_use().vehicles()[vehicle]["tyre_radius_m"]
                - gone.speed[part, None]
            )
            worst = max(worst, float(excess.mean(axis=0).max()))
        most.append(worst)
    assert most[1] > 1.02 * most[0]


@pytest.mark.parametrize(
    "vehicle, changes, code",
    [
        (REAR, {"sensor_fl.coil_ohm": 1e9}, ("C0031", "13")),
        (FRONT, {"lead_sensor_rl_current_1.to_battery_ohm": 2.0}, ("C0037", "12")),
        (REAR, {"lead_sensors_ground_1.ohm": 111.0}, ("P2135", "62")),
        (FRONT, {"brake_switch.welded": 1.0}, ("C0040", "24")),
    ],
)
def test_one_bad_signal_one_code(vehicle, changes, code):
    """Monitors that depend on a signal known to be bad do not run, so that it is not blamed on
    other parts.
    """
    for kind, road in (("slippery", 2), ("straight", -1)):
        assert went(vehicle, changes, on_road(vehicle, kind, road))[0].codes == (code,)


def test_a_drive_after_its_run_goes_on_without_a_leap():
    for road in (*STARTS, *STOPS):
        world = on_road(REAR, "slippery" if road in STARTS else "winter", road)
        _, gone = went(REAR, {"sensor_fl.coil_ohm": 1e9}, world)
        end = of_run(world).stop
        assert np.abs(np.diff(gone.speed[end - 1 :])).max() < 0.12
