"""Faults of hydraulic parts: each changes cells of a circuit's tables, nothing else; symptoms
follow by computation.
"""

from tractionlab.catalogue.checked import number_in
from tractionlab.errors import UserError, did_you_mean
from tractionlab.hydraulics.circuit_values import drive_pumps
from tractionlab.hydraulics.fluid import refill_gas
from tractionlab.hydraulics.places import VALVES
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics.hydraulics import ATMOSPHERE, orifice_coefficient
from tractionlab.units import BAR, CM3, MM
from tractionlab.wheels import WHEELS

COILS_A = {"wheel_valve": "wheel_coil_ohm"}
COILS_B = {
    "inlet": "inlet_coil_ohm",
    "outlet": "outlet_coil_ohm",
    "isolating_valve": "isolating_coil_ohm",
    "priming_valve": "priming_coil_ohm",
}
#: Fault of a valve -> (unit, least, most) of its value; None where it takes no value.
VALVE_FAULTS = {
    "stuck_open": None,
    "stuck_closed": None,
    "stuck_increase": None,
    "stuck_hold": None,
    "stuck_reduce": None,
    "coil_open": None,
    "extra_resistance": ("ohm", 0.0, 100.0),
    "current": ("A at most", 0.0, 10.0),
    "leak": ("mm, bore of the leak", 0.0, 1.0),
    "blocked": ("share of the flow left", 0.0, 1.0),
}
_TWO_POSITIONS = ("stuck_open", "stuck_closed")
_THREE_POSITIONS = ("stuck_increase", "stuck_hold", "stuck_reduce")

#: The part whose fault is no cell of a table but how a drive begins: how full the reservoir is.
RESERVOIR = "reservoir"


def reservoir_share(faults):
    """Share of the reservoir that is filled, by faults as a Scenario has them, part -> (fault,
    value): 1, or what "low" of the reservoir says.
    """
    fault, value = faults.get(RESERVOIR, ("", None))
    if not fault:
        return 1.0
    if fault != "low":
        raise UserError(f"{RESERVOIR} has no fault {fault!r}; there is: low")
    return _number(RESERVOIR, fault, value, "share of the filling", 0.1, 1.0)


def faults_of(layout):
    """What may be wrong in the circuit of layout "A" or "B": part -> its faults."""
    two, three = (
        [name for name in VALVE_FAULTS if name in stuck or not name.startswith("stuck")]
        for stuck in (_TWO_POSITIONS, _THREE_POSITIONS)
    )
    common = {
        "booster": ["lost"],
        "battery": ["voltage"],
        "return_pump": ["weak"],
        **{f"wheel_{wheel}": ["air"] for wheel in WHEELS},
        "line_1": ["air"],
        "line_2": ["air"],
    }
    valves = {valve: two if len(rows) == 1 else three for valve, rows in VALVES[layout].items()}
    if layout == "B":
        return {**valves, **common}
    return {
        **valves,
        **common,
        "charge_pump": ["weak"],
        "accumulator": ["precharge"],
        "pressure_switch": ["stuck_on", "open"],
    }


def _check(layout, part, fault, value):
    """UserError if layout "A" or "B" has no such part, or the part no such fault."""
    known = faults_of(layout)
    if part not in known:
        every = [*known, RESERVOIR, *(f"sensor_{wheel}" for wheel in WHEELS)]
        raise UserError(
            f"a car with hydraulic layout {layout} has no part {part!r};"
            f" {did_you_mean(part, every)}"
        )
    if fault not in known[part]:
        what = f"cannot be {fault}" if fault in VALVE_FAULTS else f"has no fault {fault!r}"
        raise UserError(f"{part} {what}; known are {', '.join(known[part])}")
    if value is not None and (
        part in ("pressure_switch", "booster") or VALVE_FAULTS.get(fault, ()) is None
    ):
        raise UserError(f"{part}, {fault}: takes no value, got {value!r}")


