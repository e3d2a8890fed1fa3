"""A car of the bench as a run takes it: its part values as faults of circuit, sensors and signals,
and as values of the vehicle.
"""

from dataclasses import dataclass

from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.coded import main_closed_V, main_travel_V, pressure_bar, yaw_degrees
from tractionlab.run.signal_faults import ENGINE, PLUGS, SIGNAL
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.drive.computed_runs import STEERING_RATIO
from tractionlab.workshop.drive.edges import NOTHING_FROM
from tractionlab.workshop.drive.inputs_wheels import NEW_RADIUS_M, switches, tyre_radius
from tractionlab.workshop.hydraulic_car import circuit_faults, layout_of
from tractionlab.workshop.wiring.electric_state import electrics_of
from tractionlab.workshop.wiring.pins import EMPTY, FAR, HEARD_V, partner_heard, wiring

_RUNNING = 3  # place of the key in the readings of a pin
_SLOWEST_MOTOR, _SLOWEST_PLATE = 200.0, 1.0  # N m/s, strokes a second: least of a vehicle's range
_ROUND = 4  # digits; smaller differences are no fault
_LEVEL_V, _PEDAL_V = 3.0, 6.0  # under which the level switch, over which the stop contact is closed


@dataclass(frozen=True)
class AsDriven:
    """Fields of a Scenario that say what is wrong with its car, in a form that can be a key:
    faults as (part, fault, value), values of the vehicle as (name, number), and the friction of
    the pads.
    """

    faults: tuple
    vehicle_values: tuple
    pads: tuple

    def fields(self):
        """Keywords for a Scenario."""
        found = {}
        for part, fault, value in self.faults:
            found.setdefault(part, []).append((fault, value))
        return {
            "faults": {part: tuple(rows) for part, rows in found.items()},
            "vehicle_values": dict(self.vehicle_values),
            "pad_friction": self.pads,
        }


#: A car without a fault.
SOUND = AsDriven((), (), (1.0, 1.0, 1.0, 1.0))


def as_driven(vehicle, values):
    """AsDriven of a car with these part values."""
    if not values.changes:
        return SOUND
    pins = wiring(vehicle, values)
    faults = [
        *circuit_faults(layout_of(vehicle), values, electrics_of(vehicle, values)),
        *_reservoir(values),
        *_sensors(vehicle, values, pins),
        *_signals(vehicle, values, pins),
    ]
    if values["rear_plugs.crossed"] >= 0.5:
        faults.append((PLUGS, "crossed", 1.0))
    if excess := values.get("torque_path.excess_Nm", 0.0):
        faults.append((ENGINE, "excess", excess))
    pads = tuple(values[f"pads_{wheel}.friction_share"] for wheel in WHEEL_KEYS)
    return AsDriven(tuple(faults), tuple(_slow(vehicle, values, pins)), pads)


def _slow(vehicle, values, pins):
    """Actuators of the torque that are slower than those of the sound car."""
    car = catalogue.shipped().vehicles()[vehicle]
    rate = values.get("drive_motor.rate_Nm_per_s")
    if rate is not None and rate < car["torque_rate_Nm_per_s"]:
        yield "torque_rate_Nm_per_s", max(rate, _SLOWEST_MOTOR)
    if "second_plate.travel_s" in values:
        strokes = 1.0 / values["second_plate.travel_s"] if pins.stepper else _SLOWEST_PLATE
        if strokes < 0.99 * car["throttle_rate_per_s"]:
            yield "throttle_rate_per_s", max(strokes, _SLOWEST_PLATE)


def _reservoir(values):
    fill = values["reservoir.fill_share"]
    if fill < EMPTY:
        yield "reservoir", "low", max(fill, 0.1)


