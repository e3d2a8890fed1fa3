"""Pieces that random drives are made of: speeds and bends from knot to knot, and wheel speeds of a
rolling car.
"""

import numpy as np

_SIDE_MOST = 3.5  # m/s^2 in a bend; invented


def smooth(share):
    """From 0 to 1 with level ends."""
    return share * share * (3.0 - 2.0 * share)


class Knots:
    """Speed and path curvature of a drive, written down knot by knot; between two knots they change
    smoothly.
    """

    def __init__(self, away):
        self.points = [(0.0, 0.0, 0.0), (away, 0.0, 0.0)]  # time [s], speed [m/s], curvature [1/m]

    @property
    def time(self):
        return self.points[-1][0]

    @property
    def now(self):
        return self.points[-1][1]

    def follow(self, seconds, speed):
        """Leave room for a computed run that ends at `speed`."""
        self.points.append((self.time + seconds, speed, 0.0))

    def go(self, rng, speed):
        """Change to `speed` at a pace of everyday driving."""
        pace = rng.uniform(0.8, 2.2) if speed > self.now else rng.uniform(1.0, 3.0)
        self.points.append((self.time + max(0.8, 1.5 * abs(speed - self.now) / pace), speed, 0.0))

    def hold(self, seconds):
        self.points.append((self.time + seconds, self.now, 0.0))

    def bend(self, rng):
        """A bend to either side: in, round, out."""
        tightest = min(0.08, _SIDE_MOST / max(self.now, 3.0) ** 2)
        curve = rng.uniform(0.3, 1.0) * tightest * rng.choice((-1.0, 1.0))
        seconds = rng.uniform(1.5, 4.0)
        self.points += [
            (self.time + 1.5, self.now, curve),
            (self.time + 1.5 + seconds, self.now, curve),
            (self.time + 3.0 + seconds, self.now, 0.0),
        ]

    def speed(self, time):
        return self._between(time, 1)

    def yaw_rate(self, time):
        return self._between(time, 1) * self._between(time, 2)

    def _between(self, time, column):
        at = np.array([point[0] for point in self.points])
        value = np.array([point[column] for point in self.points])
        k = np.clip(np.searchsorted(at, time, side="right") - 1, 0, len(at) - 2)
        return value[k] + (value[k + 1] - value[k]) * smooth(
            np.clip((time - at[k]) / (at[k + 1] - at[k]), 0.0, 1.0)
        )


def wheel_speeds(rng, car, speed, yaw_rate, acceleration, bump):
    """Wheel speeds [rad/s], (n, 4), of a car that rolls without control at work.

    In a bend the outer wheels go further, and the front ones further than the rear ones. Driven
    wheels turn a little faster under drive:
    0.3 % for each m/s^2, the slope of the measured wheel speeds in data/measured. Tyres differ by
    up to 0.4 % (invented).
    """
    turn = 0.5 * car["track_m"] * yaw_rate
    forward = np.hypot(speed, car["wheelbase_m"] * yaw_rate)
    driven = 0.003 * np.maximum(acceleration, 0.0)
    coarse = rng.standard_normal((4, len(speed) // 5 + 2))
    rough = np.repeat(coarse, 5, axis=1)[:, : len(speed)] * (0.0006 + 0.006 * bump)
    tyre = rng.uniform(-0.004, 0.004, 4)
    wheels = np.empty((len(speed), 4))
    for i in range(4):
        own = forward if i < 2 else speed
        drives = car["drive"] == "all" or (car["drive"] == "front") == (i < 2)
        path = own + (-turn if i % 2 == 0 else turn)
        wheels[:, i] = (
            np.maximum(path, 0.0)
            * (1.0 + tyre[i] + (driven if drives else 0.0) + rough[i])
            / car["tyre_radius_m"]
        )
    return wheels
