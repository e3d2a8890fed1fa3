"""Exercises of lesson 6: current of a three-position valve, and fluid in the accumulator."""

from math import floor

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.physics.hydraulics import ATMOSPHERE
from tractionlab.textbook.formulas import duty_for_current, largest_current
from tractionlab.textbook.hydraulics import fluid_over_gas
from tractionlab.units import BAR

_HOLD, _REDUCE = 2.0, 5.0  # A, course values


@exercise(
    "6.1",
    6,
    "Current for a three-position valve",
    coil=(1.1, 1.2, 1.3, 1.4),
    voltage=(11.5, 12.0, 12.6, 13.5),
    extra=(0.5, 0.8, 1.5, 2.5, 4.0, 6.0, 8.0),
)
def valve_current(coil, voltage, extra):
    hold, reduce = (100 * duty_for_current(current, coil, voltage) for current in (_HOLD, _REDUCE))
    most = largest_current(voltage, coil, extra)
    working = 1 + (most >= _HOLD) + (most >= _REDUCE)
    left = ("only increase", "increase and hold", "all three")[working - 1]
    return Task(
        text=(
            "The control unit switches the coil of a wheel valve on and off very fast. The share of"
            " the time it is on sets the mean current. Which share holds, and which one reduces?"
            " Then a corroded plug adds resistance. What is the largest current now? How many of"
            " the three positions, increase, hold and reduce, still work?"
        ),
        data=(
            ("Coil", f"{coil:.1f} ohm"),
            ("Supply", f"{voltage:.1f} V"),
            ("Increase", "0 A"),
            ("Hold", f"{_HOLD:.1f} A"),
            ("Reduce", f"{_REDUCE:.1f} A"),
            ("Corroded plug adds", f"{extra:.1f} ohm"),
        ),
        parts=(
            Part(
                label="Share of the time on for hold",
                unit="%",
                answer=hold,
                sensible=(0, 100),
                traps=(
                    Trap(
                        100 * duty_for_current(_HOLD, coil + extra, voltage),
                        "The plug is still good in this part. Use the coil alone.",
                    ),
                    Trap(
                        100 * _HOLD / voltage,
                        "Current times resistance is the mean voltage. Divide that by the supply.",
                    ),
                    Trap(
                        100 * _HOLD / _REDUCE,
                        "Compare with the largest current the coil could take, not with the current"
                        " for reduce.",
                    ),
                ),
            ),
            Part(
                label="Share of the time on for reduce",
                unit="%",
                answer=reduce,
                sensible=(0, 100),
                traps=(
                    Trap(
                        100 * _REDUCE / voltage,
                        "Current times resistance is the mean voltage. Divide that by the supply.",
                    ),
                    Trap(
                        100.0,
                        "Full on gives more than 5 A. Work out which share of the largest current"
                        " you need.",
                    ),
                ),
            ),
            Part(
                label="Largest current with the bad plug",
                unit="A",
                answer=most,
                sensible=(0, 30),
                traps=(
                    Trap(
                        voltage / coil,
                        "That is without the plug. Its resistance comes on top of the coil.",
                    ),
                    Trap(voltage / extra, "The coil is still in the line. Add both resistances."),
                    Trap(
                        voltage / coil - voltage / extra,
                        "Do not take currents off each other. Add the resistances first, then"
                        " divide.",
                    ),
                ),
            ),
            Part(
                label="Positions that still work",
                unit="1",
                answer=working,
                sensible=(0, 3),
                exact=True,
                traps=tuple(
                    Trap(wrong, why)
                    for wrong, why in (
                        (0, "No current is needed for increase: the pedal always works."),
                        (working - 1, "Do not forget increase: it needs no current at all."),
                        (
                            3,
                            (
                                "Compare your largest current with the currents for hold and for"
                                " reduce."
                            ),
                        ),
                    )
                    if wrong != working
                ),
            ),
        ),
        hints=(
            "Largest current = voltage / resistance. The share of the time scales it down.",
            (
                "Share = wanted current x coil / voltage. With the plug: largest current = voltage"
                " / (coil + plug)."
            ),
        ),
        working=(
            f"Coil alone, always on: {voltage:.1f} / {coil:.1f} = {voltage / coil:.2f} A",
            (
                f"Hold: {_HOLD:.1f} x {coil:.1f} / {voltage:.1f} = {hold:.1f} %; reduce:"
                f" {_REDUCE:.1f} x {coil:.1f} / {voltage:.1f} = {reduce:.1f} %"
            ),
            f"With the plug: {voltage:.1f} / ({coil:.1f} + {extra:.1f}) = {most:.2f} A",
            (
                f"{most:.2f} A against {_HOLD:.1f} and {_REDUCE:.1f} A: {left} still"
                f" work{'s' if working == 1 else ''}, so {working}"
            ),
        ),
        possible=all(abs(most / current - 1) > 0.05 for current in (_HOLD, _REDUCE)),
    )


