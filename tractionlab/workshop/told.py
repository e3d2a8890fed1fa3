"""What the customer of a fault says, sentence by sentence, with what bears each sentence out."""

from dataclasses import dataclass

_KEYS = {"says", "shows", "kind"}


@dataclass(frozen=True)
class Told:
    """One sentence of a story.

    shows: comparisons that a drive or a test of the bench must bear out, such as "town abs = comes
    on" or "T17 pedal_sinks > 5"; nothing but the tests reads them. kind: of what no drive can
    compute, a key of [told_kinds]; "" where the sentence is computed.
    """

    says: str
    shows: tuple = ()
    kind: str = ""


def read_told(place, rows, kinds):
    """Sentences of a story as a tuple of Told.

    Parameters
    ----------
    place : has wrong(field, problem), which makes a UserError with file and entry
    rows : list of tables from the file
    kinds : mapping of the kinds that may stand there
    """
    if not isinstance(rows, list) or not rows:
        raise place.wrong("told", 'must hold sentences, as in [{ says = "...", shows = ["..."] }]')
    return tuple(_sentence(place, number, row, kinds) for number, row in enumerate(rows, 1))


def _sentence(place, number, row, kinds):
    field = f"told, sentence {number},"
    if not isinstance(row, dict) or not set(row) <= _KEYS:
        raise place.wrong(field, f"may hold {', '.join(sorted(_KEYS))}; got {row!r}")
    says, shows, kind = row.get("says"), row.get("shows", []), row.get("kind", "")
    if not isinstance(says, str) or not says.strip().endswith((".", "?", "!")):
        raise place.wrong(field, f"must say a whole sentence, got {says!r}")
    if not isinstance(shows, list) or any(not isinstance(claim, str) for claim in shows):
        raise place.wrong(field, f"shows must be a list of texts, got {shows!r}")
    if not shows and not kind:
        raise place.wrong(
            field, f"needs what `shows` it, or its kind: {', '.join(kinds)}; it says {says!r}"
        )
    if kind and (shows or kind not in kinds):
        raise place.wrong(
            field, f"kind must be one of {', '.join(kinds)}, without `shows`; got {kind!r}"
        )
    return Told(says, tuple(shows), kind)
