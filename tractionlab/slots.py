"""Names for the places of an array, counted once: names and widths in, first places out."""


def slots(**widths):
    """First place of each name in an array that holds them one after the other, and the length of
    the array.

    Examples
    --------
    >>> speed, wheels, torque, length = slots(speed=1, wheels=4, torque=1)
    >>> speed, wheels, torque, length
    (0, 1, 5, 6)
    """
    first, at = [], 0
    for width in widths.values():
        first.append(at)
        at += width
    return (*first, at)
