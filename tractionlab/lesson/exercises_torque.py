"""Exercises of lesson 5: cylinders without fuel, late ignition, and what a slow throttle lets the
wheel gain.
"""

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.textbook.formulas import ignition_factor, torque_with_cylinders_cut
from tractionlab.textbook.longitudinal import wheel_flare


@exercise(
    "5.1",
    5,
    "Cylinders without fuel, and the rest by ignition",
    indicated=(200, 220, 240, 260),
    friction=(18, 20, 22, 24),
    target=(40.0, 46.3, 52.0, 58.0),
)
def cylinders_cut(indicated, friction, target):
    left = [torque_with_cylinders_cut(indicated, friction, 4, cut) for cut in (1, 2, 3)]
    factor = ignition_factor(target, indicated, friction, 4, 2)

    def part(cut, words):
        wrong_half = (
            ()
            if cut == 2
            else (
                Trap(
                    indicated * cut / 4 - friction,
                    "You counted the cylinders without fuel. Count those that still burn.",
                ),
            )
        )
        return Part(
            label=f"Torque with {words} cut",
            unit="N m",
            answer=left[cut - 1],
            sensible=(-friction, indicated),
            traps=(
                *wrong_half,
                Trap(
                    indicated * (4 - cut) / 4, "Friction stays. Take it off once more at the end."
                ),
                Trap(
                    (indicated - friction) * (4 - cut) / 4,
                    "Friction does not get smaller when a cylinder has no fuel. Scale first, then"
                    " take it off.",
                ),
            ),
        )

    return Task(
        text=(
            "A four-cylinder engine burns fuel for the given torque. Friction in the engine takes a"
            " part of it, always the same. Which torque leaves the engine when one, two or three"
            " cylinders get no fuel? With two cut, to which part must late ignition bring the rest,"
            " so that the target comes out?"
        ),
        data=(
            ("Torque from burning, all cylinders", f"{indicated} N m"),
            ("Friction torque", f"{friction} N m"),
            ("Target torque at the engine", f"{target:.1f} N m"),
        ),
        parts=(
            part(1, "one"),
            part(2, "two"),
            part(3, "three"),
            Part(
                label="Ignition factor with two cut",
                unit="1",
                answer=factor,
                sensible=(0, 1),
                traps=(
                    Trap(
                        target / (indicated / 2),
                        "Burning has to make up for friction as well. Add it to the target.",
                    ),
                    Trap(
                        (target + friction) / indicated,
                        "Two cylinders are cut, so only half of the burning torque is there.",
                    ),
                    Trap(
                        target / left[1],
                        "The factor works on the burning, before friction is taken off.",
                    ),
                ),
            ),
        ),
        hints=(
            "Only the burning gets less. Friction stays as it is.",
            (
                "Torque = burning x cylinders that burn / 4 - friction. Factor = (target +"
                " friction) / (burning / 2)."
            ),
        ),
        working=(
            *(
                f"{cut} cut: {indicated} x {4 - cut}/4 - {friction} = {left[cut - 1]:.0f} N m"
                for cut in (1, 2, 3)
            ),
            f"Factor: ({target:.1f} + {friction}) / ({indicated} x 2/4) = {factor:.3f}",
        ),
        possible=factor < 0.95 and left[2] > 0,
    )


@exercise(
    "5.2",
    5,
    "What the slow path costs",
    angle=(45.0, 54.0, 63.0, 72.0),
    step=(0.36, 0.45),
    rate=(800, 1000, 1250),
    torque=(1100.0, 1225.4, 1300.0),
    grip=(0.18, 0.22),
    load=(3400, 3600),
    radius=(0.300, 0.305),
    inertia=(13.5, 14.31),
)
def slow_path(angle, step, rate, torque, grip, load, radius, inertia):
    steps, time = angle / step, angle / step / rate
    gain = radius * wheel_flare(torque, grip, load, radius, inertia)
    road = grip * load * radius
    overshoot = 3.6 * gain * time
    return Task(
        text=(
            "A stepper motor shuts the second throttle. Until it has done so, full torque stays at"
            " the spinning wheel. How many steps, how long, and by how much does the rim gain speed"
            " in that time?"
        ),
        data=(
            ("Way of the plate", f"{angle:.0f}°"),
            ("Angle of one step", f"{step:.2f}°"),
            ("Steps in a second", f"{rate}"),
            ("Drive torque at each wheel", f"{torque:.1f} N m"),
            ("Grip", f"{grip:.2f}"),
            ("Load on the wheel", f"{load} N"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("Inertia that one wheel turns", f"{inertia:.2f} kg m²"),
        ),
        parts=(
            Part(
                label="Steps",
                unit="steps",
                answer=round(steps),
                sensible=(1, 5000),
                exact=True,
                traps=(Trap(round(angle * step), "Divide the way by the angle of one step."),),
            ),
            Part(
                label="Time",
                unit="ms",
                answer=1000 * time,
                sensible=(1, 10000),
                traps=(
                    Trap(
                        1000 * rate / steps,
                        "Turn the fraction round: steps divided by steps in a second.",
                    ),
                ),
            ),
            Part(
                label="Speed gain of the rim in each second",
                unit="m/s²",
                answer=gain,
                sensible=(0, 500),
                traps=(
                    Trap(
                        radius * torque / inertia,
                        "The road still holds back a little. Take grip x load x radius off the"
                        " drive torque.",
                    ),
                    Trap(gain / radius, "That is in rad/s². Multiply by the tyre radius."),
                ),
            ),
            Part(
                label="Speed gained until the throttle is shut",
                unit="km/h",
                answer=overshoot,
                sensible=(0, 300),
                traps=(
                    Trap(
                        3.6 * radius * torque / inertia * time,
                        "The road torque is missing in the speed gain.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Steps = way / one step. Time = steps / steps in a second. Then: what turns the"
                " wheel, less what the road holds?"
            ),
            (
                "Gain = (drive torque - grip x load x r) / inertia x r. Speed = gain x time. Times"
                " 3.6 for km/h."
            ),
        ),
        working=(
            (
                f"{angle:.0f} / {step:.2f} = {steps:.0f} steps; {steps:.0f} / {rate} = {time:.3f} s"
                f" = {1000 * time:.0f} ms"
            ),
            (
                f"Torque left over: {torque:.1f} - {grip:.2f} x {load} x {radius:.3f} ="
                f" {torque - road:.1f} N m"
            ),
            f"Gain: {torque - road:.1f} / {inertia:.2f} x {radius:.3f} = {gain:.2f} m/s²",
            f"Speed: {gain:.2f} x {time:.3f} = {gain * time:.2f} m/s = {overshoot:.1f} km/h",
        ),
        possible=abs(steps - round(steps)) < 1e-6,
    )
