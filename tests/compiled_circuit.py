"""The kernels of the brake circuit compiled on their own, for tests: each function can be called
from Python.
"""

import importlib
import sys
import types
from pathlib import Path

import numba

MODULES = (
    "physics.hydraulics",
    "physics.circuit",
    "physics.circuit_parts",
    "physics.circuit_a",
    "physics.circuit_b",
    "physics.brake_circuit",
)


def compiled():
    """{module name: copy of the module whose functions are compiled}."""
    copies = {}
    for name in MODULES:
        original = importlib.import_module(f"tractionlab.{name}")
        copy = types.ModuleType(f"compiled_for_test.{name}")
        copy.__file__ = original.__file__
        sys.modules[copy.__name__] = copy
        exec(
            compile(Path(original.__file__).read_bytes(), original.__file__, "exec"), copy.__dict__
        )
        for key, value in list(vars(copy).items()):
            if isinstance(value, type) and value.__module__ == copy.__name__:
                setattr(copy, key, getattr(original, key))
            elif isinstance(value, types.FunctionType) and value.__module__ == copy.__name__:
                setattr(copy, key, numba.njit(error_model="numpy", nogil=True)(value))
            elif isinstance(value, types.FunctionType):
                home = value.__module__.removeprefix("tractionlab.")
                if home in copies:
                    setattr(copy, key, getattr(copies[home], key))
        copies[name] = copy
    return copies
