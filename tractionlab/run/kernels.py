"""Compiles the kernels: the plain text of these modules, run through numba and cached under a hash
of all their sources.
"""

import hashlib
import importlib
import sys
import types
from functools import lru_cache
from pathlib import Path

from tractionlab.catalogue.places import cache_folder

#: Modules whose functions are compiled, in the order they import each other.
MODULES = (
    "slots",
    "physics.tyre",
    "physics.road",
    "physics.engine",
    "physics.driveline",
    "physics.brake",
    "physics.hydraulics",
    "physics.circuit",
    "physics.circuit_parts",
    "physics.circuit_a",
    "physics.circuit_b",
    "physics.brake_circuit",
    "physics.circuit_cycle",
    "sensors.ring",
    "physics.chassis",
    "physics.car",
    "physics.car_motion",
    "control.phases",
    "control.hydraulics",
    "control.settings",
    "sensors.counting",
    "control.steps",
    "control.speeds",
    "control.pressure",
    "control.antilock",
    "control.brake_action",
    "control.paths",
    "control.torque",
    "control.drag",
    "control.valve_drive",
    "control.unit",
    "run.driver",
    "run.gear_change",
    "run.sensing",
    "run.record_layout",
    "run.run",
    "run.noting",
    "run.loop",
)
#: Functions of those modules that stay plain Python: they prepare, they are not run in the loop.
PLAIN = {"slots", "compliance", "torque_shares", "estimate"}
#: Functions that Python calls, by module; `start.warm` alone calls `control.torque` and
#: `control.drag`, to compile them beside the rest of the unit. Only they get the wrapper for it,
#: which takes a quarter of the time to compile all.
ENTRIES = {
    "run.loop": ("go", "begin_cycle", "end_cycle"),
    "physics.brake_circuit": (
        "circuit_at_rest",
        "circuit_rates",
        "advance_circuit",
        "watch_accumulator",
    ),
    "physics.circuit_cycle": ("run_cycle",),
    "control.torque": ("reduce_torque",),
    "control.drag": ("lift_drag",),
    "control.unit": ("cycle",),
}


def source_files():
    """Paths of all kernel sources."""
    root = Path(__file__).resolve().parents[1]
    return [root.joinpath(*name.split(".")).with_suffix(".py") for name in MODULES]


def source_hash():
    """Hash of all kernel sources and of what compiles them, this file too: the name of the cache
    folder.
    """
    import numba
    import numpy

    digest = hashlib.sha256(f"{sys.version} {numba.__version__} {numpy.__version__}".encode())
    for path in [*source_files(), Path(__file__)]:
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def plain():
    """The loop module as it stands, uncompiled: a learner can step through it."""
    return importlib.import_module("tractionlab.run.loop")


@lru_cache(maxsize=4)
def compiled(module="run.loop"):
    """ENTRIES and constants of a kernel module, with every kernel compiled.

    The first call on a machine takes some seconds, later ones use the cache. The other compiled
    functions stay inside: they can only be called from compiled code."""
    copy, text = _copies()[module], importlib.import_module(f"tractionlab.{module}")
    constants = {name: value for name, value in vars(text).items() if name.isupper()}
    return types.SimpleNamespace(
        **constants, **{name: getattr(copy, name) for name in ENTRIES[module]}
    )


@lru_cache(maxsize=1)
def _copies():
    """Every kernel module with its functions compiled, by name."""
    import numba

    before = numba.config.CACHE_DIR
    numba.config.CACHE_DIR = str(_cache())
    try:
        copies = {}
        for name, path in zip(MODULES, source_files()):
            copies[name] = _compiled_copy(name, path, copies, numba)
    finally:
        numba.config.CACHE_DIR = before
    return copies


def _cache():
    folder = cache_folder() / source_hash()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        pass
    return folder


def _compiled_copy(name, path, copies, numba):
    """A second copy of a kernel module whose functions are compiled and call the compiled ones of
    the copies before it.

    Its whole numbers are NumPy's: a function is compiled anew for each Python number that is handed
    to it by name, such as a phase."""
    import numpy

    original = importlib.import_module(f"tractionlab.{name}")
    copy = types.ModuleType(f"tractionlab._compiled.{name}")
    copy.__file__ = str(path)
    sys.modules[copy.__name__] = copy
    exec(compile(path.read_bytes(), str(path), "exec"), copy.__dict__)
    for key, value in list(vars(copy).items()):
        if isinstance(value, type) and value.__module__ == copy.__name__:
            setattr(copy, key, getattr(original, key))
        elif type(value) is int:
            setattr(copy, key, numpy.int64(value))
        elif isinstance(value, types.FunctionType) and key not in PLAIN:
            if value.__module__ == copy.__name__:
                entry = key in ENTRIES.get(name, ())
                setattr(
                    copy,
                    key,
                    numba.njit(
                        error_model="numpy",
                        nogil=True,
                        cache=entry,
                        no_cpython_wrapper=not entry,
                        no_cfunc_wrapper=True,
                    )(value),
                )
            else:
                home = value.__module__.removeprefix("tractionlab.")
                if home in copies:
                    setattr(copy, key, getattr(copies[home], key))
    return copy
