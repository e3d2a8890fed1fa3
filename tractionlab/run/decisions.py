"""Decisions of the control unit in a run: what changed, when, for which wheel or for the torque,
and why, in a sentence.
"""

from collections.abc import Iterator
from itertools import repeat
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tractionlab.catalogue.reasons import Phase, Reason, reason_words
from tractionlab.control.phases import WORSE_REAR_WHEEL
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.wheels import WHEEL_WORDS

if TYPE_CHECKING:
    from tractionlab.run.trace import Trace

#: Stands in the place of a wheel's number where the torque is meant.
TORQUE = 4
#: Words of what decides for itself: the four wheels, then the torque.
SUBJECTS = (*WHEEL_WORDS, "torque")
#: Shares of a cycle nearer to 0 or 1 than this are 0 or 1: an order is spread over cycles by
#: subtraction.
_NEARLY = 1e-6
#: Ways to take torque away: channel of the order, its value while nothing is taken away, words.
PATHS = (
    ("ignition_order", 1.0, "ignition"),
    ("fuel_cut_order", 0.0, "fuel cut"),
    ("throttle_order", 1.0, "throttle"),
    ("motor_order", 1.0, "motor"),
)
#: Time [s] in which every path has got its order: ignition and fuel change at a firing, 30 ms apart
#: at idle speed.
_FIRING = 0.03


class Decision(NamedTuple):
    """One decision. `subject`: number of the wheel, or TORQUE; before, after, reason: numbers as in
    `control.phases`; seen, limit: the two values that the reason compares, in SI units (degC), and
    `noted` the time [s] at which they were: a step may come later than the look that called for it.

    Of a wheel, `order` is follow, hold, up or down, and `duration` how long [s] a valve is open for
    it. Of the torque, `asked` is what the engine shall give [N m] and `paths` are words of PATHS.
    """

    row: int
    time: float
    subject: int
    before: int
    after: int
    reason: int
    seen: float
    limit: float
    noted: float
    order: str = ""
    duration: float = 0.0
    asked: float = 0.0
    paths: tuple[str, ...] = ()

    @property
    def who(self) -> str:
        """The wheel, or the torque, in words."""
        return SUBJECTS[self.subject]

    @property
    def phase(self) -> Phase:
        """The phase that is now."""
        return phases_of(self.subject)[self.after]

    @property
    def phase_before(self) -> Phase:
        """The phase that was before."""
        return phases_of(self.subject)[self.before]

    @property
    def why(self) -> Reason:
        """The reason, with its words and unit."""
        return reason_words().reasons[self.reason]

    @property
    def milliseconds(self) -> str:
        """How long a valve is open, as people read it."""
        return f"{1e3 * self.duration:.1f}".removesuffix(".0") + " ms"

    @property
    def so(self) -> str:
        """What follows, in words."""
        if self.subject == TORQUE:
            torque = f"{self.asked:z.0f} N m".replace("-", "\u2212")
            brakes = " (the engine brakes)" if round(self.asked) < 0 else ""
            by = f", by {_listed(self.paths)}" if self.paths else ""
            return self.phase.so.format(torque=torque + brakes) + by
        return reason_words().orders[self.order].format(time=self.milliseconds)

    @property
    def because(self) -> str:
        """The reason, and what follows from it."""
        why = self.why.words(self.seen, self.limit)
        if self.why.unit and self.noted < self.time:
            why += f" (seen at {self.noted:.2f} s)"
        return f"{f'{why}, so ' if why else ''}{self.so}."

    @property
    def sentence(self) -> str:
        """The decision as a sentence: time and wheel, the reason, what follows."""
        return f"{self.time:.2f} s, {self.who}: {self.because}"


