"""Puts drawn keys into words for the texts of items."""

from tractionlab.assess.keys.service import diameter
from tractionlab.catalogue.entries import shipped
from tractionlab.hydraulics.layout import layout
from tractionlab.physics.tyre import burckhardt_peak
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.waveform import start_speed
from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.units import IN_KMH, MM
from tractionlab.wheels import CALLED
from tractionlab.workshop.faults import faults


def surface(key):
    """Name of a surface inside a sentence."""
    return shipped().surfaces()[key].name.lower()


def place_a(key):
    """A place of layout A."""
    return layout("A").nodes[key]


def place_b(key):
    """A place of layout B."""
    return layout("B").nodes[key]


def mode_a(key):
    """A mode of layout A."""
    return layout("A").mode_names[key]


def mode_b(key):
    """A mode of layout B."""
    return layout("B").mode_names[key]


def twice(number):
    """Twice a number."""
    return f"{2 * number:g}"


def half(number):
    """Half a number."""
    return f"{number / 2:g}"


def wheel(key):
    """A wheel in words."""
    return CALLED[key.lower()]


def start_of(gap):
    """Speed [km/h] from which the passive course sensor gives a signal at a gap [mm], on a wheel of
    0.305 m.
    """
    return f"{IN_KMH * start_speed(wheel_sensor('passive', gap=gap * MM), 0.305):.1f}"


def listed(paths):
    """Ways of taking torque away, in words."""
    names = {
        "fuel": "no fuel for single cylinders",
        "ignition": "later ignition",
        "throttle": "shutting the throttle",
    }
    return ", ".join(names[path] for path in paths.split(","))


def story(fault):
    """What the customer says of a fault."""
    return faults()[fault].story


def car(vehicle):
    """Name of a course car inside a sentence."""
    name = shipped().vehicles()[vehicle].name
    return name[0].lower() + name[1:]


def tyre(width, profile, rim):
    """Outer diameter [mm] of a tyre."""
    return f"{diameter(width, profile, rim):.1f}"


def top_slip(surface):
    """Slip [%] at the top of a surface's grip curve."""
    return f"{100 * _top(surface)[0]:.0f}"


def top_grip(surface):
    """Grip at the top of a surface's curve."""
    return f"{_top(surface)[1]:.2f}"


def _top(surface):
    v = shipped().surfaces()[surface].curves["burckhardt"].values
    return burckhardt_peak(v["c1"], v["c2"], v["c3"])


def wheel_load(vehicle):
    """Load [N] on a driven wheel at rest."""
    v = shipped().vehicles()[vehicle]
    return f"{v['mass_kg'] * GRAVITY * v['driven_axle_load_share'] / 2:.0f}"


def per_bar(vehicle):
    """Brake torque [N m] of a driven wheel for each bar."""
    return f"{shipped().vehicles()[vehicle]['driven_brake_Nm_per_bar']:g}"


def radius(vehicle):
    """Tyre radius [m]."""
    return f"{shipped().vehicles()[vehicle]['tyre_radius_m']:g}"
