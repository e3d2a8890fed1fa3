"""The strip of phases under the time charts: what it takes from a run, and both painters."""

import json
from dataclasses import replace

import numpy as np
import pytest
from synthetic import launch_view

from tractionlab import Scenario, simulate
from tractionlab.catalogue.reasons import PATTERNS
from tractionlab.control import phases as p
from tractionlab.control import settings as s
from tractionlab.paint.printed import print_figure
from tractionlab.paint.printed_phases import LOOKS
from tractionlab.paint.wire import pack
from tractionlab.panels.phases import phase_strip
from tractionlab.view.rows import PhaseKind, PhaseLane, Phases


def control(time, sensors, outputs):
    """One step of pressure at the left rear wheel and one cut of torque, at fixed times."""
    outputs[s.TELL_PHASE + 2] = p.BUILD_UP if 0.3 <= time < 0.5 else p.FREE
    outputs[s.TELL_REASON + 2] = p.SPINS if time >= 0.3 else p.NOTHING
    outputs[s.TELL_SEEN + 2], outputs[s.TELL_LIMIT + 2] = 4.0, 3.0
    outputs[s.TELL_TORQUE_PHASE] = p.CUT if 0.4 <= time < 0.6 else p.DRIVER
    outputs[s.TELL_TORQUE_REASON] = p.CUT_TO_ROAD if time >= 0.4 else p.NOTHING
    outputs[s.TELL_TORQUE_SEEN], outputs[s.TELL_TORQUE_LIMIT] = 150.0, 90.0
    outputs[s.ASK_TORQUE] = 72.0


@pytest.fixture(scope="module")
def strip():
    """The strip of that run: a rear-drive car pulls away for 0.8 s."""
    return phase_strip(simulate(Scenario(duration_s=0.8), controller=control))


def test_driven_wheels_and_torque_have_lanes_with_the_spans_of_the_record(strip):
    assert [lane.label for lane in strip.lanes] == ["rear left", "rear right", "torque"]
    named = [
        [(begin, end, strip.kinds[kind].name) for begin, end, kind in lane.spans]
        for lane in strip.lanes
    ]
    assert named == [[(0.3, 0.5, "increase")], [], [(0.4, 0.6, "cut")]]


def test_when_the_driver_brakes_every_wheel_has_a_lane_and_the_torque_none():
    trace = simulate(Scenario(duration_s=0.3, initial_speed_kmh=30, pedal_percent=0, brake_bar=50))
    assert len(phase_strip(trace).lanes) == 4


def test_at_a_moment_each_lane_has_its_last_reason_or_is_at_rest(strip):
    before, between, after = (strip.reasons_at(time) for time in (0.1, 0.35, 0.7))
    assert before == [
        "rear left: follows the pedal.",
        "rear right: follows the pedal.",
        "torque: as the driver asks.",
    ]
    assert between[0].startswith("0.30 s, rear left: 14.4 km/h where the limit is 10.8 km/h, so")
    assert between[1:] == before[1:]
    assert after[2].startswith("0.60 s, torque: ") and "does what the driver asks" in after[2]


def test_the_legend_names_only_what_occurs_and_each_letter_once(strip):
    assert strip.legend == "I increase, C cut"
    kinds = (
        PhaseKind(letter="H", name="hold", pattern="level"),
        PhaseKind(letter="H", name="hold", pattern="level"),
        PhaseKind(letter="R", name="reduce", pattern="falling"),
    )
    lane = PhaseLane(label="rear left", rest="rests", spans=((0.0, 1.0, 1), (1.0, 2.0, 0)))
    assert Phases(title="t", kinds=kinds, lanes=(lane,), decisions=()).legend == "H hold"


def test_the_words_of_the_picture_say_how_much_is_decided_where(strip):
    assert strip.words == (
        "rear left: 2 decisions from 0.30 to 0.50 s; rear right: no decision;"
        " torque: 2 decisions from 0.40 to 0.60 s"
    )


def test_the_browser_gets_lanes_kinds_and_sentences(strip):
    meta, _ = pack(replace(launch_view({}), phases=strip))
    sent = json.loads(meta["phases"])
    assert [lane["label"] for lane in sent["lanes"]] == [lane.label for lane in strip.lanes]
    assert [tuple(d) for d in sent["decisions"]] == list(strip.decisions)
    assert "phases" not in pack(launch_view({}))[0]


def test_on_paper_the_strip_lies_under_the_time_charts_on_their_axis(strip):
    view = replace(launch_view({}), phases=strip)
    figure = print_figure(view, time=0.45)
    (axes,) = [a for a in figure.axes if a.get_title(loc="left").startswith(strip.title)]
    (last,) = [a for a in figure.axes if a.get_title(loc="left") == "Drive force"]
    assert axes.get_xlim() == pytest.approx(last.get_xlim())
    ours, above = axes.get_position(), last.get_position()
    assert (ours.x0, ours.x1) == pytest.approx((above.x0, above.x1)) and ours.y1 < above.y0
    assert [text.get_text() for text in axes.get_yticklabels()] == [n.label for n in strip.lanes]
    said = " ".join(text.get_text().replace("\n", " ") for text in figure.texts)
    assert all(words in said for words in strip.reasons_at(0.45))


def test_every_pattern_is_drawn_by_both_painters():
    assert set(LOOKS) == set(PATTERNS) - {"none"}
    hatches = [hatch for _, hatch in LOOKS.values()]
    assert len(set(hatches)) == len(hatches)


def test_spans_cover_exactly_the_rows_with_a_phase(strip):
    trace = simulate(Scenario(duration_s=0.8), controller=control)
    told = np.zeros(len(trace), bool)
    for begin, end, _ in strip.lanes[0].spans:
        told |= (trace.time > begin - 1e-6) & (trace.time < end - 1e-6)
    assert (told == (trace.phase[:, 2] > 0.0)).all()
