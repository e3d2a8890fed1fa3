"""Exercises of lesson 4: slip from reference and wheel speed, and wheel acceleration from tooth
times.
"""

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.sensors.ring import TURN


@exercise(
    "4.1",
    4,
    "Slip as the control unit works it out",
    wheel=(20, 22, 24, 27, 30, 33, 36, 40),
    reference=(10, 12, 14, 16, 18, 20, 22, 25),
)
def slip_from_reference(wheel, reference):
    slip, by_car = 100 * (wheel - reference) / wheel, 100 * (wheel - reference) / reference
    return Task(
        text=(
            "The control unit reads a driven wheel and takes its reference for the speed of the"
            " car. How large is the slip, as a part of the wheel speed? And how large is it in a"
            " book that divides by the speed of the car?"
        ),
        data=(("Driven wheel", f"{wheel} km/h"), ("Reference speed", f"{reference} km/h")),
        parts=(
            Part(
                label="Slip, divided by the wheel speed",
                unit="%",
                answer=slip,
                sensible=(0, 100),
                traps=(
                    Trap(by_car, "You divided by the car. Here the wheel speed is asked."),
                    Trap(
                        wheel - reference,
                        "This is the difference in km/h. Divide it by the wheel speed.",
                    ),
                    Trap(
                        100 * reference / wheel,
                        "This is the part that is left. Slip is the part that is lost.",
                    ),
                ),
            ),
            Part(
                label="Slip, divided by the car speed",
                unit="%",
                answer=by_car,
                sensible=(0, 1000),
                traps=(
                    Trap(slip, "You divided by the wheel. Here the car speed is asked."),
                    Trap(100 * wheel / reference, "Take the car speed off first, then divide."),
                ),
            ),
        ),
        hints=(
            "How much faster is the wheel? Which part of its own speed is that?",
            "slip = (wheel - reference) / wheel. The other book: (wheel - reference) / reference.",
        ),
        working=(
            f"The wheel is {wheel} - {reference} = {wheel - reference} km/h too fast",
            f"By wheel speed: {wheel - reference} / {wheel} = {slip:.1f} %",
            f"By car speed: {wheel - reference} / {reference} = {by_car:.1f} %",
        ),
        possible=wheel >= 1.1 * reference,
    )


@exercise(
    "4.2",
    4,
    "Too fast to be true",
    first=(9.0, 10.0, 11.0, 12.0),
    second=(7.5, 8.0, 8.5),
    apart=(40, 50, 60),
    radius=(0.300, 0.305, 0.310),
    most=(1.24, 1.40, 1.75),
)
def wheel_acceleration(first, second, apart, radius, most):
    pitch = TURN * radius / 48
    slow, fast = 1e3 * pitch / first, 1e3 * pitch / second
    gain = 1e3 * (fast - slow) / apart
    return Task(
        text=(
            "The unit times single teeth of a driven wheel: first one, a little later another. How"
            " long is the way of one tooth at the tread? How fast is the wheel each time, and how"
            " fast does it gain speed? The road can push this car only so hard: how many times too"
            " much is that?"
        ),
        data=(
            ("Teeth on the ring", "48"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("Time of one tooth, at first", f"{first:.1f} ms"),
            (f"Time of one tooth, {apart} ms later", f"{second:.1f} ms"),
            ("Most the road can give the car", f"{most:.2f} m/s²"),
        ),
        parts=(
            Part(
                label="Way of one tooth",
                unit="mm",
                answer=1e3 * pitch,
                sensible=(1, 200),
                traps=(
                    Trap(1e3 * pitch / 2, "One turn is 2 x pi x radius."),
                    Trap(1e3 * radius / 48, "One turn is 2 x pi x radius. The 2 x pi is missing."),
                ),
            ),
            Part(
                label="Speed at first",
                unit="m/s",
                answer=slow,
                sensible=(0, 100),
                traps=(
                    Trap(fast, "This is the second speed. A longer time means a slower wheel."),
                    Trap(slow / 2, "The way of one tooth is 2 x pi x r / 48."),
                ),
            ),
            Part(
                label="Speed later",
                unit="m/s",
                answer=fast,
                sensible=(0, 100),
                traps=(
                    Trap(slow, "This is the first speed. A shorter time means a faster wheel."),
                    Trap(fast / 2, "The way of one tooth is 2 x pi x r / 48."),
                ),
            ),
            Part(
                label="Acceleration of the wheel",
                unit="m/s²",
                answer=gain,
                sensible=(0, 2000),
                traps=(
                    Trap(
                        1e3 * (fast - slow) / (first - second),
                        f"Between the two speeds lie {apart} ms, not the difference of the tooth"
                        " times.",
                    ),
                    Trap(3.6 * gain, "Keep the speeds in m/s."),
                    Trap(fast - slow, "This is the gain in speed. Divide it by the time between."),
                ),
            ),
            Part(
                label="Compared with the most the road can give",
                unit="times",
                answer=gain / most,
                sensible=(0, 2000),
                traps=(
                    Trap(
                        gain / 9.81,
                        "This compares with free fall. Divide by what the road can give.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "One turn of the tread is 2 x pi x r long and has 48 teeth. Speed = way of one"
                " tooth / its time."
            ),
            (
                "acceleration = (later speed - first speed) / time between. Times in seconds: 1000"
                " ms = 1 s."
            ),
        ),
        working=(
            f"Way of one tooth: 2 x pi x {radius:.3f} / 48 = {pitch:.5f} m = {1e3 * pitch:.2f} mm",
            (
                f"Speeds: {1e3 * pitch:.2f} / {first:.1f} = {slow:.3f} m/s and {1e3 * pitch:.2f} /"
                f" {second:.1f} = {fast:.3f} m/s"
            ),
            f"Acceleration: {fast - slow:.3f} / {apart / 1000:.3f} = {gain:.1f} m/s²",
            (
                f"Compared: {gain:.1f} / {most:.2f} = {gain / most:.1f} times: no car does that, so"
                " the wheel spins"
            ),
        ),
    )
