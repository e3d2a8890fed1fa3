"""The hydraulic circuit and the wheel-speed sensors of a scenario's car, and what its control unit
knows of them.
"""

from functools import lru_cache
from math import pi, radians

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.ranges import CALIPER_RANGES
from tractionlab.control.hydraulics import CODED_A, CODED_B, Hydraulics, can_brake
from tractionlab.errors import UserError
from tractionlab.hydraulics.circuit_values import circuit_of
from tractionlab.hydraulics.faults import RESERVOIR, reservoir_share, with_fault
from tractionlab.hydraulics.fluid import WARM_DEGC
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics.brake_circuit import circuit_at_rest, circuit_rates
from tractionlab.physics.circuit_cycle import MOST_STEPS, Plant
from tractionlab.physics.hydraulics import caliper_volume
from tractionlab.run.records import record
from tractionlab.run.scenario import each_fault, vehicle_values
from tractionlab.run.sensing import ANGLE, COUNTERS, LAST, READ, Steps
from tractionlab.run.signal_faults import (
    ENGINE,
    PLUGS,
    SIGNAL,
    engine_excess,
    sensor_plugs,
    signals_as_told,
)
from tractionlab.sensors.parts import signals, wheel_sensor, with_sensor_fault
from tractionlab.sensors.ring import gives_signal, passive_amplitude
from tractionlab.units import BAR, CM3, MM, RPM
from tractionlab.wheels import WHEELS

#: Step of the circuit [s], whatever the step of the car.
STEP = 0.001
#: How far the ring of each wheel stands past its tooth at the beginning, as a share of the pitch of
#: 48 teeth: no two alike. Chosen for this course.
STAND = (0.15, 0.4, 0.65, 0.9)
_SENSOR = "sensor_"
_ELSEWHERE = (RESERVOIR, ENGINE, PLUGS)


def _sound(scenario, temperature=WARM_DEGC):
    """(layout, sound circuit) of a scenario's car: with its own calipers, the axle it was built to
    drive, and fluid of a temperature [degC].
    """
    drive, values = (
        catalogue.in_use().vehicles()[scenario.vehicle]["drive"],
        vehicle_values(scenario),
    )
    calipers = tuple(values[key] for key in CALIPER_RANGES)
    return values["layout"], _circuit(values["layout"], drive, calipers, temperature)


@lru_cache(maxsize=32)
def _circuit(layout, drive, calipers, temperature):
    return circuit_of(layout, dict(zip(CALIPER_RANGES, calipers)), drive, temperature)


def _table(layout):
    return hydraulics()[f"layout_{layout.lower()}"]


def circuit_parts(scenario):
    """(layout "A" or "B", Circuit with the scenario's faults)."""
    layout, circuit = _sound(scenario, scenario.fluid_degC)
    for part, fault, value in each_fault(scenario):
        if part not in _ELSEWHERE and not part.startswith((_SENSOR, SIGNAL)):
            circuit = with_fault(circuit, part, fault, value)
    return layout, h.Circuit(*(table.copy() for table in circuit))


def check_faults(scenario):
    """UserError that names the part if the scenario's car has no such part or the part no such
    fault.
    """
    try:
        circuit_parts(scenario)
        rings_of(scenario)
        reservoir_share(scenario.faults)
        signals_as_told(scenario)
        engine_excess(scenario)
        sensor_plugs(scenario)
    except UserError as problem:
        raise UserError(f"[faults] {problem}") from None


def steps_of(scenario):
    """In which steps the control unit of the scenario's car sees its sensors, in SI."""
    v, full = signals(), _table(vehicle_values(scenario)["layout"])["reservoir_cm3"] * CM3
    return Steps(
        throttle=0.01 * v["throttle_percent"],
        engine_speed=v["engine_speed_rpm"] * RPM,
        yaw_rate=radians(v["yaw_rate_deg_per_s"]),
        steering=radians(v["steering_deg"]),
        pedal_pressure=v["pedal_pressure_bar"] * BAR,
        low_pressure=v["low_pressure_bar"] * BAR,
        low_level=0.01 * v["low_level_percent"] * full,
    )


def rings_of(scenario):
    """Four WheelSensors of the scenario's car, passive or active, with its faults."""
    v = vehicle_values(scenario)
    sound = wheel_sensor(v["wheel_sensors"], teeth=v["teeth"], gap=v["sensor_gap_mm"] * MM)
    rings = {f"{_SENSOR}{wheel}": sound for wheel in WHEELS}
    for part, fault, value in each_fault(scenario):
        if part.startswith(_SENSOR):
            if part not in rings:
                raise UserError(f"there is no part {part!r}; sensors are {', '.join(rings)}")
            rings[part] = with_sensor_fault(rings[part], part, fault, value)
    return tuple(rings.values())


def hydraulics_of(scenario):
    """What the control unit of the scenario's car knows of its hydraulics: a sound circuit with
    warm fluid.
    """
    return _coded(*_sound(scenario))


def blind_speed_of(scenario):
    """Rim speed [m/s] under which the sound sensors of the scenario's car show no teeth."""
    v = vehicle_values(scenario)
    sound = wheel_sensor(v["wheel_sensors"], teeth=v["teeth"], gap=v["sensor_gap_mm"] * MM)
    if sound.active == 1.0:
        return 0.0
    frequency = sound.threshold / passive_amplitude(1.0, sound.gap, sound)
    return 2.0 * pi * v["tyre_radius_m"] * frequency / sound.teeth


