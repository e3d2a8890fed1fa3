"""What the panels show of the predictions on wheel-speed sensors and the reference speed."""

from tractionlab.lesson.outcome import Outcome
from tractionlab.lesson.sensor_facts import (
    belief,
    believed,
    on_two_rollers,
    read_with_gap,
    ring_reading,
    signal_starts,
)


def _gap():
    near, far = signal_starts(0.8, 2.0)
    return Outcome(
        f"With 0.8 mm the signal starts at {near:.1f} km/h, with 2 mm at {far:.1f} km/h.",
        2 if far > 1.2 * near else 1,
    )


def _ring():
    _, low, high = ring_reading("missing", 30)
    return Outcome(
        f"The control unit reads {high:.0f} km/h, and once a turn for a moment {low:.0f} km/h.",
        3 if low < 0.8 * high else 1,
    )


def _all():
    time, car, reference, *_ = believed(drive="all")
    return Outcome(
        f"After {time:.1f} s the car does {car:.0f} km/h, and the control unit believes"
        f" {reference:.0f} km/h.",
        2 if reference > car + 2 else 1 if reference > car - 2 else 3,
    )


def _rollers():
    reference, slip, acts = on_two_rollers(20)
    return Outcome(
        f"The unit believes that the car does {reference:.0f} km/h and that the driven wheels slip"
        f" {slip:.0f} %. After {acts:.1f} s it would act.",
        2 if slip > 90 else 1,
    )


#: Prediction -> its computed curve.
CURVES = {"3.gap": lambda: read_with_gap(2.0), "4.all": lambda: belief("all")}
#: Prediction -> function that works its outcome out.
OUTCOMES = {
    "3.gap": _gap,
    "3.ring": _ring,
    "4.all": _all,
    "4.rollers": _rollers,
}
