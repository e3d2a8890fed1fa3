"""Exercises of lesson 2: an open differential with one wheel on ice, on the flat and on a hill."""

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.textbook.formulas import (
    brake_torque_for_force,
    engine_torque_for_force,
    slope_force,
)
from tractionlab.textbook.longitudinal import open_axle_force


@exercise(
    "2.1",
    2,
    "Push with one wheel on ice",
    low=(0.08, 0.10, 0.12),
    high=(0.7, 0.8),
    load=(3000, 3300, 3500, 3700),
    pressure=(20, 25, 30),
    per_bar=(10, 12),
    radius=(0.300, 0.305),
)
def push_on_ice(low, high, load, pressure, per_bar, radius):
    brake = pressure * per_bar
    free, braked = (
        open_axle_force(low, high, load, 0, radius),
        open_axle_force(low, high, load, brake, radius),
    )
    ice, dry = low * load, braked - low * load
    return Task(
        text=(
            "The left driven wheel stands on ice, the right one on a dry road. The differential is"
            " open. The engine could turn the left wheel for ever. How hard do both wheels push"
            " together with the brake off, and with the left wheel braked?"
        ),
        data=(
            ("Grip on the left", f"{low:.2f}"),
            ("Grip on the right", f"{high:.1f}"),
            ("Load on each driven wheel", f"{load} N"),
            ("Brake pressure at the left wheel", f"{pressure} bar"),
            ("Brake torque for each bar", f"{per_bar} N m"),
            ("Tyre radius", f"{radius:.3f} m"),
        ),
        parts=(
            Part(
                label="Push of both wheels, brake off",
                unit="N",
                answer=free,
                sensible=(0, 2 * load),
                traps=(
                    Trap(
                        ice,
                        "That is the left wheel alone. The right wheel gets the same torque, so it"
                        " pushes just as hard.",
                    ),
                    Trap(
                        (low + high) * load,
                        "The wheel with grip does not get what the other cannot use. An open"
                        " differential gives both the same.",
                    ),
                ),
            ),
            Part(
                label="Push of both wheels, left wheel braked",
                unit="N",
                answer=braked,
                sensible=(0, 2 * load),
                traps=(
                    Trap(
                        (low + high) * load,
                        "The wheel with grip gets no more than the left wheel and its brake hold"
                        " together.",
                    ),
                    Trap(
                        free + brake,
                        "Brake torque is in N m. Divide it by the tyre radius to get a force.",
                    ),
                    Trap(
                        free + 2 * brake / radius,
                        "The brake helps the right wheel only. The left wheel still has no more"
                        " than its ice.",
                    ),
                    Trap(
                        ice + brake / radius,
                        "That is the right wheel alone. Add what the left wheel pushes on the ice.",
                    ),
                ),
            ),
            Part(
                label="Push of the right wheel, left wheel braked",
                unit="N",
                answer=dry,
                sensible=(0, 2 * load),
                traps=(
                    Trap(
                        high * load,
                        "That is what the right wheel could hold. It only gets the torque the left"
                        " side holds.",
                    ),
                    Trap(
                        brake / radius,
                        "The right wheel also matches the push of the left wheel on the ice.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "An open differential gives both sides the same torque. What the left side holds,"
                " the right side gets."
            ),
            (
                "Left: grip x load. Right: the same, plus brake torque / radius, but never more"
                " than its own grip x load."
            ),
        ),
        working=(
            (
                f"Left wheel on ice: {low:.2f} x {load} = {ice:.0f} N; brake off, the right wheel"
                f" does the same: {free:.0f} N together"
            ),
            (
                f"Brake torque: {pressure} x {per_bar} = {brake:g} N m; as a force: {brake:g} /"
                f" {radius:.3f} = {brake / radius:.0f} N"
            ),
            (
                f"Right wheel: {ice:.0f} + {brake / radius:.0f} = {dry:.0f} N (its limit is"
                f" {high:.1f} x {load} = {high * load:.0f} N)"
            ),
            f"Both: {ice:.0f} + {dry:.0f} = {braked:.0f} N",
        ),
        possible=dry < 0.97 * high * load,
    )


@exercise(
    "2.2",
    2,
    "Brake pressure that holds the hill",
    slope=(0.08, 0.10, 0.12),
    mass=(1400, 1500, 1600),
    low=(0.06, 0.08, 0.10),
    load=(3300, 3500),
    per_bar=(10, 12),
    radius=(0.300, 0.305),
    gears=(12.25, 12.60),
)
def hill_pressure(slope, mass, low, load, per_bar, radius, gears):
    force = slope_force(mass, slope)
    brake = brake_torque_for_force(force, low, load, radius)
    pressure = brake / per_bar
    torque = engine_torque_for_force(force, radius, gears, 1, brake)
    without = engine_torque_for_force(force, radius, gears, 1)
    return Task(
        text=(
            "The same split road now climbs. The car shall just not roll back, held by engine and"
            " one wheel brake alone. Which brake pressure does the left wheel need? Which engine"
            " torque in first gear? Leave rolling drag out."
        ),
        data=(
            ("Slope", f"{100 * slope:.0f} %"),
            ("Mass with driver", f"{mass} kg"),
            ("Grip on the left", f"{low:.2f}"),
            ("Load on each driven wheel", f"{load} N"),
            ("Brake torque for each bar", f"{per_bar} N m"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("All gears with losses", f"{gears:.2f}"),
        ),
        parts=(
            Part(
                label="Force that holds the car",
                unit="N",
                answer=force,
                sensible=(0, mass * 9.81),
                traps=(
                    Trap(
                        mass * 9.81,
                        "That is the whole weight. Only the part along the slope has to be held.",
                    ),
                    Trap(force / 9.81, "Mass is not weight. Multiply by 9.81 as well."),
                ),
            ),
            Part(
                label="Brake pressure at the left wheel",
                unit="bar",
                answer=pressure,
                sensible=(0, 200),
                traps=(
                    Trap(
                        force * radius / per_bar,
                        "The ice still gives a little push, at both wheels. Take that off first.",
                    ),
                    Trap(
                        (force - low * load) * radius / per_bar,
                        "The ice gives its push twice: at the left wheel and again at the right.",
                    ),
                    Trap(
                        brake / radius / per_bar,
                        "Force is not torque. Multiply by the tyre radius.",
                    ),
                ),
            ),
            Part(
                label="Engine torque",
                unit="N m",
                answer=torque,
                sensible=(0, 1000),
                traps=(
                    Trap(
                        without,
                        "That is without the brake. The engine must also turn against the braked"
                        " wheel.",
                    ),
                    Trap(
                        engine_torque_for_force(force, radius, gears, 1, 2 * brake),
                        "Only one wheel is braked. Count its torque once.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "First the force along the slope. Then: how much of it is there already on ice,"
                " left and right together?"
            ),
            (
                "F = m g sin(atan slope). Brake torque = (F - 2 x grip x load) x r. Engine: (F x r"
                " + brake torque) / gears."
            ),
        ),
        working=(
            f"Force: {mass} x 9.81 x sin(atan {slope:.2f}) = {force:.0f} N",
            (
                f"There already: 2 x {low:.2f} x {load} = {2 * low * load:.0f} N; missing:"
                f" {force - 2 * low * load:.0f} N"
            ),
            (
                f"Pressure: {force - 2 * low * load:.0f} x {radius:.3f} / {per_bar} ="
                f" {pressure:.1f} bar"
            ),
            (
                f"Engine: ({force:.0f} x {radius:.3f} + {brake:.1f}) / {gears:.2f} = {torque:.1f} N"
                f" m; the brake alone eats {torque - without:.1f} N m of it"
            ),
        ),
        possible=pressure > 5,
    )
