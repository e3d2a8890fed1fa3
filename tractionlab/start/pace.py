"""How fast a browser may ask: so many requests or messages at once, then so many a second, so that
one that floods the server does not slow the others.
"""

import time


class Pace:
    """Allowances by name. What is used comes back with time.

    Parameters
    ----------
    most : what may be used at once; per_second : what comes back
    """

    def __init__(self, most, per_second):
        self._most, self._per_second = most, per_second
        #: {name: (what was left, when)}
        self._left = {}

    def take(self, name, cost=1.0):
        """Use some; False if there is not enough, and then the rest is used up."""
        now = time.monotonic()
        left, when = self._left.get(name, (self._most, now))
        left = min(self._most, left + (now - when) * self._per_second) - cost
        self._left[name] = max(0.0, left), now
        return left >= 0
