"""The four wheels in the order in which every array has them: their names, keys and words."""

from types import MappingProxyType

WHEELS = ("FL", "FR", "RL", "RR")
#: As the parts of a wheel are keyed, e.g. `sensor_fl`.
WHEEL_KEYS = tuple(wheel.lower() for wheel in WHEELS)
WHEEL_WORDS = ("front left", "front right", "rear left", "rear right")
#: Key -> words.
CALLED = MappingProxyType(dict(zip(WHEEL_KEYS, WHEEL_WORDS)))
