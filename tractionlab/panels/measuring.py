"""Measuring: a wiring diagram with probes, plugs that can be pulled, and what meter, clamp or
oscilloscope show; perhaps with a fault in it.
"""

from dataclasses import dataclass, field

import numpy as np

from tractionlab.errors import UserError
from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.runs import runs
from tractionlab.run.scenario import Scenario
from tractionlab.view import Chart, Figure, Line, View
from tractionlab.wheels import CALLED
from tractionlab.workshop.faults import check_vehicle
from tractionlab.workshop.instruments import probing
from tractionlab.workshop.instruments.meter import FUNCTIONS
from tractionlab.workshop.instruments.scope import Record, angles_of_run, wheel_waves
from tractionlab.workshop.instruments.setup import KEYS, LETTERS, PROBES, Setup
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.wiring.drawing import laid_on, wiring
from tractionlab.workshop.wiring.netlist import plan

VEHICLE_WORDS = {
    "rear_petrol": "Rear-drive petrol car",
    "front_petrol": "Front-drive petrol car",
    "front_electric": "Front-drive electric car",
}
_INSTRUMENTS = {
    **{key: f"Meter: {words} [{unit}]" for key, (words, unit) in FUNCTIONS.items()},
    "clamp": "Current clamp [A]",
    "scope": "Oscilloscope, two channels [V]",
}
_HAPPENS = {
    "still": "Nothing",
    **{f"turn_{w}": f"{words.capitalize()} wheel turned" for w, words in CALLED.items()},
    "pump": "Return pump runs",
    "charge": "Charge pump runs",
    "pulse": "Valves driven",
    "lamps": "Lamps driven",
    "sweep": "Throttle plates swept",
    "bus": "Network talks",
}
_RUN = {"run": "Car moves off on snow"}
_RUN_FROM, _RUN_S = 1.0, 0.2  # s: what the oscilloscope shows of a run
_LIT_V, _LEAST_SPAN_V = 4.0, 1.0


@dataclass(frozen=True)
class Probes:
    """Which point each probe is on, by letter, and under "next" the probe that the next point is
    for.
    """

    name: str
    label: str
    options: tuple
    value: dict

    def check(self, value):
        """`value` if it maps the letters of the probes and "next" to text, or UserError."""
        letters = [letter for letter, _ in self.options]
        if (
            not isinstance(value, dict)
            or set(value) != {*letters, "next"}
            or value["next"] not in letters
            or not all(isinstance(v, str) for v in value.values())
        ):
            raise UserError(
                f"{self.label} must name a point or nothing for {', '.join(letters)}, and the next"
                f" probe; got {value!r}"
            )
        return dict(value)


@dataclass(frozen=True)
class Pulled:
    """The plugs, fuses and relays that are pulled."""

    name: str
    label: str
    value: list = field(default_factory=list)

    def check(self, value):
        """`value` if it is a list of text, or UserError."""
        if not isinstance(value, (list, tuple)) or not all(isinstance(v, str) for v in value):
            raise UserError(f"{self.label} must be a list of plugs, got {value!r}")
        return list(value)


def measuring_panel(
    vehicle="rear_petrol",
    group="wheel_sensors",
    *,
    changes=None,
    instrument="volt_dc",
    happens="still",
    locked_by=None,
):
    """Panel of one vehicle's network.

    `changes`: part values of a hidden fault by dotted name; without it the vehicle can be chosen.
    """
    check_vehicle(vehicle)
    hidden = tuple(sorted((changes or {}).items()))
    _network(vehicle, hidden)
    controls = (
        [Choice("vehicle", "Vehicle", tuple(VEHICLE_WORDS.items()), vehicle)]
        if changes is None
        else []
    )
    controls += controls_of(vehicle, group, instrument, happens, _HAPPENS | _RUN)
    return Panel(
        (
            "Measuring"
            if changes is None
            else f"Measuring: {VEHICLE_WORDS[vehicle].lower()} with a fault"
        ),
        controls,
        lambda values: measuring_view({"vehicle": vehicle, **values}, hidden),
        locked_by=locked_by,
    )


def controls_of(vehicle, group, instrument="volt_dc", happens="still", can_happen=_HAPPENS):
    """Controls of a panel with the wiring of a vehicle."""
    return [
        Choice("group", "Part of the wiring", tuple(plan(vehicle).groups.items()), group),
        Choice("instrument", "Instrument", tuple(_INSTRUMENTS.items()), instrument),
        Choice("key", "Ignition", tuple(KEYS.items()), "on"),
        Choice("happens", "What happens", tuple(can_happen.items()), happens),
        Slider("accelerator", "Accelerator", "%", 0, 100, 5, 0),
        Switch("brake_pedal", "Brake pedal pressed", False),
        Switch("tc_switch", "Traction button pressed", False),
        Switch("flexed", "Leads bent and shaken", False),
        Pulled("pulled", "Pulled:"),
        Probes(
            "probes",
            "The next point is for the",
            tuple(PROBES.items()),
            {"R": "", "B": "body", "2": "", "C": "", "next": "C" if instrument == "clamp" else "R"},
        ),
    ]


