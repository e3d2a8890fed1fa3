"""The wiring drawing of a repair case: probes and plugs cost nothing to move, a reading costs
minutes and goes into the log.
"""

from tractionlab.errors import UserError
from tractionlab.paint.card import Card
from tractionlab.panels.base import Panel
from tractionlab.panels.measuring import charts_of, controls_of, figures_of, setup_of, wiring_view
from tractionlab.view import Figure
from tractionlab.workshop.instruments import probing
from tractionlab.workshop.tests.base import reading_minutes
from tractionlab.workshop.wiring.netlist import plan


class CaseMeasuring(Panel):
    """Panel on the car of a case as it now is.

    The display stays dark until `take()`, and again after the next change.
    """

    def __init__(self, case, group):
        self._case, self._last = case, None
        super().__init__(
            "Measuring on the customer's car", controls_of(case.vehicle, group), self._picture
        )

    def begin(self, case):
        """Measure on the car of this case from now on, probes and plugs as they are."""
        self._case, self._last = case, None
        self.set()

    def take(self):
        """Take the reading that is set up.

        Returns probing.Taken, None if the case has ended by it; a UserError says why there is none.
        """
        setup = setup_of(self.values, plan(self._case.vehicle))
        taken = self._case.measure(setup)
        self._last = (setup, self._case.repaired, taken)
        if taken is not None:
            self.set()
        return taken

    def _picture(self, values):
        case = self._case
        network, setup = (
            probing.network_of(case.vehicle, case.values),
            setup_of(values, plan(case.vehicle)),
        )
        if self._last and self._last[:2] == (setup, case.repaired) and self._last[2] is not None:
            taken = self._last[2]
            return wiring_view(
                values,
                network,
                taken.sentence,
                figures_of(taken),
                charts_of(taken, values["happens"]),
            )
        missing = setup.missing()
        sentence = (
            f"Put the {' and the '.join(missing)} on a point of the drawing."
            if missing
            else (
                "The probes are on. The display stays dark until you take the reading:"
                f" {reading_minutes()} minutes."
            )
        )
        return wiring_view(values, network, sentence, (Figure(label="Display", value="dark"),))


class ReadingCard(Card):
    """Below the wiring drawing: take the reading that is set up, or go back."""

    def __init__(self, bench):
        self._bench = bench
        super().__init__(
            {
                "title": "Your reading",
                "buttons": [
                    ["reading", f"Take this reading ({reading_minutes()} min)", True],
                    ["back", "Back to the case", True],
                ],
            }
        )

    def on_command(self, name, values):
        """Do what the button says on the bench; what cannot be done now is said on the card."""
        try:
            self._bench.command(name)
        except UserError as problem:
            self.turn(message=str(problem))
