"""Exercises of lesson 7: how fast a return pump builds pressure up, and pressure in small steps."""

from math import ceil

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.textbook.formulas import brake_fluid, pulse_step

_OPEN, _PERIOD = 10, 30  # ms, course values


@exercise(
    "7.1",
    7,
    "How long the pump needs",
    first=(0.4, 0.5, 0.6),
    per_bar=(0.025, 0.030, 0.035),
    pressure=(30, 40, 50),
    flow=(2.5, 3.0, 3.5),
    cold=(1.2, 1.5),
)
def build_up(first, per_bar, pressure, flow, cold):
    fluid = brake_fluid(pressure, first, per_bar)
    warm, slow = fluid / flow, fluid / cold
    return Task(
        text=(
            "The return pump brakes a spinning wheel. First the pads have to touch the disc, then"
            " the pressure rises with each bit of fluid. How much fluid does the brake take, and"
            " how long does that last? How long at -20 °C, when the fluid is thick?"
        ),
        data=(
            ("Fluid until the pads touch", f"{first:g} cm³"),
            ("Then for each bar", f"{per_bar:g} cm³"),
            ("Pressure wanted", f"{pressure} bar"),
            ("Flow of the pump, warm", f"{flow:.1f} cm³ a second"),
            ("Flow of the pump at -20 °C", f"{cold:.1f} cm³ a second"),
        ),
        parts=(
            Part(
                label="Fluid",
                unit="cm³",
                answer=fluid,
                sensible=(0.1, 100),
                traps=(
                    Trap(per_bar * pressure, "The pads have to touch first. Add that fluid."),
                    Trap(
                        (first + per_bar) * pressure,
                        "The first fluid is needed once, not for every bar.",
                    ),
                ),
            ),
            Part(
                label="Time, warm",
                unit="s",
                answer=warm,
                sensible=(0.01, 60),
                traps=(
                    Trap(
                        per_bar * pressure / flow,
                        "The fluid until the pads touch takes time as well.",
                    ),
                    Trap(fluid * flow, "Divide the fluid by the flow."),
                    Trap(flow / fluid, "Turn the fraction round: fluid divided by flow."),
                ),
            ),
            Part(
                label="Time at -20 °C",
                unit="s",
                answer=slow,
                sensible=(0.01, 60),
                traps=(
                    Trap(
                        per_bar * pressure / cold,
                        "The fluid until the pads touch takes time as well.",
                    ),
                    Trap(
                        warm * cold / flow, "Thick fluid makes the pump slower, so it takes longer."
                    ),
                    Trap(warm, "That is warm. Take the smaller flow."),
                ),
            ),
        ),
        hints=(
            "First all the fluid: until the pads touch, and then for the pressure.",
            "Fluid = first + per bar x pressure. Time = fluid / flow.",
        ),
        working=(
            f"Fluid: {first:g} + {per_bar:g} x {pressure} = {fluid:.2f} cm³",
            f"Warm: {fluid:.2f} / {flow:.1f} = {warm:.2f} s",
            f"At -20 °C: {fluid:.2f} / {cold:.1f} = {slow:.2f} s",
        ),
    )


@exercise(
    "7.2",
    7,
    "Pressure in small steps",
    flow=(2.4, 2.7, 3.0, 3.6),
    per_bar=(0.02, 0.03, 0.04),
    start=(8, 10, 12, 14),
    rise=(10, 12, 15, 18, 20, 24),
)
def pulses(flow, per_bar, start, rise):
    step = pulse_step(flow, _OPEN / 1000, per_bar)
    share, goal = rise / step, start + rise
    number = ceil(share - 1e-6)
    time = number * _PERIOD / 1000
    return Task(
        text=(
            f"The pads touch already. Now the inlet opens for {_OPEN} ms in every {_PERIOD} ms, so"
            " that the pressure rises in small steps. The pump gives the same flow all the time"
            " the inlet is open. By how much does one opening raise the pressure? How many whole"
            " openings does the brake need at least, and how long do their periods take?"
        ),
        data=(
            ("Flow of the pump", f"{flow:.1f} cm³ a second"),
            ("Fluid for each bar", f"{per_bar:g} cm³"),
            ("Inlet open", f"{_OPEN} ms"),
            ("in every", f"{_PERIOD} ms"),
            ("Pressure now", f"{start} bar"),
            ("Pressure wanted", f"{goal} bar"),
        ),
        parts=(
            Part(
                label="Step of one opening",
                unit="bar",
                answer=step,
                sensible=(0.001, 50),
                traps=(
                    Trap(
                        flow * _PERIOD / 1000 / per_bar,
                        "The inlet is open for a third of the time only. Use the open time.",
                    ),
                    Trap(
                        flow * _OPEN / 1000, "That is the fluid. Divide by the fluid for each bar."
                    ),
                    Trap(
                        flow * _OPEN / 1000 * per_bar,
                        "Divide by the fluid for each bar, do not multiply.",
                    ),
                ),
            ),
            Part(
                label="Openings",
                unit="times",
                answer=number,
                sensible=(1, 1000),
                exact=True,
                traps=(
                    Trap(
                        ceil(goal / step - 1e-6),
                        "Some pressure is there already. Count the rise only.",
                    ),
                ),
            ),
            Part(
                label="Time",
                unit="s",
                answer=time,
                sensible=(0.01, 60),
                traps=(
                    Trap(
                        number * _OPEN / 1000,
                        "Between two openings there is a pause. Count whole periods.",
                    ),
                    Trap(
                        ceil(goal / step - 1e-6) * _PERIOD / 1000,
                        "Some pressure is there already. Count the rise only.",
                    ),
                ),
            ),
        ),
        hints=(
            "How much fluid comes in through one opening? How many bar does that make?",
            (
                "Step = flow x open time / fluid for each bar. Openings = rise / step, rounded up:"
                " an opening comes whole or not at all. Time = openings x period."
            ),
        ),
        working=(
            (
                f"Fluid of one opening: {flow:.1f} x {_OPEN / 1000:.3f} ="
                f" {flow * _OPEN / 1000:.3f} cm³"
            ),
            f"Step: {flow * _OPEN / 1000:.3f} / {per_bar:g} = {step:.2f} bar",
            f"Openings: ({goal} - {start}) / {step:.2f} = {share:.2f}, so {number}",
            f"Time: {number} x {_PERIOD / 1000:.3f} = {time:.2f} s",
        ),
        possible=abs(share - number) < 1e-6 or 0.15 < share % 1 < 0.85,
    )
