"""What came true of a question: from the table where it has an answer; else the course computes
what the panel shows, in a process of its own, so that the class server stays small and quick.
"""

import asyncio
import json
import sys

from tractionlab.lesson.outcome import Outcome
from tractionlab.lesson.questions import questions

_WORK_OUT = """
import json, sys
from tractionlab.lesson.outcomes import outcome_of
found = outcome_of(sys.argv[1])
print(json.dumps([found.words, found.truth], default=float))
"""
_FAILED = "This could not be worked out; the window of the class says why."


class Truths:
    """Outcomes by the name of the question, each worked out once."""

    def __init__(self):
        self._known, self._begun, self._one = {}, {}, asyncio.Lock()

    def get(self, name):
        """The Outcome, or None while it is being worked out; call it in the hub's loop."""
        entry = questions()[name]
        if "answer" in entry:
            return Outcome(entry["why"], entry["answer"])
        if name not in self._known and name not in self._begun:
            self._begun[name] = asyncio.ensure_future(self._work_out(name))
        return self._known.get(name)

    async def _work_out(self, name):
        async with self._one:
            child = await asyncio.create_subprocess_exec(
                sys.executable, "-c", _WORK_OUT, name, stdout=asyncio.subprocess.PIPE
            )
            printed, _ = await child.communicate()
        found = json.loads(printed) if child.returncode == 0 else [_FAILED, None]
        self._known[name] = Outcome(*found)
