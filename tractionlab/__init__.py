"""Traction control, computed: the package behind the lessons.

Importing it is cheap; the parts load on first use.
"""

from importlib import import_module

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


def __getattr__(name):
    if name not in _HOME:
        raise AttributeError(f"module 'tractionlab' has no attribute {name!r}")
    return getattr(import_module(f"tractionlab.{_HOME[name]}"), name)


def __dir__():
    return __all__
