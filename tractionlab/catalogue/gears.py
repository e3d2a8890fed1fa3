"""Gears of a vehicle: its overall ratios, each the gear's times that of the final drive."""

#: How many gears a vehicle's table can have.
MOST_GEARS = 6
_KEYS = ("gear_ratio", *(f"gear_ratio_{number}" for number in range(2, MOST_GEARS + 1)))


def overall_ratios(values):
    """Overall ratios of the gears that a vehicle's values have, first gear first: a tuple."""
    return tuple(values[key] for key in _KEYS if values[key] > 0.0)


def wrong_gears(values):
    """What is wrong with the gears of a vehicle's values, in words; empty if nothing is."""
    ratios = [values[key] for key in _KEYS]
    count = len(overall_ratios(values))
    shown = ", ".join(f"{ratio:g}" for ratio in ratios)
    if any(ratios[count:]):
        return f"gear_ratio to {_KEYS[-1]} must have no gear behind a missing one (0), got {shown}"
    if any(low >= high for high, low in zip(ratios[: count - 1], ratios[1:count])):
        return f"gear_ratio to {_KEYS[-1]} must fall from gear to gear, got {shown}"
    if values["motor"] == "electric" and count > 1:
        return f'gear_ratio_2 must be 0 with motor = "electric": one ratio; got {shown}'
    return ""
