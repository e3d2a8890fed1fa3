"""What the input stage of the control unit reads along a drive: pin voltages, teeth and messages,
with noise by seed.
"""

from types import MappingProxyType

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.coded import SECOND_FULL_DEG
from tractionlab.diagnosis.fault_memory import CYCLE
from tractionlab.diagnosis.start_up import RELAY_S, start_up, sweep_degrees
from tractionlab.wheels import WHEELS
from tractionlab.workshop.drive.inputs_supply import pressure_supply, pump_motor
from tractionlab.workshop.drive.inputs_wheels import read_wheels
from tractionlab.workshop.drive.leads import leads_of
from tractionlab.workshop.drive.world import RUNNING, START
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.wiring.pins import BUS_V, FAR, HEARD_V, LINES, partner_heard, wiring

_NOISE_V = 0.01  # of every analogue pin; invented
_FLICKER_MM = 3.0  # switch point under which the contact moves on bumps; course range 3 to 8 mm
_LOSSES_PER_MIN = 8.0  # bursts of lost messages on a network with one end resistor; invented
_REFLECTING_V = (
    2.3  # dominant voltage from which the network has too little load; 2.0 V with both ends
)
_YAW_MOST = 100.0  # deg/s that the yaw rate sensor can tell; invented
_LIGHT_A = 0.02  # lowest current at which a lamp can be seen; invented


def unit_inputs(vehicle, values, world):
    """Inputs of the control unit over a drive, name -> array (n,) or (n, 4).

    Everything comes from the part values: the wiring is solved by `pins.wiring`, wheels and
    pressure by their own modules."""
    return MappingProxyType(_Reader(vehicle, values, world).read())


