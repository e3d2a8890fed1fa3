"""Crossing out at the bench, with help that fades: at first the case crosses out with the learner,
then it checks what the learner crosses out, at last it is silent until the end.
"""

from tractionlab.errors import UserError
from tractionlab.workshop.case import suspects
from tractionlab.workshop.fault_entry import KINDS
from tractionlab.workshop.faults import fault

#: How the case helps with a list of faults in practice.
HELPS = {
    "with_you": "crosses out with me",
    "checks": "checks what I cross out",
    "silent": "says nothing until the end",
}
_NAMED = 2  #: faults that the answer names; the list shows all


class Crossing:
    """The list of faults of a practice case, as far as its readings have been crossed out for;
    `help` is one of HELPS.
    """

    def __init__(self, case, help):
        if help not in HELPS:
            raise UserError(f"help must be one of {', '.join(HELPS)}; got {help!r}")
        self.case, self.help, self._done, self._own = case, help, 0, set()

    @property
    def silent(self):
        """True while the list is the learner's own."""
        return self.help == "silent" and not self.case.over

    @property
    def due(self):
        """True if there are readings for which the learner has not yet said what they exclude; in
        a silent case the own list can be changed from the first reading on.
        """
        case = self.case
        return (
            case.mode == "practice"
            and self.help != "with_you"
            and not case.over
            and not case.repaired_anything
            and (bool(case.readings) if self.silent else self._done < len(case.readings))
        )

    def rows(self):
        """[place, kind of fault, still possible?, name] of each fault with the symptom; in a silent
        case possible is what the learner has not crossed out.
        """
        if self.silent:
            left = set(self.case.candidates()) - self._own
        else:
            if not self.due:
                self._done = len(self.case.readings)
            left = self._left(self._done)
        return [
            [fault(key).place, KINDS[fault(key).kind], key in left, key]
            for key in self.case.candidates()
        ]

    def _left(self, count):
        """Faults that agree with the first so many readings."""
        left = self.case.candidates()
        for step, readings in list(self.case.readings.items())[:count]:
            left = suspects.still_possible(left, step, readings, self.case.vehicle)
        return set(left)

    def cross(self, said):
        """Hear which faults (names) the new readings exclude; returns what the learner is told."""
        if not self.due:
            raise UserError("There is no new reading to cross out for.")
        if self.silent:
            self._own = set(said) & set(self.case.candidates())
            return f"Your list: {len(self.rows()) - len(self._own)} left of {len(self.rows())}."
        before, after = self._left(self._done), self._left(len(self.case.readings))
        self._done = len(self.case.readings)
        return _told(set(said) & before, before - after)

    def at_the_end(self):
        """What a silent case says of the learner's list once it has ended; else ''."""
        if self.help != "silent" or not self.case.over or self.case.stopped:
            return ""
        truth = set(self.case.candidates()) - self._left(len(self.case.readings))
        words = f"Your readings exclude {len(truth)} of {len(self.case.candidates())} faults."
        words += f" You crossed out {len(truth & self._own)} of them"
        if wrong := self._own - truth:
            words += f", and {len(wrong)} that your readings do not exclude"
        if self.case.fault.id in self._own:
            words += "; the fault itself was among them"
        return words + "."


def _told(said, truth):
    """The answer to a learner who said that the readings exclude the faults `said`, while they
    exclude `truth`; both sets of names.
    """
    if said == truth:
        return (
            f"Right: {len(truth)} crossed out, and nothing else."
            if truth
            else "Right: this crosses nothing out."
        )
    text = f"{len(said & truth)} of {len(truth)} right." if truth else "This crosses nothing out."
    if missed := truth - said:
        text += f" Out as well: {_places(missed)}."
    if wrong := said - truth:
        text += f" Still possible, you would read the same: {_places(wrong)}."
    return text


def _places(names):
    places = sorted(fault(name).place for name in names)
    return (
        "; ".join(places)
        if len(places) <= _NAMED
        else f"{'; '.join(places[:_NAMED])}; and {len(places) - _NAMED} more, see the list"
    )
