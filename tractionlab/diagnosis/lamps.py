"""Warning lamps: which lamp is on, and why, for every sample of a drive."""

import numpy as np

OFF, ON, FLASHING = 0, 1, 2
LAMPS = ("abs", "tc", "tc_off", "brake")
NAMES = {
    "abs": "ABS lamp (amber)",
    "tc": "TC lamp (amber)",
    "tc_off": "TC off lamp (amber)",
    "brake": "Brake lamp (red)",
}
FLASHES_PER_S = 2.5
#: Lamps that a fault of each group lights. Source: the course's own table; a lamp of its own for
#: anti-lock faults and one for "switched off" are asked
#: for by 71/320/EEC, Annex X, 4.1, and by the UN rules for stability control (second-hand).
BY_GROUP = {
    "none": (),
    "traction": ("tc",),
    "shared": ("abs", "tc"),
    "distribution": ("abs", "tc", "brake"),
    "fluid": ("tc", "brake"),
    "pause": ("tc",),
}


def lamps(asked, check, control, off, dark=()):
    """State of each lamp over a drive, name -> array (n,) of OFF, ON, FLASHING.

    Parameters
    ----------
    asked : group -> bool array (n,): a fault of that group asks for its lamps
    check : bool array, lamp check; control : bool array, traction control is at work; off : bool
        array, the driver has switched it off
    dark : names of lamps that cannot light
    """
    n = len(check)
    found = {name: np.where(check, ON, OFF).astype(np.int8) for name in LAMPS}
    found["tc_off"][off] = ON
    found["tc"][control & ~check] = FLASHING
    for group, on in asked.items():
        for name in BY_GROUP[group]:
            found[name][on] = ON
    for name in dark:
        found[name] = np.zeros(n, np.int8)
    return found


def switched_off(button, awake):
    """Has the driver switched traction control off? A press of the button turns it over; every
    ignition cycle starts with it on.

    button : bool array (n,), pressed; a press of more than LONGEST seconds does not count and puts
        it back on
    """
    press = button & ~np.concatenate(([False], button[:-1])) & awake
    off = np.cumsum(press) % 2 == 1
    width = int(LONGEST_PRESS_S / 0.01)
    held = np.cumsum(button)
    before = (
        np.concatenate((np.zeros(width, held.dtype), held[:-width]))[: len(held)]
        if len(held) > width
        else np.zeros(len(held), held.dtype)
    )
    stuck = np.maximum.accumulate(held - before >= width)
    return off & awake & ~stuck


#: A button pressed for longer is taken for stuck, and traction control is there again.
LONGEST_PRESS_S = 45.0
