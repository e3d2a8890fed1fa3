"""Exercises of lesson 11: halving a circuit, and the order of tests that finds a fault soonest."""

from itertools import permutations
from math import log2

from tractionlab.lesson.exercises import Part, Task, Trap, exercise


def working_along(sections):
    """Tests on average when one of equally likely sections is found by going along: the last one
    needs no test of its own.
    """
    return (sum(range(1, sections)) + sections - 1) / sections


def expected_minutes(order):
    """Mean time [min] until found, for suspects (chance, minutes) tested in this order: a test is
    taken while nothing was found before.
    """
    left, total = 1.0, 0.0
    for chance, minutes in order:
        total += left * minutes
        left -= chance
    return total


@exercise(
    "11.1",
    11,
    "Split the circuit",
    joints=(7, 15, 31, 63),
    price=(2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 15, 16),
)
def split(joints, price):
    sections = joints + 1
    halving, along = log2(sections), working_along(sections)
    saved = price * (along - halving)
    return Task(
        text=(
            "One section of a lead is open. Every section is equally likely. You can measure at"
            " each joint. How many measurements do you need by halving what is left? How many on"
            " average if you work along from one end? How many minutes does halving save on"
            " average?"
        ),
        data=(
            ("Joints between the two ends", f"{joints}"),
            ("Sections", f"{sections}"),
            ("Time for one measurement", f"{price} min"),
        ),
        parts=(
            Part(
                label="Measurements by halving",
                unit="times",
                answer=halving,
                sensible=(1, 64),
                exact=True,
                traps=(
                    Trap(
                        sections / 2,
                        "Halving once is not enough. Halve what is left again and again, until one"
                        " section is left.",
                    ),
                ),
            ),
            Part(
                label="Measurements working along, on average",
                unit="times",
                answer=along,
                sensible=(1, 64),
                traps=(
                    Trap(float(joints), "That is the worst case. Take the mean over all sections."),
                ),
            ),
            Part(
                label="Time saved",
                unit="min",
                answer=saved,
                sensible=(0, 1000),
                traps=(
                    Trap(
                        price * along,
                        "This is the time for working along. Take the time for halving away"
                        " from it.",
                    ),
                    Trap(
                        price * halving,
                        "This is the time for halving. How much longer does working along take?",
                    ),
                ),
            ),
        ),
        hints=(
            "How often can you halve the number of sections until one is left?",
            (
                "Working along: section 1 takes 1 measurement, section 2 takes 2, and so on; the"
                " last two take equally many. Add up and divide by the number of sections."
            ),
        ),
        working=(
            f"Halving: {sections} sections, {int(halving)} times in half leaves 1",
            f"Along: (1 + 2 + ... + {joints} + {joints}) / {sections} = {along:.2f}",
            f"Saved: {price} x ({along:.2f} - {halving:.0f}) = {saved:.1f} min",
        ),
    )


@exercise(
    "11.2",
    11,
    "Which test first?",
    chances=((50, 30, 20), (60, 25, 15), (40, 35, 25), (50, 35, 15), (45, 30, 25)),
    minutes=(
        (12, 3, 6),
        (20, 2, 5),
        (15, 4, 3),
        (10, 3, 8),
        (25, 6, 4),
        (15, 5, 10),
        (12, 2, 4),
        (18, 4, 5),
        (20, 5, 8),
        (25, 3, 6),
        (14, 3, 5),
        (16, 6, 3),
        (22, 4, 9),
        (30, 8, 5),
    ),
)
def which_first(chances, minutes):
    suspects = {name: (chance / 100, time) for name, chance, time in zip("ABC", chances, minutes)}
    times = {
        order: expected_minutes([suspects[name] for name in order]) for order in permutations("ABC")
    }
    best = min(times, key=times.get)
    straight, shortest = times["A", "B", "C"], times[best]
    worst = max(times.values())
    rates = "; ".join(
        f"{name}: {chance:.0f} / {time} = {chance / time:.1f} % a minute"
        for name, chance, time in zip("ABC", chances, minutes)
    )
    steps = []
    left = 100.0
    for name in best:
        steps.append(f"{left:.0f} % x {suspects[name][1]} min")
        left -= 100 * suspects[name][0]
    return Task(
        text=(
            "Three faults are possible, and each has a test of its own. You test one after the"
            " other until the fault is found. How long does it take on average in the order A, B,"
            " C? How long in the best order? The third test is taken too if it comes to that: it is"
            " the proof."
        ),
        data=tuple(
            (f"Fault {name}", f"chance {chance} %, test {time} min")
            for name, chance, time in zip("ABC", chances, minutes)
        ),
        parts=(
            Part(
                label="Time in the order A, B, C",
                unit="min",
                answer=straight,
                sensible=(0, 60),
                traps=(
                    Trap(
                        float(sum(minutes)),
                        "You do not always need all three. The second test is only needed if the"
                        " first found nothing.",
                    ),
                ),
            ),
            Part(
                label="Time in the best order",
                unit="min",
                answer=shortest,
                sensible=(0, 60),
                traps=(
                    Trap(straight, "Another order is faster: largest chance per minute first."),
                    Trap(
                        worst,
                        "This is the slowest order. Take the largest chance per minute first.",
                    ),
                ),
            ),
        ),
        hints=(
            (
                "The first test is always taken. The second only if the first found nothing, the"
                " third only if both found nothing."
            ),
            (
                "Divide each chance by its minutes. Begin with the largest. Time = minutes 1 +"
                " (rest of the chance) x minutes 2 + (what is then left) x minutes 3."
            ),
        ),
        working=(
            rates,
            f"Best order: {', '.join(best)}",
            f"Time: {' + '.join(steps)} = {shortest:.1f} min",
            f"A, B, C: {straight:.1f} min",
        ),
        possible=best != ("A", "B", "C"),
    )
