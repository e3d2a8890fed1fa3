"""Results that are worked out once for all: those of a computation that depends on nothing but its
arguments and the catalogue in use, such as the numbers that a lesson states.
"""

from functools import lru_cache, wraps

from tractionlab.catalogue import entries as catalogue

_MOST_KEPT = 60  #: of one computation, with other arguments or files


def once(compute):
    """Decorator: a result is kept until a file of one's own, of a car or a road, changes."""

    @lru_cache(_MOST_KEPT)
    def kept(_, *args, **named):
        return compute(*args, **named)

    @wraps(compute)
    def known(*args, **named):
        return kept(tuple(catalogue.in_use().own_files()), *args, **named)

    return known
