"""Everything a lesson uses, under one roof: `from tractionlab.lesson import *`. Parts load when they are first named."""
from importlib import import_module

_HOME = {
    **dict.fromkeys(("predict", "recall", "question", "exercise"), ".ask"),
    **dict.fromkeys(("lesson_map", "my_outcomes", "entry_check", "safety_statement", "you_can", "in_the_bay", "what_next"), ".start"),
    "friction_panel": "..panels.friction",
    "throttle_panel": "..panels.throttle",
    "launch_panel": "..panels.launch",
    "delay_panel": "..panels.delay",
    "hill_panel": "..panels.hill",
    "heat_panel": "..panels.heat",
    **dict.fromkeys(("say", "curve", "best_throttle", "hand_pull", "split_push", "run_up", "by_control", "first_pause", "hand_heat"), ".facts"),
}
__all__ = sorted(_HOME)


def __getattr__(name):
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name], __name__), name)
