"""The brake circuit worked in the bay: valves driven by the tester, pedal pressed and held,
accumulator charged.
"""

from functools import lru_cache
from math import pi

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.physics import circuit as h
from tractionlab.units import CM3
from tractionlab.wheels import WHEELS
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_car import bench_of, layout_of
from tractionlab.workshop.wiring.electric_state import electrics_of

TARGET = {"A": 25.0, "B": 40.0}  # bar that a build-up is timed to
BUILD = {"A": 0.3, "B": 0.8}  # s of building up until the pressure is read
_LONGEST = {"A": 0.4, "B": 1.5}  # s of building up while the time to the target is taken
_ROUNDS = 5  # of letting out and building up again
PEDAL_RATIO, PISTON_MM = 4.0, 22.2  #: course values, invented
_STOP_BAR = 30.0  #: of an ordinary stop; chosen for this course
_DRAWN_BACK_BAR = 0.5  #: that the seal of a caliper takes up; invented
_FLUID = ("accumulator.", "closed_passages.", "hose_", "pads_")
_NEVER = 60.0  # s; as long as anybody waits
_LONGEST_FILL, _SLICE = 200.0, 5.0  # s of charging
_STILL_BAR = 0.01  # change in a slice below which the pressure stays where it is


def in_control(vehicle, values, wheel):
    """What building up, holding and letting out do at one driven wheel: a dict of pressures [bar]
    "built", "lost" in 2 s of holding, "let_out" and "line_lost" in the shut-in line, time "rise" to
    the target [s], fluid pushed into the "reservoir" [cm3].
    """
    return _control(vehicle, *_key(vehicle, values), wheel)


def under_pedal(vehicle, values):
    """Pressing 60 bar and letting go: for each driven wheel the time "late_fl" to 45 bar [s] and
    the pressure "left_fl" after it [bar].
    """
    return _pedal(vehicle, *_key(vehicle, values))


def pedal_sinks(vehicle, values):
    """Travel of a pedal [mm] that is held with 50 bar for 30 s."""
    return _sinks(vehicle, *_key(vehicle, values))


def air_travel(air_cm3, bar):
    """(volume [cm3] that free air gives way under a pressure, pedal travel for it [mm]): V p / (p +
    1 bar), Boyle and Mariotte.
    """
    volume = air_cm3 * bar / (bar + 1.01325)
    return volume, 1e3 * volume / (0.25 * pi * PISTON_MM**2) * PEDAL_RATIO


def charging(vehicle, values):
    """Charging the accumulator of layout A from empty, and its rest: pressures "jump", "cut_out",
    "loss" [bar], time "charge" from 145 to 185 bar [s], None where it never gets there.
    """
    return _filling(vehicle, *_key(vehicle, values))


def quick_pressure(vehicle, values, wheel, bar):
    """Pressure at a wheel [bar] 0.4 s after the foot has pushed as hard as `bar` stands for."""
    return _quick(vehicle, *_key(vehicle, values), bar)[wheel]


def left_after_pedal(vehicle, values):
    """Highest pressure [bar] at a driven wheel 2 s after the pedal was let go."""
    pressed = under_pedal(vehicle, values)
    return max(pressed[f"left_{wheel}"] for wheel in DRIVEN[vehicle])


def brake_held(vehicle, values, wheel):
    """Torque [N m] with which a driven brake goes on holding after a stop: (mean of the minute
    after it, at the end of that minute). The seal of a sound caliper draws its piston back.
    """
    gain = catalogue.shipped().vehicles()[vehicle]["driven_brake_Nm_per_bar"]
    gain *= values[f"pads_{wheel}.friction_share"]
    mean, end = _minute(vehicle, *_key(vehicle, values))[wheel]
    return gain * mean, gain * end


def _key(vehicle, values):
    """(part values with those changes alone that matter to the fluid, Electrics): what a circuit in
    the bay depends on.
    """

    def matters(name):
        return name.rpartition(".")[0].endswith("_body") or name.startswith(_FLUID)

    return values.only(matters), electrics_of(vehicle, values)


def _commands(bench, key, wheel, step):
    """Command `step` (increase, hold, line_hold, reduce) for one driven wheel."""
    name = wheel.upper()
    if key == "A":
        other = "RR" if name == "RL" else "RL"
        positions = {
            "increase": "increase",
            "line_hold": "increase",
            "hold": "hold",
            "reduce": "reduce",
        }
        bench.mode(
            "tc_increase" if step == "line_hold" else f"tc_{step}",
            **{f"wheel_valve_{name}": positions[step], f"wheel_valve_{other}": "hold"},
        )
        if step == "line_hold":
            bench.set(feed_valve=0.0)
        return
    circuit, partner = ("1", "RR") if name == "FL" else ("2", "RL")
    bench.mode(
        "normal",
        **{
            f"isolating_valve_{circuit}": "closed",
            f"priming_valve_{circuit}": "open" if step == "increase" else "closed",
            f"inlet_{name}": "closed" if step in ("hold", "reduce") else "open",
            f"outlet_{name}": "open" if step == "reduce" else "closed",
            f"inlet_{partner}": "closed",
            "return_pump": "run" if step in ("increase", "reduce") else "stop",
        },
    )


