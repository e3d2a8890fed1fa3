"""Faults of hydraulic parts: each changes cells of a circuit's tables, nothing else; symptoms follow by computation."""
from tractionlab.errors import UserError
from tractionlab.hydraulic_values import BAR, CM3, hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics.hydraulics import ATMOSPHERE, orifice_coefficient

WHEELS = ("FL", "FR", "RL", "RR")
COILS_A = {"wheel_valve": "wheel_coil_ohm"}
COILS_B = {"inlet": "inlet_coil_ohm", "outlet": "outlet_coil_ohm", "isolating_valve": "isolating_coil_ohm", "priming_valve": "priming_coil_ohm"}
#: Fault of a valve -> (unit, least, most) of its value; None where it takes no value.
VALVE_FAULTS = {
    "stuck_open": None, "stuck_closed": None, "stuck_increase": None, "stuck_hold": None, "stuck_reduce": None, "coil_open": None,
    "extra_resistance": ("ohm", 0.0, 100.0), "leak": ("mm, bore of the leak", 0.0, 1.0), "blocked": ("share of the flow left", 0.0, 1.0),
}


#: The part whose fault is no cell of a table but how a drive begins: how full the reservoir is.
RESERVOIR = "reservoir"


def reservoir_share(faults):
    """Share of the reservoir that is filled, by faults as a Scenario has them, part -> (fault, value): 1, or what "low" of the reservoir says."""
    fault, value = faults.get(RESERVOIR, ("", None))
    if not fault:
        return 1.0
    if fault != "low":
        raise UserError(f"{RESERVOIR} has no fault {fault!r}; there is: low")
    return _number(RESERVOIR, fault, value, "share of the filling", 0.1, 1.0)


def valve_rows(circuit, part):
    """Rows of the valve table that a part of layout A or B owns, its coil first; empty if it is no valve."""
    name, _, place = part.rpartition("_")
    if circuit.numbers[h.LAYOUT] == h.LAYOUT_A:
        if name == "wheel_valve" and place in WHEELS:
            return (h.INLET + WHEELS.index(place), h.OUTLET + WHEELS.index(place))
        return {"cut_off_valve": (h.CUT + 1,), "feed_valve": (h.FEED + 1,), "drain_valve": (h.DRAIN,)}.get(part, ())
    if name in ("inlet", "outlet") and place in WHEELS:
        return ((h.INLET if name == "inlet" else h.OUTLET) + WHEELS.index(place),)
    first = {"isolating_valve": h.CUT, "priming_valve": h.FEED}.get(name)
    return (first + int(place) - 1,) if first is not None and place in ("1", "2") else ()


def with_fault(circuit, part, fault, value=None):
    """A copy of a circuit with one fault more.

    Parameters
    ----------
    part : str
        A valve as named in data/hydraulics, or "return_pump", "charge_pump", "accumulator", "pressure_switch", "wheel_FL" .. "wheel_RR",
        "line_1", "line_2" (layout A: "line_2" is the line of the driven axle).
    fault : str
        Valves: see VALVE_FAULTS. Pumps: "weak" with the share of flow left. Accumulator: "precharge" in bar.
        Pressure switch: "stuck_on" or "open". Wheel and line: "air" in cm3.
    """
    copy = h.Circuit(*[table.copy() for table in circuit])
    rows = valve_rows(copy, part)
    if rows:
        _valve(copy.valves, rows, part, fault, value, _resistance(copy, part))
        return copy
    numbers = copy.numbers
    if part == "return_pump" and fault == "weak":
        numbers[h.RETURN_FLOW:h.RETURN_FLOW + 2] *= _number(part, fault, value, "share of the flow left", 0.0, 1.0)
    elif part == "charge_pump" and fault == "weak" and numbers[h.LAYOUT] == h.LAYOUT_A:
        numbers[h.CHARGE_FLOW] *= _number(part, fault, value, "share of the flow left", 0.0, 1.0)
    elif part == "accumulator" and fault == "precharge" and numbers[h.LAYOUT] == h.LAYOUT_A:
        numbers[h.PRECHARGE] = _number(part, fault, value, "bar", 1.0, 150.0) * BAR + ATMOSPHERE
    elif part == "pressure_switch" and fault == "stuck_on" and numbers[h.LAYOUT] == h.LAYOUT_A:
        numbers[h.CUT_IN] = numbers[h.CUT_OUT] = 1e12
    elif part == "pressure_switch" and fault == "open" and numbers[h.LAYOUT] == h.LAYOUT_A:
        numbers[h.CUT_IN] = numbers[h.CUT_OUT] = -1e12
    elif part in [f"wheel_{name}" for name in WHEELS] and fault == "air":
        numbers[h.BRAKE + 4 * WHEELS.index(part[-2:]) + h.AIR] += _number(part, fault, value, "cm3", 0.0, 10.0) * CM3
    elif part in ("line_1", "line_2") and fault == "air":
        numbers[h.PLACE + 2 * (h.LINE + int(part[-1]) - 1) + 1] += _number(part, fault, value, "cm3", 0.0, 10.0) * CM3
    else:
        raise UserError(f"this circuit has no part {part!r} with the fault {fault!r}")
    return copy


def _resistance(circuit, part):
    """(supply [V], healthy coil [ohm]) of a valve."""
    name = part.rpartition("_")[0]
    if circuit.numbers[h.LAYOUT] == h.LAYOUT_A:
        table = hydraulics()["layout_a"]
        return table["supply_V"], table[COILS_A.get(name, "switch_coil_ohm")]
    table = hydraulics()["layout_b"]
    return table["supply_V"], table[COILS_B[name]]


def _valve(valves, rows, part, fault, value, coil):
    if fault not in VALVE_FAULTS:
        raise UserError(f"{part} has no fault {fault!r}; there are: {', '.join(VALVE_FAULTS)}")
    three = len(rows) == 2
    if fault.startswith("stuck"):
        places = {"stuck_increase": (1.0, 0.0), "stuck_hold": (0.0, 0.0), "stuck_reduce": (0.0, 1.0)} if three else {
            "stuck_open": (1.0,), "stuck_closed": (0.0,)}
        if fault not in places:
            raise UserError(f"{part} cannot be {fault}; it can be {', '.join(places)}")
        for row, place in zip(rows, places[fault]):
            valves[row, h.LOW] = valves[row, h.HIGH] = place
    elif fault == "coil_open":
        valves[list(rows), h.MOST_CURRENT] = 0.0
    elif fault == "extra_resistance":
        valves[list(rows), h.MOST_CURRENT] = coil[0] / (coil[1] + _number(part, fault, value, *VALVE_FAULTS[fault]))
    elif fault == "leak":
        fluid = hydraulics()["fluid"]
        bore = _number(part, fault, value, *VALVE_FAULTS[fault])
        valves[rows[-1], h.LEAK] += orifice_coefficient(1e-3 * bore, fluid["discharge"], fluid["density_kg_per_m3"])
    else:
        share = _number(part, fault, value, *VALVE_FAULTS[fault])
        valves[rows[0], [h.FLOW, h.NON_RETURN]] *= share


def _number(part, fault, value, unit, least, most):
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not least <= value <= most:
        raise UserError(f"{part}, {fault}: needs a number from {least:g} to {most:g} ({unit}), got {value!r}")
    return float(value)
