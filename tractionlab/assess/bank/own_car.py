"""A paper with the numbers of an own car: they are written into the paper, so that every machine
draws, marks and shows the same.
"""

from dataclasses import replace
from functools import lru_cache
from itertools import islice
from types import MappingProxyType

from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.bank.item import items
from tractionlab.catalogue.checked import is_number
from tractionlab.errors import UserError
from tractionlab.textbook.car_numbers import car_numbers, suits

_PUSH = {
    "mass": "mass",
    "share": "share",
    "height": "height",
    "base": "wheelbase",
    "radius": "radius",
    "ratio": "ratio",
    "efficiency": "efficiency",
}
_WHEEL = {"load": "load", "per_bar": "Nm_per_bar", "radius": "radius"}
_RING = {"teeth": "teeth", "radius": "radius"}
#: Item -> {its draw: name in `car_numbers`}.
_TAKES = {
    "1-push-rear": {**_PUSH, "full": "full"},
    "1-push-front": _PUSH,
    "1-slope": {"mass": "mass", "share": "share"},
    "2-split-push": _WHEEL,
    "2-hill": {**_WHEEL, "mass": "mass", "ratio": "ratio", "efficiency": "efficiency"},
    "2-full-grip": _WHEEL,
    "2-turning": {"ratio": "ratio", "radius": "radius"},
    "2-gain": {"per_bar": "Nm_per_bar", "radius": "radius", "mass": "mass"},
    "3-teeth": _RING,
    "3-top-speed": _RING,
    "4-tooth-times": _RING,
    "4-bend": {"track": "track"},
    "5-cylinders": {"indicated": "burning", "friction": "friction"},
    "5-stepper": {
        "torque": "wheel_torque",
        "load": "load",
        "radius": "radius",
        "inertia": "inertia",
    },
    "7-build-up": {"first": "gap", "per_bar": "cm3_per_bar"},
    "7-pulses": {"per_bar": "cm3_per_bar"},
    "8-heat": {"disc": "disc", "radius": "radius"},
    "8-bend": {"track": "track"},
    "8-power-of-bar": {"per_bar": "Nm_per_bar", "radius": "radius"},
    "12-hand-turn": _RING,
}
#: What an item is about, where it is not any car with one driven axle: {key: value}.
_ABOUT = {
    "1-push-rear": {"drive": "rear"},
    "1-push-front": {"drive": "front"},
    "5-cylinders": {"motor": "combustion"},
    "5-stepper": {"motor": "combustion"},
    "7-build-up": {"layout": "B"},
    "7-pulses": {"layout": "B"},
}
#: An item takes a car's numbers if so many different draws are left for neighbours.
_LEFT = 8
#: No number of a car is larger.
_MOST = 1e6


@lru_cache(maxsize=200)
def _narrowed(item, fixed):
    draws = {**item.draws, **{name: (value,) for name, value in fixed}}
    return replace(item, draws=MappingProxyType(draws))


def with_numbers(item, numbers):
    """The item as a paper with these numbers, {item id: {draw: value}}, draws it."""
    fixed = numbers.get(item.id)
    return _narrowed(item, tuple(fixed.items())) if fixed else item


def numbers_for(car, names):
    """{item id: {draw: value}} that a car gives to the items of a paper; UserError if to none."""
    found, values = {}, car_numbers(car)
    for name in names:
        if name in _TAKES and suits(car, _ABOUT.get(name, {})):
            fixed = {draw: values[of] for draw, of in _TAKES[name].items()}
            if _draws_left(with_numbers(items()[name], {name: fixed})) >= _LEFT:
                found[name] = fixed
    if not found:
        raise UserError(f"no item of the paper can take the numbers of {car.name}")
    return found


def _draws_left(item):
    return len(list(islice(fair_draws(item), _LEFT)))


def read_numbers(reader, table, names):
    """The table [numbers] of a paper file, checked."""
    if not isinstance(table, dict):
        raise reader.wrong('numbers must be a table, [numbers."2-hill"] with lines as mass = 1900')
    for name, fixed in table.items():
        if name not in names:
            raise reader.wrong(f"numbers: {name!r} is no item of this paper")
        draws = items()[name].draws
        for draw, value in fixed.items() if isinstance(fixed, dict) else ():
            if draw not in draws or not is_number(value) or not 0.0 < value < _MOST:
                raise reader.wrong(
                    f"numbers, {name}: {draw} = {value!r} does not fit; it takes numbers over 0 for"
                    f" {', '.join(draws)}"
                )
        if not isinstance(fixed, dict) or not _draws_left(with_numbers(items()[name], table)):
            raise reader.wrong(f"numbers, {name}: no draw with {fixed!r} passes the item's rules")
    return {name: dict(fixed) for name, fixed in table.items()}
