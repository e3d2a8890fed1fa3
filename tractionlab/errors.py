"""The one kind of error a user is meant to read, and what it says of a word that is not known."""

from collections.abc import Sequence
from difflib import get_close_matches

_SHORT, _LONG = 12, 50


class UserError(ValueError):
    """A user's mistake or a machine that lacks something, told in one sentence.

    The message names the file, the field and the allowed range where there are such, and the way
    out. The command line prints it without a traceback and ends with exit code 2."""


def did_you_mean(word: object, known: Sequence[str]) -> str:
    """What a message says of a word that is none of `known`: the nearest, and all there are unless
    that is a long list.
    """
    near = get_close_matches(str(word), known, n=1, cutoff=0.7)
    if not near and len(known) > _LONG:
        return (
            f"there are {len(known)}, such as"
            f" {', '.join(get_close_matches(str(word), known, n=3, cutoff=0.0))}"
        )
    every = f"known are {', '.join(known)}"
    return (
        every
        if not near
        else f"did you mean {near[0]!r}?"
        + (f" {every[0].upper()}{every[1:]}" if len(known) <= _SHORT else "")
    )
