"""Exercises of lesson 3: how fast the teeth pass, and what a ring with the wrong number of teeth
makes of the speed.
"""

from math import pi

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import TURN, tooth_frequency

CODED = 48  #: teeth the control unit of the course is coded for


@exercise(
    "3.1",
    3,
    "How fast the teeth pass",
    speed=(18, 24, 30, 36, 45, 54),
    radius=(0.295, 0.300, 0.305, 0.310, 0.315),
    teeth=(44, 48, 52),
)
def teeth_pass(speed, radius, teeth):
    metres = speed / 3.6
    turns = metres / (TURN * radius)
    frequency = tooth_frequency(metres / radius, wheel_sensor("passive", teeth=float(teeth)))
    return Task(
        text=(
            "A car drives at a steady speed and no wheel slips. How fast does the wheel turn, and"
            " how many teeth pass the sensor in a second?"
        ),
        data=(
            ("Speed of the car", f"{speed} km/h"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("Teeth on the ring", f"{teeth}"),
        ),
        parts=(
            Part(
                label="Turning speed of the wheel",
                unit="rpm",
                answer=60 * turns,
                sensible=(0, 3000),
                traps=(
                    Trap(60 * turns * 3.6, "Speed has to be in m/s: divide km/h by 3.6."),
                    Trap(
                        turns, "These are turns in a second. Multiply by 60 for turns in a minute."
                    ),
                    Trap(60 * turns * 2, "One turn is 2 x pi x radius. You took pi x radius."),
                    Trap(60 * turns * TURN, "One turn is 2 x pi x radius. The 2 x pi is missing."),
                ),
            ),
            Part(
                label="Teeth in a second",
                unit="Hz",
                answer=frequency,
                sensible=(0, 5000),
                traps=(
                    Trap(frequency * 3.6, "Speed has to be in m/s: divide km/h by 3.6."),
                    Trap(
                        turns,
                        "So often the wheel turns in a second. Each turn shows all the teeth.",
                    ),
                    Trap(2 * frequency, "One turn is 2 x pi x radius. You took pi x radius."),
                    Trap(frequency / 2, "Each tooth counts once, with its space."),
                ),
            ),
        ),
        hints=(
            (
                "First change km/h into m/s. Then: how long is the way of one turn, and how many"
                " such turns fit into a second?"
            ),
            (
                "turns in a second = speed / (2 x pi x r). Times 60: turns in a minute. Times"
                " teeth: teeth in a second."
            ),
        ),
        working=(
            f"Speed: {speed} / 3.6 = {metres:.3f} m/s",
            f"Way of one turn: 2 x {pi:.4f} x {radius:.3f} = {TURN * radius:.4f} m",
            (
                f"Turns: {metres:.3f} / {TURN * radius:.4f} = {turns:.3f} in a second ="
                f" {60 * turns:.0f} rpm"
            ),
            f"Teeth: {teeth} x {turns:.3f} = {frequency:.0f} Hz",
        ),
    )


@exercise(
    "3.2",
    3,
    "A ring with the wrong number of teeth",
    teeth=(43, 44, 45, 46, 50, 51, 52, 53),
    speed=(30, 40, 50, 60, 70, 80, 90, 120),
)
def wrong_count(teeth, speed):
    reading = speed * teeth / CODED
    error = 100 * (teeth / CODED - 1)
    less = teeth < CODED
    return Task(
        case="fewer" if less else "more",
        text=(
            f"The control unit is coded for {CODED} teeth. Somebody has fitted a ring with another"
            " number on one wheel. What does the unit read for this wheel, and by how much is that"
            " wrong? Write a minus when it reads too little."
        ),
        data=(
            ("Teeth on the ring", f"{teeth}"),
            ("Teeth the unit is coded for", f"{CODED}"),
            ("True speed of the wheel", f"{speed} km/h"),
        ),
        parts=(
            Part(
                label="Speed that the unit reads",
                unit="km/h",
                answer=reading,
                sensible=(0, 250),
                traps=(
                    Trap(
                        speed * CODED / teeth,
                        f"Turn the fraction round. With {'fewer' if less else 'more'} teeth it"
                        f" counts {'less' if less else 'more'} in the same time.",
                    ),
                    Trap(
                        speed,
                        "The unit only counts teeth. It does not know how many are on the ring.",
                    ),
                ),
            ),
            Part(
                label="Error of the reading",
                unit="%",
                answer=error,
                sensible=(-50, 50),
                traps=(
                    Trap(
                        -error,
                        f"It counts {'fewer' if less else 'more'} teeth, so it reads too"
                        f" {'little: minus' if less else 'much: plus'}.",
                    ),
                    Trap(
                        100 * (1 - CODED / teeth), f"Divide by the {CODED} teeth it is coded for."
                    ),
                    Trap(reading - speed, "This is the error in km/h. Divide by the true speed."),
                ),
            ),
        ),
        hints=(
            (
                "In the same time fewer teeth pass, or more. The unit takes each for the same bit"
                " of way."
            ),
            f"reading = true speed x teeth / {CODED}. Error = (reading - true speed) / true speed.",
        ),
        working=(
            f"Reading: {speed} x {teeth} / {CODED} = {reading:.1f} km/h",
            f"Error: ({reading:.1f} - {speed}) / {speed} = {error:+.1f} %",
        ),
    )
