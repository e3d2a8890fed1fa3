"""Wheel-speed sensors: teeth are counted once, faults act where they should, the course's gap
table, and the way to a speed.
"""

import sys
import types
from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.errors import UserError
from tractionlab.run.assembly import settings_of
from tractionlab.run.scenario import Scenario
from tractionlab.sensors import ring as sensors
from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import edges_between, gives_signal, passive_amplitude, tooth_frequency
from tractionlab.sensors.waveform import (
    level_of,
    rising_edges,
    sensor_voltage,
    speed_from_edges,
    start_speed,
    switch,
    switching_levels,
)

#: Tyre of the gap table [m], and the one that the control unit is coded for.
RADIUS, CODED = 0.305, settings_of(Scenario()).radius
PERFECT = wheel_sensor("active", pitch_error=0.0, tick=0.0)
#: Gap [mm]: factor of the amplitude, where the signal starts [Hz] and [km/h], V rms at one turn a
#: second, V peak to peak at 30 km/h.
#: Computed by a separate program from the course's own model.
GAP_TABLE = {
    0.4: (2.828, 7.4, 1.1, 0.576, 7.08),
    0.8: (1.000, 20.8, 3.0, 0.204, 2.50),
    1.2: (0.544, 38.3, 5.5, 0.111, 1.36),
    1.6: (0.354, 58.9, 8.5, 0.072, 0.89),
    2.0: (0.253, 82.4, 11.8, 0.052, 0.63),
    2.5: (0.181, 115.1, 16.5, 0.037, 0.45),
    3.5: (0.109, 190.6, 27.4, 0.022, 0.27),
    4.5: (0.075, 277.9, 39.9, 0.015, 0.19),
}


@pytest.mark.parametrize("gap", GAP_TABLE)
def test_gap_table_of_the_course(gap):
    sensor = wheel_sensor("passive", gap=gap * 1e-3)
    at_30 = tooth_frequency(30 / 3.6 / RADIUS, sensor)
    found = (
        passive_amplitude(1000.0, sensor.gap, sensor) / 12.0,
        sensor.threshold / passive_amplitude(1.0, sensor.gap, sensor),
        3.6 * start_speed(sensor, RADIUS),
        passive_amplitude(48.0, sensor.gap, sensor) / 8**0.5,
        passive_amplitude(at_30, sensor.gap, sensor),
    )
    digits = (0.0005, 0.05, 0.05, 0.0005, 0.005)
    assert all(abs(a - b) <= digit * 1.001 for a, b, digit in zip(found, GAP_TABLE[gap], digits)), (
        found
    )


def compiled():
    import numba

    copy = types.ModuleType("compiled_sensors")
    sys.modules[copy.__name__] = copy
    with open(sensors.__file__, encoding="utf-8") as file:
        exec(file.read(), copy.__dict__)
    for key, value in list(vars(copy).items()):
        if isinstance(value, types.FunctionType):
            setattr(copy, key, numba.njit(error_model="numpy")(value))
    return copy.edges_between


def test_plain_and_compiled_give_identical_bits():
    fast, random = compiled(), np.random.default_rng(3)
    for _ in range(3000):
        sensor = PERFECT._replace(
            active=float(random.integers(2)),
            teeth=float(random.choice([44, 48, 52])),
            gap=random.uniform(3e-4, 3e-3),
            pitch_error=random.choice([0.0, 0.03]),
            missing=random.choice([-1.0, 7.0]),
            crack=random.choice([0.0, 0.5]),
            runout=random.choice([0.0, 3e-4]),
            tick=random.choice([0.0, 1e-5]),
        )
        before, t = random.uniform(-100, 100), random.uniform(0, 10)
        after = before + random.uniform(-0.8, 0.8)
        assert edges_between(before, after, t, t + 0.005, sensor) == fast(
            before, after, t, t + 0.005, sensor
        )


RINGS = st.sampled_from(
    [
        {},
        {"pitch_error": 0.05},
        {"crack": 0.5},
        {"runout": 4e-4, "gap": 8e-4},
        {"missing": 5.0},
        {"teeth": 44.0},
    ]
)


@settings(max_examples=60, deadline=None)
@given(
    ring=RINGS,
    start=st.floats(-30, 30),
    steps=st.lists(st.floats(-1.0, 1.0), min_size=1, max_size=40),
)
def test_steps_count_the_same_teeth_as_one_sweep_and_back(ring, start, steps):
    sensor = PERFECT._replace(**ring)
    there, angle = 0.0, start
    for step in map(abs, steps):
        there += edges_between(angle, angle + step, 0.0, 1e-2, sensor)[0]
        angle += step
    assert (
        there
        == edges_between(start, angle, 0.0, 10.0, sensor)[0]
        == edges_between(angle, start, 0.0, 10.0, sensor)[0]
    )


@pytest.mark.parametrize(
    "ring, teeth",
    [
        ({}, 48),
        ({"missing": 0.0}, 47),
        ({"teeth": 44.0}, 44),
        ({"crack": 0.5}, 48),
        ({"connected": 0.0}, 0),
        ({"gap": 2e-3}, 0),
        ({"gap": 1.31e-3, "runout": 4e-4}, 31),
    ],
)
def test_teeth_of_one_turn(ring, teeth):
    """Eccentric ring: gap 1.31 - 0.4 cos(angle) mm stays below 1.5 mm up to 118.4 degrees to either
    side, 15 teeth of 7.5 degrees.
    """
    assert edges_between(0.001, 2 * pi + 0.001, 0.0, 1.0, PERFECT._replace(**ring))[0] == teeth


