"""What is left of the control while something is wrong: seven modes, from all to the bare brake."""

import numpy as np

#: Words for a screen, with the mode in front. Which mode a fault leads to stands in
#: data/workshop/monitors.toml; invented.
MODES = {
    "R0": "everything works",
    "R1": "traction control is off, anti-lock works",
    "R2": "traction control works on the engine only",
    "R3": "traction control works on the brakes only, up to 40 km/h",
    "R4": "traction control and anti-lock are off, the brake works by the pedal",
    "R5": (
        "traction control, anti-lock and brake-force distribution are off, the brake works by the"
        " pedal"
    ),
    "R6": "a pause that ends by itself",
}
PARTS = (
    "torque",
    "brake",
    "antilock",
)  #: of the control: torque reduction, brake application, anti-lock
ALL_WORKS = (True, True, True)
#: What each mode takes away of them. A pause takes what the lamps of its fault stand for: of brakes
#: that are too hot the brake application, of a
#: supply that is too low everything.
TAKEN = {
    "R0": (),
    "R1": ("torque", "brake"),
    "R2": ("brake",),
    "R3": ("torque",),
    "R4": PARTS,
    "R5": PARTS,
}
PAUSED = {"pause": ("brake",), "shared": PARTS}
#: The more is gone, the higher: of two modes at once the higher one holds.
_RANK = ("R0", "R6", "R2", "R3", "R1", "R4", "R5")


def taken(monitor):
    """Names of what a fault of this monitor takes away: "torque", "brake", "antilock"."""
    return PAUSED[monitor.group] if monitor.reaction == "R6" else TAKEN[monitor.reaction]


def reduced(asked, n):
    """Mode over a drive, array (n,) of numbers 0 to 6; asked: mode -> bool array (n,).

    Engine and brake action both gone is R1.
    """
    mode = np.zeros(n, np.int8)
    for name in _RANK[1:]:
        if name in asked:
            mode[asked[name]] = int(name[1])
    if "R2" in asked and "R3" in asked:
        mode[asked["R2"] & asked["R3"] & (mode < 4)] = 1
    return mode


def what_works(gone, off):
    """Torque reduction, brake application and anti-lock over a drive, bool array (n, 3).

    gone : tuple as from `taken` -> bool array (n,); off : bool array (n,), the driver has switched
        traction control off, which takes its torque reduction
    """
    works = np.ones((len(off), 3), bool)
    for names, asked in gone.items():
        for name in names:
            works[asked, PARTS.index(name)] = False
    works[off, 0] = False
    return works