class _Reader:
    """Builds the inputs group by group."""

    def __init__(self, vehicle, values, world):
        self.values, self.world = values, world
        self.leads = leads_of(vehicle, values, world)
        self.wiring = self.leads.still
        self.car = catalogue.shipped().vehicles()[vehicle]
        self.healthy = part_values(vehicle)
        self.layout_a = layout_of(vehicle) == "A"
        self.rng = np.random.default_rng([world.seed, 5])
        self.n = len(world)

    def read(self):
        world, values = self.world, self.values
        pedal = self._pedal()
        loaded = np.any(world.valve != 2, axis=1)
        supply = self.pin("supply")
        found = {
            "time": world.time,
            "active": not self.layout_a,
            "supply": np.where(loaded, self.wiring.control["supply"], supply) + self.noise(0.03),
            "starting": world.key == START,
            "loaded": loaded,
            "accelerator": world.accelerator,
            "antilock": world.antilock,
            "control": world.control,
            "cutting": world.cutting,
            "valve": world.valve,
            "coded": np.full(self.n, values["brake_unit.coded"] >= 0.5),
            "wheel_bar": world.wheel_bar,
        }
        found["awake"] = (world.key > 0) & (supply > values["unit.reset_V"])
        found["valve_supply"] = np.where(
            loaded, self.wiring.control["valve_supply"], self.pin("valve_supply")
        ) + self.noise(0.03)
        found["level"] = self.pin("level") + self.noise()
        found["button"] = (
            np.where(world.switch, self.wiring.far["tc_switch"], self.pin("tc_switch"))
            + self.noise()
        )
        free = np.where(loaded, self.wiring.control["brake"], self.pin("brake"))
        found["stop_contact"] = np.where(pedal, self.wiring.far["brake"], free) + self.noise()
        found["test_contact"] = (
            np.where(pedal, self.wiring.far["brake_test"], self.pin("brake_test")) + self.noise()
        )
        found |= read_wheels(self.leads, values, world, self.car)
        found |= self._coils()
        road = np.sort(found["wheel_speed"], axis=1)[:, 1:3].mean(axis=1)
        check = start_up(world.time, found["awake"], road, pedal)
        found |= {
            "lamp_check": check.lamps,
            "pulsed": check.pulses,
            "sweep": check.sweep & self.layout_a,
            "relay_on": found["awake"] & (world.time > RELAY_S[0]),
        }
        found["lamp_A"] = np.where(check.lamps, self.wiring.lamps_A["tc"], 0.0) + self.noise(0.001)
        found["dark"] = tuple(
            lamp for lamp, ampere in self.wiring.lamps_A.items() if ampere < _LIGHT_A
        )
        found["supply"] = np.where(check.pump, self.wiring.pumps["supply"], found["supply"])
        found |= pump_motor(self.wiring, values, world, check, self.layout_a, self.noise)
        if self.layout_a:
            found |= pressure_supply(self.wiring, values, world, found["awake"])
            found |= self._throttles(check.sweep) | self._lines()
        else:
            found |= self._sensors() | self._network(found["awake"]) | self._torque()
        return found | {"disc": _disc(world, values, self.car)}

    def pin(self, name):
        """Voltage of a pin at rest over the drive; while a broken lead is open, what the pin shows
        then.
        """
        return self.leads.read(lambda wiring: wiring.rest[name][self.world.key])

    def line(self, name, share):
        """Voltage of a pin that follows something linearly: 0 at rest, 1 at its far end."""
        rest = self.pin(name)
        return rest + share * (self.wiring.far[name] - self.wiring.rest[name][3]) + self.noise()

    def noise(self, size=_NOISE_V):
        return size * self.rng.standard_normal(self.n)

    def _pedal(self):
        """The pedal as its switch feels it: one that is set too high flickers on bumps."""
        pedal = self.world.brake
        if self.values["pedal_bracket.switch_point_mm"] < _FLICKER_MM:
            shaken = self.world.bump > 0.05
            shaken = np.convolve(shaken, np.ones(25), "same") > 0
            pedal = pedal ^ (shaken & (self.world.time * 10.0 % 1.0 < 0.5))
        return pedal

    def _coils(self):
        sound = wiring(self.world.vehicle, self.healthy)
        share = {name: self.wiring.coil_A[name] / sound.coil_A[name] for name in sound.coil_A}
        rest = {
            name: self.wiring.rest[name][1] / max(self.wiring.rest["supply"][1], 1.0)
            for name in share
        }
        reduce_ = {name: self.wiring.wheel_A[name] / sound.wheel_A[name] for name in sound.wheel_A}
        columns = [WHEELS.index(name[-2:]) for name in reduce_]
        return {
            "coils": {name: (rest[name], share[name]) for name in share},
            "reduce_share": reduce_,
            "reducing": self.world.valve[:, columns] == -1,
        }

    def _lines(self):
        """What is heard on the lines of a car without a network: pulses of the engine's speed, and
        the voltage of quiet request lines.
        """
        runs, pulled = self.world.key == RUNNING, self.wiring.far["engine_speed"]
        heard = (self.pin("engine_speed") > HEARD_V) & (pulled < HEARD_V)
        return {
            "engine_speed_heard": runs & heard,
            **{name: self.pin(name) + self.noise() for name in LINES if name != "engine_speed"},
        }

    def _sensors(self):
        world, values = self.world, self.values
        shake = (
            values["yaw_bracket.rattle_deg_per_s"]
            * self.rng.uniform(-1.0, 1.0, self.n)
            * (world.bump > 0.05)
        )
        yaw = (
            np.clip(np.degrees(world.yaw_rate), -_YAW_MOST, _YAW_MOST)
            + shake
            + 0.15 * self.rng.standard_normal(self.n)
        )
        lateral = (
            world.lateral
            + 9.81 * np.sin(np.radians(values["yaw_bracket.tilt_deg"]))
            + 0.05 * self.rng.standard_normal(self.n)
        )
        steer = (
            world.steer
            + np.radians(values["steering_zero.offset_deg"])
            + np.radians(0.3) * self.rng.standard_normal(self.n)
        )
        return {
            "pressure": self.line("pressure", world.pedal_bar / FAR["pressure"]),
            "yaw_rate": self.line("yaw", yaw / FAR["yaw"]),
            "lateral": self.line("lateral", lateral / FAR["lateral"]),
            "steer": steer,
        }

    def _network(self, awake):
        """Age of the messages from the engine or motor and from the steering column."""
        dead = self.wiring.bus_V < BUS_V
        bursts = self.wiring.bus_V > _REFLECTING_V
        ages = {
            f"{name}_age": self._age(awake, partner_heard(self.wiring, name), bursts)
            for name in self.wiring.partners
        }
        return ages | {"network_off": np.full(self.n, dead)}

    def _age(self, awake, heard, bursts):
        arrives = awake & heard
        if bursts:
            for _ in range(self.rng.poisson(_LOSSES_PER_MIN * self.n * CYCLE / 60.0)):
                start = int(self.rng.integers(self.n))
                arrives[start : start + int(self.rng.integers(34, 60))] = False
        begin = int(np.argmax(awake))
        last = np.maximum.accumulate(np.where(arrives, np.arange(self.n), begin))
        return (np.arange(self.n) - last) * CYCLE * awake

    def _torque(self):
        world, values = self.world, self.values
        able = self.car["motor"] != "combustion" or values["torque_path.reduction_available"] >= 0.5
        return {
            "asked": world.asked,
            "given": world.given + self.noise(1.0),
            "reduction_available": np.full(self.n, able),
        }

    def _throttles(self, sweep):
        """Both plates of layout A's car: what they are sent, where they are, and what their sensors
        say.
        """
        values, world = self.values, self.world
        sent = np.where(
            sweep,
            sweep_degrees(world.time, sweep, SECOND_FULL_DEG),
            SECOND_FULL_DEG * np.clip(world.plate, 0.0, 1.0),
        )
        if not self.wiring.stepper:
            place = np.full(self.n, SECOND_FULL_DEG) - 2.0 * np.abs(np.sin(40.0 * world.time)) * (
                sweep | world.control
            )
        else:
            rate, sound = (
                SECOND_FULL_DEG / values["second_plate.travel_s"],
                SECOND_FULL_DEG / self.healthy["second_plate.travel_s"],
            )
            place = sent if rate >= sound else _limited(sent, sweep | world.control, rate)
        main = self.line("throttle_main", world.accelerator)
        worn = values["throttle_main.worn_V"]
        if worn:
            band = (world.accelerator >= 0.15) & (world.accelerator <= 0.20)
            main = main - worn * band * (self.rng.random(self.n) < 0.5)
        return {
            "main_throttle": main,
            "second_throttle": self.line("throttle_second", place / SECOND_FULL_DEG),
            "sent_degrees": sent,
        }


