"""Wheel speed from the teeth that a sensor counts, as the input stage of a control unit works it
out.
"""

#: Without a tooth for so long [s] a wheel counts as standing.
STANDING = 0.25


def read_wheel(teeth, tooth_time, now, speed, last, pitch):
    """Speed of a wheel after one more cycle.

    Speed is the distance of the teeth counted since the last one, over the time between the two. A
    wheel that shows no tooth is at most as fast as one tooth in the time since.

    Parameters
    ----------
    teeth : float, counted in this cycle
    tooth_time, now : float, time of the last of them, and the end of the cycle [s]
    speed, last : float, speed [m/s] and time of the last tooth [s] before this cycle; a negative
        time = the wheel stood
    pitch : float, distance from tooth to tooth [m]

    Returns
    -------
    (speed, last) : the same two after this cycle
    """
    if teeth > 0.0:
        if last >= 0.0:
            speed = teeth * pitch / max(tooth_time - last, 1e-5)
        return speed, tooth_time
    if last >= 0.0:
        silent = now - last
        if silent > STANDING:
            return 0.0, -1.0
        return min(speed, pitch / max(silent, 1e-5)), last
    return speed, last
