"""A second group on the same machine: what the first one wrote goes aside into a dated folder, and
every lesson opens afresh.
"""

from datetime import datetime
from pathlib import Path

from tractionlab.lesson.ask import blank_face
from tractionlab.paint.card import Card
from tractionlab.panels.case_log import FOLDER as CASES
from tractionlab.written.record import FILE_NAME, PAPERS

#: Folder beside the lessons in which the answers of earlier groups stay, one dated folder each.
EARLIER = "earlier_groups"
_WRITTEN = (FILE_NAME, str(CASES), PAPERS)


def put_aside(folder):
    """Move record, finished cases and practice papers of a folder into EARLIER.

    Returns the new place, or None if there is nothing to move.
    """
    folder = Path(folder)
    written = [folder / name for name in _WRITTEN if (folder / name).exists()]
    if not written:
        return None
    stem = folder / EARLIER / datetime.now().strftime("%Y-%m-%d_%H%M")
    place, number = stem, 1
    while place.exists():
        number += 1
        place = stem.with_name(f"{stem.name}_{number}")
    place.mkdir(parents=True)
    for path in written:
        path.rename(place / path.name)
    return place


class NewGroup(Card):
    """One button, and one to confirm it."""

    _ask = ("new", "New group", True)

    def __init__(self):
        super().__init__(
            blank_face(
                "For the instructor: the next group of the day",
                buttons=[list(self._ask)],
                text=(
                    "Puts the guesses, answers, cases and practice papers of this folder aside,"
                    f" into {EARLIER}. Nothing is deleted. The next group finds every lesson as"
                    " new."
                ),
            )
        )

    def on_command(self, command, values):
        """Ask first, then do it."""
        if command == "new":
            return self.turn(
                buttons=[
                    ["yes", "Yes, put this group's answers aside", True],
                    ["no", "No, leave all as it is", True],
                ],
                message=(
                    "Has everybody of this group finished? Their tables in the lessons begin at"
                    " nothing again."
                ),
            )
        self.turn(
            buttons=[list(self._ask)],
            message=self._done() if command == "yes" else "All is as it was.",
        )

    @staticmethod
    def _done():
        try:
            place = put_aside(Path.cwd())
        except OSError as problem:
            return (
                f"The answers could not be put aside ({problem.strerror}). All others are where"
                " they were."
            )
        if place is None:
            return "Nothing has been answered here yet: the next group can start."
        return (
            f"Done. The answers are in {EARLIER}/{place.name}. Close the lessons that are open, and"
            " open them again for the next group."
        )


def new_group():
    """The card for the next group of the day."""
    return NewGroup()
