"""Choices of the papers: neither place nor length of an option tells that it is right, over all
items and their draws.
"""

import re
from collections import Counter
from itertools import islice
from math import sqrt

import pytest

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.draw import fair_draws, variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.shown import option_text

DRAWS = 60
CHOICES = [
    (item, part) for item in items().values() for part in item.fields if part.kind == "choice"
]


def right_of(item, part, params):
    """The right option in words, and all options."""
    right = keys(item, params)[part.name]
    words = {option.id: option_text(option, item, params) for option in part.options}
    return words[right], list(words.values())


def hits(wanted):
    """How many choices somebody gets right who takes the option that is `wanted` (max or min) in
    length.
    """
    found = 0.0
    for item, part in CHOICES:
        shares = []
        for params in islice(fair_draws(item), DRAWS):
            right, words = right_of(item, part, params)
            lengths = [len(said) for said in words]
            shares.append((len(right) == wanted(lengths)) / lengths.count(wanted(lengths)))
        found += sum(shares) / len(shares)
    return found


@pytest.mark.parametrize("wanted", [max, min])
def test_the_length_of_an_option_earns_no_marks(wanted):
    chance = sum(1 / len(part.options) for _, part in CHOICES)
    assert len(CHOICES) > 50
    assert chance - 5 < hits(wanted) < chance + 1


def test_the_right_option_has_each_letter_as_often_as_chance_has_it():
    letters, expected, spread = Counter(), Counter(), 0.0
    for item, part in CHOICES:
        for number in range(40):
            drawn = variant(item, "sitting", f"candidate {number}")
            right, _ = right_of(item, part, drawn.params)
            shown = next(field for field in drawn.fields if field.name == part.name).choices
            letters[next(letter for letter, words in shown if words == right)] += 1
            for letter, _ in shown:
                expected[letter] += 1 / len(shown)
            spread += (1 / len(shown)) * (1 - 1 / len(shown))
    for letter in "ABC":
        assert abs(letters[letter] - expected[letter]) < 4 * sqrt(spread), letters


def test_what_a_wrong_answer_is_told_does_not_take_itself_back():
    """It follows on "not right.": "More throttle gives more push: not past the top" would read as
    if both were true.
    """
    said = {idea for item in items().values() for idea in item.misconceptions}
    assert not {
        idea for idea in said if re.search(r": (no,|not |it does)|^More [^:]* always gives", idea)
    }
