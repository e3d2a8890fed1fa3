"""Traction control, computed: the package behind the lessons.

Importing it is cheap; the parts load on first use.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tractionlab.run.scenario import Scenario as Scenario
    from tractionlab.run.scenario_file import read_scenario as read_scenario
    from tractionlab.run.simulation import simulate as simulate
    from tractionlab.run.simulation import simulate_many as simulate_many
    from tractionlab.run.trace import Trace as Trace
    from tractionlab.view import View as View

__version__ = "0.1.0"

_HOME = {
    "Scenario": "run.scenario",
    "read_scenario": "run.scenario_file",
    "simulate": "run.simulation",
    "simulate_many": "run.simulation",
    "Trace": "run.trace",
    "View": "view",
}
__all__ = sorted(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'tractionlab' has no attribute {name!r}")
    return getattr(import_module(f"tractionlab.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return __all__
