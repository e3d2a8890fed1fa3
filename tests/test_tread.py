"""Brush model of the tread: its formulas against blocks that are bent one by one, and against the
grip curve that it is set to.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractionlab.panels.tread import tread_of, tread_panel
from tractionlab.textbook.tread import Tread, along_patch, holding_part, pushes, tread_like

shares = st.floats(0.2, 1.0)


@given(st.floats(0.0, 1.0), st.floats(0.05, 1.5), shares, st.floats(0.02, 1.0))
def test_the_pushes_along_the_patch_add_up_to_the_closed_form(slip, grip, share, full_slide):
    tread = Tread(grip, share * grip, full_slide, 0.12)
    place = (np.arange(20_000) + 0.5) / 20_000 * tread.length
    here, most = along_patch(place, slip, 3000.0, tread)
    holds = place <= holding_part(slip, tread)
    step = tread.length / 20_000
    # A step of the sum lies over the place where holding ends.
    found = (here[holds].sum() * step, here[~holds].sum() * step)
    assert found == pytest.approx(pushes(slip, 3000.0, tread), abs=2.0)
    assert np.all(here <= most * (1 + 1e-9))


def test_blocks_followed_through_the_patch_give_the_same_pushes():
    """Each block is bent by the belt that runs ahead of the road, and let go where its pull is more
    than the road holds: no formula of the model but its two rules."""
    tread, load, slip, count = Tread(0.8, 0.5, 0.3, 0.12), 4000.0, 0.14, 4000
    stiff = 6.0 * tread.grip * load / (tread.full_slide * tread.length**2)
    total, bend, slides = 0.0, 0.0, False
    for k in range(count):
        share = (k + 0.5) / count
        pressure = 6.0 * load / tread.length * share * (1.0 - share)
        bend += slip * tread.length / count
        slides = slides or stiff * bend > tread.grip * pressure
        total += (tread.sliding * pressure if slides else stiff * bend) * tread.length / count
    assert total == pytest.approx(sum(pushes(slip, load, tread)), rel=2e-3)


@given(st.floats(0.0, 1.0), st.floats(0.05, 1.5))
def test_with_one_grip_it_is_the_textbook_form(slip, grip):
    """F = grip x load x (1 - (1 - z)^3), z = slip over the slip of full sliding: the brush model of
    the textbooks, for example Pacejka, Tire and Vehicle Dynamics, chapter 3 (from memory)."""
    z = min(1.0, slip / 0.4)
    assert sum(pushes(slip, 1000.0, Tread(grip, grip, 0.4, 0.12))) == pytest.approx(
        grip * 1000.0 * (1.0 - (1.0 - z) ** 3), abs=1e-6
    )


@given(st.floats(0.05, 1.4), st.floats(0.03, 0.3), st.floats(0.4, 0.99))
def test_top_and_end_are_those_asked_for(top, top_slip, share):
    tread = tread_like(top, top_slip, share * top, 0.12)
    slips = np.linspace(0.0, 1.0, 2001)
    push = np.sum(pushes(slips, 1.0, tread), axis=0)
    assert push.max() == pytest.approx(top, rel=1e-3)
    assert slips[push.argmax()] == pytest.approx(top_slip, abs=0.02)
    assert push[-1] == pytest.approx(share * top)


@pytest.mark.parametrize("surface", ["packed_snow", "ice", "dry_asphalt", "loose_gravel"])
@pytest.mark.parametrize("tyre", ["winter", "summer"])
def test_the_tread_has_the_top_of_the_grip_curve(surface, tyre):
    push, tread = tread_of({"surface": surface, "tyre": tyre, "load": 3600.0})
    mine = np.sum(pushes(np.linspace(0.0, 1.0, 201), 3600.0, tread), axis=0)
    assert mine.max() == pytest.approx(push.max(), rel=0.005)
    assert mine[-1] == pytest.approx(push[-1], rel=1e-6)


def test_the_sentence_follows_the_slip():
    panel = tread_panel()
    holding = []
    for slip in (0, 5, 20, 100):
        panel.set(slip=slip)
        holding.append(panel.view.closeup.holding)
        drawn = panel.view.closeup
        assert drawn.road == pytest.approx(drawn.belt * (1 - slip / 100))
    assert holding[0] == 120 and holding == sorted(holding, reverse=True) and holding[-1] == 0
    assert "all of the patch slides" in panel.view.sentence
    panel.set(slip=0)
    assert "No slip, no push." in panel.view.sentence
