"""How fast the kernels are, as ratios: against scipy's solve_ivp, against C, two cores against one;
and how long a start takes.

    python tests/benchmarks/kernel.py [--quick]

Nothing is asserted. Each pair is timed in turns, several times; printed is the middle of the
ratios. C needs gcc; without it that row is left out. Ratios are of processor time, except for the
batches: they need two idle cores to show what they can."""

import argparse
import ctypes
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numba
import numpy as np
from scipy.integrate import solve_ivp

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(ROOT), str(HERE.parent)]

from random_scenarios import random_scenario

from tractionlab import Scenario, simulate
from tractionlab.control import settings as s
from tractionlab.control.unit import cycle
from tractionlab.control.valve_drive import drive_valves
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.circuit_parts import aim_valves
from tractionlab.run import assembly, circuit_assembly, kernels
from tractionlab.run.make_run import run_of
from tractionlab.run.simulation import simulate_many

#: Size of a state entry that counts as 1 when errors of different units are compared: m/s, rad/s,
#: slip, K, J.
SIZE = np.ones(c.STATES)
SIZE[c.SLIP : c.SLIP + 8] = 0.01
SIZE[c.ENGINE] = 10.0
SIZE[c.WORK_IN :] = 1e3


def in_turns(first, second, rounds):
    """Middle of the ratios processor time of `first` over that of `second`, timed in turns; both
    run once before.
    """
    first(), second()
    ratios = []
    for _ in range(rounds):
        begin = time.process_time()
        first()
        middle = time.process_time()
        second()
        ratios.append((middle - begin) / (time.process_time() - middle))
    return float(np.median(ratios))


# --- The time loop against solve_ivp ---


def end_by_kernel(scenario, steps):
    """State at the end of a scenario with `steps` Runge-Kutta steps a cycle, compiled."""
    run, road, rows = run_of(scenario)
    run.steps = steps
    kernels.compiled().go(run, road, rows, 0, run.cycles + 1)
    return run.y


def end_by_solver(scenario, method, rtol):
    """The same with solve_ivp, restarted at each cycle, on the same text uncompiled. Wheels turn
    without teeth here, so the control of the scenario must be off.
    """
    loop, (run, road, rows) = kernels.plain(), run_of(scenario)
    period, car = run.settings.cycle, run.car

    def rates(t, state):
        loop.find_ground(t, state, 0.0, run.held, car.body, road.patches)
        loop.wheel_pressures(t / period - k, run.pipes, run.held[c.PRESSURE : c.PRESSURE + 4])
        out = np.empty(c.STATES)
        loop.derivative(
            state, run.held, car, run.work.soft, run.shares, road.surfaces, out, run.work.found
        )
        return out

    for k in range(run.cycles + 1):
        loop.begin_cycle(k, run, road)
        cycle(
            run.sensors, run.memory, run.outputs, run.shares, car.engine, car.brakes, run.settings
        )
        loop.obey(k, run)
        loop.note(k * period, run, road.surfaces, rows.record[k])
        if k < run.cycles:
            loop.run_cycle(period, run.pipes)
            y = (
                solve_ivp(
                    rates,
                    (k * period, (k + 1) * period),
                    run.y,
                    method=method,
                    rtol=rtol,
                    atol=rtol * SIZE,
                )
                .y[:, -1]
                .copy()
            )
            run.y = y
    return run.y


def compare_solver(quick):
    """The quickest solver setting that is as accurate as the kernel, and how much slower it is.

    The car alone, whose state a solver can take, with one brake pressed by hand.
    """
    scenario = Scenario(
        left="packed_snow",
        duration_s=0.4 if quick else 1.5,
        pedal_from_s=0.0,
        control="off",
        hand_brake_bar=(0, 0, 20, 0),
    )
    exact = end_by_kernel(scenario, 200)

    def error(state):
        return float(np.max(np.abs(state - exact) / (np.abs(exact) + SIZE)))

    own = error(end_by_kernel(scenario, 10))
    best = None
    for method in ("RK23", "RK45", "DOP853", "LSODA"):
        for rtol in (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7):
            begin = time.process_time()
            other = error(end_by_solver(scenario, method, rtol))
            cost = time.process_time() - begin
            if best is not None and cost > 1.5 * best[0]:
                break
            if other <= own:
                if best is None or cost < best[0]:
                    best = cost, method, rtol, other
                break
    _, method, rtol, other = best

    def ours():
        for _ in range(50):
            end_by_kernel(scenario, 10)

    ratio = 50.0 * in_turns(lambda: end_by_solver(scenario, method, rtol), ours, 3 if quick else 5)
    return (
        ratio,
        (
            f"{method} rtol {rtol:g}: error {other:.1e}; ours {own:.1e} (end state against steps of"
            " 0.05 ms)"
        ),
    )


# --- The brake circuit against solve_ivp ---


