"""Measuring: a wiring diagram with probes, plugs that can be pulled, and what meter, clamp or oscilloscope show; perhaps with a fault in it."""
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from tractionlab.errors import UserError
from tractionlab.scenario import Scenario
from tractionlab.view import Chart, Figure, Line, View
from tractionlab.workshop.meter import FUNCTIONS, clamp, measure, refusal
from tractionlab.workshop.netlist import WHEELS, plan
from tractionlab.workshop.network import Moment, Network
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.scope import SCENES, Record, angles_of_run, pump_current, record, turned_by_hand, wheel_waves
from tractionlab.workshop.wiring import laid_on, wiring

from .base import Choice, Panel, Slider, Switch
from .runs import runs

VEHICLE_WORDS = {"rear_petrol": "Rear-drive petrol car", "front_petrol": "Front-drive petrol car", "front_electric": "Front-drive electric car"}
PROBES = {"R": "red probe", "B": "black probe", "2": "second channel", "C": "current clamp"}
_INSTRUMENTS = {**{key: f"Meter: {words} [{unit}]" for key, (words, unit) in FUNCTIONS.items()}, "clamp": "Current clamp [A]", "scope": "Oscilloscope, two channels [V]"}
_LETTERS = {"clamp": ("C",), "scope": ("R", "B", "2")}
_KEYS = {"off": "off", "on": "on, engine stands", "start": "start", "running": "engine runs"}
_TURNS_PER_S = 1.0
_HAPPENS = {"still": "Nothing", **{f"turn_{w}": f"The {words} wheel is turned once a second" for w, words in WHEELS.items()}, "pump": "The return pump runs",
            "charge": "The charge pump runs", "pulse": "The valves are driven", "lamps": "The lamps are driven", "sweep": "The throttle plates are swept", "bus": "The network talks",
            "run": "The car moves off on snow, control off"}
_SECONDS = {"turn": 0.2, "sweep": 1.0, "pump": 0.5, "pulse": 0.1, "bus": 0.1}
_RUN_FROM, _RUN_S = 1.0, 0.2     # s: what the oscilloscope shows of a run
_LIT_V, _LEAST_SPAN_V = 4.0, 1.0
_CLAMP_RECORD = 0.5     # s


@dataclass(frozen=True)
class Probes:
    """Which point each probe is on, by letter, and under "next" the probe that the next point is for."""

    name: str
    label: str
    options: tuple
    value: dict

    def check(self, value):
        """`value` if it maps the letters of the probes and "next" to text, or UserError."""
        letters = [letter for letter, _ in self.options]
        if not isinstance(value, dict) or set(value) != {*letters, "next"} or value["next"] not in letters or not all(isinstance(v, str) for v in value.values()):
            raise UserError(f"{self.label} must name a point or nothing for {', '.join(letters)}, and the next probe; got {value!r}")
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


def measuring_panel(vehicle="rear_petrol", group="wheel_sensors", *, changes=None, instrument="volt_dc", happens="still", locked_by=None):
    """Panel of one vehicle's network. `changes`: part values of a hidden fault by dotted name; without it the vehicle can be chosen."""
    hidden = tuple(sorted((changes or {}).items()))
    _network(vehicle, hidden)
    controls = [Choice("vehicle", "Vehicle", tuple(VEHICLE_WORDS.items()), vehicle)] if changes is None else []
    groups = tuple(plan(vehicle).groups.items())
    controls += [
        Choice("group", "Part of the wiring", groups, group), Choice("instrument", "Instrument", tuple(_INSTRUMENTS.items()), instrument),
        Probes("probes", "The next point is for the", tuple(PROBES.items()), {"R": "", "B": "body", "2": "", "C": "", "next": "C" if instrument == "clamp" else "R"}),
        Pulled("pulled", "Pulled:"), Choice("key", "Ignition", tuple(_KEYS.items()), "on"), Choice("happens", "What happens", tuple(_HAPPENS.items()), happens),
        Slider("accelerator", "Accelerator", "%", 0, 100, 5, 0), Switch("brake_pedal", "Brake pedal pressed", False), Switch("tc_switch", "Traction button pressed", False),
        Switch("flexed", "Leads bent and shaken", False)]
    return Panel("Measuring" if changes is None else f"Measuring: {VEHICLE_WORDS[vehicle].lower()} with a fault", controls,
                 lambda values: measuring_view({"vehicle": vehicle, **values}, hidden), locked_by=locked_by)


