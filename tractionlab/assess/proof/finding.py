"""What the proof of one field says."""

from dataclasses import dataclass
from types import MappingProxyType

#: Kinds of findings, in the words of the report.
KINDS = MappingProxyType({"shown": "shown", "seen": "needs a person", "fails": "FAILS"})


@dataclass(frozen=True)
class Finding:
    """What the proof of one field says. kind: "shown", "seen" (needs a person: no computation can
    tell) or "fails".
    """

    item: str
    field: str
    kind: str
    words: str
    route: str = ""  # by what the key was shown: the method, or the worked examples
    asked: bool = False  # is it a question that only a person can answer?
