"""Settings of a control unit as a candidate typed them, as numbers."""

from tractionlab.written.numbers import Unreadable, convert, read


def read_settings(rows, given):
    """{setting: number} from what was typed for the settings of a field ({name, label, unit, low,
    high}, ...), or the reason in words why that cannot be.
    """
    if not isinstance(given, dict):
        return "the answer names no settings."
    found = {}
    for row in rows:
        try:
            reading = (
                read(given.get(row["name"])) if isinstance(given.get(row["name"]), str) else None
            )
        except Unreadable as error:
            return f"{row['label']}: {error}"
        if reading is None:
            return f"{row['label']}: no number."
        value = convert(reading.number, reading.unit or row["unit"], row["unit"])
        if value is None or not row["low"] <= value <= row["high"]:
            return (
                f"{row['label']}: must be {row['low']:g} to {row['high']:g} {row['unit']}".rstrip()
                + "."
            )
        found[row["name"]] = float(value)
    return found
