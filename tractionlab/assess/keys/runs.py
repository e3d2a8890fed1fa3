"""Hidden roads of the tuning items, the road on which a candidate may try settings, and what the
figures of merit must reach on them. The item draws the limits, `least` and `most`, and shows them:
a choice of this course, which its own settings meet with room to spare and settings far off do not.
"""

from dataclasses import dataclass

from tractionlab.run.scenario import Scenario


@dataclass(frozen=True, kw_only=True)
class Demand:
    """A figure of merit (a field of `merit.Merit`) that must lie between `low` and `high` on a
    scenario.
    """

    scenario: Scenario
    figure: str
    label: str
    low: float
    high: float

    def met(self, figures):
        """True if the figure lies inside. NaN never does."""
        return self.low <= getattr(figures, self.figure) <= self.high

    @property
    def wanted(self):
        """The limit that counts, in words."""
        return f"at most {self.high:g}" if self.low <= 0.0 else f"at least {self.low:g}"

    def words(self, figures):
        """What was reached and what was wanted."""
        return (
            f"{self.label}: {getattr(figures, self.figure):.3g}, wanted {self.wanted},"
            f" {'met' if self.met(figures) else 'not met'}."
        )


def _demands(scenario, name, *rows):
    return tuple(
        Demand(scenario=scenario, figure=figure, label=f"{name}, {label}", low=low, high=high)
        for figure, label, low, high in rows
    )


def snow_trial(vehicle):
    """The road that a candidate sees for torque reduction on snow, as `Scenario` takes it: flat,
    with less pedal than the hidden ones.
    """
    return {
        "vehicle": vehicle,
        "left": "packed_snow",
        "control": "torque",
        "pedal_percent": 60.0,
        "duration_s": 6.0,
    }


def one_sided_trial(vehicle):
    """The road that a candidate sees for brake action on one-sided ice."""
    return {
        "vehicle": vehicle,
        "left": "ice",
        "right": "wet_asphalt",
        "pedal_percent": 60.0,
        "duration_s": 5.0,
    }


def speed_trial(vehicle):
    """The same for longer, so that the speed limit of the brake is reached."""
    return {**one_sided_trial(vehicle), "duration_s": 10.0}


def even_snow(vehicle, pedal, slope, least, most):
    """Torque reduction on even snow, flat and on a gentle slope."""
    roads = (("hidden road 1", 0.0, 6.0), ("hidden road 2", slope, 5.0))
    return tuple(
        demand
        for name, rise, seconds in roads
        for demand in _demands(
            Scenario(
                vehicle=vehicle,
                left="packed_snow",
                control="torque",
                pedal_percent=pedal,
                slope_percent=rise,
                duration_s=seconds,
            ),
            name,
            ("grip_share", "share of grip used", least, 1.0),
            ("mean_slip", "mean slip", 0.0, most),
        )
    )


def one_sided(vehicle, pedal, slope, least, most):
    """Brake and torque on one-sided ice, flat and on a slope."""
    roads = (
        ("hidden road 1", "ice", "wet_asphalt", 0.0),
        ("hidden road 2", "wet_asphalt", "ice", slope),
    )
    return tuple(
        demand
        for name, left, right, rise in roads
        for demand in _demands(
            Scenario(
                vehicle=vehicle,
                left=left,
                right=right,
                pedal_percent=pedal,
                slope_percent=rise,
                duration_s=5.0,
            ),
            name,
            ("grip_share", "share of grip used", least, 1.0),
            ("mean_slip", "mean slip", 0.0, most),
        )
    )


def brake_speed(vehicle, pedal, slope, least, most):
    """How fast the brake may still act on one-sided ice: enough speed, not too much heat."""
    return tuple(
        demand
        for name, rise in (("hidden road 1", 0.0), ("hidden road 2", slope))
        for demand in _demands(
            Scenario(
                vehicle=vehicle,
                left="ice",
                right="wet_asphalt",
                pedal_percent=pedal,
                slope_percent=rise,
                duration_s=10.0,
            ),
            name,
            ("final_speed_kmh", "final speed in km/h", least, 300.0),
            ("brake_heat_kJ", "brake heat in kJ", 0.0, most),
        )
    )
