"""Hand-outs made once for all tests that read them: each draws and computes a whole lesson."""

from functools import cache

from tractionlab.lesson.handouts import Handout


@cache
def handout(number, numbers=1):
    """Lesson `number` on paper, with set `numbers` of the exercises."""
    return Handout(number, numbers)


@cache
def sheets(number, numbers=1):
    """(worksheet, answers) as HTML, and the hand-out itself."""
    made = handout(number, numbers)
    return made.worksheet.html(), made.answers.html(), made