def measuring_view(values, hidden=()):
    """Picture of a measurement; `values` as the panel's controls give them, `hidden`: changes of part values as pairs."""
    network = _network(values["vehicle"], hidden)
    moment = _moment(values, network.plan)
    letters = _LETTERS.get(values["instrument"], ("R", "B"))
    points = {letter: values["probes"][letter] for letter in letters if values["probes"][letter] in {*network.plan.points, *network.plan.forbidden}}
    sentence, figures, charts = _reading(network, moment, values, points)
    drawing = wiring(values["vehicle"], values["group"])
    names = {key: point.name for key, point in network.plan.points.items()} | {key: words for key, (words, _) in network.plan.forbidden.items()}
    held = {key: words.name for key, words in network.plan.plugs.items()}
    pulled = [(key, held.get(key) or key.replace("_", " ")) for key in sorted(moment.unplugged)]
    scene = laid_on(drawing, _active(drawing.scene, network, moment), pulled, [(letter, key, names[key]) for letter, key in points.items()], letters)
    return View(charts=charts, sentence=sentence, figures=figures, wiring=scene)


@lru_cache(maxsize=16)
def _network(vehicle, hidden):
    return Network(vehicle, changed(part_values(vehicle), dict(hidden)))


def _moment(values, net):
    """The moment that the controls describe; what this vehicle does not have is left out."""
    driven = {e.more["command"]: e for e in net.elements.values() if e.kind == "driver"}
    asked = {"pump": {"return_pump"}, "charge": {"charge_pump"}, "lamps": {name for name in driven if name.startswith("lamp_")},
             "pulse": {name for name, e in driven.items() if e.group == "valves" and not e.key.startswith("driver_relay")}}.get(values["happens"], set())
    commands = {name: 1.0 for name in {"relay_valves", *asked} & set(driven)}
    can_be_pulled = {*net.plugs, *(key for key, e in net.elements.items() if e.kind in ("fuse", "relay"))}
    return Moment(key=values["key"], brake_pedal=values["brake_pedal"], tc_switch=values["tc_switch"], accelerator=values["accelerator"] / 100, commands=commands,
                  bus="dominant" if values["happens"] == "bus" else "idle", unplugged=frozenset(values["pulled"]) & can_be_pulled, flexed=values["flexed"])


def _active(scene, network, moment):
    """1 for each symbol that a sound car would show closed, and for each lamp that is lit."""
    sound, true = _network(network.vehicle, ()).solve(moment).circuit.names, network.solve(moment)
    elements = network.plan.elements

    def state(part):
        if part.key in elements and elements[part.key].kind == "lamp":
            return float(abs(true.voltage(*elements[part.key].at)) > _LIT_V)
        return float(part.key in sound)
    return [state(part) for part in scene.parts]


def _reading(network, moment, values, points):
    """(sentence, figures, charts) of the instrument."""
    instrument = values["instrument"]
    missing = [PROBES[letter] for letter in ("C",) if instrument == "clamp" and letter not in points] or [
        PROBES[letter] for letter in ("R", "B") if instrument != "clamp" and letter not in points]
    if missing:
        return f"Put the {' and the '.join(missing)} on a point of the drawing.", (), ()
    try:
        if instrument == "clamp":
            return _clamped(network, moment, values, points["C"])
        if instrument == "scope":
            return _recorded(network, moment, values, points)
        return _metered(network, moment, values, points)
    except UserError as problem:
        return str(problem), (Figure(label="Display", value="no reading"),), ()


def _name(network, key):
    return network.plan.points[key].name if key in network.plan.points else network.plan.forbidden[key][0]


