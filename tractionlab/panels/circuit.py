"""Hydraulic circuit: driver modes or currents by hand, and what the valves, the fluid and the
pressure at each wheel make of them.
"""

from tractionlab.bench.stories import HAND, IN_CONTROL, START_BAR, circuit_modes, film
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.places import VALVES
from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.runs import WORDS
from tractionlab.view import Chart, Figure, Line, View
from tractionlab.wheels import WHEELS


def circuit_view(values):
    """Picture of a short run of a hydraulic circuit; values: layout ("A" or "B"), mode, pedal
    [bar], and with mode "hand" a current or switch for each valve, return_pump, start (with
    pressure in the brake), and in layout A bleed_screw."""
    key, mode = values["layout"], values["mode"]
    hand = (
        tuple(sorted((k, v) for k, v in values.items() if k not in ("layout", "mode", "pedal")))
        if mode == HAND
        else ()
    )
    scene = film(key, mode, values["pedal"], hand)
    return View(
        charts=(_chart(scene),),
        circuit=scene,
        sentence=_sentence(scene, mode),
        figures=_figures(scene),
    )


def _column(scene, node):
    return scene.pressure[:, [name for name, _, _ in scene.nodes].index(node)]


def _chart(scene):
    lines = tuple(
        Line(label=WORDS[wheel], x=scene.time, y=_column(scene, f"W_{wheel}"), style=n + 1)
        for n, wheel in enumerate(WHEELS)
    )
    return Chart(
        title="Pressure at the brakes",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        lines=lines,
    )


def _figures(scene):
    return tuple(
        Figure(
            label=WORDS[wheel].capitalize(),
            value=f"{abs(_column(scene, f'W_{wheel}')[-1]):.0f}",
            unit="bar",
        )
        for wheel in WHEELS
    )


def _list(words):
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _sentence(scene, mode):
    text = f"{dict(circuit_modes(scene.layout))[mode]}: {_where(scene)}."
    if scene.layout == "A":
        store = _column(scene, "ACC")
        if abs(store[-1] - store[0]) >= 1:
            text += f" The accumulator goes from {store[0]:.0f} to {store[-1]:.0f} bar."
    return text


def _where(scene):
    """Which brakes get pressure and which do not, in words with numbers."""
    top = {wheel: float(_column(scene, f"W_{wheel}").max()) for wheel in WHEELS}
    end = {wheel: float(_column(scene, f"W_{wheel}")[-1]) for wheel in WHEELS}
    braked, free = [w for w in WHEELS if top[w] >= 1.0], [w for w in WHEELS if top[w] < 1.0]
    if not braked:
        return "no wheel is braked: all four brakes stay below 1 bar"
    groups = {}
    for wheel in braked:
        groups.setdefault((round(top[wheel]), round(abs(end[wheel]))), []).append(WORDS[wheel])
    said = []
    for (high, last), names in groups.items():
        s = "" if len(names) > 1 else "s"
        who = "all four brakes" if len(names) == 4 else f"the {_list(names)}"
        said.append(
            f"{who} {'reach' if not s else 'reaches'} {high} bar"
            + (f" and end{s} at {last} bar" if last != high else "")
        )
    if free:
        said.append(
            f"the {_list([WORDS[w] for w in free])} stay{'' if len(free) > 1 else 's'} below 1 bar"
        )
    return "; ".join(said)


def circuit_panel(layout="A", locked_by=None, mode="normal"):
    """The circuit panel of layout "A" or "B": a driver mode or currents by hand."""
    return Panel(
        f"Hydraulic circuit, layout {layout}",
        _controls(layout, mode),
        lambda values: circuit_view({"layout": layout, **values}),
        locked_by=locked_by,
    )


def _controls(key, mode):
    plan, hand = layout(key), ("mode", HAND)
    controls = [
        Choice("mode", "What happens", circuit_modes(key), mode),
        Slider(
            "pedal", "Pedal force, as brake pressure", "bar", 0, 120, 5, 60 if mode != HAND else 0
        ),
    ]
    for valve, rows in VALVES[key].items():
        part = plan.components[valve]
        most = max(high for _, high in part.currents.values())
        if len(rows) > 1:
            controls.append(Slider(valve, part.name, "A", 0, 5, 0.5, 0, when=hand))
        else:
            controls.append(
                Switch(
                    valve,
                    f"{part.name.replace('let valve', 'let')}: {most:.1f} A",
                    False,
                    when=hand,
                )
            )
    controls.append(Switch("return_pump", "Return pump runs", False, when=hand))
    controls.append(
        Switch(
            "start",
            f"Start with {START_BAR:.0f} bar at the {WORDS[IN_CONTROL[key]]}",
            False,
            when=hand,
        )
    )
    if key == "A":
        controls.append(Switch("bleed_screw", "Bleed screw open", False, when=hand))
    return controls
