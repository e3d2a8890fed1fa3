"""The report of a proof: which paper, which edition of the course, when, and by what each key was
shown.
"""

from tractionlab import __version__
from tractionlab.assess.proof.finding import KINDS
from tractionlab.paint.blocks import Rows, Text
from tractionlab.paint.document import Document
from tractionlab.written.record import today

_METHOD = (
    "A computed key is shown by a second route, which finds the answer by another method (it"
    " counts, searches, tries, iterates, simulates or reads the picture), or by examples that were"
    " worked without it, with their source. Numbers were worked out again with every step rounded"
    " to three digits. Wrong ideas must lie outside the tolerance, keys inside the physical limits."
    " An example worked by hand here was worked by those who wrote the key: the answer of a second"
    " person is worth more."
)


def heading(paper):
    """One line: what was proved, with which edition, and when. `paper`: None = the whole bank."""
    what = f"{paper.title} ({paper.id})" if paper else "The whole item bank"
    return f"{what}. Edition {__version__} of the course. Proved on {today()}."


def report(paper, findings, told):
    """Document with the findings of a proof. told: sentences that stand above them."""
    rows = tuple(
        (f"{finding.item}, {finding.field}", KINDS[finding.kind], finding.words, finding.route)
        for finding in findings
    )
    items = len({finding.item for finding in findings})
    return Document(
        "Proof of the keys",
        [
            Text(heading(paper), strong=True),
            *map(Text, told),
            Text(_METHOD),
            Rows(
                f"{items} items, {len(findings)} fields",
                ("Item, field", "Proof", "What was shown", "Route of the key"),
                rows,
                (3, 2, 5, 6),
            ),
        ],
    )