def _metered(network, moment, values, points):
    wave, happens = None, values["happens"]
    for letter in "RB":
        reason = refusal(network, moment, points[letter])
        if reason:
            raise UserError(reason)
    if happens.startswith("turn_"):
        time = np.linspace(0.0, 1.0, 2001)
        wave = wheel_waves(network, moment, [(points["R"], points["B"])], time, turned_by_hand(happens[5:], _TURNS_PER_S, time))[0]
    reading = measure(network, moment, values["instrument"], points["R"], points["B"], wave=wave)
    words, _ = FUNCTIONS[values["instrument"]]
    said = f"{words[0].upper()}{words[1:]}, red on {_name(network, points['R'])}, black on {_name(network, points['B'])}: the meter shows {reading}"
    text = " ".join((f"{said}{', and it beeps' if reading.beeps else ''}.", *reading.warnings))
    return text, (Figure(label="Meter", value=str(reading)),), ()


def _clamped(network, moment, values, point):
    nodes = {point, point.removesuffix(".device")}
    lead = next((lead for lead in network.plan.leads.values() if lead.a in nodes or lead.b in nodes), None)
    if lead is None:
        raise UserError(f"No lead that the clamp could go round begins at {_name(network, point)}.")
    charts = ()
    if values["happens"] == "pump":
        time = np.linspace(0.0, _CLAMP_RECORD, 501)
        current = pump_current(network, moment, lead.key, time, 0.1 * _CLAMP_RECORD, 0.6 * _CLAMP_RECORD)
        charts = (Chart(title="Current as the pump is switched on and off", x="time [ms]", y="current [A]", lines=(Line(label="clamp", x=1e3 * time, y=current),)),)
    reading = clamp(network, moment, lead.key)
    start, end = _name(network, lead.a), _name(network, lead.b)
    return f"The clamp round the {lead.name} shows {reading}; current from {start} to {end} counts as positive.", (Figure(label="Clamp", value=str(reading)),), charts


def _of_run(network, moment, vehicle, pairs):
    """Record of a short time of a run on snow, in which the driven wheels spin."""
    time = np.linspace(0.0, _RUN_S, 4001)
    [trace] = runs([Scenario(vehicle=vehicle, control="off", duration_s=2.0)])
    return Record(time=time, volt=wheel_waves(network, moment, pairs, time, angles_of_run(trace, _RUN_FROM + time)))


def _recorded(network, moment, values, points):
    happens = values["happens"]
    scene, _, wheel = happens.partition("_")
    if scene not in (*SCENES, "run"):
        scene, wheel = "turn", "none"
    pairs = [(points[letter], points["B"]) for letter in ("R", "2") if letter in points]
    got = _of_run(network, moment, values["vehicle"], pairs) if scene == "run" else record(network, moment, scene, pairs, wheel="fl" if wheel in ("", "none") else wheel, turns_per_s=0.0 if wheel == "none" else _TURNS_PER_S, seconds=_SECONDS[scene])
    scale, unit = (1e6, "\u00b5s") if scene == "bus" else (1e3, "ms")
    labels = ("channel 1, red", "channel 2")
    lines = tuple(Line(label=label, x=scale * got.time, y=volt, style=style) for label, volt, style in zip(labels, got.volt, (2, 1)))
    figures, said = [], []
    for label, channel in zip(labels, range(len(pairs))):
        low, high, swing, mean, _ = got.figures(channel)
        figures += [Figure(label=f"{label}: lowest, highest", value=f"{low:.2f}, {high:.2f}".replace("-", "\u2212"), unit="V"), Figure(label="peak to peak", value=f"{swing:.2f}", unit="V")]
        said.append(f"{label} goes from {low:.2f} to {high:.2f} V".replace("-", "\u2212"))
    low, high = min(0.0, got.volt.min()), max(_LEAST_SPAN_V, got.volt.max())
    text = f"Oscilloscope over {_name(network, points['B'])}: {'; '.join(said)}."
    return text, tuple(figures), (Chart(title="Oscilloscope", x=f"time [{unit}]", y="voltage [V]", lines=lines, y_range=(low - 0.05 * (high - low), high + 0.05 * (high - low))),)
