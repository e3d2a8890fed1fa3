"""A trial run beside a tuning item: the candidate's saved settings on a road that is shown.

The roads that judge stay unseen.
"""

from dataclasses import replace

from ipywidgets import HTML, VBox

from tractionlab.assess.answers.settings import read_settings
from tractionlab.catalogue.entries import shipped_only
from tractionlab.paint.card import Card
from tractionlab.paint.printed import img_tag
from tractionlab.panels.launch import run_view
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.run.surfaces import surface_curve


class Trial(Card):
    """The button, the figures, and below them the picture.

    Parameters
    ----------
    field : dict of the sheet; saved : callable that gives the settings as they are saved
    """

    def __init__(self, field, saved):
        self.rows, self.road, self.saved, self.picture = (
            field["settings"],
            field["trial"],
            saved,
            HTML(),
        )
        super().__init__(
            {
                "title": "Try your settings",
                "text": (
                    f"The road that you see: {road_words(self.road)}. The two roads that count are"
                    " different ones. Try as often as you like."
                ),
                "buttons": [["run", "Try my settings", True]],
            }
        )

    @shipped_only()
    def on_command(self, command, values):
        """Run the settings that are saved now."""
        settings = read_settings(self.rows, self.saved())
        if isinstance(settings, str):
            self.picture.value = ""
            return self.turn(message=f"Cannot be tried: {settings}", data=[])
        trace = simulate(Scenario(**self.road, settings=settings))
        view, merit = replace(run_view(trace), scenes=()), trace.merit()
        self.picture.value = img_tag(view)
        tried = ", ".join(f"{row['label']} {settings[row['name']]:g}" for row in self.rows)
        self.turn(
            message=f"Tried: {tried}. {view.sentence}",
            data=[
                ["Share of grip used", f"{merit.grip_share:.2f}"],
                ["Mean slip of the driven wheels", f"{merit.mean_slip:.2f}"],
                [
                    f"Speed after {trace.scenario.duration_s:g} s",
                    f"{merit.final_speed_kmh:.1f} km/h",
                ],
                ["Brake heat", f"{merit.brake_heat_kJ:.0f} kJ"],
            ],
        )


@shipped_only()
def road_words(road):
    """A road of `Scenario` values in words."""
    left, right = (
        surface_curve(road[side])[0].name.lower()
        for side in ("left", "right" if "right" in road else "left")
    )
    return (
        f"{left if left == right else f'{left} on the left, {right} on the right'}, flat, the pedal"
        f" at {road['pedal_percent']:g} %"
    )


def trial(field, saved):
    """The trial run for one issued field of a tuning item."""
    found = Trial(field, saved)
    return VBox([found, found.picture])