def measuring_view(values, hidden=()):
    """Picture of a measurement; `values` as the panel's controls give them, `hidden`: changes of
    part values as pairs.
    """
    network = _network(values["vehicle"], hidden)
    setup = setup_of(values, network.plan)
    moves = values["happens"] == "run"
    try:
        if moves and setup.instrument != "scope":
            raise UserError(
                "Only the oscilloscope records while the car moves off. Choose it, or let something"
                " else happen."
            )
        taken = (
            _of_run(network, setup, values["vehicle"]) if moves else probing.take(network, setup)
        )
    except UserError as problem:
        return wiring_view(
            values,
            network,
            str(problem),
            () if setup.missing() else (Figure(label="Display", value="no reading"),),
        )
    return wiring_view(
        values, network, taken.sentence, figures_of(taken), charts_of(taken, values["happens"])
    )


def setup_of(values, net):
    """Setup of the panel's values on a vehicle's network; points and plugs of another vehicle are
    left out.
    """
    held = {
        *net.plugs,
        *(key for key, element in net.elements.items() if element.kind in ("fuse", "relay")),
    }
    points = tuple(
        (letter, values["probes"][letter])
        for letter in LETTERS[values["instrument"]]
        if values["probes"][letter] in {*net.points, *net.forbidden}
    )
    return Setup(
        points=tuple(sorted(points)),
        pulled=tuple(sorted(set(values["pulled"]) & held)),
        happens="still" if values["happens"] == "run" else values["happens"],
        **{
            name: values[name]
            for name in ("instrument", "key", "accelerator", "brake_pedal", "tc_switch", "flexed")
        },
    )


def wiring_view(values, network, sentence, figures=(), charts=()):
    """The drawing with plugs and probes as the panel's values say, and the instrument's display."""
    setup, net = setup_of(values, network.plan), network.plan
    moment, letters = probing.moment_of(network, setup), LETTERS[setup.instrument]
    drawing = wiring(network.vehicle, values["group"])
    held = {key: plug.name for key, plug in net.plugs.items()}
    pulled = [(key, held.get(key) or key.replace("_", " ")) for key in sorted(moment.unplugged)]
    probes = [
        (letter, point, probing.name_of(network, point))
        for letter, point in sorted(setup.points, key=lambda pair: letters.index(pair[0]))
    ]
    return View(
        charts=charts,
        sentence=sentence,
        figures=figures,
        wiring=laid_on(drawing, _active(drawing.scene, network, moment), pulled, probes, letters),
    )


def _network(vehicle, hidden):
    return probing.network_of(vehicle, changed(part_values(vehicle), dict(hidden)))


def _active(scene, network, moment):
    """1 for each symbol that a sound car would show closed, and for each lamp that is lit."""
    sound, true = _network(network.vehicle, ()).solve(moment).circuit.names, network.solve(moment)
    elements = network.plan.elements

    def state(part):
        if part.key in elements and elements[part.key].kind == "lamp":
            return float(abs(true.voltage(*elements[part.key].at)) > _LIT_V)
        return float(part.key in sound)

    return [state(part) for part in scene.parts]


def figures_of(taken):
    """What stands in large figures beside the drawing."""
    if not taken.curve or taken.display:
        return (
            Figure(
                label="Clamp" if taken.readings[0].key == "clamp" else "Meter", value=taken.display
            ),
        )
    found = []
    for channel, label in zip(range(len(taken.curve.volt)), ("channel 1, red", "channel 2")):
        low, high, swing, *_ = taken.curve.figures(channel)
        found += [
            Figure(
                label=f"{label}: lowest, highest",
                value=f"{low:.2f}, {high:.2f}".replace("-", "\u2212"),
                unit="V",
            ),
            Figure(label="peak to peak", value=f"{swing:.2f}", unit="V"),
        ]
    return tuple(found)


def charts_of(taken, happens):
    """The curve of the clamp or the oscilloscope, if there is one."""
    curve = taken.curve
    if curve is None:
        return ()
    if taken.display:
        return (
            Chart(
                title="Current as the pump is switched on and off",
                x="time [ms]",
                y="current [A]",
                lines=(Line(label="clamp", x=1e3 * curve.time, y=curve.volt[0]),),
            ),
        )
    scale, unit = (1e6, "\u00b5s") if happens == "bus" else (1e3, "ms")
    lines = tuple(
        Line(label=label, x=scale * curve.time, y=volt, style=style)
        for label, volt, style in zip(("channel 1, red", "channel 2"), curve.volt, (2, 1))
    )
    low, high = min(0.0, curve.volt.min()), max(_LEAST_SPAN_V, curve.volt.max())
    return (
        Chart(
            title="Oscilloscope",
            x=f"time [{unit}]",
            y="voltage [V]",
            lines=lines,
            y_range=(low - 0.05 * (high - low), high + 0.05 * (high - low)),
        ),
    )


def _of_run(network, setup, vehicle):
    """Taken of a short time of a run on snow, in which the driven wheels spin."""
    if missing := setup.missing():
        raise UserError(f"Put the {' and the '.join(missing)} on a point of the drawing.")
    points, time = dict(setup.points), np.linspace(0.0, _RUN_S, 4001)
    [trace] = runs([Scenario(vehicle=vehicle, control="off", duration_s=2.0)])
    volt = wheel_waves(
        network,
        probing.moment_of(network, setup),
        probing.pairs_of(points),
        time,
        angles_of_run(trace, _RUN_FROM + time),
    )
    return probing.scoped(network, setup, points, Record(time=time, volt=volt))
