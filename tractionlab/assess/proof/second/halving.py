"""Halving: the slow, sure way to the place where something is reached."""


def halved(low, high, reached):
    """Smallest number between `low` and `high` at which `reached(number)` is true, where it is
    false below and true above.
    """
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (low, middle) if reached(middle) else (middle, high)
    return high