def test_time_of_the_last_tooth_lies_on_the_straight_line():
    pitch = 2 * pi / 48
    count, last = edges_between(0.5 * pitch, 3.5 * pitch, 2.0, 2.3, PERFECT)
    assert count == 3.0 and last == pytest.approx(2.25)
    count, last = edges_between(3.5 * pitch, 0.5 * pitch, 2.0, 2.3, PERFECT)
    assert count == 3.0 and last == pytest.approx(2.25)
    assert (
        edges_between(0.1 * pitch, 0.2 * pitch, 2.0, 2.3, PERFECT)
        == (0.0, 2.0)
        == edges_between(0.3, 0.3, 2.0, 2.3, PERFECT)
    )
    assert edges_between(0.5 * pitch, 3.5 * pitch, 2.0, 2.3, PERFECT._replace(tick=1e-4))[
        1
    ] == pytest.approx(2.25, abs=1e-4)


def test_signal_by_kind():
    passive, active = wheel_sensor("passive"), wheel_sensor("active")
    start = start_speed(passive, RADIUS) / RADIUS
    assert (
        not gives_signal(0.99 * start, passive)
        and gives_signal(1.01 * start, passive)
        and gives_signal(-1.01 * start, passive)
    )
    assert gives_signal(0.01, active) and not gives_signal(0.01, active._replace(gap=1.6e-3))
    assert not gives_signal(2 * pi * 2501 / 48, active)
    assert not gives_signal(50.0, active._replace(connected=0.0))


def read(sensor, kmh, noise=0.0):
    """What the control unit reads over 2 s of steady speed: (mean, least, most) [km/h]."""
    time = np.arange(0.0, 2.0, 5e-5)
    voltage = sensor_voltage(time, kmh / 3.6 / CODED * time, sensor, noise)
    edges = rising_edges(time, switch(voltage, *switching_levels(sensor)))
    _, speed, _ = speed_from_edges(edges, 2.0, settings_of(Scenario()))
    held = 3.6 * speed[50:]
    return held.mean(), held.min(), held.max()


@pytest.mark.parametrize("kind", ["passive", "active"])
@pytest.mark.parametrize("kmh", [4.0, 12.0, 47.0, 100.0])
def test_a_sound_ring_is_read_to_one_percent(kind, kmh):
    mean, least, most = read(wheel_sensor(kind), kmh)
    assert mean == pytest.approx(kmh, rel=0.004) and least > 0.985 * kmh and most < 1.015 * kmh


def test_rings_that_are_not_sound():
    assert read(wheel_sensor("passive", teeth=44.0), 60.0)[0] == pytest.approx(55.0, rel=0.004)
    assert read(wheel_sensor("passive", missing=0.0), 30.0)[1] < 22.0
    assert read(wheel_sensor("passive", gap=2e-3), 11.0) == (0.0, 0.0, 0.0)
    assert read(wheel_sensor("passive", gap=2e-3), 13.0)[0] == pytest.approx(13.0, rel=0.02)
    assert read(wheel_sensor("active", gap=1.3e-3, runout=4e-4), 30.0)[1] < 5.0


def test_voltage_agrees_with_amplitude_and_the_teeth_with_the_kernel():
    sensor = wheel_sensor("passive", missing=3.0)
    time = np.arange(0.0, 1.0, 2e-5)
    angle = 2 * pi * 5.0 * time
    voltage = sensor_voltage(time, angle, sensor)
    assert np.ptp(voltage) == pytest.approx(passive_amplitude(240.0, sensor.gap, sensor), rel=0.01)
    seen = len(rising_edges(time, switch(voltage, *switching_levels(sensor))))
    assert abs(seen - edges_between(angle[0], angle[-1], 0.0, 1.0, sensor)[0]) <= 1


def test_disturbance_counts_when_it_passes_the_hysteresis_and_not_before():
    passive, active = wheel_sensor("passive"), wheel_sensor("active")
    assert read(passive, 0.0, noise=0.12)[2] == 0.0 and read(passive, 0.0, noise=0.25)[0] > 5.0
    assert read(active, 0.0, noise=0.2)[2] == 0.0


@pytest.mark.parametrize(
    "current, name",
    [
        (0, "none"),
        (5.5, "none"),
        (5.6, "low"),
        (8.4, "low"),
        (10, "none"),
        (11.2, "high"),
        (16.8, "high"),
        (20, "none"),
        (28, "none"),
    ],
)
def test_level_of_a_current(current, name):
    assert level_of(current) == name


def test_every_value_has_a_source_and_a_wrong_one_is_named(tmp_path):
    assert all(source for kind in wheel_sensors().values() for source in kind.sources.values())
    text = (sensors_file := wheel_sensors_path()).read_text(encoding="utf-8")
    wrong = tmp_path / sensors_file.name
    wrong.write_text(
        text.replace("teeth = { value = 48.0", "teeth = { value = 4.0", 1), encoding="utf-8"
    )
    with pytest.raises(
        UserError, match=r"\[passive\]: teeth must be a number from 12 to 200, got 4"
    ):
        wheel_sensors(wrong)
    with pytest.raises(UserError, match="known are passive, active"):
        wheel_sensor("optical")


def wheel_sensors_path():
    from tractionlab.catalogue.places import data_folder

    return data_folder() / "sensors.toml"
