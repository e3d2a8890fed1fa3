"""The brake circuit of a course car as its part values make it: stuck and leaking valves, coils
that carry less, air, gas, weak pumps.
"""

from dataclasses import dataclass

from tractionlab.bench.bench import Bench
from tractionlab.catalogue import entries as catalogue
from tractionlab.hydraulics import places
from tractionlab.hydraulics.faults import with_fault
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.wheels import WHEELS

_KINDS = ("isolating", "priming", "inlet", "outlet")
#: The valves of a layout, kind by kind.
VALVES = {
    "A": tuple(places.VALVES["A"]),
    "B": tuple(sorted(places.VALVES["B"], key=lambda valve: _KINDS.index(valve.split("_")[0]))),
}


@dataclass(frozen=True)
class Electrics:
    """What the wiring leaves of the hydraulics: highest current of each valve as pairs (valve, A),
    the share of their speed at which the pumps turn, and how the pressure switch calls the charge
    pump: "as it should", "always" or "never"."""

    current: tuple = ()
    charge_pump: float = 1.0
    return_pump: float = 1.0
    called: str = "as it should"


def layout_of(vehicle):
    """ "A" or "B"."""
    return catalogue.pick(catalogue.shipped().vehicles(), vehicle, "vehicle")["layout"]


@catalogue.shipped_only()
def bench_of(vehicle, values, electrics, *, full=True, temperature=20.0, one_way_hoses=False):
    """A Bench of the car.

    Parameters
    ----------
    values : mapping, part values
    electrics : Electrics
    full : bool, layout A: the accumulator is filled to the cut-out pressure; else it is empty
    one_way_hoses : bool
        Hoses that let fluid in more easily than out do so: right for pressing and letting go of the
        pedal, where the valves between stand open.
    """
    key = layout_of(vehicle)

    def fit(circuit):
        for part, fault, value in circuit_faults(key, values, electrics):
            circuit = with_fault(circuit, part, fault, value)
        for wheel, name in enumerate(WHEELS):
            share = values[f"hose_{name.lower()}.return_share"]
            if one_way_hoses and share < 1.0:
                row = circuit.valves[h.INLET + wheel]
                row[h.NON_RETURN] = row[h.FLOW]
                row[h.FLOW] *= share
        return circuit

    return Bench(key, vehicle, temperature, fit, full)


def circuit_faults(layout, values, electrics):
    """What is wrong in the brake circuit of a car, as `hydraulics.faults` says it: (part, fault,
    value or None), one after the other.

    Parameters
    ----------
    layout : "A" or "B"
    values : mapping, part values; electrics : Electrics
    """
    found = [
        fault
        for part in VALVES[layout]
        if f"{part.lower()}_body.stuck" in values
        for fault in _of_body(part, values, f"{part.lower()}_body")
    ]
    found += [(part, "current", most) for part, most in electrics.current]
    for wheel in WHEELS:
        if air := values[f"pads_{wheel.lower()}.air_cm3"]:
            found.append((f"wheel_{wheel}", "air", air))
    if layout == "A":
        bar = values["accumulator.precharge_bar"]
        if bar != hydraulics()["layout_a"]["precharge_bar"]:
            found.append(("accumulator", "precharge", bar))
        flow = values["charge_pump_body.flow_share"] * electrics.charge_pump
        if flow < 1.0:
            found.append(("charge_pump", "weak", flow))
        if electrics.called != "as it should":
            stuck = "stuck_on" if electrics.called == "always" else "open"
            found.append(("pressure_switch", stuck, None))
    elif air := values["closed_passages.air_cm3"]:
        found.append(("line_1", "air", air))
    turns = 0.0 if values["return_pump_body.seized"] else electrics.return_pump
    flow = values["return_pump_body.flow_share"] * turns
    if flow < 1.0:
        found.append(("return_pump", "weak", flow))
    return tuple(found)


def _of_body(part, values, body):
    if stuck := values[f"{body}.stuck"]:
        yield part, "stuck_open" if stuck > 0 else "stuck_closed", None
    if leak := values[f"{body}.leak_mm"]:
        yield part, "leak", leak
    if (share := values[f"{body}.flow_share"]) < 1.0:
        yield part, "blocked", share
