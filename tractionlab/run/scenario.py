"""A scenario: all that a run needs - vehicle, road, driver, control.

Frozen, made from keywords or from a TOML file.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields
from typing import Any

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.checked import number_in, wrong_whole
from tractionlab.catalogue.gears import overall_ratios, wrong_gears
from tractionlab.catalogue.ranges import CONTROL_RANGES, VEHICLE_RANGES, VEHICLE_WHOLE
from tractionlab.errors import UserError, did_you_mean
from tractionlab.run.scenario_fields import (
    BRAKED,
    CENTRES,
    CLUTCHES,
    CONTROLS,
    DIFFERENTIALS,
    DRIVES,
    PATHS,
    RANGES,
    SWITCHES,
    TEXTS,
    Patch,
    check_overrides,
    faults_of,
    four,
    number_field,
    of_kind,
    one_of,
    patch,
    taken_away_of,
)
from tractionlab.run.surfaces import surface_curve
from tractionlab.units import KMH, RPM


@dataclass(frozen=True, kw_only=True)
class Scenario:
    """All that a run needs.

    Surfaces are named as `packed_snow`, or with a source as `packed_snow:magic_formula`; `right` is
    the surface under the right wheels when it differs from `left`. `tyre` is a key of
    data/tyres.toml, on all four wheels. `control` is off, torque, brake
    or both. `settings` and `vehicle_values` replace single values of data/control.toml and
    data/vehicles.toml. `braked` front or rear: the brakes of the other axle are disconnected, as
    braking rules ask. `pad_friction`: for each wheel the share of the friction of sound pads; oil
    makes it small. Pressures in bar, angles in degrees, shares in percent: what people set by hand.

    `differential` is that of each driven axle, `centre` that between the axles of a car with
    drive = "all": open, limited (slip) or locked. A limited-slip one moves torque from the faster
    to the slower side; `locking_value` of the vehicle is the difference of the two torques over
    their sum, as the trade says it.

    The accelerator goes down at `pedal_from_s` and up at `pedal_until_s`. One foot does both
    pedals: if it is still on the accelerator at `brake_from_s`, it changes over first, and in a
    rolling car it lets go of the brake before it presses the accelerator, unless `both_feet`.
    A brake pressed from the beginning rises over `brake_rise_s` (data/driver.toml, if it is None)
    in a rolling car, and holds a standing one already. `gear` is "auto", chosen by engine speed and
    while braking by the car's, or the number of one that stays in. `clutch`: "driver" presses it
    for a change of gear and with the foot on the brake alone, "shut" only for a change, "open"
    keeps it down. `hold_on_hill`: the hand brake holds a car that stands uphill, and not by the
    foot brake, until the drive pulls as hard as the hill, or for `hold_longest_s`
    (data/driver.toml).

    The hydraulic circuit of the vehicle's layout makes the brake pressure, and the control unit
    reads speeds from counted teeth and other signals in steps. A wheel of `hand_brake_bar` keeps
    this pressure shut in for the whole run, whatever pedal and control unit do; 0 leaves it to
    them. `faults` are of parts of the circuit and of sensors: part -> fault, or part -> (fault,
    value), such as {"inlet_FL": "stuck_closed", "sensor_RR": ("teeth", 44)}, or
    part -> list of such pairs; see `hydraulics.faults`, `sensors.parts` and `signal_faults`.
    `taken_away`: pairs (time [s], names of GONE) of what the self-diagnosis leaves off from then
    on. `fluid_degC` is the temperature of brake fluid and accumulator."""

    title: str = ""
    vehicle: str = "rear_petrol"
    left: str = "packed_snow"
    right: str = ""
    tyre: str = "winter"
    patches: Sequence[Patch | Mapping[str, Any]] = ()
    slope_percent: float = 0.0
    drive: str = ""
    differential: str = "open"
    centre: str = "open"
    gear: str | int = "auto"
    clutch: str = "driver"
    control: str = "both"
    paths: Sequence[str] = PATHS
    bend_allowance: bool = True
    switched_off: bool = False
    antilock: bool = True
    drag_control: bool = True
    braked: str = "both"
    duration_s: float = 10.0
    step_s: float = 0.001
    initial_speed_kmh: float = 0.0
    pedal_percent: float = 100.0
    pedal_from_s: float = 0.2
    pedal_rise_s: float = 0.3
    pedal_until_s: float = 120.0
    pedal_fall_s: float = 0.2
    brake_bar: float = 0.0
    brake_from_s: float = 0.0
    brake_until_s: float = 1.0
    brake_rise_s: float | None = None
    both_feet: bool = False
    hold_on_hill: bool = True
    hand_brake_bar: Sequence[float] = (0.0, 0.0, 0.0, 0.0)
    steer_deg: float = 0.0
    keep_lane: bool = True
    disc_degC: Sequence[float] = (20.0, 20.0, 20.0, 20.0)
    fluid_degC: float = 20.0
    pad_friction: Sequence[float] = (1.0, 1.0, 1.0, 1.0)
    faults: Mapping[str, Any] = field(default_factory=dict)
    taken_away: Sequence[Sequence[Any]] = ()
    settings: Mapping[str, float] = field(default_factory=dict)
    vehicle_values: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name in TEXTS:
            of_kind(name, getattr(self, name), str, "text in quotes")
        for name in SWITCHES:
            of_kind(name, getattr(self, name), bool, "true or false")
        for name, (low, high) in RANGES.items():
            if name != "brake_rise_s" or self.brake_rise_s is not None:
                value = number_field(name, getattr(self, name), low, high)
                object.__setattr__(self, name, value)
        catalogue.pick(catalogue.in_use().vehicles(), self.vehicle, "vehicle")
        catalogue.pick(catalogue.in_use().tyres(), self.tyre, "tyre")
        of_kind("taken_away", self.taken_away, (list, tuple), "a list of pairs of time and names")
        for name in ("patches", "paths"):
            of_kind(
                name,
                getattr(self, name),
                (list, tuple),
                "a list, as in "
                + (
                    'patches = [{ surface = "ice", x_from = 4 }]'
                    if name == "patches"
                    else 'paths = ["throttle"]'
                ),
            )
        for name in ("faults", "settings", "vehicle_values"):
            of_kind(
                name,
                getattr(self, name),
                dict,
                f"a table: a line [{name}] with the values under it",
            )
        patches = tuple(p if isinstance(p, Patch) else patch(p) for p in self.patches)
        object.__setattr__(self, "patches", patches)
        for surface in (
            self.left,
            self.right or self.left,
            *(one.surface for one in patches),
        ):
            surface_curve(surface)
        one_of("drive", self.drive, ("", *DRIVES))
        one_of("differential", self.differential, DIFFERENTIALS)
        one_of("centre", self.centre, CENTRES)
        one_of("clutch", self.clutch, CLUTCHES)
        one_of("control", self.control, CONTROLS)
        one_of("braked", self.braked, BRAKED)
        for path in self.paths:
            one_of("paths", path, PATHS)
        object.__setattr__(self, "paths", tuple(self.paths))
        object.__setattr__(
            self, "hand_brake_bar", four("hand_brake_bar", self.hand_brake_bar, 0.0, 160.0)
        )
        object.__setattr__(self, "pad_friction", four("pad_friction", self.pad_friction, 0.0, 2.0))
        object.__setattr__(self, "disc_degC", four("disc_degC", self.disc_degC, -40.0, 900.0))
        object.__setattr__(self, "faults", faults_of(self.faults))
        object.__setattr__(self, "taken_away", tuple(taken_away_of(row) for row in self.taken_away))
        check_overrides("settings", self.settings, CONTROL_RANGES)
        check_overrides("vehicle_values", self.vehicle_values, VEHICLE_RANGES)
        _driveline_fits(self)

    @property
    def key(self) -> str:
        """Text that is equal for equal scenarios."""
        return json.dumps(asdict(self), sort_keys=True)


def each_fault(scenario: Scenario) -> Iterator[tuple[str, str, Any]]:
    """(part, fault, value or None) of every fault of a scenario."""
    for part, entry in scenario.faults.items():
        for fault, value in entry if isinstance(entry[0], tuple) else (entry,):
            yield part, fault, value


def scenario_from(table: Mapping[str, Any]) -> Scenario:
    """Scenario from a dict of fields; an unknown field is named with those there are."""
    known = [f.name for f in fields(Scenario)]
    for key in table:
        if key not in known:
            raise UserError(f"unknown field {key!r}; {did_you_mean(key, known)}")
    return Scenario(**table)


def vehicle_values(scenario: Scenario) -> dict[str, Any]:
    """Numbers and words of the scenario's vehicle, with what the scenario replaces."""
    values = {**catalogue.in_use().vehicles()[scenario.vehicle].values, **scenario.vehicle_values}
    return {**values, "drive": scenario.drive} if scenario.drive else values


