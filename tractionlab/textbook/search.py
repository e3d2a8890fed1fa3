"""Finding the highest point of a curve, and where a curve crosses a value, without any library."""

GOLDEN = 0.6180339887498949


def highest_point(curve, low, high):
    """(x, value) where `curve` is highest between `low` and `high`; the curve must have one hump
    there.
    """
    for _ in range(80):
        left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        if curve(left) < curve(right):
            low = left
        else:
            high = right
    middle = 0.5 * (low + high)
    return middle, curve(middle)


def crossing(curve, value, below, above):
    """x where `curve` is `value`, between an x where it is less (`below`) and one where it is more
    (`above`).
    """
    for _ in range(100):
        middle = 0.5 * (below + above)
        if curve(middle) < value:
            below = middle
        else:
            above = middle
    return 0.5 * (below + above)