def circuit_case():
    """(plant of layout A whose wheel valve RL builds up in pulses, function that runs it for one
    cycle).
    """
    scenario = Scenario()
    plant = circuit_assembly.plant_of(scenario, 0.01)
    outputs = np.full(s.OUTPUTS, 2.0)
    outputs[s.ASK_VALVES + 2] = 0.5
    drive_valves(
        outputs,
        False,
        circuit_assembly.hydraulics_of(scenario),
        plant.first,
        plant.then,
        plant.pulse,
    )
    return plant, kernels.compiled("physics.circuit_cycle").run_cycle


def compare_circuit(quick):
    """How much slower solve_ivp (Radau, as tight as the midpoint steps are wrong) advances the
    circuit, with the compiled rates.
    """
    cycles, rate_of = (5 if quick else 20), kernels.compiled("physics.brake_circuit").circuit_rates
    scale = np.where(np.arange(h.STATES) < h.RETURN_SPEED, 1e-6, 1.0)
    rates, pressures, flows = np.zeros(h.STATES), np.zeros(h.PLACES), np.zeros(h.FLOWS)

    def solver(rtol):
        plant, _ = circuit_case()
        state, command = plant.state.copy(), np.zeros(h.COMMANDS)

        def slope(_, scaled):
            rate_of(scaled * scale, command, plant.parts, rates, pressures, flows)
            return rates / scale

        for _ in range(cycles):
            for current in (plant.first, plant.then):
                command[: h.AIM] = np.where(
                    np.arange(h.AIM) < h.VALVES, plant.then[: h.AIM], current[: h.AIM]
                )
                command[h.INLET + 2] = current[h.INLET + 2]
                aim_valves(command, plant.parts.valves)
                state = (
                    solve_ivp(
                        slope, (0.0, 0.005), state / scale, method="Radau", rtol=rtol, atol=rtol
                    ).y[:, -1]
                    * scale
                )
        slope(0.0, state / scale)
        return pressures[h.WHEEL + 2]

    def ours(repeats=1):
        for _ in range(repeats):
            plant, run_cycle = circuit_case()
            for _ in range(cycles):
                run_cycle(0.01, plant)
        return plant.pressures[h.WHEEL + 2]

    exact = solver(1e-9)
    own = abs(ours() / exact - 1.0)
    rtol = next(
        rtol
        for rtol in (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7)
        if abs(solver(rtol) / exact - 1.0) <= max(own, 1e-6)
    )
    ratio = 20.0 * in_turns(lambda: solver(rtol), lambda: ours(20), 3)
    return ratio, f"Radau rtol {rtol:g}; ours {own:.1e} off in the wheel's pressure"


# --- The wheel with its tyre against C ---


def turn_wheel(steps, dt, surface, values, state):
    """One driven wheel with its tyre, stepped on by Euler's method, the torque on and off; twin of
    wheel.c.
    """
    radius, relaxation, damping_time, side_ratio, sensitivity = (
        values[0],
        values[1],
        values[2],
        values[3],
        values[4],
    )
    reference_load, inertia, load, torque, gx, gy = (
        values[5],
        values[6],
        values[7],
        values[8],
        values[9],
        values[10],
    )
    wheel, slip, side, work = state[0], state[1], state[2], 0.0
    for n in range(steps):
        rim = wheel * radius
        carry = max(abs(rim), abs(gx))
        length = relaxation_at(slip, side, carry, relaxation, surface, side_ratio)
        slip_rate = (rim - gx - carry * slip) / length
        side_rate = (-gy - carry * side) / length
        lead = damping_time / (1.0 + 0.4 * carry)
        fx, fy = combined_force(
            slip + lead * slip_rate,
            side + lead * side_rate,
            load,
            carry,
            surface,
            side_ratio,
            sensitivity,
            reference_load,
        )
        wanted = torque if n % 400 < 200 else 0.0
        wheel += dt * (wanted - fx * radius) / inertia
        slip += dt * slip_rate
        side += dt * side_rate
        work += dt * (fx * (rim - gx) - fy * gy)
    state[0] = wheel
    state[1] = slip
    state[2] = side
    state[3] = work


def compiled_wheel():
    """`turn_wheel` compiled, with the kernels' own compiled tyre."""
    kernels.compiled()
    tyre = sys.modules["tractionlab._compiled.physics.tyre"]
    turn_wheel.__globals__.update(
        relaxation_at=tyre.relaxation_at, combined_force=tyre.combined_force
    )
    return numba.njit(error_model="numpy")(turn_wheel)


def wheel_in_c(folder, *options):
    """`turn_wheel` of wheel.c, called with arrays."""
    library = Path(folder) / f"wheel{len(options)}.so"
    subprocess.run(
        [
            "gcc",
            "-O3",
            "-march=native",
            *options,
            "-shared",
            "-fPIC",
            "-o",
            library,
            HERE / "wheel.c",
            "-lm",
        ],
        check=True,
    )
    function = ctypes.CDLL(str(library)).turn_wheel
    array = np.ctypeslib.ndpointer(dtype=float, flags="C_CONTIGUOUS")
    function.argtypes = [ctypes.c_long, ctypes.c_double, array, array, array]
    function.restype = None
    return function


