"""Looking ahead at the bench: what later clicks will need is computed beside the clicks."""

import asyncio
from contextlib import suppress
from threading import Thread

from tractionlab.panels.stillness import wait_until_still
from tractionlab.workshop.case import suspects
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import run, tests


class LookAhead:
    """Computations one after the other in a thread of their own.

    arrived : callable, called in the thread that answers the clicks after each computation
    pending : how many are not done; wanted : False once nobody needs them any more
    """

    def __init__(self, arrived):
        self._arrived, self._thread, self._loop = arrived, None, _running_loop()
        self.pending, self.wanted = 0, True

    def begin(self, pieces):
        """Compute something beside the clicks, after what is under way: an iterator that does a
        piece of it at each step. It rests while a slider moves.
        """
        before = self._thread
        self.pending += 1

        def work():
            if before is not None:
                before.join()
            with suppress(Exception):  # the step that needs it meets it again, and says so
                for _ in pieces:
                    wait_until_still()
                    if not self.wanted:
                        break
            if self._loop is not None and not self._loop.is_closed():
                self._loop.call_soon_threadsafe(self._done)

        self._thread = Thread(target=work, daemon=True)
        self._thread.start()

    def _done(self):
        self.pending -= 1
        self._arrived()

    def known(self):
        """Is all there? Where no clicks are heard, as in a script, this waits for it."""
        if self._loop is None:
            self._thread.join()
            return True
        return self.pending == 0


def preparing(case):
    """What later clicks will need, piece by piece: the sound car, then every fault that fits the
    symptom, and a good route. All of it is kept for any bench with this car.
    """
    for test in tests():
        yield run(test, case.vehicle, part_values(case.vehicle), suspects.story_of(case.fault.id))
    yield from suspects.looking_ahead(case.fault.id, case.symptom, case.vehicle)
    yield route_to(case.fault.id, case.symptom, case.vehicle)


def _running_loop():
    try:
        return asyncio.get_running_loop()
    except RuntimeError:
        return None
