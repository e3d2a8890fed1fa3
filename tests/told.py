"""What a customer's sentences claim, worked out on the one car: `Car(name, vehicle).holds(claim)`.

A claim is LEFT = RIGHT, LEFT < RIGHT or LEFT > RIGHT. RIGHT is a number, a word, `sound` or `N
sound`: what the same quantity is on a sound car. LEFT is a test and its reading, a drive and a
lamp, or a drive of its own (`told_drives.py`); {left} and {right} stand for the driven wheels.
"""

import re
from functools import lru_cache

import numpy as np
from told_drives import OWN_DRIVES

from tractionlab.diagnosis.lamps import ON
from tractionlab.workshop.case.suspects import car_with
from tractionlab.workshop.drive import bay
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.fault_entry import with_driven_wheels
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.reading import agree
from tractionlab.workshop.tests.base import run

CHECK = 400  # samples of the lamp check
DRIVES = ("town", "long", "rough", "left_ice", "onto_ice", "right_ice")
#: Drives of the days before, one after the other with the memory of those before, then ignition on.
LIFE = (*DRIVES, "restart")
#: A car in another state: alone, without memory.
ALONE = ("start", "long_alone", "dried", "rested")
WHENS = (*LIFE, *ALONE)


def state_of(lamp):
    """ "off", "stays on", "comes on" or "comes and goes" after the lamp check."""
    on = lamp[CHECK:] == ON
    if not on.any():
        return "off"
    if not on[-1]:
        return "comes and goes"
    return "stays on" if on.all() else "comes on"


class Car:
    """A vehicle with a fault of the catalogue, or a sound one (name "")."""

    def __init__(self, name, vehicle):
        self.name, self.vehicle = name, vehicle
        self.values = car_with(name, vehicle) if name else part_values(vehicle)

    def holds(self, claim):
        """True if a claim agrees with what is computed."""
        left, sign, right = re.fullmatch(r"(.+?) ([=<>]) (.+)", claim).groups()
        words = with_driven_wheels(left, self.vehicle).split()
        here = self.worth(words)
        factor = re.fullmatch(r"(?:([\d.]+) )?sound", right)
        if factor and factor[1] is None and sign == "=":
            return self._same(words, here, Car("", self.vehicle).worth(words))
        if factor:
            right = float(factor[1] or 1.0) * Car("", self.vehicle).worth(words)
        elif not re.fullmatch(r"-?[\d.]+", right) and re.fullmatch(r"[a-z]+ [a-z_]+", right):
            other = right.split()
            right = self.worth(other) if other[0] in OWN_DRIVES else right
        if sign == "=":
            return here == right or right == "on" and here in ("stays on", "comes on")
        here, right = float(here), float(right)
        return here < right if sign == "<" else here > right

    def _same(self, words, here, sound):
        if words[0][0] == "T" and words[0][1:].isdigit():
            return agree(self._reading(*words), Car("", self.vehicle)._reading(*words))
        return abs(here - sound) <= 0.03 * abs(sound) + 0.02

    def worth(self, words):
        """Number or word of a quantity, given as its words."""
        first, *rest = words
        if first[0] == "T" and first[1:].isdigit():
            return self._reading(first, *rest).value
        if first in ("always", "drives"):
            whens = ("start", *LIFE) if first == "always" else DRIVES
            states = {self.worth([when, *rest]) for when in whens}
            if states <= {"stays on", "comes on"} and len(states) > 1:
                return "comes on"
            return states.pop() if len(states) == 1 else ", ".join(sorted(states))
        if first in OWN_DRIVES:
            return OWN_DRIVES[first](self, *rest)
        if first not in WHENS:
            raise KeyError(first)
        lamp, *what = rest
        if not what:
            return state_of(self.record(first).lamps[lamp])
        return getattr(self, f"_{what[0]}")(first, lamp)

    def _reading(self, test, key):
        return {reading.key: reading for reading in run(test, self.vehicle, self.values)}[key]

    def record(self, when):
        """What is kept of a drive."""
        if when in LIFE:
            return bay.life(self.vehicle, self.values)[LIFE.index(when)]
        return alone(self.vehicle, self.values, when)

    def world(self, when):
        """The drive as it was planned."""
        return world_of(self.vehicle, when)

    def _seconds(self, when, lamp):
        """Time from the start at which a lamp comes on for a fault."""
        on = self.record(when).lamps[lamp][CHECK:] == ON
        return self.world(when).time[CHECK + int(np.argmax(on))]

    def _rolling(self, when, lamp):
        """The same from moving off."""
        world = self.world(when)
        return self._seconds(when, lamp) - world.time[np.argmax(world.speed > 5.0 / 3.6)]

    def _lateral(self, when, lamp):
        """Greatest side acceleration in the second before it [m/s2]."""
        world, at = self.world(when), self._seconds(when, lamp)
        late = (world.time > at - 1.0) & (world.time <= at)
        return np.abs(world.lateral[late]).max()

    def _after_control(self, when, lamp):
        """The same from the first moment of control."""
        world = self.world(when)
        return self._seconds(when, lamp) - world.time[np.argmax(world.control)]


def world_of(vehicle, when):
    drives = dict(zip(DRIVES, bay.customer_drives(vehicle)))
    if when in drives:
        return drives[when]
    return drives["long"] if when == "long_alone" else bay.ignition_on(vehicle)


@lru_cache(maxsize=512)
def alone(vehicle, values, when):
    """Diagnosis of a drive without memory; `dried`: without what water lets through; `rested`: the
    control has not worked for an hour.
    """
    if when == "dried":
        wet = [name for name, _ in values.changes if name.endswith(("leak_ohm", "wet_ohm"))]
        values = changed(values, {name: part_values(vehicle)[name] for name in wet})
    if when == "rested":
        values = changed(values, {"customer.hard_launches": 0.0})
    return diagnose(vehicle, values, world_of(vehicle, when))
