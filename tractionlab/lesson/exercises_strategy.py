"""Exercises of lesson 8: heat in the braked disc, and a limit for wheel speed in a straight line
and in a bend.
"""

from math import ceil

from tractionlab.lesson.exercises import Part, Task, Trap, exercise
from tractionlab.textbook.formulas import (
    applications_to_limit,
    bend_speeds,
    brake_power,
    disc_warming,
    slip_threshold,
)


@exercise(
    "8.1",
    8,
    "How many launches until the brake must rest",
    torque=(600, 700, 800),
    speed=(25, 30, 35),
    radius=(0.300, 0.320),
    duration=(8, 10),
    disc=(5, 6),
    cooling=(15, 20),
)
def launches_to_limit(torque, speed, radius, duration, disc, cooling):
    start, limit = 80, 480
    power = brake_power(torque, speed / 3.6, radius)
    rise = disc_warming(power, duration, disc)
    alone, cooled = (
        applications_to_limit(start, limit, rise),
        applications_to_limit(start, limit, rise, cooling),
    )
    until, until_cooled = (limit - start) / rise, (limit - start - cooling) / (rise - cooling)
    return Task(
        text=(
            "On an icy hill the control brakes the spinning wheel at every launch. How much warmer"
            " does the disc get each time if all heat goes into it? At which launch does it reach"
            " the limit without cooling, and at which if it cools a little after each?"
        ),
        data=(
            ("Brake torque", f"{torque} N m"),
            ("Speed of the wheel", f"{speed} km/h"),
            ("Tyre radius", f"{radius:.3f} m"),
            ("Braking time in each launch", f"{duration} s"),
            ("Mass of the disc", f"{disc} kg"),
            ("Heat for 1 kg and 1 K", "460 J"),
            ("Disc at the start", f"{start} °C"),
            ("Limit", f"{limit} °C"),
            ("Cooling after each launch", f"{cooling} K"),
        ),
        parts=(
            Part(
                label="Warming in each launch",
                unit="K",
                answer=rise,
                sensible=(0.1, 2000),
                traps=(
                    Trap(rise * 3.6, "Bring the speed to m/s first: divide km/h by 3.6."),
                    Trap(
                        rise * radius,
                        "Power is torque times turning speed. Turning speed = speed / radius.",
                    ),
                    Trap(
                        rise / duration,
                        "That is the warming in one second. Multiply by the braking time.",
                    ),
                    Trap(rise * disc, "Divide by the mass of the disc as well."),
                ),
            ),
            Part(
                label="Launch that reaches the limit, no cooling",
                unit="times",
                answer=alone,
                sensible=(1, 1000),
                exact=True,
                traps=(
                    Trap(alone - 1, "After that launch the disc is still just below the limit."),
                    Trap(
                        ceil(limit / rise),
                        "The disc is not cold at the start. Take its temperature off the limit.",
                    ),
                ),
            ),
            Part(
                label="Launch that reaches the limit, with cooling",
                unit="times",
                answer=cooled,
                sensible=(1, 1000),
                exact=True,
                traps=(
                    Trap(
                        alone, "Now the disc cools a little between launches, so it lasts longer."
                    ),
                    Trap(cooled - 1, "At that launch the peak is still just below the limit."),
                ),
            ),
        ),
        hints=(
            (
                "Power = torque x turning speed; heat = power x time. The disc takes 460 J for each"
                " kilogram and kelvin."
            ),
            (
                "Warming = torque x (v / r) x time / (mass x 460). The peak of launch n is: start +"
                " n x warming - (n - 1) x cooling."
            ),
        ),
        working=(
            (
                f"Turning speed: {speed} / 3.6 / {radius:.3f} = {speed / 3.6 / radius:.2f} rad/s;"
                f" power {power / 1000:.2f} kW"
            ),
            (
                f"Heat: {power / 1000:.2f} kW x {duration} s = {power * duration / 1000:.1f} kJ; "
                f"warming {power * duration:.0f} / ({disc} x 460) = {rise:.1f} K"
            ),
            f"No cooling: {limit - start} / {rise:.1f} = {until:.2f}, so launch {alone} reaches it",
            (
                f"With cooling: ({limit - start} - {cooling}) / ({rise:.1f} - {cooling}) ="
                f" {until_cooled:.2f}, so launch {cooled}"
            ),
        ),
        possible=all(0.05 < number % 1 < 0.95 for number in (until, until_cooled)),
    )


@exercise(
    "8.2",
    8,
    "Over the limit, or only in a bend?",
    car=(15, 20, 25, 30),
    surplus=(7, 9, 12),
    bend=(10, 12, 15),
    track=(1.45, 1.50, 1.55),
)
def threshold_and_bend(car, surplus, bend, track):
    wheel = car + surplus
    limit = 3.6 * slip_threshold(car / 3.6)
    inner, outer = bend_speeds(car, bend, track)
    return Task(
        text=(
            "The rule of the course's control unit: a wheel spins if it is faster than 1.05 times"
            " the reference speed plus 3 km/h. By how much is this wheel above that limit? Then the"
            " car rolls through a tight bend at the same speed and nothing slips. How much faster"
            " is the outer wheel than the inner one?"
        ),
        data=(
            ("Reference speed", f"{car} km/h"),
            ("Speed of the driven wheel", f"{wheel} km/h"),
            ("Radius of the bend", f"{bend} m"),
            ("Track", f"{track:.2f} m"),
        ),
        parts=(
            Part(
                label="Above the limit by",
                unit="km/h",
                answer=wheel - limit,
                sensible=(-50, 100),
                traps=(
                    Trap(
                        surplus,
                        "That is the surplus over the reference speed. The limit lies higher.",
                    ),
                    Trap(
                        surplus - 3,
                        "You left out the 5 %: the limit is 1.05 times the reference, plus 3.",
                    ),
                    Trap(wheel - 1.05 * car, "You left out the 3 km/h."),
                ),
            ),
            Part(
                label="Outer wheel faster than inner by",
                unit="km/h",
                answer=outer - inner,
                sensible=(0, 100),
                traps=(
                    Trap(
                        (outer - inner) / 2,
                        "That is one wheel against the middle of the car. Asked is wheel against"
                        " wheel.",
                    ),
                    Trap(2 * (outer - inner), "The wheels are one track apart, not two."),
                ),
            ),
        ),
        hints=(
            (
                "The limit first. In the bend both wheels turn about the same centre: the outer one"
                " has the longer way."
            ),
            "Limit = 1.05 x reference + 3. Difference in the bend = speed x track / radius.",
        ),
        working=(
            (
                f"Limit: 1.05 x {car} + 3 = {limit:.2f} km/h; {wheel} - {limit:.2f} ="
                f" {wheel - limit:.2f} km/h"
            ),
            (
                f"Bend: {car} x {track:.2f} / {bend} = {outer - inner:.2f} km/h (inner {inner:.2f},"
                f" outer {outer:.2f})"
            ),
        ),
        possible=wheel - limit > 1,
    )