def _driveline_fits(scenario: Scenario) -> None:
    """UserError if the scenario asks its car's driveline for what it does not have or stand."""
    car = vehicle_values(scenario)
    if scenario.centre != "open" and car["drive"] != "all":
        raise UserError(
            f'centre = "{scenario.centre}" is a coupling between driven axles: set drive = "all",'
            ' or leave centre "open"'
        )
    if scenario.clutch == "open" and car["motor"] == "electric":
        raise UserError('clutch = "open": an electric car has no clutch; leave it at "driver"')
    if wrong := wrong_gears(car) or wrong_whole(car, VEHICLE_WHOLE):
        raise UserError(f"vehicle_values: {wrong}")
    ratios = overall_ratios(car)
    gear = len(ratios) if scenario.gear == "auto" else scenario.gear
    if not number_in(gear, 1, len(ratios), whole=True):
        raise UserError(
            f'gear must be "auto" or a whole number from 1 to {len(ratios)}, got {gear!r}'
        )
    most = car["top_speed_rpm"] * RPM * car["tyre_radius_m"] / ratios[int(gear) - 1] / KMH
    if scenario.clutch != "open" and scenario.initial_speed_kmh > most:
        raise UserError(
            f"initial_speed_kmh = {scenario.initial_speed_kmh:g}: in gear {gear} the engine reaches"
            f" its top speed at {most:.0f} km/h"
        )
