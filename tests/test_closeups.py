"""Close-ups: the ring turns in step with its wave, the disc's colour follows its temperature, and
both painters have them.
"""

import json

import numpy as np
import pytest

from tractionlab.paint import printed
from tractionlab.paint.wire import pack
from tractionlab.panels.heat import discs_over, heat_panel, launches
from tractionlab.panels.self_diagnosis import same_code_panel
from tractionlab.panels.sensor import sensor_panel
from tractionlab.panels.tread import tread_panel
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring_shape import magnet_poles, ring_outline
from tractionlab.textbook.heat_colours import glow, heat_colours
from tractionlab.units import MM

TURN = 2.0 * np.pi


def line(panel, title):
    """First line of the panel's chart of that title."""
    return next(chart for chart in panel.view.charts if chart.title == title).lines[0]


@pytest.mark.parametrize("kind", ["passive", "active"])
@pytest.mark.parametrize("speed, teeth", [(6, 48), (37, 41), (80, 56)])
def test_the_wave_has_as_many_teeth_as_pass_in_the_close_up(kind, speed, teeth):
    panel = sensor_panel()
    panel.set(kind=kind, speed=speed, teeth=teeth, window="1000")
    turns = np.ptp(panel.view.closeup.angle) / TURN
    assert turns == pytest.approx(speed / 3.6 / (TURN * 0.31), rel=0.05)
    rising = np.sum(np.diff(line(panel, "After the input stage").y) > 0.5)
    assert rising == pytest.approx(teeth * turns, abs=1.0)


def test_a_tooth_is_under_the_sensor_where_the_wave_falls_through_nought():
    panel = sensor_panel()
    panel.set(speed=20, window="250")
    wave, ring = line(panel, "Signal of the sensor"), panel.view.closeup
    falls = np.flatnonzero((wave.y[:-1] > 0) & (wave.y[1:] <= 0))
    rises = np.flatnonzero((wave.y[:-1] < 0) & (wave.y[1:] >= 0))
    way, radius = ring.outline.T
    assert len(falls) > 20
    for crossings, there in ((falls, radius.max()), (rises, radius.min())):
        shown = np.interp(wave.x[crossings], ring.time, ring.angle)
        found = np.interp(np.mod(shown, TURN), way, radius, period=TURN)
        assert found == pytest.approx(there, abs=0.05)


def test_faults_are_drawn_as_the_model_has_them():
    sound = wheel_sensor("passive", pitch_error=0.0)
    tall = ring_outline(sound)[:, 1].max()

    def teeth_of(sensor):
        return np.sum(np.diff((ring_outline(sensor)[:, 1] > tall - 1.5).astype(int)) == 1)

    assert teeth_of(sound) == 48
    assert teeth_of(sound._replace(missing=7.0)) == 47
    slit = ring_outline(sound._replace(crack=0.5))
    assert slit[:, 1].min() < ring_outline(sound)[:, 1].min() - 5.0
    runout = ring_outline(sound._replace(runout=0.4 * MM))[:, 1]
    tops = runout[runout > runout.max() - 1.0]
    assert np.ptp(tops) == pytest.approx(0.8, abs=0.01)
    assert magnet_poles(sound) == ()
    active = wheel_sensor("active")
    assert len(magnet_poles(active)) == 96
    assert len(magnet_poles(active._replace(missing=0.0))) == 94


def test_an_eccentric_ring_comes_near_and_goes_away_in_the_close_up():
    panel = sensor_panel()
    panel.set(ring="eccentric", window="1000")
    gap = panel.view.closeup.gap
    assert (gap.min(), gap.max()) == pytest.approx((0.4, 1.2), abs=0.01)
    panel.set(ring="sound")
    assert np.ptp(panel.view.closeup.gap) == 0.0


def test_a_hotter_disc_is_never_darker_and_glows_from_the_published_temperature():
    """Just visible at 525, dull red at 700, cherry from 800 on: a table of 1905, see
    data/heat_colours.toml. Brightness as the sRGB standard, IEC 61966-2-1, weighs the colours."""
    degrees = np.arange(20.0, 1000.0, 5.0)
    colour, word = glow(degrees)
    linear = np.where(
        colour / 255 <= 0.04045, colour / 255 / 12.92, ((colour / 255 + 0.055) / 1.055) ** 2.4
    )
    bright = linear @ (0.2126, 0.7152, 0.0722)
    below = degrees <= 525
    assert np.ptp(bright[below]) == 0.0 and np.all(np.diff(bright[~below]) > 0.0)
    assert np.all(np.diff(word) >= 0) and np.all(word[degrees < 525] == 0)
    names = heat_colours().names
    assert [names[glow(t)[1][0]] for t in (480, 530, 710, 850)] == [
        "no glow",
        "red just visible",
        "dull red",
        "dull cherry-red",
    ]


def test_the_discs_of_the_close_up_are_those_of_the_runs():
    values = {"vehicle": "rear_petrol", "slope": 10, "rest": 60, "limit": 480, "tyre": "winter"}
    traces = launches(values)
    time, discs = discs_over(traces, 60)
    assert np.all(np.diff(time) > 0)
    peak = max(trace.disc_temperature.max() for trace in traces)
    assert discs.max() == pytest.approx(peak, abs=2.0)
    second = discs[np.searchsorted(time, 10.0 + 60.0)]
    assert second == pytest.approx(traces[1].disc_temperature[0], abs=0.5)


def test_a_glow_is_said_only_where_there_is_one():
    panel = heat_panel()
    assert "glows from about 525 °C on" in panel.view.sentence
    panel.set(limit=600)
    assert "would glow in the dark: red just visible." in panel.view.sentence


PANELS = {"ring": sensor_panel, "tread": tread_panel, "disc": heat_panel}


@pytest.mark.parametrize("name", PANELS)
def test_both_painters_have_the_close_up(name):
    view = PANELS[name]().view
    meta, block = pack(view)
    sent = json.loads(json.dumps(meta))["closeup"]
    offset, length = sent["time"]["at"]
    assert np.frombuffer(block, "<f4")[offset : offset + length] == pytest.approx(
        view.closeup.time, rel=1e-6
    )
    assert sent["words"] == view.closeup.words
    at = float(view.closeup.time[-1]) / 2
    words = [
        text.get_text()
        for axes in printed.print_figure(view, time=at).axes
        for text in (*axes.texts, axes.title, *axes.get_title("left").splitlines())
        if not isinstance(text, str)
    ]
    expected = {"ring": "gap 0.8 mm", "tread": "holds 108 mm", "disc": "°C: no glow"}[name]
    assert any(expected in text for text in words), words


def test_lamps_show_the_moment_of_the_clock_on_paper():
    """Self-diagnosis of a sound car: all lamps light for the check, and are dark at the end."""
    view = same_code_panel().view

    def words(time):
        axes = next(
            axes
            for axes in printed.print_figure(view, time=time).axes
            if axes.get_title("left").startswith("Warning lamps")
        )
        return [text.get_text() for text in axes.texts]

    assert words(1.0) == ["on"] * 4 and words(20.0) == ["dark"] * 4
