"""Numbers that the lesson on self-diagnosis states, computed by the package."""

import numpy as np

from tractionlab.diagnosis import start_up
from tractionlab.panels.self_diagnosis import FIVE
from tractionlab.panels.worked_out import once
from tractionlab.workshop.codes import code_list
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.world import still
from tractionlab.workshop.part_values import changed, part_values


@once
def five_causes():
    """(failure types, voltages at the unit [V]) of the causes of lesson 9 that are there all the
    time, car standing: coil, lead, body, corrosion.
    """
    types, volts = [], []
    for key in ("coil", "plug", "body", "corroded"):
        cause = FIVE[key]
        found = diagnose(
            cause.vehicle,
            changed(part_values(cause.vehicle), cause.changes),
            still(cause.vehicle, 500),
        )
        types.append(found.codes[0][1])
        volts.append(abs(round(float(np.median(found.seen["bias"][100:, 0])), 2)))
    return types, volts


def check_times():
    """Of the start-up check: lamps [s], coil pulses until [s], pump test from [km/h] and with the
    pedal pressed [km/h].
    """
    return (
        start_up.LAMPS_S,
        start_up.PULSES_S[1],
        start_up.PUMP_TEST_KMH,
        start_up.PUMP_TEST_PRESSED_KMH,
    )


def both_editions(code):
    """What the present list and the old one say of a code."""
    return code_list().codes[code].text, code_list().old_codes[code].text