def _listed(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def phases_of(subject: int) -> tuple[Phase, ...]:
    """The phases that a wheel, or the torque, can be in."""
    words = reason_words()
    return words.torque_phases if subject == TORQUE else words.wheel_phases


def decisions(trace: "Trace") -> list[Decision]:
    """All decisions of a run in order of time: rows where the phase or the reason of a wheel or of
    the torque changes, and where a valve opens once more or goes from the pedal to the unit.
    """
    found = [one for wheel in range(4) for one in _of_wheel(trace, wheel)]
    return sorted([*found, *_of_torque(trace)], key=lambda one: (one.row, one.subject))


def _changes(values: NDArray[np.float64], first: float) -> NDArray[np.bool_]:
    """(n,): where a value differs from the one before, at first from `first`."""
    found = np.empty(len(values), dtype=bool)
    found[:1] = values[:1] != first
    np.not_equal(values[1:], values[:-1], out=found[1:])
    return found


def _noted(phase: NDArray[np.float64], *values: NDArray[np.float64]) -> NDArray[np.intp]:
    """(n,): the row in which what holds in a row was noted: phase, reason or a value changed."""
    fresh = _changes(phase, 0.0)
    for value in values:
        fresh = fresh | _changes(value, 0.0)
    return np.maximum.accumulate(np.where(fresh, np.arange(len(phase)), 0))


def _of_wheel(trace: "Trace", wheel: int) -> list[Decision]:
    phase, reason, orders = (trace[name][:, wheel] for name in ("phase", "reason", "valve_mode"))
    seen, limit = trace.reason_seen[:, wheel], trace.reason_limit[:, wheel]
    noted = _noted(phase, reason, seen, limit)
    follows, last = orders == FOLLOW_PEDAL, np.concatenate([[FOLLOW_PEDAL], orders[:-1]])
    open_now = ~follows & (np.abs(orders) > _NEARLY)
    went_on = (np.abs(last - np.sign(orders)) < _NEARLY) & ~follows
    # which of the rear wheels is the slower one may change each cycle, and means nothing new
    worse = reason == WORSE_REAR_WHEEL
    other_reason = _changes(reason, 0.0) & ~_changes(worse * 1.0, 0.0)
    new = _changes(phase, 0.0) | other_reason | _changes(follows * 1.0, 1.0)
    rows = np.flatnonzero(new | (open_now & ~went_on))
    cycle = float(trace.time[1] - trace.time[0]) if len(trace) > 1 else 0.0
    made = _made(trace, wheel, rows, phase, reason, seen, limit, noted)
    ends = [*rows[1:].tolist(), len(trace)]
    return [Decision(*one, *_order(orders, one[0], end, cycle)) for one, end in zip(made, ends)]


def _made(
    trace: "Trace", subject: int, rows: NDArray[np.intp], phase: NDArray[np.float64], *rest: NDArray
) -> Iterator[tuple[int, float, int, int, int, int, float, float, float]]:
    """The first nine fields of the decisions in these rows; `rest` are reason, seen, limit and
    noted of all rows.
    """
    reason, seen, limit, noted = (values[rows] for values in rest)
    return zip(
        rows.tolist(),
        trace.time[rows].tolist(),
        repeat(subject),
        np.where(rows > 0, phase[rows - 1], 0.0).astype(int).tolist(),
        phase[rows].astype(int).tolist(),
        reason.astype(int).tolist(),
        seen.tolist(),
        limit.tolist(),
        trace.time[noted].tolist(),
    )


def _order(orders: NDArray[np.float64], row: int, end: int, cycle: float) -> tuple[str, float]:
    """What the valves do from this row on, until the next decision: order and duration."""
    first = float(orders[row])
    if first == FOLLOW_PEDAL:
        return "follow", 0.0
    if abs(first) <= _NEARLY:
        return "hold", 0.0
    sizes = np.abs(orders[row:end])
    shut = sizes <= _NEARLY
    pulse = sizes[: shut.argmax()] if shut.any() else sizes
    return "up" if first > 0.0 else "down", float(pulse.sum() * cycle)


def _of_torque(trace: "Trace") -> list[Decision]:
    phase, reason = trace.torque_phase, trace.torque_reason
    noted = _noted(phase, reason, trace.torque_seen, trace.torque_limit)
    near = 1 + int(np.searchsorted(trace.time, trace.time[0] + _FIRING - 1e-9))
    rows = np.flatnonzero(_changes(phase, 0.0) | _changes(reason, 0.0))
    made = _made(trace, TORQUE, rows, phase, reason, trace.torque_seen, trace.torque_limit, noted)
    ends, asked = np.minimum(rows + near, len(trace)), trace.torque_request[rows].tolist()
    used = [_any_between(trace[name] != rest, rows, ends) for name, rest, _ in PATHS]
    return [
        Decision(
            *one,
            asked=torque,
            paths=tuple(words for on, (_, _, words) in zip(which, PATHS) if on),
        )
        for one, torque, which in zip(made, asked, zip(*used))
    ]


def _any_between(
    values: NDArray[np.bool_], first: NDArray[np.intp], after: NDArray[np.intp]
) -> list[bool]:
    """For each stretch from a row of `first` to before that of `after`: is any value true?"""
    count = np.concatenate([[0], np.cumsum(values)])
    return (count[after] > count[first]).tolist()
