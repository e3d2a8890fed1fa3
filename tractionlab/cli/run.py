"""`tractionlab run`: a scenario file in, figures, CSV file and picture out; with a sweep, a curve
or a map.
"""

import dataclasses
import itertools
import json
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.ranges import CONTROL_RANGES, VEHICLE_RANGES
from tractionlab.errors import UserError
from tractionlab.run.merit import Merit
from tractionlab.run.scenario_fields import CONTROLS, RANGES
from tractionlab.run.scenario_file import read_scenario
from tractionlab.run.surfaces import surface_words

WORDS = {
    "grip_share": ("share of the available grip used", "%", 100.0),
    "final_speed_kmh": ("speed at the end", "km/h", 1.0),
    "distance_m": ("distance", "m", 1.0),
    "time_to_10_kmh_s": ("time to 10 km/h", "s", 1.0),
    "time_to_20_kmh_s": ("time to 20 km/h", "s", 1.0),
    "time_to_30_kmh_s": ("time to 30 km/h", "s", 1.0),
    "distance_to_20_kmh_m": ("distance to 20 km/h", "m", 1.0),
    "peak_slip": ("largest slip", "%", 100.0),
    "mean_slip": ("mean slip", "%", 100.0),
    "spin_energy_kJ": ("energy lost in the tyres", "kJ", 1.0),
    "brake_heat_kJ": ("heat in the brakes", "kJ", 1.0),
    "hottest_disc_degC": ("hottest disc", "degC", 1.0),
    "yaw_deviation_deg": ("largest yaw angle", "deg", 1.0),
    "side_deviation_m": ("largest side deviation", "m", 1.0),
}
#: Ending of a key -> unit on an axis.
_UNITS = {
    "percent": "%",
    "s": "s",
    "m": "m",
    "bar": "bar",
    "kmh": "km/h",
    "deg": "deg",
    "kg": "kg",
    "Nm": "N m",
    "kJ": "kJ",
    "degC": "°C",
}
#: The figure a sweep draws.
SWEPT = "distance_m"


def main(args):
    """Run the scenario of `args.scenario`; returns the exit code."""
    source = Path(args.scenario)
    scenario = read_scenario(source)
    if args.sweep and args.explain:
        raise UserError("--explain tells of one run: leave --sweep out")
    if args.sweep:
        return _sweep(scenario, source, args)
    from tractionlab.cli import explained
    from tractionlab.paint.printed import save
    from tractionlab.panels.launch import run_view
    from tractionlab.run.simulation import simulate

    folder = _folder(Path(args.out) if args.out else source.parent)
    trace = simulate(scenario)
    figures = trace.merit()
    table, picture = folder / f"{source.stem}.csv", folder / f"{source.stem}.png"
    trace.to_csv(table)
    told = folder / f"{source.stem}_decisions.csv"
    if args.explain:
        explained.write(trace, told)
    view = run_view(trace)
    save(
        replace(view, sentence=f"{in_words(scenario)} {view.sentence}"),
        picture,
        title=scenario.title or source.stem,
    )
    if args.json:
        print(
            json.dumps(
                {
                    "scenario": str(source),
                    "figures": figures.as_dict(),
                    "sentence": view.sentence,
                    "ended": trace.ended,
                    "csv": str(table),
                    "picture": str(picture),
                    **({"decisions": str(told)} if args.explain else {}),
                },
                indent=2,
            )
        )
        return 0
    print(scenario.title or source.stem)
    print(view.sentence)
    print()
    print(figure_table(figures))
    print()
    if args.explain:
        print(explained.table(trace))
        print()
    print(f"all channels: {table}")
    print(f"picture:      {picture}")
    if args.explain:
        print(f"decisions:    {told}")
    return 0


def _folder(path):
    """The folder for what is written, made if need be and tried before anything is computed;
    UserError if it cannot serve.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=path):
            return path
    except FileExistsError:
        raise UserError(
            f"--out {path}: that is a file, not a folder. Choose another name."
        ) from None
    except OSError as problem:
        raise UserError(
            f"--out {path}: the course may not write there ({problem.strerror}). Choose a folder of"
            " your own."
        ) from None


def in_words(scenario):
    """Car and settings of a scenario as a sentence."""
    road, car = (
        [surface_words(name).lower() for name in (scenario.left, scenario.right or scenario.left)],
        catalogue.in_use().vehicles()[scenario.vehicle].name,
    )
    sides = road[0] if road[0] == road[1] else f"left {road[0]}, right {road[1]}"
    tyre = catalogue.in_use().tyres()[scenario.tyre].name
    return (
        f"{car}; {tyre.lower()}; {sides}; slope {scenario.slope_percent:g} %; throttle"
        f" {scenario.pedal_percent:g} %; {CONTROLS[scenario.control].lower()}."
    )


def key_in_words(key):
    """A setting's key as an axis title: pedal_percent -> pedal [%]."""
    name, _, ending = key.rpartition(".")[2].rpartition("_")
    unit = _UNITS.get(ending)
    return (
        f"{name.replace('_', ' ')} [{unit}]" if unit else key.rpartition(".")[2].replace("_", " ")
    )


