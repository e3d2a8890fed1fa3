"""What the control unit knows of the hydraulics it drives."""

from typing import NamedTuple

#: For which hydraulics the unit is coded.
NO_CIRCUIT, CODED_A, CODED_B = 0.0, 1.0, 2.0


class Hydraulics(NamedTuple):
    """What the unit knows of its hydraulics, as coded at the factory. Pressures in Pa, volumes in
        m^3, flow coefficients in m^3/s/Pa^0.5.

        layout : #: For which hydraulics the unit is coded.
    NO_CIRCUIT, CODED_A or CODED_B
        braked_axle : axle that layout A can brake by itself: 0 front, 1 rear
        *_gap, *_slope, knee : caliper curves of an axle
        laminar : pressure difference below which the flow of a bore turns laminar
        front_flow, rear_flow : path from the pedal to a wheel of an axle while its neighbour in the
            circuit fills as well
        out_flow : outlet of a wheel
        supply : pressure at most that accumulator or pump make in a fed line
        feed_flow : feed valve of layout A
        line, in_flow : what a fed line takes [m^3/Pa], and the inlet from there to a wheel
        suction : layout B, what the pump still draws after its priming valve has closed
        pump_flow [m^3/s], pump_start, pump_coast [1/s] : layout B, one element of the return pump
        back : pressure where the outlets lead
        per_deceleration : pressure from the pedal that slows the car by 1 m/s^2 [Pa s^2/m]
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
    feed_flow: float
    line: float
    in_flow: float
    suction: float
    pump_flow: float
    pump_start: float
    pump_coast: float
    back: float
    per_deceleration: float
    hold: float
    reduce: float
    switch: float
    inlet: float
    outlet: float
    isolating: float
    priming: float
