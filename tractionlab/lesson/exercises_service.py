"""Exercises of lesson 12: what a worn tyre does to the speed that is read, and what a little air
does to the pedal.
"""

from math import pi

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.workshop.drive.inputs_wheels import NEW_TREAD_MM

_INCH = 25.4


@exercise(
    "12.1",
    12,
    "One worn tyre",
    tyre=((185, 60, 15), (195, 65, 15), (205, 55, 16), (215, 50, 17), (225, 45, 17)),
    tread=(1.8, 2.0, 2.5, 3.0),
    speed=(80, 90, 100, 120),
)
def worn_tyre(tyre, tread, speed):
    width, aspect, rim = tyre
    new = rim * _INCH + 2 * width * aspect / 100
    worn = new - 2 * (NEW_TREAD_MM - tread)
    difference = speed * (new / worn - 1)
    return Task(
        text=(
            f"On the driven axle one tyre is new ({NEW_TREAD_MM:g} mm of tread), the other worn."
            " The road speed is that of the new one. How large is the outer diameter of the new"
            " tyre, how large that of the worn one, and how much faster does the worn wheel read?"
        ),
        data=(
            ("Size", f"{width}/{aspect} R{rim}"),
            ("Tread of the worn tyre", f"{tread:g} mm"),
            ("Speed", f"{speed} km/h"),
            ("One inch", f"{_INCH} mm"),
        ),
        parts=(
            Part(
                label="Outer diameter, new",
                unit="mm",
                answer=new,
                sensible=(400, 900),
                traps=(
                    Trap(
                        rim * _INCH + width * aspect / 100,
                        "The wall counts twice: above and below the rim.",
                    ),
                    Trap(
                        rim * _INCH + 2 * width,
                        "The height of the wall is a share of the width, not the width.",
                    ),
                ),
            ),
            Part(label="Outer diameter, worn", unit="mm", answer=worn, sensible=(400, 900)),
            Part(
                label="The worn wheel reads more by",
                unit="km/h",
                answer=difference,
                sensible=(0, 30),
                traps=(
                    Trap(difference / 2, "The tread is gone above and below: take it away twice."),
                    Trap(
                        speed + difference,
                        "This is the reading. How much more is it than the road speed?",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Diameter = rim + two walls. Height of a wall = width x the second number in"
                " percent. Wear takes away on both sides."
            ),
            (
                "Both wheels roll the same way. The smaller one turns faster: reading = speed x new"
                " diameter / worn diameter."
            ),
        ),
        working=(
            f"New: {rim} x {_INCH} + 2 x {width} x {aspect / 100:.2f} = {new:.1f} mm",
            f"Worn: {new:.1f} - 2 x ({NEW_TREAD_MM:g} - {tread:g}) = {worn:.1f} mm",
            (
                f"Reading: {speed} x {new:.1f} / {worn:.1f} = {speed + difference:.2f} km/h,"
                f" {difference:.2f} km/h more"
            ),
        ),
    )


@exercise(
    "12.2",
    12,
    "A little air in the unit",
    air=(0.5, 0.8, 1.0, 1.5, 2.0),
    pressure=(30, 40, 50, 60, 80),
    flow=(2.0, 2.5, 3.0, 4.0),
)
def little_air(air, pressure, flow):
    volume = air * pressure / (pressure + 1.0)
    delay = volume / flow
    area = 0.25 * pi * 2.22**2
    travel = 10 * volume / area * 4
    return Task(
        text=(
            "Some air stayed in the closed passages of the unit. After the first control it is in"
            " the line. Under pressure it gives way: take 1 bar of air pressure, slowly"
            " pressed together. How much volume does it give way, how much later does the pump"
            " build up, and how far down does the pedal go for it?"
        ),
        data=(
            ("Air, free", f"{air:g} cm³"),
            ("Pressure", f"{pressure} bar on the gauge"),
            ("Flow of the pump", f"{flow:g} cm³ in a second"),
            ("Master cylinder", "22.2 mm, 3.87 cm² of area"),
            ("Pedal ratio", "4"),
        ),
        parts=(
            Part(
                label="Volume that gives way",
                unit="cm³",
                answer=volume,
                sensible=(0, 5),
                traps=(
                    Trap(
                        air / (pressure + 1.0),
                        "This is what is left of the air. What gives way is the rest.",
                    ),
                ),
            ),
            Part(
                label="Pressure comes later by",
                unit="s",
                answer=delay,
                sensible=(0, 5),
                traps=(Trap(volume * flow, "Divide the volume by the flow."),),
            ),
            Part(
                label="Extra pedal travel",
                unit="mm",
                answer=travel,
                sensible=(0, 100),
                traps=(
                    Trap(
                        travel / 4, "This is the way of the piston. The pedal goes 4 times as far."
                    ),
                    Trap(travel / 10, "Watch the units: 1 cm is 10 mm."),
                ),
            ),
        ),
        hints=(
            (
                "Pressure times volume stays the same (absolute pressure: gauge + 1 bar). What is"
                " left of the air?"
            ),
            (
                "gives way = air - air x 1 / (gauge + 1). Time = volume / flow. Piston way = volume"
                " / area, pedal way = piston way x 4."
            ),
        ),
        working=(
            (
                f"Left: {air:g} x 1 / {pressure + 1} = {air / (pressure + 1):.3f} cm³, gives way"
                f" {volume:.3f} cm³"
            ),
            f"Later: {volume:.3f} / {flow:g} = {delay:.3f} s",
            (
                f"Piston: {volume:.3f} cm³ / {area:.2f} cm² = {10 * volume / area:.2f} mm, pedal x"
                f" 4 = {travel:.1f} mm"
            ),
        ),
    )
