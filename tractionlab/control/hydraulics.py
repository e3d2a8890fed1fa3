"""What the control unit knows of the hydraulics it drives."""

from typing import NamedTuple

#: For which layout the unit is coded.
CODED_A, CODED_B = 1.0, 2.0


class Hydraulics(NamedTuple):
    """What the unit knows of its hydraulics, as coded at the factory: a sound circuit with warm
    fluid. Pressures in Pa, volumes in m^3, flow coefficients in m^3/s/Pa^0.5.

    layout : CODED_A or CODED_B
    braked_axle : axle that layout A can brake by itself: 0 front, 1 rear
    *_gap, *_slope : clearance of a wheel brake, and what it takes per pressure [m^3/Pa]
    *_flow : path from the pedal to a wheel
    feed_flow, inlet_flow : layout A, path from the accumulator and from the full line to a wheel
    out_flow : outlet of a wheel
    store : mean pressure of the store behind the outlets: half of that at which it begins to fill
    supply : pressure at most that accumulator or pump make
    pump_flow [m^3/s], pump_start [1/s] : layout B, one element of the return pump
    hold, reduce, switch : currents of layout A [A]
    inlet, outlet, isolating, priming : currents of layout B [A]
    """

    layout: float
    braked_axle: float
    front_gap: float
    front_slope: float
    rear_gap: float
    rear_slope: float
    front_flow: float
    rear_flow: float
    feed_flow: float
    inlet_flow: float
    out_flow: float
    store: float
    supply: float
    pump_flow: float
    pump_start: float
    hold: float
    reduce: float
    switch: float
    inlet: float
    outlet: float
    isolating: float
    priming: float


def neighbour(i):
    """Number of the other wheel of the axle of wheel i."""
    return i + 1 - 2 * (i % 2)


def can_brake(i, h):
    """True if traction control can brake wheel i: any in layout B, one axle's in layout A."""
    return h.layout != CODED_A or (i >= 2) == (h.braked_axle == 1.0)


def gap_of(i, h):
    """Clearance [m^3] of brake i."""
    return h.front_gap if i < 2 else h.rear_gap


def slope_of(i, h):
    """What brake i takes per pressure [m^3/Pa]."""
    return h.front_slope if i < 2 else h.rear_slope
