"""What a panel shows of a prediction: the result in words, and which guess came true."""

from dataclasses import dataclass

_NEAR = 0.2  #: of the true number: as near a guess counts as come true
_NEAR_ZERO = 1.0  #: in the unit of the guess, where the true number is nought


@dataclass(frozen=True)
class Outcome:
    """`words` say what the panel shows.

    `truth` is the number of the right option, the true number, or None where no guess is wrong.
    """

    words: str
    truth: float | None

    def came_true(self, guess, options):
        """True or False for a guess (option number or number in the prediction's unit), None if it
        cannot be told.
        """
        if self.truth is None:
            return None
        if options:
            return int(guess) == self.truth
        return abs(guess - self.truth) <= max(
            _NEAR * abs(self.truth), _NEAR_ZERO if round(self.truth) == 0 else 0.0
        )
