"""What a lesson's many cards and panels send to a page: their module once, not each for itself."""

import ipywidgets

from tractionlab.paint.card import Card
from tractionlab.paint.live import LivePicture


def sent(widget):
    """All that a browser is told of a new widget, in characters."""
    return sum(len(str(value)) for value in widget.get_state().values())


def test_all_cards_have_one_text_and_bring_little_themselves():
    one, other = Card({}), Card({"title": "another"})
    assert one.module_text is other.module_text
    assert one.module_text.text == Card.module
    assert sent(one) < 3000 < sent(one.module_text)
    assert LivePicture().module_text.text == LivePicture.module != Card.module


def test_a_card_shown_after_all_were_closed_finds_its_module():
    before = Card({}).module_text
    ipywidgets.Widget.close_all()
    after = Card({}).module_text
    assert after is not before
    assert after.text == before.text
