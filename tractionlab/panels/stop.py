"""Brake stop: the driver steps hard on the pedal, with and without anti-lock."""

from math import ceil

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Panel, Slider, Switch
from tractionlab.panels.phases import phase_strip
from tractionlab.panels.runs import (
    ALL_WHEELS,
    car_scene,
    ending,
    percent,
    pressure_lines,
    runs,
    speed_chart,
    speed_lines,
    surface_choice,
    tyre_choice,
    tyre_of,
    vehicle_choice,
)
from tractionlab.physics.tyre import PEAK
from tractionlab.run.assembly import vehicle_values
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import row_of, surface_words
from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.units import BAR, IN_KMH
from tractionlab.view import Chart, Figure, Line, View

_BRAKE_FROM = 0.2  # s
_STANDS = 0.2  # m/s
_AFTER_ROWS = 50  # of 10 ms, shown after the last car stands
_FAST = 15.0 / IN_KMH  # m/s: below this a locked wheel does no harm


def scenario_of(values, antilock, seconds=None):
    """Scenario of the stop; values: vehicle, left, right, speed [km/h], brake [bar]. It lasts
    `seconds`, or until the car surely stands.
    """
    return Scenario(
        vehicle=values["vehicle"],
        left=values["left"],
        right=values["right"],
        tyre=tyre_of(values),
        initial_speed_kmh=values["speed"],
        control="off",
        antilock=antilock,
        pedal_percent=0.0,
        brake_bar=values["brake"],
        brake_from_s=_BRAKE_FROM,
        brake_until_s=120.0,
        duration_s=min(120.0, seconds or _seconds(values)[1]),
    )


def _seconds(values):
    """Times [s] in which the car stands: likely, by the grip of both sides, and surely, by that of
    locked wheels on the worse side; or by what the brakes do at this pressure.
    """
    car = catalogue.in_use().vehicles()[values["vehicle"]]
    peaks = [row_of(values[side], tyre_of(values))[PEAK] for side in ("left", "right")]
    brakes = (
        2.0
        * values["brake"]
        * (car["driven_brake_Nm_per_bar"] + car["other_brake_Nm_per_bar"])
        / car["tyre_radius_m"]
        / car["mass_kg"]
    )
    speed, worse, mean = values["speed"] / IN_KMH, GRAVITY * min(peaks), GRAVITY * sum(peaks) / 2.0
    surely = ceil(1.2 + 1.1 * speed / min(0.53 * worse, brakes))
    return min(round(1.2 + speed / min(0.62 * mean, 0.9 * brakes), 1), surely), surely


def _stops(values, kinds):
    """(traces, their Stops) for each of the `kinds`, anti-lock on or off. Most cars stand in half
    of the time in which each surely does; where one does not, the runs are made once more, longer.
    """
    for seconds in _seconds(values):
        traces = runs([scenario_of(values, kind, seconds) for kind in kinds])
        stops = [Stop(trace) for trace in traces]
        last = max(stop.end for stop in stops) + 1 + _AFTER_ROWS
        if all(t.ended or (s.stands and last <= len(t)) for t, s in zip(traces, stops)):
            break
    return [trace.until(last) for trace in traces], stops


class Stop:
    """Figures of a brake stop: way [m] from the pedal to standstill (NaN if it never stands), turn
    [deg] until then, share of the grip used, longest time [s] a wheel was locked above 15 km/h;
    `end` is the row of the trace at which the car stands; `ended` a sentence if it turned round."""

    def __init__(self, trace):
        begin = int(np.searchsorted(trace.time, trace.scenario.brake_from_s))
        standing = np.flatnonzero(np.hypot(trace.speed, trace.side_speed)[begin:] < _STANDS)
        self.stands = bool(len(standing))
        self.end = begin + int(standing[0]) if self.stands else len(trace) - 1
        moving = slice(begin, self.end + 1)
        steps = np.hypot(np.diff(trace.x[moving]), np.diff(trace.y[moving]))
        self.way = float(steps.sum()) if self.stands else float("nan")
        self.turn = float(np.degrees(abs(trace.yaw[self.end] - trace.yaw[0])))
        self.grip_used = float(-trace.drive_force[moving].sum() / trace.grip_limit[moving].sum())
        self.locked = _longest_lock(trace)
        self.ended = ending(trace)


def _longest_lock(trace):
    rim = trace.wheel_speed * vehicle_values(trace.scenario)["tyre_radius_m"]
    locked = (rim < 0.05 * trace.speed[:, None]) & (trace.speed > _FAST)[:, None]
    number = np.arange(1, len(locked) + 1)[:, None]
    turned = np.maximum.accumulate(np.where(locked, 0, number))  # the last row in which it did
    return float((number - turned).max() * (trace.time[1] - trace.time[0]))


