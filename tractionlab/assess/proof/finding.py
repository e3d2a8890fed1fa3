"""What the proof of one field says."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """What the proof of one field says. kind: "shown", "seen" (needs a person: no computation can
    tell) or "fails".
    """

    item: str
    field: str
    kind: str
    words: str
    asked: bool = False  # is it a question that only a person can answer?
