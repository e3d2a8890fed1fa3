"""The road: rectangles of surface that may appear and vanish with time; the first one that holds the point counts."""

#: Columns of a patch row: x and y extent [m], time it is there [s], index of its surface.
X_FROM, X_TO, Y_FROM, Y_TO, T_FROM, T_TO, SURFACE = range(7)


def surface_at(x, y, t, patches):
    """Index of the surface under point (x, y) [m] at time t [s].

    Parameters
    ----------
    patches : array, shape (n, 7)
        Rows as named above; the last row must cover everything.
    """
    last = patches.shape[0] - 1
    for i in range(last):
        if (patches[i, X_FROM] <= x < patches[i, X_TO] and patches[i, Y_FROM] <= y < patches[i, Y_TO]
                and patches[i, T_FROM] <= t < patches[i, T_TO]):
            return int(patches[i, SURFACE])
    return int(patches[last, SURFACE])