def never_braked(scenario):
    """The axle, "front" or "rear", that the scenario drives and whose brakes the circuit cannot
    press by itself; "" if there is none.

    Layout A can only brake the axle that the car was built to drive.
    """
    drive, coded = (
        scenario.drive or catalogue.in_use().vehicles()[scenario.vehicle]["drive"],
        hydraulics_of(scenario),
    )
    return next(
        (
            axle
            for axle, wheel in (("front", 0), ("rear", 2))
            if drive in (axle, "all") and not can_brake(wheel, coded)
        ),
        "",
    )


def _coded(layout, circuit):
    valves, numbers = circuit
    table = _table(layout)
    front, rear = (h.BRAKE + 4 * first for first in (0, 2))
    inlet, feed, cut = (
        valves[h.INLET, h.FLOW],
        valves[h.FEED + 1, h.FLOW],
        valves[h.CUT_OFF + 1, [h.FLOW, h.NON_RETURN]].sum(),
    )
    open_share = 1.0 - table["seat_overlap"]
    a = layout == "A"
    shared = (inlet**-2 + 4.0 * cut**-2) ** -0.5
    alone = [a and numbers[h.LINE_AXLE] != axle for axle in (0.0, 1.0)]
    return Hydraulics(
        layout=CODED_A if a else CODED_B,
        braked_axle=numbers[h.LINE_AXLE],
        front_gap=numbers[front + h.GAP],
        front_slope=numbers[front + h.SLOPE],
        rear_gap=numbers[rear + h.GAP],
        rear_slope=numbers[rear + h.SLOPE],
        front_flow=(inlet if alone[0] else shared) * open_share,
        rear_flow=(inlet if alone[1] else shared) * open_share,
        feed_flow=(inlet**-2 + feed**-2) ** -0.5 * open_share if a else 0.0,
        inlet_flow=inlet * open_share,
        out_flow=valves[h.OUTLET, h.FLOW] * open_share,
        store=0.5 * numbers[h.PRELOAD],
        supply=(0.5 * (table["cut_in_bar"] + table["cut_out_bar"]) if a else table["relief_bar"])
        * BAR,
        pump_flow=0.0 if a else numbers[h.RETURN_FLOW],
        pump_start=numbers[h.MOTOR_START],
        hold=table["hold_A"] if a else 0.0,
        reduce=table["reduce_A"] if a else 0.0,
        switch=table["switch_A"] if a else 0.0,
        inlet=0.0 if a else table["inlet_A"],
        outlet=0.0 if a else table["outlet_A"],
        isolating=0.0 if a else table["isolating_A"],
        priming=0.0 if a else table["priming_A"],
    )


def plant_of(scenario, period):
    """The Plant of the time loop, a record, at rest, layout A with a full accumulator, and shut in
    at its pressure what `hand_brake_bar` presses.
    """
    layout, parts = circuit_parts(scenario)
    table = _table(layout)
    steps = max(1, int(np.ceil(period / STEP - 1e-9)))
    commands = [np.zeros(h.COMMANDS) for _ in range(3)]
    plant = Plant(
        steps=np.int64(steps),
        parts=parts,
        state=np.zeros(h.STATES),
        pressures=np.zeros(h.PLACES),
        first=commands[0],
        then=commands[1],
        pulse=np.zeros(h.VALVES),
        command=commands[2],
        flows=np.zeros(h.FLOWS),
        travel=np.zeros(h.VALVES),
        current=np.zeros(h.VALVES),
        wheel=np.zeros((max(steps, MOST_STEPS) + 1, 4)),
        before=np.zeros((2, h.COMMANDS)),
        rest=np.zeros(2),
        space=np.zeros((4, h.STATES)),
        now=np.zeros(h.FLOWS),
    )
    full = table["cut_out_bar"] * BAR if layout == "A" else 0.0
    circuit_at_rest(
        parts,
        full,
        reservoir_share(scenario.faults) * table["reservoir_cm3"] * CM3,
        plant.state,
    )
    for i, pressure in enumerate(scenario.hand_brake_bar):
        if pressure > 0.0:
            _shut_in(i, pressure * BAR, plant)
    circuit_rates(plant.state, plant.then, parts, plant.space[0], plant.pressures, plant.now)
    return record(plant)


def _shut_in(i, pressure, plant):
    """Close the ways to and from wheel brake i, with as much fluid in it as makes this pressure
    [Pa].
    """
    valves, numbers, brake = plant.parts.valves, plant.parts.numbers, h.BRAKE + 4 * i
    for j in (h.INLET + i, h.OUTLET + i):
        valves[j, [h.FLOW, h.LEAK, h.NON_RETURN]] = 0.0
    plant.state[h.WHEEL + i] = caliper_volume(
        pressure,
        numbers[brake + h.SLOPE],
        numbers[brake + h.GAP],
        numbers[brake + h.KNEE],
        numbers[brake + h.AIR],
    )


def counters_of(speed, radius, rings):
    """Tooth counters of four wheels that have been rolling at a speed [m/s] for a while: the unit
    has their speed, of a ring that shows no teeth zero. No two rings stand alike, and no tooth has
    been seen yet."""
    counters = np.zeros((COUNTERS, 4))
    counters[ANGLE] = 2.0 * pi / 48.0 * np.array(STAND)
    counters[READ], counters[LAST] = (
        [speed if gives_signal(speed / radius, ring) else 0.0 for ring in rings],
        -1.0,
    )
    return counters
