"""Made-up Views for testing the painters: plausible shapes, no physics."""

import time

import numpy as np

from tractionlab.view import CarScene, Chart, Figure, Line, Mark, View

CORNERS = ("front left", "front right", "rear left", "rear right")


def car_scene(pedal=60.0, frames=500, seconds=10.0, label="with control", steer=0.05, slope=0.08):
    """A car that speeds up along a road with ice on the left and dry asphalt on the right."""
    t = np.linspace(0.0, seconds, frames)
    pull = pedal / 100
    x = 0.9 * pull * t**2
    speed = 1.8 * pull * t
    spin = np.stack([speed, speed, speed + 14 * pull * np.exp(-0.4 * t), speed * 1.05], axis=1)
    limit = np.tile([350.0, 3200.0, 380.0, 3600.0], (frames, 1))
    used = np.stack([0 * t, 0 * t, np.minimum(1, t), 0.4 + 0.3 * np.sin(t)], axis=1) * min(
        1, pull + 0.2
    )
    return CarScene(
        time=t,
        x=x,
        y=0.3 * np.sin(0.4 * t) * pull,
        yaw=0.04 * np.cos(0.4 * t),
        steer=np.full(frames, steer),
        wheel_angle=np.cumsum(spin, axis=0) * (t[1] - t[0]) / 0.3,
        drive_force=limit * used,
        side_force=0.15 * limit * np.sin(t)[:, None],
        grip_limit=limit,
        pressure=np.stack([0 * t, 0 * t, 60 * pull * np.exp(-0.3 * t), 0 * t], axis=1),
        lamp=((t > 0.5) & (t < 6)).astype(int),
        wheelbase=2.6,
        track=1.5,
        to_front=1.2,
        tyre_radius=0.31,
        driven=(False, False, True, True),
        slope=slope,
        label=label,
        road=((-10.0, 400.0, 0.0, 4.0, "ice", 0.1), (-10.0, 400.0, -4.0, 0.0, "dry asphalt", 1.0)),
    )


def launch_view(values, ghost=True, charts=3, points=500):
    """Three time charts of four lines, one or two cars, four figures and a sentence that follows
    the pedal.
    """
    pedal = values.get("pedal", 60.0)
    t = np.linspace(0.0, 10.0, points)
    pull = pedal / 100
    speeds = [6.5 * pull * t + k * 9 * pull * np.exp(-0.4 * t) for k in range(4)]
    slips = [k * 22 * pull * np.exp(-0.4 * t) + 2 * np.sin(3 * t) for k in range(4)]
    forces = [k * 0.9 * pull * (1 - np.exp(-t)) + 0.1 * np.cos(5 * t) for k in range(4)]
    made = (
        ("Speeds", "rim speed [km/h]", speeds),
        ("Slip", "slip [%]", slips),
        ("Drive force", "force per tyre [kN]", forces),
    )
    return View(
        charts=tuple(
            Chart(
                title=title,
                x="time [s]",
                y=y,
                over_time=True,
                lines=tuple(Line(label=CORNERS[k], x=t, y=lines[k], style=k) for k in range(4)),
                marks=(Mark(label="control starts", x=0.5),) if title == "Slip" else (),
            )
            for title, y, lines in made[:charts]
        ),
        scenes=(car_scene(pedal),)
        + ((car_scene(pedal * 0.8, label="without control"),) if ghost else ()),
        figures=(
            Figure(label="Grip used", value=f"{50 + pedal / 3:.0f}", unit="%"),
            Figure(label="Time to 20 km/h", value=f"{200 / max(pedal, 1):.1f}", unit="s"),
            Figure(label="Wheel-spin energy", value=f"{pedal * 1.3:.0f}", unit="kJ"),
            Figure(label="Way after 10 s", value=f"{pedal * 0.9:.0f}", unit="m"),
        ),
        sentence=(
            f"With the pedal at {pedal:.0f} percent the car reaches 20 km/h in"
            f" {200 / max(pedal, 1):.1f} s; the rear left wheel on ice spins, and the brake on that"
            " wheel lets the rear right wheel push harder. Without control the car is far behind."
        ),
    )


def slow_launch_view(values):
    """The same after 22 ms of pretended computing."""
    until = time.perf_counter() + 0.022
    while time.perf_counter() < until:
        pass
    return launch_view(values)


def grip_view(values):
    """Two charts that are not over time, with a marked point; no car."""
    slip = np.linspace(0, 100, 200)
    load = values.get("load", 4.0)
    here = values.get("slip", 12.0)
    curve = lambda grip, s: load * grip * (1 - np.exp(-0.25 * s)) - 0.002 * grip * load * s
    angle = np.linspace(0, 2 * np.pi, 200)
    names = (("dry asphalt", 1.0), ("wet asphalt", 0.7), ("packed snow", 0.3), ("ice", 0.1))
    limit = curve(0.7, 15.0)
    return View(
        charts=(
            Chart(
                title="Grip",
                x="slip [%]",
                y="drive force [kN]",
                x_range=(0, 100),
                lines=tuple(
                    Line(label=name, x=slip, y=curve(grip, slip), style=k)
                    for k, (name, grip) in enumerate(names)
                ),
                marks=(
                    Mark(label="you are here", x=here, y=float(curve(0.7, here))),
                    Mark(label="best slip", x=15.0),
                ),
            ),
            Chart(
                title="Drive and side force",
                x="side force [kN]",
                y="drive force [kN]",
                x_range=(-5, 5),
                y_range=(-5, 5),
                lines=(
                    Line(label="limit", x=limit * np.cos(angle), y=limit * np.sin(angle), style=1),
                ),
                marks=(Mark(label="now", x=1.0, y=2.0),),
            ),
        ),
        figures=(Figure(label="Drive force", value=f"{curve(0.7, here):.2f}", unit="kN"),),
        sentence=f"At {here:.0f} percent slip the tyre pulls with {curve(0.7, here):.2f} kN.",
    )
