"""The class's guesses at one question as bars: one for each option, or for each number or range of
numbers that was guessed.
"""

import math
from typing import NamedTuple

from tractionlab.lesson.ask import shown_unit
from tractionlab.lesson.class_counts import first_answers, numbers_given, option_counts

#: More bars of numbers than this are hard to read from the last row.
_MOST_BARS = 5
#: Round widths of a range of numbers, times a power of ten.
_ROUND = (1, 2, 5, 10, 20)


class Bar(NamedTuple):
    """One bar: its words, and the guesses in it as an Outcome reads them (numbers of options, or
    numbers in the prediction's unit).
    """

    words: str
    guesses: list


def bars(name, entry, learners):
    """(Bars in order, number of answers that are in none) of a question of data/questions.toml,
    from each learner's first answer.
    """
    lines = first_answers(learners, ("prediction", "question")).get(name, [])
    answers = [line["answer"] for line in lines]
    if "options" in entry:
        counts, others = option_counts(entry, answers)
        options = enumerate(zip(entry["options"], counts), 1)
        return [Bar(words, [number] * count) for number, (words, count) in options], others
    values = sorted(numbers_given(entry, answers))
    unit = shown_unit(entry["unit"])
    return _of_numbers(values, unit), len(answers) - len(values)


def _of_numbers(values, unit):
    kinds = sorted(set(values))
    if len(kinds) <= _MOST_BARS:
        return [Bar(f"{kind:g} {unit}".rstrip(), [kind] * values.count(kind)) for kind in kinds]
    width = _width(kinds[0], kinds[-1])
    found = []
    for number in _ranges(kinds[0], kinds[-1], width):
        low, high = number * width, (number + 1) * width
        words = f"{low:g} to below {high:g} {unit}".rstrip()
        found.append(Bar(words, [value for value in values if low <= value < high]))
    return found


def _ranges(low, high, width):
    """Numbers of the ranges of this width from low to high; range 0 begins at nought."""
    return range(math.floor(low / width), math.floor(high / width) + 1)


def _width(low, high):
    """The smallest round width with which there are no more than _MOST_BARS ranges."""
    power = 10.0 ** math.floor(math.log10((high - low) / _MOST_BARS))
    widths = (step * power for step in _ROUND)
    return next(one for one in widths if len(_ranges(low, high, one)) <= _MOST_BARS)
