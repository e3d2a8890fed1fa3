"""Start-up check: what the control unit does by itself after ignition on and at the first move."""

from dataclasses import dataclass

import numpy as np

from tractionlab.diagnosis.fault_memory import CYCLE
from tractionlab.units import KMH

LAMPS_S = 3.0  #: lamps on
PULSES_S = (0.20, 0.30)  #: each valve coil gets 2 ms in turn, over and over
RELAY_S = (0.30, 0.36)  #: pump relay closed for a moment: is there a feed?
SWEEP_S = (0.50, 0.80)  #: second throttle shut and opened again
PUMP_TEST_S = 0.1
PUMP_TEST_KMH, PUMP_TEST_PRESSED_KMH = 8.0, 16.0
SIGNALS_KMH = 12.0  #: by then all wheels must show a speed


@dataclass(frozen=True)
class StartUp:
    """When the check does what, bool arrays (n,): lamps on, coils pulsed, pump relay tried,
    throttle swept, pump tested at the first move.
    """

    lamps: np.ndarray
    pulses: np.ndarray
    relay: np.ndarray
    sweep: np.ndarray
    pump: np.ndarray


def start_up(time, awake, speed, pedal):
    """The check in a drive.

    Parameters
    ----------
    time : array (n,) [s]; awake : bool array, the unit has supply and ignition; speed : array, road
        speed as it knows it [m/s];
    pedal : bool array, brake pedal pressed

    Source: the course's own check; that lamps light and are tested after moving off is required by
    71/320/EEC, Annex X, 4.1 (second-hand)."""
    first = int(np.argmax(awake)) if awake.any() else len(time)
    since = time - (time[first] if first < len(time) else np.inf)

    def within(span):
        return awake & (since >= span[0] - 1e-9) & (since < span[1] - 1e-9)

    due = awake & (speed >= np.where(pedal, PUMP_TEST_PRESSED_KMH, PUMP_TEST_KMH) * KMH)
    pump = np.zeros(len(time), bool)
    if due.any():
        begin = int(np.argmax(due))
        pump[begin : begin + int(round(PUMP_TEST_S / CYCLE))] = True
    return StartUp(within((0.0, LAMPS_S)), within(PULSES_S), within(RELAY_S), within(SWEEP_S), pump)


def sweep_degrees(time, sweep, full):
    """Where the second plate is sent in the sweep [deg], open at `full` before and after, array
    (n,).
    """
    sent = np.full(len(time), float(full))
    if sweep.any():
        begin = int(np.argmax(sweep))
        share = (time[sweep] - time[begin]) / (SWEEP_S[1] - SWEEP_S[0])
        sent[sweep] = full * np.abs(2.0 * share - 1.0)
    return sent
