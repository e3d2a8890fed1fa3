"""Crossing out at the bench: in practice the learner says first which faults a reading excludes,
then the list follows the reading.
"""

from tractionlab.errors import UserError
from tractionlab.workshop.case import suspects
from tractionlab.workshop.fault_entry import KINDS
from tractionlab.workshop.faults import fault

_NAMED = 2  #: faults that the answer names; the list shows all


class Crossing:
    """The list of faults of a practice case, as far as its readings have been crossed out for.

    `with_you`: that is done at once.
    """

    def __init__(self, case, with_you):
        self.case, self.with_you, self._done = case, with_you, 0

    @property
    def due(self):
        """True if there are readings for which the learner has not yet said what they exclude."""
        case = self.case
        return (
            case.mode == "practice"
            and not self.with_you
            and not case.over
            and not case.repaired_anything
            and self._done < len(case.readings)
        )

    def rows(self):
        """[place, kind of fault, still possible?, name] of each fault with the symptom."""
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
        before, after = self._left(self._done), self._left(len(self.case.readings))
        self._done = len(self.case.readings)
        return _told(set(said) & before, before - after)


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
