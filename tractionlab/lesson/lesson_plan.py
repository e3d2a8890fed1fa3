"""The plan at the head of an instructor's sheet: what the lesson is for, and its minutes step by
step.
"""

from tractionlab.lesson.start import needs_of
from tractionlab.paint.blocks import Rows, Text

#: How long a piece takes beside the others. Common practice, no source: a proposal, to be fitted to
#: the class.
_WEIGHTS = {
    "text": 1,
    "question": 2,
    "task": 3,
    "explain": 3,
    "exercise": 8,
    "service_work": 8,
    "repair_case": 30,
}
_BEGINNING = "Begin"
#: Headings that belong to the step before them.
_PARTS = ("Explain", "What it shows")


class Plan:
    """Counts what a lesson has under each heading.

    `begin(heading)`, then `add(kind)` for each piece below it.
    """

    def __init__(self, entry):
        self.entry, self.weights, self.now = entry, {}, _BEGINNING

    def begin(self, heading):
        """Go on under another heading."""
        if heading not in _PARTS:
            self.now = heading

    def add(self, kind):
        """Count a piece: a key of the weights."""
        self.weights[self.now] = self.weights.get(self.now, 0) + _WEIGHTS[kind]

    def minutes(self):
        """{heading: whole minutes}; together they are the minutes of the lesson, without the bay
        work.
        """
        steps = {name: weight for name, weight in self.weights.items() if name != "In the bay"}
        share, done, found = self.entry["minutes"] / sum(steps.values()), 0.0, {}
        for name, weight in steps.items():
            found[name] = round(done + share * weight) - round(done)
            done += share * weight
        return found

    def blocks(self):
        """Blocks for the head of the sheet."""
        entry = self.entry
        rows = (
            ("Time", f"{entry['minutes']} minutes without the bay work"),
            ("Needs", needs_of(entry)),
            ("Learners can", "; ".join(outcome["text"] for outcome in entry["outcomes"])),
            ("In the bay", entry["bay"]),
        )
        steps = tuple((name, f"{minutes}") for name, minutes in self.minutes().items() if minutes)
        return [
            Rows("Plan", ("What", "In this lesson"), rows, (1, 4)),
            Rows("Minutes, step by step", ("Step", "Minutes"), steps, (4, 1)),
            Text(
                "The minutes are a proposal: fit them to your class. A lesson can stop after its"
                " first exercise and go on next time."
            ),
        ]
