"""What an assessor's notebook shows: what a paper covers, the proof of its keys, and forms to issue
it, enter practicals, mark and report.
"""

from ipywidgets import HTML, VBox

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.preview import about
from tractionlab.assess.proof.prove import prove
from tractionlab.assess.proof.report import heading
from tractionlab.lesson.office_issue import IssueForm
from tractionlab.lesson.office_marks import HeldForm, MarkForm, TimeForm
from tractionlab.lesson.office_moderation import DecideForm, ResitForm, SecondForm
from tractionlab.lesson.office_practicals import ObserveForm
from tractionlab.paint.blocks import Heading, Rows, Text
from tractionlab.paint.document import fragment


def paper_facts(name):
    """What a paper covers, and folded, how it is marked and passed; no item and no key."""
    blocks = about(find_paper(name))
    return HTML(
        f"{fragment(blocks[:2])}<details><summary>How it is marked and"
        f" passed</summary>{fragment(blocks[2:])}</details>"
    )


def proof_facts(name):
    """The proof of a paper's keys, worked out now: how many fields were shown, and which ones need
    a person.
    """
    paper = find_paper(name)
    chosen = [items()[key] for key in paper.items]
    findings = prove(chosen)
    seen = tuple(
        (f"{finding.item}, {items()[finding.item].title}", finding.words)
        for finding in findings
        if finding.kind == "seen"
    )
    fails = [
        Text(f"FAILS: {finding.item}, {finding.field}: {finding.words}", strong=True)
        for finding in findings
        if finding.kind == "fails"
    ]
    shown = sum(finding.kind == "shown" for finding in findings)
    return _page(
        [
            Text(heading(paper)),
            Text(
                f"{shown} of {len(findings)} answers were shown by a second route, worked"
                f" examples or the course's models; {len(fails)} fail.",
                strong=True,
            ),
            *fails,
            Rows("For a person", ("Item", "Why"), seen, (4, 6)),
        ]
    )


def _page(blocks):
    return HTML(fragment(blocks))


def _shown_form(form):
    return VBox([form, form.below, *form.more])


def issue_form(name):
    """Form to look at a paper and issue it."""
    return _shown_form(IssueForm(name))


def mark_form(name):
    """Forms to mark, look, report and release, for files that are held, lost time, second marking,
    marks by hand, appeals and resits.
    """
    forms = (MarkForm, HeldForm, TimeForm, SecondForm, DecideForm, ResitForm)
    return VBox([_shown_form(form(name)) for form in forms])


def observe_form(name):
    """A form for each observed practical of a paper."""
    practicals = [key for key in find_paper(name).items if items()[key].kind == "checklist"]
    return VBox(
        [_shown_form(ObserveForm(name, key)) for key in practicals]
        or [_page([Heading("This paper has no practical.")])]
    )