@exercise(
    "6.2",
    6,
    "What the accumulator holds",
    gas=(200, 250, 300, 350),
    precharge=(70, 80, 90),
    high=(180, 185, 190),
    low=(140, 145, 150),
    each=(0.75, 0.80, 0.90),
    flow=(4.0, 5.0),
)
def accumulator_fluid(gas, precharge, high, low, each, flow):
    def fluid(*gauge):
        inside = [
            fluid_over_gas(bar * BAR, gas, precharge * BAR + ATMOSPHERE, 1.0) for bar in gauge
        ]
        return inside[0] - inside[1]

    usable = fluid(high, low)
    times, recharge = floor(usable / each), usable / flow
    return Task(
        text=(
            "The pressures below are read on a gauge. For the gas law add 1 bar. The pressure falls"
            " slowly, so the gas keeps its temperature: pressure x volume stays the same. How much"
            " fluid does the accumulator give until the pump starts? For how many full brake"
            " applications is that enough? How long must the pump run to bring as much fluid back?"
        ),
        data=(
            ("Gas at precharge", f"{gas} cm³"),
            ("Precharge", f"{precharge} bar"),
            ("Pump stops at", f"{high} bar"),
            ("Pump starts at", f"{low} bar"),
            ("Fluid for one application", f"{each:.2f} cm³"),
            ("Flow of the charge pump", f"{flow:.1f} cm³ a second"),
        ),
        parts=(
            Part(
                label="Fluid from stop to start pressure",
                unit="cm³",
                answer=usable,
                sensible=(0, gas),
                traps=(
                    Trap(
                        gas * (high - low) / high,
                        "Gas does not get smaller in steps of equal size. Work out its volume at"
                        " both pressures.",
                    ),
                    Trap(
                        fluid(high, precharge),
                        "The pump starts long before the accumulator is empty. Stop at the start"
                        " pressure.",
                    ),
                    Trap(
                        fluid(low, precharge),
                        "That is what stays inside. Asked is what comes out between the two"
                        " pressures.",
                    ),
                ),
            ),
            Part(
                label="Full applications",
                unit="times",
                answer=times,
                sensible=(1, 1000),
                exact=True,
                traps=(Trap(times + 1, "The last one would not be full any more. Round down."),),
            ),
            Part(
                label="Time to bring it back",
                unit="s",
                answer=recharge,
                sensible=(0.1, 600),
                traps=(
                    Trap(flow / usable, "Turn the fraction round: fluid divided by flow."),
                    Trap(
                        fluid(high, precharge) / flow,
                        "The accumulator is not empty. Only what went out has to come back.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Add 1 bar to each pressure. Then the gas volume at a pressure is: gas x precharge"
                " / pressure."
            ),
            (
                "Fluid = gas x precharge x (1 / low - 1 / high). Applications = fluid / one"
                " application, rounded down. Time = fluid / flow."
            ),
        ),
        working=(
            (
                f"Gas at {low} bar: {gas} x {precharge + 1} / {low + 1} ="
                f" {gas * (precharge + 1) / (low + 1):.1f} cm³; at {high} bar:"
                f" {gas * (precharge + 1) / (high + 1):.1f} cm³"
            ),
            (
                f"Fluid: {gas * (precharge + 1) / (low + 1):.1f} -"
                f" {gas * (precharge + 1) / (high + 1):.1f} = {usable:.1f} cm³"
            ),
            f"Applications: {usable:.1f} / {each:.2f} = {usable / each:.2f}, so {times}",
            f"Time: {usable:.1f} / {flow:.1f} = {recharge:.1f} s",
        ),
        possible=0.05 < usable / each % 1 < 0.95,
    )
