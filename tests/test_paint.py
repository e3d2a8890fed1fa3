"""The painters: what travels to the browser, what stands on paper, and that both agree."""

import json
import subprocess
import sys

import numpy as np
import pytest
from synthetic import car_scene, grip_view, launch_view

from tractionlab.errors import UserError
from tractionlab.paint import printed
from tractionlab.paint.surfaces import hatch_number
from tractionlab.paint.wire import MOST_FRAMES, MOST_POINTS, pack, thin
from tractionlab.view import COLOURS, DASHES, Chart, Line, View


def numbers(meta_entry, block):
    offset, length = meta_entry
    return np.frombuffer(block, "<f4")[offset : offset + length]


def test_what_is_packed_can_be_read_back():
    view = launch_view({"pedal": 40.0})
    meta, block = pack(view)
    assert json.loads(json.dumps(meta)) == meta
    for chart, packed in zip(view.charts, meta["charts"]):
        for line, wire in zip(chart.lines, packed["lines"]):
            np.testing.assert_allclose(numbers(wire["y"], block), line.y, rtol=1e-6, atol=1e-6)
    scene = view.scenes[0]
    np.testing.assert_allclose(
        numbers(meta["scenes"][0]["drive_force"], block).reshape(-1, 4),
        scene.drive_force,
        rtol=1e-5,
        atol=1e-3,
    )


def test_a_time_axis_shared_by_all_lines_is_sent_once():
    meta, block = pack(launch_view({}))
    offsets = {tuple(line["x"]) for chart in meta["charts"] for line in chart["lines"]}
    assert len(offsets) == 1
    assert len(block) < 130_000


def test_thinning_keeps_the_ends_and_the_peak():
    x = np.linspace(0, 10, 20_001)
    y = np.sin(x)
    y[12_345] = 7.0
    thin_x, thin_y = thin(x, y)
    assert len(thin_x) <= MOST_POINTS + 2
    assert (thin_x[0], thin_x[-1]) == (0, 10) and thin_y.max() == 7.0
    assert np.all(np.diff(thin_x) > 0)


def test_a_long_run_is_sent_in_few_frames_with_its_end():
    scene = car_scene(frames=6001, seconds=60.0)
    meta, block = pack(View(charts=(), scenes=(scene,), sentence="long"))
    time = numbers(meta["scenes"][0]["time"], block)
    assert len(time) == MOST_FRAMES and time[-1] == 60.0


def test_a_hatch_belongs_to_its_surface():
    assert (
        hatch_number("ice")
        != hatch_number("packed snow")
        != hatch_number("wet asphalt")
        != hatch_number("dry asphalt")
    )
    assert hatch_number("Wet asphalt") == hatch_number("wet tar")
    assert hatch_number("felt") == hatch_number("felt")


def test_printed_lines_have_the_colours_and_dashes_of_the_live_ones():
    figure = printed.print_figure(launch_view({}))
    axes = next(a for a in figure.axes if a.get_title(loc="left") == "Speeds")
    curves = [
        line
        for line in axes.get_lines()
        if line.get_label() != "_child" and len(line.get_xdata()) > 2
    ]
    assert [line.get_color() for line in curves] == list(COLOURS[:4])
    for line, dash in zip(curves, DASHES):
        assert line.get_linestyle() == ("-" if not dash else "--")
    assert axes.get_xlabel() == "time [s]" and axes.get_ylabel() == "rim speed [km/h]"


def test_the_sentence_is_the_caption_and_the_alternative_text():
    view = grip_view({"slip": 33.0})
    texts = " ".join(text.get_text() for text in printed.print_figure(view).texts)
    assert view.sentence in texts.replace("\n", " ")
    assert f'alt="{view.sentence}"' in printed.img_tag(view)


def test_text_that_looks_like_html_stays_text():
    view = View(charts=(), sentence='<b>"fast"</b>')
    assert '<img alt="&lt;b&gt;&quot;fast&quot;&lt;/b&gt;"' in printed.img_tag(view)


@pytest.mark.parametrize("kind", ["pdf", "png", "svg"])
def test_the_same_view_gives_the_same_bytes(tmp_path, kind):
    for name in ("one", "two"):
        printed.save(launch_view({}), tmp_path / f"{name}.{kind}", title="Launch", time=2.0)
    assert (tmp_path / f"one.{kind}").read_bytes() == (tmp_path / f"two.{kind}").read_bytes()


def test_another_ending_is_refused_in_one_sentence(tmp_path):
    with pytest.raises(UserError, match="saved as .pdf, .png or .svg"):
        printed.save(grip_view({}), tmp_path / "picture.docx")


def test_the_moment_on_paper_is_the_one_asked_for():
    figure = printed.print_figure(launch_view({}), time=2.5)
    assert any(axes.get_title(loc="left") == "The car after 2.50 s" for axes in figure.axes)


def test_equal_units_and_ranges_mean_equal_scales():
    line = (Line(label="limit", x=np.array([0.0, 1.0]), y=np.array([0.0, 1.0])),)
    same = Chart(
        title="",
        x="side force [kN]",
        y="drive force [kN]",
        lines=line,
        x_range=(-5, 5),
        y_range=(-5, 5),
    )
    assert printed.same_scale(same)
    assert not printed.same_scale(
        Chart(
            title="",
            x="slip [%]",
            y="drive force [kN]",
            lines=line,
            x_range=(-5, 5),
            y_range=(-5, 5),
        )
    )


def test_a_panel_does_not_load_matplotlib():
    code = "import sys, tractionlab.panels.base; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0
