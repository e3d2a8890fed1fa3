"""Where the parts of a layout stand in the kernels' arrays: place -> pressure, valve -> rows of the
valve table, part -> command, passage -> flow.
"""

from tractionlab.hydraulics.layout import layout
from tractionlab.physics import circuit as c
from tractionlab.wheels import WHEELS

_BRAKES = {f"W_{wheel}": c.WHEEL + i for i, wheel in enumerate(WHEELS)}
#: Layout -> place -> index in the kernels' pressures.
PLACES = {
    "A": {
        "RES": c.RESERVOIR,
        "BOTTLE": c.BOTTLE,
        "MC_F": c.CHAMBER,
        "MC_R": c.CHAMBER + 1,
        "LINE_R": c.LINE + 1,
        "ACC": c.ACCUMULATOR,
        "RET_F": c.GALLERY,
        "RET_R": c.GALLERY + 1,
        **_BRAKES,
    },
    "B": {
        "RES": c.RESERVOIR,
        **{
            f"{name}_{k + 1}": first + k
            for k in (0, 1)
            for name, first in (
                ("MC", c.CHAMBER),
                ("L", c.LINE),
                ("S", c.SUCTION),
                ("LPA", c.GALLERY),
            )
        },
        **_BRAKES,
    },
}
#: Layout -> valve -> its rows of the kernels' valve table, that of its coil first: one for a valve
#: with two positions, inlet and outlet for one with three. Circuit 2 of layout B and the rear line
#: of A are second.
VALVES = {
    "A": {
        "cut_off_valve": (c.CUT_OFF + 1,),
        "feed_valve": (c.FEED + 1,),
        "drain_valve": (c.DRAIN,),
        **{f"wheel_valve_{wheel}": (c.INLET + i, c.OUTLET + i) for i, wheel in enumerate(WHEELS)},
    },
    "B": {
        **{
            f"{name}_valve_{k + 1}": (first + k,)
            for k in (0, 1)
            for name, first in (("isolating", c.CUT_OFF), ("priming", c.FEED))
        },
        **{
            f"{name}_{wheel}": (first + i,)
            for i, wheel in enumerate(WHEELS)
            for name, first in (("inlet", c.INLET), ("outlet", c.OUTLET))
        },
    },
}
#: Part of either layout -> its index in the commands.
COMMANDS = {
    **{part: rows[0] for valves in VALVES.values() for part, rows in valves.items()},
    "return_pump": c.RETURN_ON,
    "charge_pump": c.CHARGE_ON,
    "bleed_screw": c.BLEED,
}


def flows_between(key):
    """(component, place, other place) of layout `key` -> list of (sign, index in the kernels'
    flows) of what flows from place to other.
    """
    found = {}

    def add(component, start, goal, index):
        found.setdefault((component, start, goal), []).append((1, index))
        found.setdefault((component, goal, start), []).append((-1, index))

    for valve, rows in VALVES[key].items():
        for edge in (
            e for e in layout(key).edges if e.component == valve and e.kind in ("valve", "suction")
        ):
            add(valve, edge.start, edge.goal, rows[edge.position == "reduce"])
    if key == "A":
        for k, side in enumerate("FR"):
            add("return_pump", f"RET_{side}", f"MC_{side}", c.PUMPED + k)
        add("charge_pump", "RES", "ACC", c.CHARGED)
        add("accumulator_relief", "ACC", "RES", c.RELIEVED)
        add("bleed_screw", "ACC", "BOTTLE", c.BLED)
    else:
        for k in (0, 1):
            add("return_pump", f"S_{k + 1}", f"L_{k + 1}", c.PUMPED + k)
            add("low_pressure_accumulator", f"LPA_{k + 1}", f"S_{k + 1}", c.DRAWN + k)
            add(f"isolating_valve_{k + 1}", f"L_{k + 1}", f"MC_{k + 1}", c.RELIEVED + k)
    return found
