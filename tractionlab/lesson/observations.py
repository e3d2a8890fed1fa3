"""What is to be seen in each "Try it" task: data/observations, worked out by the lesson's own
panels when it is asked for.
"""

from functools import lru_cache

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.panels.seen import Seen

_KEYS = {"expect": str, "runs": dict, "claims": list}


class Observations:
    """The tasks of one block of a lesson, with the panel they belong to.

    Attributes
    ----------
    panel : id of the panel's block in the notebook
    picture : values of controls for the panel's picture on paper; empty: as it opens
    tasks : tuple of dicts with `expect` (a text with fields such as {full[Way]}), `runs` {name:
        values of controls}, `claims` (comparisons)
    """

    def __init__(self, panel, tasks, picture):
        self.panel, self.tasks, self.picture = panel, tasks, picture

    def expected(self, panel):
        """What is to be seen in each task, as texts."""
        return [task["expect"].format_map(self.seen(panel, task)) for task in self.tasks]

    def seen(self, panel, task):
        """{name: Seen} of a task's runs."""
        start = {control["name"]: control["value"] for control in panel.controls}
        return {
            name: Seen(panel.drawn({**start, **values}))
            for name, values in task.get("runs", {}).items()
        }


@lru_cache(1)
def observations():
    """{id of the block with the tasks: Observations} of all lessons."""
    found = {}
    for path in sorted((data_folder() / "observations").glob("*.toml")):
        for block, entry in read_toml(path).items():
            for number, task in enumerate(entry["tasks"], 1):
                for key, value in task.items():
                    if not isinstance(value, _KEYS.get(key, ())):
                        raise UserError(
                            f"{path}, [{block}], task {number}: {key} is not one of"
                            f" {', '.join(_KEYS)}, or of another kind"
                        )
            found[block] = Observations(
                entry["panel"], tuple(entry["tasks"]), entry.get("picture", {})
            )
    return found
