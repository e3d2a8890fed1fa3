"""What the control unit knows beside what is true: reference speed, slip and wheel acceleration of
a run, or of a car on rollers.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.control.speeds import estimate, limit_of
from tractionlab.physics.tyre import PEAK
from tractionlab.run.assembly import road_of, settings_of, vehicle_values
from tractionlab.run.surfaces import row_of
from tractionlab.sensors.ring import TURN
from tractionlab.sensors.waveform import speed_from_edges
from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.units import IN_KMH

#: Cycles for which something must hold to be a sign: one odd tooth is none. Common practice, no
#: source; the number is chosen for this course.
_HELD = 3


@dataclass(frozen=True, kw_only=True)
class Knowledge:
    """One driven wheel over time, arrays (n,): speeds in km/h, slip as a share, acceleration in
    m/s^2.

    `most` is the acceleration that the road can give any car [m/s^2]; `settings` are those of the
    control unit."""

    time: np.ndarray
    car: np.ndarray
    reference: np.ndarray
    wheel: np.ndarray
    true_slip: np.ndarray
    rate: np.ndarray
    most: float
    settings: object

    @property
    def slip(self):
        """Slip as the control unit works it out."""
        faster = np.maximum(self.wheel, self.reference)
        return np.divide(
            self.wheel - self.reference, faster, out=np.zeros_like(faster), where=faster > 0.0
        )

    @property
    def error(self):
        """How much faster than the car the reference speed is [km/h]."""
        return self.reference - self.car

    def rate_tells(self):
        """Time [s] at which the wheel has gained speed faster than the road can push any car for
        _HELD cycles; None if it never does.
        """
        return self._first(self.rate > self.most, _HELD)

    def slip_tells(self):
        """Time [s] at which the wheel has been above the limit of the control for as long as the
        control unit waits; None if it never is.
        """
        s = self.settings
        limit = limit_of(np.maximum(s.blind_speed, self.reference / IN_KMH), s)
        return self._first(self.wheel > limit * IN_KMH, round(s.confirm / s.cycle))

    def _first(self, where, cycles):
        held = np.convolve(where, np.ones(cycles))[: len(where)] == cycles
        return float(self.time[held.argmax()]) if held.any() else None


def of_run(trace):
    """Knowledge of a run, for the first driven wheel, as its teeth tell."""
    wheel, settings = trace.driven.index(True), settings_of(trace.scenario)
    seen = trace.circuit.measured[:, wheel]
    return Knowledge(
        time=trace.time,
        car=trace.speed * IN_KMH,
        reference=trace.reference_speed * IN_KMH,
        wheel=seen * IN_KMH,
        true_slip=trace.slip[:, wheel],
        rate=_smoothed_rate(seen, settings),
        most=grip_of(trace.scenario.left, trace.scenario.tyre) * GRAVITY,
        settings=settings,
    )


def _smoothed_rate(speed, settings):
    """Acceleration [m/s^2] from speeds at each cycle, smoothed as the control unit does it."""
    share = settings.cycle / (settings.cycle + settings.rate_filter)
    rates = np.zeros(len(speed))
    for k in range(1, len(speed)):
        rates[k] = rates[k - 1] + share * (
            (speed[k] - speed[k - 1]) / settings.cycle - rates[k - 1]
        )
    return rates


def grip_of(surface, tyre):
    """Largest grip of a surface under a tyre."""
    return row_of(surface, tyre)[PEAK]


def on_rollers(scenario, rollers_kmh, all_wheels, seconds):
    """Knowledge of a car whose wheels are turned on rollers, up to a speed in half the time; the
    car stands.

    Without `all_wheels` only the driven wheels stand on rollers and the others do not turn. Slip of
    the tyre on its roller is left out."""
    settings, shares = settings_of(scenario), road_of(scenario)[1]
    fine = np.linspace(0.0, seconds, 4001)
    speed = np.minimum(1.0, fine / (0.5 * seconds)) * rollers_kmh / IN_KMH
    angle = (
        np.concatenate(([0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * np.diff(fine))))
        / settings.radius
    )
    teeth = np.arange(1, int(angle[-1] * vehicle_values(scenario)["teeth"] / TURN) + 1)
    edges = np.interp(teeth * TURN / vehicle_values(scenario)["teeth"], angle, fine)
    time, seen, rate = speed_from_edges(edges, seconds, settings)
    turns = np.array([all_wheels or share > 0.0 for share in shares])
    reference = estimate(time, seen[:, None] * turns, shares > 0.0, settings)
    return Knowledge(
        time=time,
        car=np.zeros(len(time)),
        reference=reference * IN_KMH,
        wheel=seen * IN_KMH,
        true_slip=np.zeros(len(time)),
        rate=rate,
        most=grip_of("dry_asphalt", scenario.tyre) * GRAVITY,
        settings=settings,
    )