def with_fault(circuit, part, fault, value=None):
    """A copy of a circuit with one fault more.

    Parameters
    ----------
    part : str
        A valve as named in data/hydraulics, or "booster", "battery", "return_pump", "charge_pump",
        "accumulator", "pressure_switch", "wheel_FL" .. "wheel_RR", "line_1", "line_2" (layout A:
        "line_2" is the line of the driven axle).
    fault : str
        Valves: see VALVE_FAULTS. Booster: "lost", so that only the foot's own share of the pressure
        is left. Battery: "voltage" in V, at all coils and pumps. Pumps: "weak" with the share of
        flow left. Accumulator: "precharge" in bar at 20 degC. Pressure switch: "stuck_on" or
        "open". Wheel and line: "air" in cm3.
    """
    layout = "A" if circuit.numbers[h.LAYOUT] == h.LAYOUT_A else "B"
    _check(layout, part, fault, value)
    copy = h.Circuit(*[table.copy() for table in circuit])
    if rows := VALVES[layout].get(part):
        _valve(copy.valves, rows, part, fault, value, _coil_ohm(layout, part))
        return copy
    numbers, table = copy.numbers, hydraulics()[f"layout_{layout.lower()}"]
    if part == "booster":
        numbers[h.BOOST] = table["unboosted_share"]
    elif part == "battery":
        volts = _number(part, fault, value, "V", 6.0, 16.0)
        copy.valves[:, h.MOST_CURRENT] *= volts / table["supply_V"]
        drive_pumps(numbers, table, volts)
    elif part == "return_pump":
        numbers[h.RETURN_FLOW : h.RETURN_FLOW + 2] *= _number(
            part, fault, value, "share of the flow left", 0.0, 1.0
        )
    elif part == "charge_pump":
        numbers[h.CHARGE_FLOW] *= _number(part, fault, value, "share of the flow left", 0.0, 1.0)
    elif part == "accumulator":
        bar = _number(part, fault, value, "bar", 1.0, 150.0)
        refill_gas(numbers, bar * BAR + ATMOSPHERE, hydraulics()["gas"])
    elif part == "pressure_switch":
        numbers[h.CUT_IN] = numbers[h.CUT_OUT] = 1e12 if fault == "stuck_on" else -1e12
    elif part.startswith("wheel_"):
        numbers[h.BRAKE + 4 * WHEELS.index(part[-2:]) + h.AIR] += (
            _number(part, fault, value, "cm3", 0.0, 10.0) * CM3
        )
    else:
        numbers[h.PLACE + 2 * (h.LINE + int(part[-1]) - 1) + 1] += (
            _number(part, fault, value, "cm3", 0.0, 10.0) * CM3
        )
    return copy


def _coil_ohm(layout, part):
    """Resistance [ohm] of the sound coil of a valve."""
    name = part.rpartition("_")[0]
    coil = COILS_A.get(name, "switch_coil_ohm") if layout == "A" else COILS_B[name]
    return hydraulics()[f"layout_{layout.lower()}"][coil]


def _valve(valves, rows, part, fault, value, coil):
    if fault.startswith("stuck"):
        places = {
            "stuck_increase": (1.0, 0.0),
            "stuck_hold": (0.0, 0.0),
            "stuck_reduce": (0.0, 1.0),
            "stuck_open": (1.0,),
            "stuck_closed": (0.0,),
        }
        for row, place in zip(rows, places[fault]):
            valves[row, h.LOW] = valves[row, h.HIGH] = place
    elif fault == "coil_open":
        valves[list(rows), h.MOST_CURRENT] = 0.0
    elif fault == "extra_resistance":
        extra = _number(part, fault, value, *VALVE_FAULTS[fault])
        valves[list(rows), h.MOST_CURRENT] *= coil / (coil + extra)
    elif fault == "current":
        valves[list(rows), h.MOST_CURRENT] = _number(part, fault, value, *VALVE_FAULTS[fault])
    elif fault == "leak":
        fluid = hydraulics()["fluid"]
        bore = _number(part, fault, value, *VALVE_FAULTS[fault])
        valves[rows[-1], h.LEAK] += orifice_coefficient(
            MM * bore, fluid["discharge"], fluid["density_kg_per_m3"]
        )
    else:
        share = _number(part, fault, value, *VALVE_FAULTS[fault])
        valves[rows[0], [h.FLOW, h.NON_RETURN]] *= share


def _number(part, fault, value, unit, least, most):
    if not number_in(value, least, most):
        raise UserError(
            f"{part}, {fault}: needs a number from {least:g} to {most:g} ({unit}), as in {part} ="
            f" [{fault!r}, {most:g}]; got {value!r}".replace("'", '"')
        )
    return float(value)
