"""Exercises of lesson 10: a leak across an active sensor, and the voltage a bad ground eats."""

from tractionlab.lesson.exercises import Part, Task, Trap, exercise

SUPPLY = 12.0  #: V, feed of the active sensor


@exercise(
    "10.1",
    10,
    "Salt water in a plug",
    low=(6.0, 6.5, 7.0, 7.5, 8.0),
    leak=(2.0, 2.4, 3.0, 4.0, 5.0, 6.0),
    resistor=(75, 100, 120),
)
def wet_plug(low, leak, resistor):
    level, extra = low * resistor * 1e-3, SUPPLY / leak
    with_leak = (low + extra) * resistor * 1e-3
    return Task(
        text=(
            "An active sensor draws its low current through the measuring resistor of the control"
            " unit. Salt water joins the two pins of its plug. Find the low level of the dry"
            " sensor, the current through the leak, and the low level with the leak. Take it that"
            " the whole feed lies across the leak. (A little of it lies across the measuring"
            " resistor, so a meter shows slightly less.)"
        ),
        data=(
            ("Low current of the sensor", f"{low:.1f} mA"),
            ("Measuring resistor", f"{resistor} ohm"),
            ("Feed", f"{SUPPLY:.0f} V"),
            ("Leak", f"{leak:.1f} kohm"),
        ),
        parts=(
            Part(
                label="Low level, dry",
                unit="V",
                answer=level,
                sensible=(0, 12),
                traps=(
                    Trap(
                        SUPPLY - level,
                        "This lies across the sensor. Asked is what lies across the measuring"
                        " resistor.",
                    ),
                    Trap(2 * level, "This is the high level. The low one was asked."),
                ),
            ),
            Part(
                label="Current through the leak",
                unit="mA",
                answer=extra,
                sensible=(0, 200),
                traps=(
                    Trap(
                        SUPPLY / resistor * 1e3,
                        "Divide by the ohms of the leak, not by those of the measuring resistor.",
                    ),
                    Trap(leak / SUPPLY, "Turn it round: ampere are volts divided by ohm."),
                    Trap(
                        extra + low,
                        "This is the leak and the sensor together. Asked is the leak alone.",
                    ),
                ),
            ),
            Part(
                label="Low level with the leak",
                unit="V",
                answer=with_leak,
                sensible=(0, 12),
                traps=(
                    Trap(
                        extra * resistor * 1e-3,
                        "The sensor still draws its own current. Add the two.",
                    ),
                    Trap(level, "The leak adds its current in the same resistor."),
                    Trap(low + extra, "This is the current. Multiply by the measuring resistor."),
                ),
            ),
        ),
        hints=(
            "Both currents flow through the same measuring resistor.",
            (
                "level = current x resistor. Leak current = feed / leak. Add the currents, then"
                " multiply."
            ),
        ),
        working=(
            f"Dry: {low:.1f} mA x {resistor} ohm = {level:.2f} V",
            f"Leak: {SUPPLY:.0f} V / {leak:.1f} kohm = {extra:.2f} mA",
            f"Together: ({low:.1f} + {extra:.2f}) mA x {resistor} ohm = {with_leak:.2f} V",
        ),
    )


@exercise(
    "10.2",
    10,
    "What a bad ground eats",
    current=(20, 22, 24, 25, 28, 30),
    battery=(12.0, 12.2, 12.4, 12.6),
    feed=(0.1, 0.2, 0.3, 0.4),
    ground=(0.8, 1.0, 1.2, 1.5, 1.8),
)
def bad_ground(current, battery, feed, ground):
    ohm, motor = ground / current, battery - feed - ground
    return Task(
        text=(
            "The pump runs. You measure the current with the clamp, and the voltage drop of the"
            " feed and of the ground with the meter. What resistance does the ground have, and what"
            " voltage is left for the motor?"
        ),
        data=(
            ("Current", f"{current} A"),
            ("Battery", f"{battery:.1f} V"),
            ("Drop of the feed", f"{feed:.1f} V"),
            ("Drop of the ground", f"{ground:.1f} V"),
        ),
        parts=(
            Part(
                label="Resistance of the ground",
                unit="mohm",
                answer=1e3 * ohm,
                sensible=(0.1, 2000),
                traps=(
                    Trap(1e3 * feed / current, "This is the resistance of the feed."),
                    Trap(1e3 * (feed + ground) / current, "These are feed and ground together."),
                    Trap(
                        1e3 * battery / current,
                        "Not the whole battery voltage lies across the ground. Take its drop.",
                    ),
                    Trap(current / ground, "Turn it round: ohm are volts divided by ampere."),
                ),
            ),
            Part(
                label="Voltage at the motor",
                unit="V",
                answer=motor,
                sensible=(0, 15),
                traps=(
                    Trap(battery - ground, "The feed loses something too."),
                    Trap(battery - feed, "The ground loses something too."),
                    Trap(
                        battery + feed + ground,
                        "What is lost on the way does not reach the motor: take it away.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "The same current flows through feed, motor and ground. Each takes its share of the"
                " voltage."
            ),
            (
                "ohm = drop / current, times 1000 for milliohm. Motor = battery - feed drop -"
                " ground drop."
            ),
        ),
        working=(
            f"Ground: {ground:.1f} V / {current} A = {ohm:.4f} ohm = {1e3 * ohm:.1f} mohm",
            f"Motor: {battery:.1f} - {feed:.1f} - {ground:.1f} = {motor:.1f} V",
        ),
    )
