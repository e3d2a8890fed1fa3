"""Each kind of sensor as resistors, sources and diodes, as its values and the moment have it."""

from tractionlab.workshop.wiring.nodal import MIN_OHM, Current, Diode, Resistor, Source

_ORDER = ("fl", "fr", "rl", "rr")
_WORN = (0.15, 0.20)  # where a carbon track wears first, as share of the plate's travel
_MA = 1e-3


def plate_of(moment, which):
    """How far a throttle plate is open, 0 to 1."""
    return moment.plates.get(which, moment.accelerator if which == "main" else 1.0)


def _sensor_at(e, values):
    """Pins of a wheel sensor; the rear ones stand at each other's while their plugs are crossed."""
    wheel = e.part[-2:]
    if wheel in ("rl", "rr") and values["rear_plugs.crossed"] >= 0.5:
        return tuple(
            point.replace(f"_{wheel}.", "_rr." if wheel == "rl" else "_rl.") for point in e.at
        )
    return e.at


def coil_sensor(e, values, moment, states):
    plus, minus = _sensor_at(e, values)
    return [
        Source(
            f"{e.part}.emf",
            plus,
            minus,
            moment.emf[_ORDER.index(e.part[-2:])],
            values[f"{e.part}.coil_ohm"],
        ),
        Resistor(f"{e.part}.ground", plus, "body", max(MIN_OHM, values[f"{e.part}.to_ground_ohm"])),
    ]


def two_currents(e, values, moment, states):
    """An active sensor draws its current if it finds enough volts; beside it lies what an ohmmeter
    would see.
    """
    feed, signal = _sensor_at(e, values)
    inside, high = f"{e.part}/inside", moment.level[_ORDER.index(e.part[-2:])]
    return [
        Diode(f"{e.part}.least", feed, inside, values[f"{e.part}.least_V"]),
        Diode(f"{e.part}.spare", signal, inside, 0.0),
        Current(
            f"{e.part}.current",
            inside,
            signal,
            _MA * values[f"{e.part}.{'high' if high else 'low'}_mA"],
        ),
        Resistor(f"{e.part}.inner", feed, signal, values[f"{e.part}.coil_ohm"]),
    ]


def potentiometer(e, values, moment, states):
    v = {
        name: values[f"{e.part}.{name}"]
        for name in ("track_ohm", "closed_share", "open_share", "wiper_ohm")
    }
    plate = plate_of(moment, e.more["share"].split("_")[1])
    travel = 1.0 - plate if e.more["share"].endswith("reversed") else plate
    share = v["closed_share"] + (v["open_share"] - v["closed_share"]) * travel
    if _WORN[0] <= plate <= _WORN[1]:
        share -= values.get(f"{e.part}.worn_V", 0.0) / values["unit.five_V"]
    share, wiper = min(0.999, max(0.001, share)), f"{e.key}/track"
    feed, ground, out = e.at
    return [
        Resistor(f"{e.key}.upper", feed, wiper, (1.0 - share) * v["track_ohm"]),
        Resistor(f"{e.key}.lower", wiper, ground, share * v["track_ohm"]),
        Resistor(e.key, wiper, out, v["wiper_ohm"]),
    ]


def signal(e, values, moment, states):
    feed, ground, out = e.at
    told = moment.signals.get(e.more["signal"], 0.0) + values[f"{e.part}.offset"]
    volt = min(5.0, max(0.0, values[f"{e.part}.zero_V"] + values[f"{e.part}.gain"] * told))
    branches = [Resistor(f"{e.key}.supply", feed, ground, values[f"{e.part}.supply_ohm"])]
    return branches + (
        [Source(f"{e.key}.signal", out, ground, volt, values[f"{e.part}.out_ohm"])]
        if e.key in states.awake
        else []
    )
