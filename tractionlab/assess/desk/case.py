"""A repair case at the candidate's desk: the workshop bench, graded, with every step kept in the
answer file and no points shown.
"""

from html import escape

from ipywidgets import HTML

from tractionlab.assess.answers.case_log import LONGEST, case_for, opened, stored
from tractionlab.assess.desk.replies import odd
from tractionlab.catalogue.entries import shipped_only
from tractionlab.errors import UserError
from tractionlab.panels.case import CaseBench
from tractionlab.workshop.case.replay import do_again

#: Steps of a graded case; a case for practice has more.
STEPS = (
    *("cautions", "test", "hint", "measure_at", "reading", "back"),
    *("repair", "clear", "note", "honest_stop", "finish"),
)


def desk_case(field, log, keep, may_work, draft):
    """The whole bench of a DeskCase, or what to do if its log cannot be continued."""
    try:
        return DeskCase(field, log, keep, may_work, draft).whole
    except UserError as problem:
        return HTML(
            "<p role='alert'><strong>This case cannot be continued from the steps that were kept: "
            f"{escape(str(problem))} Tell the supervisor, and go on with the next item."
            "</strong></p>"
        )


class DeskCase(CaseBench):
    """The bench for one issued field.

    Parameters
    ----------
    field : dict of the sheet; log : what was kept of it before, [] at first
    keep : callable(entry), stores an entry and raises if it cannot; may_work : callable, True while
        the time runs
    draft : str, candidate and item, by which the browser keeps a note that is not yet written down
    """

    @shipped_only()
    def __init__(self, field, log, keep, may_work, draft):
        self._car, self._keep_entry, self._may_work = field["car"], keep, may_work
        case = case_for(field)
        for entry in opened(log, self._car, case.fault.id)[1:]:
            do_again(case, entry)
        self._kept = len(log)
        super().__init__(case)
        self.draft = draft

    @shipped_only()
    def command(self, name, **values):
        """One step, while there is time."""
        if name not in STEPS:
            return self.send(odd("the bench of a paper has no such step"))
        if not self._may_work():
            raise UserError("The time is over: nothing more can be done here.")
        if len(self.case.log) >= LONGEST:
            raise UserError(f"This case has {LONGEST} steps, and no more can be kept.")
        super().command(name, **values)

    def _show(self, message):
        try:
            for entry in (
                self.case.log[self._kept :] if len(self.case.log) > 1 and self._may_work() else ()
            ):
                self._keep_entry(stored(entry, self._car))
                self._kept += 1
        except UserError as problem:  # it is tried again with the next step
            message = str(problem)
        if self.case.over:
            message = f"{message} This case has ended. Go on with the next item.".strip()
        face = self._face()
        face["line"] = face["line"][: max(0, self._kept - 1)]
        self.face = {**face, "message": message, "turn": self.face.get("turn", 0) + 1}