def figure_table(figures):
    """The figures of merit as aligned lines of text."""
    lines = []
    for name, (words, unit, factor) in WORDS.items():
        value = getattr(figures, name)
        text = "none in this run" if value != value else f"{value * factor:.4g} {unit}"
        lines.append(f"  {words:34s} {text}")
    return "\n".join(lines)


def with_value(scenario, key, value):
    """The scenario with one number replaced: a field, `settings.NAME` or `vehicle_values.NAME`."""
    table, _, name = key.rpartition(".")
    if table in ("settings", "vehicle_values"):
        known = CONTROL_RANGES if table == "settings" else VEHICLE_RANGES
        if name in known:
            return dataclasses.replace(
                scenario, **{table: {**getattr(scenario, table), name: value}}
            )
    elif not table and key in RANGES:
        return dataclasses.replace(scenario, **{key: value})
    raise UserError(
        f"--sweep: {key!r} cannot be swept; use one of {', '.join(RANGES)}, or settings.NAME or"
        " vehicle_values.NAME"
    )


def _sweep(scenario, source, args):
    from tractionlab.progress import Progress
    from tractionlab.run.simulation import simulate_many

    axes = [
        np.array([float(f"{value:.6g}") for value in np.linspace(s.first, s.last, s.count)])
        for s in args.sweep
    ]
    points = list(itertools.product(*axes))
    scenarios = []
    for point in points:
        varied = scenario
        for swept, value in zip(args.sweep, point):
            varied = with_value(varied, swept.key, float(value))
        scenarios.append(varied)
    folder = _folder(Path(args.out) if args.out else source.parent)
    with Progress(f"computing {len(scenarios)} runs") as progress:
        traces = simulate_many(
            scenarios, progress=lambda done, total: progress.say(f"{done} of {total}")
        )
    merits = [trace.merit() for trace in traces]
    stem = "_".join([source.stem, "sweep", *(s.key.replace(".", "-") for s in args.sweep)])
    table = folder / f"{stem}.csv"
    names = [field.name for field in dataclasses.fields(Merit)]
    rows = [[*point, *(getattr(m, name) for name in names)] for point, m in zip(points, merits)]
    header = ",".join([*(s.key for s in args.sweep), *map(_column, names)])
    np.savetxt(table, np.array(rows), delimiter=",", header=header, comments="", fmt="%.9g")
    picture = folder / f"{stem}.png"
    _draw(
        scenario.title or source.stem,
        args.sweep,
        axes,
        np.array([getattr(m, SWEPT) for m in merits]),
        picture,
    )
    best = max(range(len(points)), key=lambda k: getattr(merits[k], SWEPT))
    where = ", ".join(f"{s.key} = {value:.4g}" for s, value in zip(args.sweep, points[best]))
    if args.json:
        print(
            json.dumps(
                {
                    "scenario": str(source),
                    "points": [
                        dict(zip([s.key for s in args.sweep], map(float, p)), **m.as_dict())
                        for p, m in zip(points, merits)
                    ],
                    "csv": str(table),
                    "picture": str(picture),
                },
                indent=2,
            )
        )
        return 0
    print(f"{len(points)} runs. Farthest: {getattr(merits[best], SWEPT):.2f} m at {where}.")
    print(f"table:   {table}")
    print(f"picture: {picture}")
    return 0


def _column(name):
    """Title of a figure's column as in the table of a run, name and unit: final_speed [km/h]."""
    _, unit, factor = WORDS[name]
    return f"{name.removesuffix('_' + unit.replace('/', ''))} [{unit if factor == 1.0 else '-'}]"


def _draw(title, swept, axes, values, picture):
    """A curve over one swept value, or a map over two."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7, 4.6), layout="constrained")
    plot = figure.add_subplot()
    words, unit, _ = WORDS[SWEPT]
    plot.set_title(title)
    plot.set_xlabel(key_in_words(swept[0].key))
    if len(axes) == 1:
        plot.plot(axes[0], values, color="black", marker="o", markersize=3)
        plot.set_ylabel(f"{words} [{unit}]")
    else:
        grid = values.reshape(len(axes[0]), len(axes[1])).T
        filled = plot.contourf(axes[0], axes[1], grid, 12, cmap="cividis")
        lines = plot.contour(axes[0], axes[1], grid, 6, colors="black", linewidths=0.6)
        plot.clabel(lines, fmt="%.3g", fontsize=8)
        plot.set_ylabel(key_in_words(swept[1].key))
        figure.colorbar(filled, label=f"{words} [{unit}]")
    figure.savefig(picture, dpi=150, metadata={"Software": None})
