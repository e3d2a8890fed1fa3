"""What the learner has done so far, always true: the map of the lessons, the outcomes, and what
comes next.
"""

import os
from html import escape

from tractionlab.lesson.live import live
from tractionlab.lesson.look_back import came_true
from tractionlab.lesson.start import lesson, lessons, link, needs_of
from tractionlab.written.record import my_record, progress

_DONE = ("shown once", "shown twice")


def states(entry, lines):
    """How far each outcome of a lesson is, in order."""
    return [progress(lines, outcome["shown_by"]) for outcome in entry["outcomes"]]


def _progress_words(entry, lines):
    if "notebook" not in entry:
        return "planned"
    found = states(entry, lines)
    tried, once, twice = (
        len(found) - found.count("not tried"),
        found.count("shown once"),
        found.count("shown twice"),
    )
    if not tried:
        return "not tried"
    return ", ".join(
        [
            f"{tried} of {len(found)} outcomes tried",
            *([f"{once} shown once"] if once else []),
            *([f"{twice} shown twice"] if twice else []),
        ]
    )


def _named(entry):
    return link(entry, f"lesson {entry['number']}, {entry['title']}")


def next_step(lines):
    """One sentence in HTML: the lesson to go on with, by what was answered last."""
    ready = [entry for entry in lessons() if "notebook" in entry]
    worked = [
        line["lesson"] for line in lines if line["lesson"] in {entry["number"] for entry in ready}
    ]
    if not worked:
        return (
            f"Begin here: {_named(ready[0])}. Not new to all this? "
            "Five questions below say where to start."
        )
    here = worked[-1]
    ahead = [entry for entry in ready if entry["number"] >= here] + [
        entry for entry in ready if entry["number"] < here
    ]
    for entry in ahead:
        found = states(entry, lines)
        if not all(state in _DONE for state in found):
            words = "Go on with" if entry["number"] == here else "Next:"
            return f"{words} {_named(entry)}."
    once = next((entry for entry in ready if "shown once" in states(entry, lines)), None)
    if once:
        return f"All shown once. Remembering is practice: come back to {_named(once)}."
    return "All shown twice. Well done."


def who_reads():
    """Who sees what the learner writes, as HTML: nobody, or in a class the instructor."""
    name = os.environ.get("JUPYTERHUB_USER")
    hub = f"{os.environ.get('JUPYTERHUB_BASE_URL', '/')}hub/"
    if not name:
        return "Nobody else reads your answers unless you hand your file on."
    return (
        f"<strong>You are in a class, signed in as {escape(name)}.</strong> Your folder is on the"
        " machine that serves the class. Your instructor sees which lesson you are in, whether you"
        " are moving on, your guesses, your answers and the hints you open. The projector shows"
        " them without names. You get no marks for them. On a machine that others use, too, <a"
        f" href='{hub}logout'>sign out</a> at the end."
    )


def _map():
    lines = my_record().lines()
    rows = "".join(
        f"<tr><td>{entry['number']}</td><th"
        f" scope='row'>{link(entry)}</th><td>{entry['minutes']}</td>"
        f"<td>{escape(needs_of(entry))}</td><td>{_progress_words(entry, lines)}</td></tr>"
        for entry in lessons()
    )
    titles = "".join(
        f"<th scope='col'>{title}</th>" for title in ("No.", "Lesson", "Minutes", "Needs", "You")
    )
    return (
        f"<p>{who_reads()}</p><table><caption>Lesson map</caption><thead><tr>{titles}</tr></thead>"
        f"<tbody>{rows}</tbody></table>{_note()}"
    )


def _go_on():
    lines = my_record().lines()
    found = [state for entry in lessons() for state in states(entry, lines)]
    twice, once = found.count("shown twice"), found.count("shown once")
    true, guessed = came_true(lines)
    said = [f"You have shown {twice + once} of {len(found)} things that this course teaches"]
    said += [f", {twice} of them twice"] if twice else []
    said += [f". {true} of {guessed} of your guesses came true"] if guessed else []
    return f"<p class='tl-next'>{next_step(lines)}</p><p>{''.join(said)}.</p>"


def _outcomes():
    lines = my_record().lines()
    return (
        "".join(
            f"<details><summary>Lesson {entry['number']}, {escape(entry['title'])}:"
            f" {_progress_words(entry, lines)}</summary>{_list(entry, lines)}</details>"
            for entry in lessons()
        )
        + _note()
    )


def _list(entry, lines):
    items = (
        f"<li>{escape(outcome['text'])}: <strong>{state}</strong></li>"
        for outcome, state in zip(entry["outcomes"], states(entry, lines))
    )
    return f"<ul>{''.join(items)}</ul>"


def _onward(number):
    lines = my_record().lines()
    following = next(
        (other for other in lessons() if other["number"] > number and "notebook" in other), None
    )
    onward = f"Next: lesson {following['number']}, {link(following)}. " if following else ""
    home = "<a href='00_start.ipynb' data-lesson='00_start.ipynb'>Start page</a>"
    return (
        "<p>What you have shown so far</p><div"
        f" aria-live='polite'>{_list(lesson(number), lines)}</div><p>{onward}{home}</p>{_note()}"
    )


def _note():
    note = my_record().note
    return f"<p role='status'>{escape(note)}</p>" if note else "<p role='status'></p>"


def go_on():
    """The next step as one button, what the learner can do, and how many guesses came true."""
    return live("go on", _go_on)


def lesson_map():
    """All lessons: link, minutes, what each needs, what the learner has done."""
    return live("map", _map)


def my_outcomes():
    """The outcomes of all lessons and how far each is, folded by lesson."""
    return live("outcomes", _outcomes)


def what_next(number):
    """How far a lesson's outcomes are, with links to the start page and the next ready lesson."""
    lesson(number)
    return live(f"next {number}", lambda: _onward(number))
