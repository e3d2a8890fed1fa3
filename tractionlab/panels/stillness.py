"""When a control on the page was last moved: what is computed beside the clicks rests meanwhile."""

import time

#: Seconds without a movement after which the page counts as still.
STILL_S = 0.5
_moved = [float("-inf")]


def note_movement():
    """A control has just been moved."""
    _moved[0] = time.monotonic()


def wait_until_still():
    """Return once no control has been moved for STILL_S; at once if that is so now."""
    while (left := _moved[0] + STILL_S - time.monotonic()) > 0:
        time.sleep(left)
