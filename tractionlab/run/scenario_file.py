"""A scenario from a TOML file; a mistake is named with the file."""

from os import PathLike
from pathlib import Path

from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.run.circuit_assembly import check_faults
from tractionlab.run.scenario import Scenario, scenario_from


def read_scenario(path: str | PathLike[str]) -> Scenario:
    """Scenario of a TOML file whose keys are the fields; `[[patches]]`, `[settings]`,
    `[vehicle_values]`, `[faults]` are tables.

    Raises UserError with file, field and what is allowed, also for a part or a fault that the
    scenario's car does not have."""
    table = read_toml(path)
    try:
        scenario = scenario_from(table)
        check_faults(scenario)
    except UserError as fault:
        raise UserError(f"{Path(path)}: {fault}") from None
    return scenario
