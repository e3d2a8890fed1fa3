"""The brake circuit of a course car as its part values make it: stuck and leaking valves, coils
that carry less, air, gas, weak pumps.
"""

from dataclasses import dataclass

from tractionlab.bench.bench import Bench
from tractionlab.catalogue import entries as catalogue
from tractionlab.hydraulics import places
from tractionlab.hydraulics.faults import with_fault
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
        circuit = _with_changes(circuit, key, values, electrics)
        for wheel, name in enumerate(WHEELS):
            share = values[f"hose_{name.lower()}.return_share"]
            if one_way_hoses and share < 1.0:
                row = circuit.valves[h.INLET + wheel]
                row[h.NON_RETURN] = row[h.FLOW]
                row[h.FLOW] *= share
        return circuit

    return Bench(key, vehicle, temperature, fit, full)


def _with_changes(circuit, key, values, electrics):
    for part in VALVES[key]:
        body = f"{part.lower()}_body"
        if f"{body}.stuck" in values:
            circuit = _with_body(circuit, part, values, body)
    for part, most in electrics.current:
        for row in places.VALVES[key][part]:
            circuit.valves[row, h.MOST_CURRENT] = most
    for wheel in WHEELS:
        if air := values[f"pads_{wheel.lower()}.air_cm3"]:
            circuit = with_fault(circuit, f"wheel_{wheel}", "air", air)
    if key == "A":
        circuit = with_fault(
            circuit, "accumulator", "precharge", values["accumulator.precharge_bar"]
        )
        circuit = with_fault(
            circuit,
            "charge_pump",
            "weak",
            min(1.0, values["charge_pump_body.flow_share"] * electrics.charge_pump),
        )
        if electrics.called != "as it should":
            circuit = with_fault(
                circuit, "pressure_switch", "stuck_on" if electrics.called == "always" else "open"
            )
    elif air := values["closed_passages.air_cm3"]:
        circuit = with_fault(circuit, "line_1", "air", air)
    turns = 0.0 if values["return_pump_body.seized"] else electrics.return_pump
    return with_fault(
        circuit, "return_pump", "weak", min(1.0, values["return_pump_body.flow_share"] * turns)
    )


def _with_body(circuit, part, values, body):
    stuck = values[f"{body}.stuck"]
    if stuck:
        circuit = with_fault(circuit, part, "stuck_open" if stuck > 0 else "stuck_closed")
    if leak := values[f"{body}.leak_mm"]:
        circuit = with_fault(circuit, part, "leak", leak)
    if (share := values[f"{body}.flow_share"]) < 1.0:
        circuit = with_fault(circuit, part, "blocked", share)
    return circuit