def wheel_inputs(curve):
    """(surface row, values, state at the start) of a wheel of the first demo car at 5 m/s, sliding
    a little sideways.
    """
    scenario = Scenario(left=curve)
    car = assembly.car_of(scenario)
    t = car.tyres
    values = np.array(
        [
            t.radius,
            t.relaxation,
            t.damping_time,
            t.side_ratio,
            t.sensitivity,
            t.reference_load,
            car.driveline.wheel_inertia,
            3500.0,
            300.0,
            5.0,
            0.1,
        ]
    )
    return (
        assembly.road_of(scenario)[2][-1].copy(),
        values,
        np.array([5.0 / t.radius, 0.0, 0.0, 0.0]),
    )


def compare_c(quick):
    """Rows (ratio, remark) for either kind of curve: speed of the compiled text over speed of C."""
    steps, ours = (200_000 if quick else 1_000_000), compiled_wheel()
    with tempfile.TemporaryDirectory() as folder:
        theirs, exact = wheel_in_c(folder), wheel_in_c(folder, "-ffp-contract=off")
        for curve in ("packed_snow:burckhardt", "packed_snow:magic_formula"):
            surface, values, start = wheel_inputs(curve)

            def end(function):
                state = start.copy()
                function(steps, 1e-3, surface, values, state)
                return state

            same = (
                "to the bit"
                if end(ours).tobytes() == end(exact).tobytes()
                else f"to {np.abs(end(ours) - end(exact)).max():.1e}"
            )
            fused = np.abs(end(ours) / end(theirs) - 1.0).max()
            ratio = in_turns(lambda: end(theirs), lambda: end(ours), 5 if quick else 15)
            yield ratio, f"{curve}: same {same} without fused multiply-add, to {fused:.1e} with it"


# --- Batches, starts ---


def compare_batch(quick):
    """Wall time of a batch on one core over that on two; the shortest of several each, since other
    load only adds to it.
    """
    scenarios = [random_scenario(seed) for seed in range(20 if quick else 100)]
    shortest, got = {1: float("inf"), 2: float("inf")}, 0.0
    simulate_many(scenarios)
    for _ in range(5 if quick else 9):
        for workers in shortest:
            begin, work = time.perf_counter(), time.process_time()
            simulate_many(scenarios, workers=workers)
            wall = time.perf_counter() - begin
            shortest[workers] = min(shortest[workers], wall)
            got = max(got, (time.process_time() - work) / wall)
    return (
        shortest[1] / shortest[2],
        f"{len(scenarios)} runs of 6 s; of {os.cpu_count()} cores it got at most {got:.2f}",
    )


def start_times():
    """Rows (name, seconds of processor time, remark) of fresh processes."""
    program = (
        "import time; a = time.process_time(); import tractionlab; b = time.process_time();from"
        " tractionlab import Scenario, simulate; simulate(Scenario(duration_s=0.05)); c ="
        " time.process_time();print(b - a, c - b)"
    )

    def fresh(cache):
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "TRACTIONLAB_CACHE": cache}
        out = subprocess.run(
            [sys.executable, "-c", program],
            env=environment,
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        return [float(value) for value in out.split()]

    with tempfile.TemporaryDirectory() as cache:
        cold = fresh(cache)[1]
        warm = np.median([fresh(cache) for _ in range(5)], axis=0)
    return [
        ("import tractionlab [s]", warm[0], "< 0.15"),
        ("first run, warm cache [s]", warm[1], "-"),
        ("first run, cold cache [s]", cold, "-"),
    ]


def one_run(**fields):
    """Milliseconds of processor time of a 10 s run."""
    scenario, times = Scenario(**fields), []
    for _ in range(9):
        begin = time.process_time()
        simulate(scenario)
        times.append(time.process_time() - begin)
    return 1e3 * float(np.median(times[1:]))


def line(name, value, bar, remark=""):
    print(f"{name:<44}{value:>9.3g}   {bar:<9}{remark}", flush=True)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="shorter runs, fewer repetitions")
    quick = parser.parse_args().quick
    print(f"{'what':<44}{'value':>9}   {'bar':<9}remark")
    line("10 s run [ms]", one_run(), "-")
    ratio, remark = compare_solver(quick)
    line("solve_ivp / time loop", ratio, ">= 50", remark)
    ratio, remark = compare_circuit(quick)
    line("solve_ivp / brake circuit", ratio, "-", remark)
    if shutil.which("gcc"):
        for ratio, remark in compare_c(quick):
            line("speed of tyre and wheel / speed in C", ratio, ">= 0.9", remark)
    else:
        print("no gcc: comparison with C left out")
    ratio, remark = compare_batch(quick)
    line("batch on one core / on two", ratio, ">= 1.85", remark)
    for name, value, bar in start_times():
        line(name, value, bar)


if __name__ == "__main__":
    main()
