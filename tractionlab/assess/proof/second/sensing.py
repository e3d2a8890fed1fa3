"""The second route of `keys/sensing.py` for the proof: teeth counted by the sensor model. Same name
and units.
"""

from math import pi

from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import edges_between


def frequency(turning, teeth):
    """Teeth counted over a minute by the sensor model, a second at a time, over 60."""
    sensor = wheel_sensor(
        "active", teeth=float(teeth), pitch_error=0.0, tick=0.0, frequency_limit=1e9
    )
    turned = turning / 60 * 2 * pi
    return (
        sum(
            edges_between(k * turned + 0.001, (k + 1) * turned + 0.001, float(k), k + 1.0, sensor)[
                0
            ]
            for k in range(60)
        )
        / 60
    )