def stop_view(values):
    """Picture of a brake stop; values: vehicle, left, right, speed [km/h], brake [bar], antilock
    and compare (bools).
    """
    kinds = [values["antilock"]] + ([not values["antilock"]] if values["compare"] else [])
    traces, stops = _stops(values, kinds)
    trace, stop = traces[0], stops[0]
    speeds = speed_chart(*speed_lines(trace, wheels=ALL_WHEELS))
    pressures = Chart(
        title="Brake pressure",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        main=1,
        lines=(
            Line(label="pedal", x=trace.time, y=trace.pedal_pressure / BAR, style=0),
            *pressure_lines(trace, ALL_WHEELS),
        ),
    )
    figures = [_distance("Stopping distance", stop)] + [
        _distance(_kind(kind).capitalize(), other) for kind, other in zip(kinds[1:], stops[1:])
    ]
    figures += [
        Figure(label="Grip used", value=f"{100 * stop.grip_used:.0f}", unit="%"),
        Figure(label="Longest lock", value=f"{stop.locked:.2f}", unit="s"),
        Figure(label="Turned by", value=f"{stop.turn:.0f}", unit="°"),
    ]
    scenes = tuple(car_scene(t, _kind(kind)) for kind, t in zip(kinds, traces))
    return View(
        charts=(speeds, pressures),
        sentence=_sentence(values, stops, scenario_of(values, kinds[0]).duration_s),
        scenes=scenes,
        figures=tuple(figures),
        phases=phase_strip(trace),
    )


def _kind(antilock):
    return "with anti-lock" if antilock else "without anti-lock"


def _distance(label, stop):
    return (
        Figure(label=label, value=f"{stop.way:.1f}", unit="m")
        if stop.stands
        else Figure(label=label, value="does not stand")
    )


def _sentence(values, stops, seconds):
    names = [surface_words(values[side]) for side in ("left", "right")]
    road = (
        names[0]
        if names[0] == names[1]
        else f"{names[0]} on the left, {names[1].lower()} on the right"
    )
    kind, stop = values["antilock"], stops[0]
    text = f"{road}, {values['speed']:g} km/h, {_kind(kind)}: {stands(stop, seconds)}"
    text += f" and uses {percent(stop.grip_used)} of the grip; "
    text += f"{locking(stop)}.{_turned(stop, kind)}{stop.ended}"
    if len(stops) == 2:
        text += f" {_kind(not kind).capitalize()} {stands(stops[1], seconds)}"
        if stop.stands and stops[1].stands:
            more = stops[1].way - stop.way
            text += (
                f", {abs(more):.1f} m {'more' if more > 0 else 'less'}"
                if abs(more) > 0.05
                else ", no difference"
            )
        text += f".{_turned(stops[1], not kind)}{stops[1].ended}"
    return text


def stands(stop, seconds):
    """Where the car stands, in words."""
    return (
        f"the car stands after {stop.way:.1f} m"
        if stop.stands
        else f"the car does not stand within {seconds:g} s"
    )


def locking(stop):
    """Whether a wheel locks, in words, and down to which speed that was looked at."""
    longest = f"a wheel is locked for up to {stop.locked:.2f} s"
    return f"above {_FAST * IN_KMH:.0f} km/h " + (
        longest if stop.locked > 0.005 else "no wheel locks"
    )


def _turned(stop, antilock):
    if stop.turn < 20.0:
        return ""
    return f" {_kind(antilock).capitalize()} it " + (
        "spins round." if stop.turn > 180.0 else f"turns by {stop.turn:.0f}°."
    )


def stop_panel(locked_by=None, left="wet_asphalt", right="wet_asphalt"):
    """The brake stop."""
    controls = [
        Switch("antilock", "Anti-lock on", False),
        surface_choice("left", "Road on the left", left),
        surface_choice("right", "Road on the right", right),
        tyre_choice(),
        Slider("speed", "Speed", "km/h", 20, 80, 5, 50),
        Slider("brake", "Pedal pressure", "bar", 10, 150, 5, 100),
        vehicle_choice(),
        Switch("compare", "Show the other car too", True),
    ]
    return Panel("Emergency stop", controls, stop_view, locked_by=locked_by)


def outcome(antilock, **values):
    """Stop figures of the panel's run, for statements in a lesson."""
    base = {
        "vehicle": "rear_petrol",
        "left": "wet_asphalt",
        "right": values.get("left", "wet_asphalt"),
        "speed": 50,
        "brake": 100,
    }
    (trace,) = runs([scenario_of({**base, **values}, antilock)])
    return Stop(trace)
