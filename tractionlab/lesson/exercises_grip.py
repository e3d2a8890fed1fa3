"""Exercises of lesson 1: the largest drive force, and the engine torque that is enough for it."""

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.textbook.formulas import engine_torque_for_force
from tractionlab.textbook.longitudinal import GRAVITY, Layout, grip_share


@exercise(
    "1.1",
    1,
    "The largest push the road can take",
    grip=(0.20, 0.25, 0.30, 0.35),
    mass=(1300, 1400, 1500, 1600),
    axle=(("rear", 0.48), ("rear", 0.50), ("front", 0.60), ("front", 0.58)),
    height=(0.52, 0.55, 0.58),
    wheelbase=(2.60, 2.70),
)
def largest_push(grip, mass, axle, height, wheelbase):
    driven, share = axle
    to_mass = wheelbase * (share if driven == "rear" else 1 - share)
    force = mass * GRAVITY * grip_share(grip, Layout(wheelbase, height, to_mass), driven)
    at_rest, shift = grip * mass * GRAVITY * share, grip * height / wheelbase
    wrong_way = at_rest / (1 + shift if driven == "rear" else 1 - shift)
    sign, gains = ("-", "gains") if driven == "rear" else ("+", "loses")
    return Task(
        case=driven,
        text=(
            f"A car with a driven {driven} axle pulls away on a level road. Grip is the same"
            " everywhere. How hard can the tyres push at most, and how fast does the car then gain"
            " speed? Count load transfer."
        ),
        data=(
            ("Grip", f"{grip:.2f}"),
            ("Mass with driver", f"{mass} kg"),
            (f"Weight on the {driven} axle at rest", f"{100 * share:.0f} %"),
            ("Height of the centre of mass", f"{height:.2f} m"),
            ("Wheelbase", f"{wheelbase:.2f} m"),
        ),
        parts=(
            Part(
                label="Largest drive force",
                unit="N",
                answer=force,
                sensible=(0, mass * GRAVITY),
                traps=(
                    Trap(
                        at_rest,
                        "This is the value without load transfer. When the car gains speed, the"
                        f" {driven} axle {gains} load.",
                    ),
                    Trap(
                        wrong_way,
                        f"Load transfer goes the other way: the {driven} axle {gains} load when the"
                        " car gains speed.",
                    ),
                    Trap(
                        grip * mass * GRAVITY,
                        "This is the whole weight times grip. Only the driven axle pushes.",
                    ),
                    Trap(
                        force / GRAVITY, "Mass is not weight. Take mass times 9.81 to get newtons."
                    ),
                ),
            ),
            Part(
                label="Acceleration",
                unit="m/s²",
                answer=force / mass,
                sensible=(0, GRAVITY),
                traps=(
                    Trap(at_rest / mass, "This is the value without load transfer."),
                    Trap(
                        grip * GRAVITY,
                        "This would need all four wheels to push. Take your drive force and divide"
                        " by the mass.",
                    ),
                    Trap(
                        force / mass / share,
                        "The force has to move the whole car, not only the part on the driven"
                        " axle.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Push at the tyre = grip times the load on the driven axle. The load is a part of"
                " the weight m g."
            ),
            (
                f"With load transfer: F = grip x share x m x g / (1 {sign} grip x height /"
                " wheelbase). Then a = F / m."
            ),
        ),
        working=(
            (
                f"Push without load transfer: {grip:.2f} x {share:.2f} x {mass} x 9.81 ="
                f" {at_rest:.0f} N"
            ),
            (
                f"Load transfer: 1 {sign} {grip:.2f} x {height:.2f} / {wheelbase:.2f} ="
                f" {at_rest / force:.4f}"
            ),
            f"Largest drive force: {at_rest:.0f} / {at_rest / force:.4f} = {force:.0f} N",
            f"Acceleration: {force:.0f} / {mass} = {force / mass:.2f} m/s²",
        ),
    )


@exercise(
    "1.2",
    1,
    "How little engine torque is enough",
    force=(1240, 1490, 1861, 2050),
    radius=(0.300, 0.305, 0.310),
    first_gear=(3.40, 3.50, 3.60),
    final=(3.70, 3.90, 4.10),
    efficiency=(0.90, 0.92),
    engine=(180, 200, 220),
)
def enough_torque(force, radius, first_gear, final, efficiency, engine):
    ratio = first_gear * final
    torque = engine_torque_for_force(force, radius, ratio, efficiency)
    surplus = 100 * (1 - torque / engine)
    return Task(
        text=(
            "The road can take this drive force and no more. Which engine torque gives just this"
            " force in first gear? And which part of the full engine torque must be taken away?"
        ),
        data=(
            ("Largest drive force", f"{force} N"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("First gear", f"{first_gear:.2f}"),
            ("Final drive", f"{final:.2f}"),
            ("Efficiency of the driveline", f"{efficiency:.2f}"),
            ("Full engine torque", f"{engine} N m"),
        ),
        parts=(
            Part(
                label="Engine torque that is enough",
                unit="N m",
                answer=torque,
                sensible=(0, 1000),
                traps=(
                    Trap(
                        torque * efficiency,
                        "You left out the losses. The engine must give a little more than the"
                        " wheels get.",
                    ),
                    Trap(
                        torque * efficiency**2,
                        "The losses work the other way: divide by the efficiency.",
                    ),
                    Trap(
                        torque * final,
                        "You used the first gear only. The final drive multiplies torque too.",
                    ),
                    Trap(
                        torque * first_gear,
                        "You used the final drive only. First gear multiplies torque too.",
                    ),
                    Trap(
                        force * radius,
                        "This is the torque at the wheels. Go back through both gear steps to the"
                        " engine.",
                    ),
                ),
            ),
            Part(
                label="Part of full torque to take away",
                unit="%",
                answer=surplus,
                sensible=(0, 100),
                traps=(
                    Trap(
                        100 - surplus,
                        "This is the part that stays. Asked is the part to take away.",
                    ),
                    Trap(
                        100 * (1 - torque * efficiency / engine),
                        "The losses are missing in the engine torque.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Torque at both wheels together = force x radius. The gears make the engine's"
                " torque larger on the way."
            ),
            (
                "T = F x r / (first gear x final drive x efficiency). Part to take away = 1 - T /"
                " full torque."
            ),
        ),
        working=(
            f"Torque at the wheels: {force} x {radius:.3f} = {force * radius:.1f} N m",
            (
                f"All gears with losses: {first_gear:.2f} x {final:.2f} x {efficiency:.2f} ="
                f" {ratio * efficiency:.3f}"
            ),
            f"Engine torque: {force * radius:.1f} / {ratio * efficiency:.3f} = {torque:.1f} N m",
            f"To take away: 1 - {torque:.1f} / {engine} = {surplus:.1f} %",
        ),
    )
