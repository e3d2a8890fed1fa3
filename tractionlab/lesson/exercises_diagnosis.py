"""Exercises of lesson 9: how long a debounce counter takes, and what the bias voltage of a passive
sensor tells.
"""

from tractionlab.diagnosis.fault_memory import CYCLE
from tractionlab.lesson.exercises import Part, Task, Trap, exercise

_BIAS, _FEED = 5.0, 9.0  # V, kohm: course values
_LOW, _HIGH = 0.30, 0.90  # V, course window


def bias(kilohm):
    """Voltage [V] at the control unit's pin with `kilohm` between it and the unit's ground."""
    return _BIAS * kilohm / (_FEED + kilohm)


@exercise(
    "9.1",
    9,
    "How long a counter takes",
    limit=(40, 50, 60, 80, 100, 120, 150, 200),
    down=(1, 2),
    bad=(60, 70, 75, 80, 85, 90, 95),
)
def counter(limit, down, bad):
    ms = 1000 * CYCLE
    net = bad / 100 - down * (1 - bad / 100)
    always = limit * CYCLE
    shaky = always / net if net > 0 else 0.0
    border = 100 * down / (1 + down)
    return Task(
        case=f"down by {down}",
        text=(
            f"A test runs every {ms:.0f} ms. Each bad result adds 1 to a counter, each good one"
            f" takes {down} away, and it never goes below zero. At the limit the fault is"
            " confirmed. How long does a fault take that is always there? How long one that is"
            " there only part of the time? Up to which share is it never confirmed?"
        ),
        data=(
            ("Limit of the counter", f"{limit}"),
            ("Good result takes away", f"{down}"),
            ("Share of bad results", f"{bad} %"),
            ("Time between two results", f"{ms:.0f} ms"),
        ),
        parts=(
            Part(
                label="Time, fault always there",
                unit="s",
                answer=always,
                sensible=(0, 60),
                traps=(
                    Trap(
                        limit,
                        "That is the number of results. Each of them takes some milliseconds.",
                    ),
                    Trap(always * 100 / bad, "Always there means: every result is bad."),
                ),
            ),
            Part(
                label="Time, fault there part of the time",
                unit="s",
                answer=shaky,
                sensible=(0, 300),
                traps=(
                    Trap(
                        always * 100 / bad,
                        "The good results take some of it away again. Work out what is left for"
                        " each result.",
                    ),
                    Trap(
                        always / (bad / 100 - (1 - bad / 100)) if down > 1 else 2 * always,
                        f"A good result takes {down} away. Take that into account.",
                    ),
                    Trap(always, "This would be the time if every result were bad."),
                ),
            ),
            Part(
                label="Share of bad results up to which it is never confirmed",
                unit="%",
                answer=border,
                sensible=(0, 100),
                traps=(
                    Trap(
                        100 - border if down > 1 else 25.0,
                        "Up and down must cancel: bad share times 1 = good share times what it"
                        " takes away.",
                    ),
                    Trap(bad, "At this share it does get confirmed, as you have just worked out."),
                ),
            ),
        ),
        hints=(
            (
                "Think of 100 results. How much do the bad ones add, how much do the good ones take"
                " away, and what is left for one result?"
            ),
            (
                f"left for each result = bad share x 1 - good share x {down}. Number of results ="
                f" limit / that. Time = number x {ms:.0f} ms."
            ),
        ),
        working=(
            f"Always there: {limit} x {CYCLE:.2f} s = {always:.2f} s",
            f"Left for each result: {bad / 100:.2f} - {1 - bad / 100:.2f} x {down} = {net:.2f}",
            (
                f"Part of the time: {limit} / {net:.2f} = {limit / net if net > 0 else 0:.0f}"
                f" results = {shaky:.2f} s"
            ),
            f"Border: share = (1 - share) x {down}, so share = {border:.1f} %",
        ),
        possible=net >= 0.04,
    )


@exercise(
    "9.2",
    9,
    "What the bias voltage tells",
    coil=(0.95, 1.00, 1.10, 1.20, 1.25),
    small=(0.1, 0.2, 0.3, 0.4),
    large=(1.5, 1.8, 2.2, 2.6, 3.3, 4.7),
)
def bias_voltage(coil, small, large):
    sound, first, second = bias(coil), bias(coil + small), bias(coil + large)
    outside = sum(not _LOW <= volts <= _HIGH for volts in (sound, first, second))
    return Task(
        text=(
            f"The control unit feeds {_BIAS:.2f} V through {_FEED:.1f} kohm to a passive sensor and"
            f" looks at its pin. In order is {_LOW:.2f} to {_HIGH:.2f} V. Which voltage does it see"
            " with the sound sensor, with a little corrosion in the plug, and with much? How many"
            " of the three does it call a fault?"
        ),
        data=(
            ("Coil of the sensor", f"{coil:.2f} kohm"),
            ("A little corrosion adds", f"{small:.1f} kohm"),
            ("Much corrosion adds", f"{large:.1f} kohm"),
            ("Feed", f"{_BIAS:.2f} V through {_FEED:.1f} kohm"),
        ),
        parts=(
            Part(
                label="Sound sensor",
                unit="V",
                answer=sound,
                sensible=(0, 5),
                traps=(
                    Trap(
                        _BIAS * coil / _FEED,
                        "The same current flows through both. Divide by the sum of both"
                        " resistances.",
                    ),
                    Trap(
                        _BIAS - sound,
                        "That is what falls over the feed resistor. The unit sees the rest.",
                    ),
                ),
            ),
            Part(
                label="A little corrosion",
                unit="V",
                answer=first,
                sensible=(0, 5),
                traps=(
                    Trap(_BIAS * (coil + small) / _FEED, "Divide by the sum of all resistances."),
                    Trap(bias(small), "The coil is still there. Corrosion comes on top."),
                ),
            ),
            Part(
                label="Much corrosion",
                unit="V",
                answer=second,
                sensible=(0, 5),
                traps=(
                    Trap(_BIAS * (coil + large) / _FEED, "Divide by the sum of all resistances."),
                    Trap(bias(large), "The coil is still there. Corrosion comes on top."),
                ),
            ),
            Part(
                label="How many of the three it calls a fault",
                unit="1",
                answer=outside,
                sensible=(0, 3),
                exact=True,
                traps=(
                    Trap(
                        outside + 1,
                        "Compare each of them with the window again. The ends still count as in"
                        " order.",
                    ),
                    Trap(
                        3 if outside != 2 else 0,
                        "The window has room: not every change is a fault for the unit.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "Two resistances in a row share the 5 V. Which share lies over the coil and the"
                " corrosion?"
            ),
            f"volts = {_BIAS:.2f} x R / ({_FEED:.1f} + R), with R = coil + corrosion in kohm.",
        ),
        working=(
            f"Sound: {_BIAS:.2f} x {coil:.2f} / ({_FEED:.1f} + {coil:.2f}) = {sound:.3f} V",
            f"A little: R = {coil + small:.2f} kohm, {first:.3f} V",
            f"Much: R = {coil + large:.2f} kohm, {second:.3f} V",
            f"Outside {_LOW:.2f} to {_HIGH:.2f} V: {outside}",
        ),
    )
