"""Shape of a sensor ring: its edge with teeth and faults, or the poles of a magnetised one, as the
sensor model has them.
"""

import numpy as np

from tractionlab.sensors.ring import TURN, tooth_gap, tooth_shift
from tractionlab.units import MM

#: Height of a tooth and depth of a crack, as shares of the tooth pitch: chosen for the drawing.
_HEIGHT, _CRACK = 0.4, 1.2


def _places(sensor):
    """Function from tooth pitches, with fractions, to the angle on the ring [rad]; teeth stand
    where the model has them.
    """
    count = int(sensor.teeth)
    places = np.array([k + tooth_shift(float(k), sensor) for k in range(count)])
    around = np.concatenate((places[-1:] - count, places, places[:1] + count))
    return lambda pitches: np.interp(pitches, np.arange(-1, count + 1), around) * TURN / count


def _tops(sensor):
    """Radius [mm] of each tooth: an eccentric ring comes near the sensor and goes away."""
    gaps = np.array([tooth_gap(float(k), sensor) for k in range(int(sensor.teeth))])
    return (sensor.ring_radius + sensor.gap - gaps) / MM


def ring_outline(sensor):
    """Edge of the ring, array (m, 2) of angle on the ring [rad] and radius [mm].

    A toothed ring has a tooth from a quarter pitch before its place to a quarter pitch after it; a
    magnetised one (active sensor) is smooth. A missing tooth is a space, a crack a slit in the
    space before tooth 0.
    """
    angle, tops = _places(sensor), _tops(sensor)
    pitch = TURN * sensor.ring_radius / MM / sensor.teeth
    points = []
    for k, top in enumerate(tops):
        foot = top - _HEIGHT * pitch
        edge = top if sensor.active == 1.0 else foot
        if k == 0 and sensor.crack > 0.0:
            points += [(-0.53, edge), (-0.5, foot - _CRACK * pitch), (-0.47, edge)]
        if sensor.active == 1.0:
            points += [(k - 0.45, top), (k, top), (k + 0.45, top)]
        elif k == sensor.missing:
            points += [(k - 0.25, foot), (k + 0.25, foot)]
        else:
            points += [(k - 0.27, foot), (k - 0.23, top), (k + 0.23, top), (k + 0.27, foot)]
    pitches, radius = np.array(points).T
    return np.column_stack((angle(pitches), radius))


def magnet_poles(sensor):
    """(from, to, "N" | "S") on the ring [rad] of each pole of an active sensor's ring: a pair takes
    the place of a tooth and its space. A passive sensor's ring has none."""
    if sensor.active != 1.0:
        return ()
    angle = _places(sensor)
    return tuple(
        (float(angle(k + begin)), float(angle(k + end)), letter)
        for k in range(int(sensor.teeth))
        if k != sensor.missing
        for begin, end, letter in ((-0.5, 0.0, "N"), (0.0, 0.5, "S"))
    )