def _limited(signal, where, rate):
    """A signal that changes no faster than `rate` a second while `where`."""
    out, step = signal.copy(), rate * CYCLE
    for k in np.flatnonzero(where[1:]) + 1:
        out[k] = min(max(signal[k], out[k - 1] - step), out[k - 1] + step)
    return out


def _disc(world, values, car):
    """Disc temperature of the hotter driven brake as the unit estimates it [degC]: heat of its own
    brake action, cooling by air.

    Each hard launch before the drive adds 46 K, so that ten reach the pause (invented).
    """
    driven = [i for i in range(4) if (car["drive"] == "front") == (i < 2)]
    power = (
        np.max(world.wheel_bar[:, driven] * world.wheel_speed[:, driven], axis=1)
        * world.control
        * car["driven_brake_Nm_per_bar"]
    )
    cooling = car["disc_cooling_still_per_s"]
    grow = np.exp(cooling * world.time)
    heat = (
        np.cumsum(power * grow)
        * CYCLE
        / (car["disc_mass_kg"] * car["disc_specific_heat_J_per_kg_K"])
    )
    start = world.disc + 46.0 * values["customer.hard_launches"] * (
        values["customer.hard_launches"] > 0.0
    )
    return world.ambient + (start - world.ambient + heat) / grow