def _sensors(vehicle, values, pins):
    """Faults of rings and wheel sensors. A tyre of another size turns the ring faster or slower, so
    it counts as another number of teeth.
    """
    car = catalogue.shipped().vehicles()[vehicle]
    for i, wheel in enumerate(WHEEL_KEYS):
        part, ring = f"sensor_{wheel.upper()}", f"ring_{wheel}"
        gap, passive = values[f"sensor_{wheel}.gap_mm"], car["wheel_sensors"] == "passive"
        if passive:
            dead = pins.gain[i] * values[f"sensor_{wheel}.volts_per_hertz"] <= 0.0
            gap = 10.0 if dead else gap * _weaker(values, wheel, pins.gain[i]) ** (-2.0 / 3.0)
        else:
            dead = not switches(pins, i) or values[f"{ring}.turned_away"] >= 0.5
            dead = dead or gap >= NOTHING_FROM * values[f"sensor_{wheel}.gap_limit_mm"]
        if dead:
            yield part, "open", None
        elif passive and abs(gap / car["sensor_gap_mm"] - 1.0) > 0.02:
            yield part, "gap", min(gap, 10.0)
        teeth = values[f"{ring}.teeth"] * NEW_RADIUS_M / tyre_radius(values, wheel)
        if abs(teeth / car["teeth"] - 1.0) > 1e-6:
            yield part, "teeth", teeth
        if values[f"{ring}.missing"] + values.get(f"{ring}.merged", 0.0) > 0.0:
            yield part, "missing", 0.0
        if crack := values.get(f"{ring}.crack_share", 0.0):
            yield part, "crack", crack
        if runout := values[f"{ring}.runout_mm"]:
            yield part, "runout", min(runout, 2.0)


def _weaker(values, wheel, gain):
    """Voltage of a coil sensor at the control unit over that of a sound one, at the same gap."""
    sound = wheel_sensor("passive")
    return values[f"sensor_{wheel}.volts_per_hertz"] * gain / sound.volts_per_hertz


def _signals(vehicle, values, pins):
    """Faults of all other signals, from the voltages at the control unit's pins and from who is
    heard.
    """
    free, pressed = (
        volts > _PEDAL_V for volts in (pins.rest["brake"][_RUNNING], pins.far["brake"])
    )
    yield from _line("brake_switch", float(free), float(pressed))
    low = values["reservoir.fill_share"] < EMPTY
    if (pins.rest["level"][_RUNNING] < _LEVEL_V) != low:
        yield f"{SIGNAL}low_level", "stuck", float(not low)
    if layout_of(vehicle) == "A":
        yield from _of_layout_a(pins)
    else:
        yield from _of_layout_b(vehicle, values, pins)


def _of_layout_a(pins):
    closed, travel = main_closed_V(), main_travel_V()
    rest, far = (
        (volts - closed) / travel
        for volts in (pins.rest["throttle_main"][_RUNNING], pins.far["throttle_main"])
    )
    yield from _line("accelerator", rest, far)
    high, warned = (
        volts < HEARD_V
        for volts in (pins.rest["pressure_warning"][_RUNNING], pins.far["pressure_warning"])
    )
    yield from _line("low_pressure", float(high), float(warned))
    if not pins.rest["engine_speed"][_RUNNING] > HEARD_V > pins.far["engine_speed"]:
        yield from _silent("engine_speed", "gear")


def _of_layout_b(vehicle, values, pins):
    ends = pins.rest["pressure"][_RUNNING], pins.far["pressure"]
    rest, far = (pressure_bar(volts) for volts in ends)
    yield from _line("pedal_pressure", rest, far, FAR["pressure"])
    ends = pins.rest["yaw"][_RUNNING], pins.far["yaw"]
    rest, far = (yaw_degrees(volts) for volts in ends)
    yield from _line("yaw_rate", rest, far, FAR["yaw"])
    if not partner_heard(pins, "steer"):
        yield from _silent("steering")
    elif offset := values["steering_zero.offset_deg"]:
        yield f"{SIGNAL}steering", "offset", offset / STEERING_RATIO
    if not partner_heard(pins, "engine"):
        yield from _silent("engine_speed", "gear", "accelerator")


def _line(name, rest, far, full=1.0):
    """Faults of a signal that is read as `rest` where it is 0 and as `far` where it is `full`."""
    share = round((far - rest) / full, _ROUND)
    if abs(share - 1.0) > 0.02:
        yield f"{SIGNAL}{name}", "share", float(share)
    if abs(rest) > 0.02 * full:
        yield f"{SIGNAL}{name}", "offset", float(round(rest, _ROUND))


def _silent(*names):
    for name in names:
        yield f"{SIGNAL}{name}", "stuck", 0.0
