"""The road: rectangles of surface that may appear and vanish with time; the first one that holds
the point counts.
"""

#: Columns of a patch row: x and y extent [m], time it is there [s], index of its surface.
X_FROM, X_TO, Y_FROM, Y_TO, T_FROM, T_TO, SURFACE = range(7)

#: Half the length and half the width of what a tyre stands on [m]. Common practice, no source.
HALF_LENGTH, HALF_WIDTH = 0.06, 0.08


def surface_at(x, y, t, patches):
    """Index of the surface under point (x, y) [m] at time t [s].

    Parameters
    ----------
    patches : array, shape (n, 7)
        Rows as named above; the last row must cover everything.
    """
    last = patches.shape[0] - 1
    for i in range(last):
        if (
            patches[i, X_FROM] <= x < patches[i, X_TO]
            and patches[i, Y_FROM] <= y < patches[i, Y_TO]
            and patches[i, T_FROM] <= t < patches[i, T_TO]
        ):
            return int(patches[i, SURFACE])
    return int(patches[last, SURFACE])


def surfaces_under(x, y, t, patches):
    """(index of one surface, index of the other, share of the other) under a tyre whose middle is
    at (x, y) [m] at time t [s].

    The tyre stands on a small rectangle, so it rolls over an edge bit by bit. The share is taken
    along a diagonal of that rectangle, where an edge across the road and one along it both show.
    Found by halving, to a millionth."""
    ahead = surface_at(x + HALF_LENGTH, y + HALF_WIDTH, t, patches)
    behind = surface_at(x - HALF_LENGTH, y - HALF_WIDTH, t, patches)
    if ahead == behind:
        return ahead, behind, 0.0
    low, high = -1.0, 1.0
    for _ in range(20):
        middle = 0.5 * (low + high)
        if surface_at(x + middle * HALF_LENGTH, y + middle * HALF_WIDTH, t, patches) == ahead:
            high = middle
        else:
            low = middle
    return ahead, behind, 0.5 * (low + 1.0)