@lru_cache(maxsize=1024)
def _control(vehicle, values, electrics, wheel):
    key = layout_of(vehicle)
    bench = bench_of(vehicle, values, electrics)
    start = bench.state[h.RESERVOIR]
    _commands(bench, key, wheel, "increase")
    bench.run(BUILD[key])
    built = bench.wheel(wheel.upper())[-1]
    pushed = (bench.state[h.RESERVOIR] - start) / CM3
    rising, time = _longer(vehicle, values, electrics, wheel)
    rise = time[np.argmax(rising >= TARGET[key])] if rising.max() >= TARGET[key] else _NEVER
    _commands(bench, key, wheel, "hold")
    bench.run(2.0)
    lost = max(0.0, built - bench.wheel(wheel.upper())[-1])
    for _ in range(_ROUNDS):
        _commands(bench, key, wheel, "increase")
        bench.run(0.15 if key == "A" else 0.4)
        _commands(bench, key, wheel, "reduce")
        bench.run(0.5)
    return {
        "rise": float(rise),
        "built": float(built),
        "lost": float(lost),
        "let_out": float(bench.wheel(wheel.upper())[-1]),
        "reservoir": float(pushed),
        "line_lost": _line_lost(vehicle, values, electrics, wheel),
    }


def _longer(vehicle, values, electrics, wheel):
    """(pressure [bar], time [s]) of a longer building up."""
    key = layout_of(vehicle)
    bench = bench_of(vehicle, values, electrics)
    _commands(bench, key, wheel, "increase")
    bench.run(_LONGEST[key])
    return bench.wheel(wheel.upper()), bench.time


def _line_lost(vehicle, values, electrics, wheel):
    key = layout_of(vehicle)
    bench = bench_of(vehicle, values, electrics)
    _commands(bench, key, wheel, "increase")
    bench.run(BUILD[key])
    _commands(bench, key, wheel, "line_hold")
    bench.run(5.5)
    pressure = bench.wheel(wheel.upper())
    settled = pressure[-500]
    return float(max(0.0, settled - pressure[-1]))


@lru_cache(maxsize=1024)
def _pedal(vehicle, values, electrics):
    found = {}
    bench = bench_of(vehicle, values, electrics, one_way_hoses=True)
    bench.mode("normal")
    bench.pedal(60.0)
    bench.run(3.0)
    pressed = len(bench.time)
    bench.pedal(0.0)
    bench.run(2.0)
    for wheel in DRIVEN[vehicle]:
        pressure = bench.wheel(wheel.upper())
        found[f"late_{wheel}"] = (
            float(bench.time[np.argmax(pressure[:pressed] >= 45.0)])
            if pressure[:pressed].max() >= 45.0
            else _NEVER
        )
        found[f"left_{wheel}"] = float(pressure[-1])
    return found


@lru_cache(maxsize=1024)
def _minute(vehicle, values, electrics):
    """For each driven wheel the pressure that is left after a stop [bar], mean of the next minute
    and at its end, less what the seal takes up.
    """
    bench = bench_of(vehicle, values, electrics, one_way_hoses=True)
    bench.mode("normal")
    bench.pedal(_STOP_BAR)
    bench.run(3.0)
    pressed = len(bench.time)
    bench.pedal(0.0)
    bench.run(60.0)
    found = {}
    for wheel in DRIVEN[vehicle]:
        left = np.maximum(bench.wheel(wheel.upper())[pressed:] - _DRAWN_BACK_BAR, 0.0)
        found[wheel] = float(left.mean()), float(left[-1])
    return found


@lru_cache(maxsize=1024)
def _sinks(vehicle, values, electrics):
    bench = bench_of(vehicle, values, electrics)
    bench.mode("normal")
    bench.pedal(50.0)
    bench.run(2.0)
    before = bench.state[h.STROKE : h.STROKE + 2].copy()
    bench.run(30.0)
    volume = float(np.max(bench.state[h.STROKE : h.STROKE + 2] - before))
    return max(0.0, volume / (0.25 * pi * (PISTON_MM * 1e-3) ** 2) * PEDAL_RATIO * 1e3)


@lru_cache(maxsize=1024)
def _filling(vehicle, values, electrics):
    bench = bench_of(vehicle, values, electrics, full=False)
    bench.run(0.5)
    jump = float(bench.pressure(h.ACCUMULATOR)[-1])
    _fill(bench)
    pressure, time = bench.pressure(h.ACCUMULATOR), bench.time
    reached = pressure.max() >= 184.0
    charge = (
        float(time[np.argmax(pressure >= 184.0)] - time[np.argmax(pressure >= 145.0)])
        if reached
        else None
    )
    quiet = bench_of(vehicle, values, electrics)
    quiet.ignition(False)
    quiet.run(20.0)
    rest = quiet.pressure(h.ACCUMULATOR)
    return {
        "jump": jump,
        "cut_out": float(pressure.max()),
        "charge": charge,
        "loss": float(max(0.0, rest[0] - rest[-1])),
    }


def _fill(bench):
    """Let the charge pump run for at most _LONGEST_FILL seconds, until its switch stops it or the
    pressure no longer moves.
    """
    for _ in range(round(_LONGEST_FILL / _SLICE)):
        before = bench.pressure(h.ACCUMULATOR)[-1]
        bench.run(_SLICE)
        if (
            bench.command[h.CHARGE_ON] == 0.0
            or abs(bench.pressure(h.ACCUMULATOR)[-1] - before) < _STILL_BAR
        ):
            return


@lru_cache(maxsize=1024)
def _quick(vehicle, values, electrics, bar):
    bench = bench_of(vehicle, values, electrics, one_way_hoses=True)
    bench.mode("normal")
    bench.pedal(bar)
    bench.run(0.4)
    return {wheel.lower(): float(bench.wheel(wheel)[-1]) for wheel in WHEELS}
