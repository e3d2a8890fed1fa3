"""What the control unit knows of the hydraulics it drives."""
from typing import NamedTuple

NO_CIRCUIT, LAYOUT_A, LAYOUT_B = 0.0, 1.0, 2.0


class Hydraulics(NamedTuple):
    """What the unit knows of its hydraulics, as coded at the factory. Pressures in Pa, volumes in m^3, flow coefficients in m^3/s/Pa^0.5.

    layout : NO_CIRCUIT, LAYOUT_A or LAYOUT_B
    braked_axle : axle that layout A can brake by itself: 0 front, 1 rear
    *_gap, *_slope, knee : caliper curves of an axle
    laminar : pressure difference below which the flow of a bore turns laminar
    front_flow, rear_flow : way from the pedal to a wheel of an axle while its neighbour in the circuit fills as well
    out_flow : outlet of a wheel
    supply, supply_flow : layout A, accumulator and its way to one wheel
    pump_flow [m^3/s], pump_start, pump_coast [1/s] : layout B, one element of the return pump
    back : pressure where the outlets lead
    hold, reduce, switch : currents of layout A [A]
    inlet, outlet, isolating, priming : currents of layout B [A]
    """

    layout: float
    braked_axle: float
    front_gap: float
    front_slope: float
    rear_gap: float
    rear_slope: float
    knee: float
    laminar: float
    front_flow: float
    rear_flow: float
    out_flow: float
    supply: float
    supply_flow: float
    pump_flow: float
    pump_start: float
    pump_coast: float
    back: float
    hold: float
    reduce: float
    switch: float
    inlet: float
    outlet: float
    isolating: float
    priming: float
