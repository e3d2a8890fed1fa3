"""A trace: what happened in a run, as named arrays with units; one row per cycle of the control unit."""
import csv
from functools import cached_property
from types import MappingProxyType

from tractionlab import loop

WHEEL_NAMES = ("FL", "FR", "RL", "RR")

#: name: (first column of the record, number of columns, unit)
CHANNELS = MappingProxyType({
    "time": (loop.TIME, 1, "s"),
    "speed": (loop.R_BODY, 1, "m/s"),
    "side_speed": (loop.R_BODY + 1, 1, "m/s"),
    "yaw_rate": (loop.R_BODY + 2, 1, "rad/s"),
    "x": (loop.R_BODY + 3, 1, "m"),
    "y": (loop.R_BODY + 4, 1, "m"),
    "yaw": (loop.R_BODY + 5, 1, "rad"),
    "wheel_speed": (loop.R_WHEEL, 4, "rad/s"),
    "slip": (loop.R_SLIP, 4, "-"),
    "side_slip": (loop.R_SIDE_SLIP, 4, "-"),
    "drive_force": (loop.R_DRIVE, 4, "N"),
    "side_force": (loop.R_SIDE, 4, "N"),
    "load": (loop.R_LOAD, 4, "N"),
    "grip_limit": (loop.R_LIMIT, 4, "N"),
    "pressure": (loop.R_PRESSURE, 4, "Pa"),
    "disc_temperature": (loop.R_DISC, 4, "degC"),
    "valve_mode": (loop.R_VALVE, 4, "-"),
    "engine_speed": (loop.R_ENGINE, 1, "rad/s"),
    "engine_torque": (loop.R_TORQUE, 1, "N m"),
    "throttle": (loop.R_THROTTLE, 1, "-"),
    "ignition": (loop.R_IGNITION, 1, "-"),
    "fuel_cut": (loop.R_CUT, 1, "-"),
    "pedal": (loop.R_PEDAL, 1, "-"),
    "reference_speed": (loop.R_REFERENCE, 1, "m/s"),
    "torque_request": (loop.R_REQUEST, 1, "N m"),
    "lamp": (loop.R_LAMP, 1, "-"),
    "steer": (loop.R_STEER, 1, "rad"),
    "antilock": (loop.R_ANTILOCK, 1, "-"),
    "pedal_pressure": (loop.R_PEDAL_PRESSURE, 1, "Pa"),
    "work_in": (loop.R_WORK, 1, "J"),
    "work_tyres": (loop.R_WORK + 1, 1, "J"),
    "work_brakes": (loop.R_WORK + 2, 1, "J"),
    "work_other": (loop.R_WORK + 3, 1, "J"),
})


class Trace:
    """Arrays of a run by name, as attributes or `trace["speed"]`: shape (n,), or (n, 4) in wheel order FL, FR, RL, RR."""

    units = MappingProxyType({name: unit for name, (_, _, unit) in CHANNELS.items()})

    def __init__(self, scenario, record, film=None):
        record.setflags(write=False)
        self.scenario = scenario
        self.record = record
        self.film = film

    @cached_property
    def circuit(self):
        """Record of the hydraulic circuit and of the speeds read from teeth, a `CircuitRecord`; None in a run without `circuit`."""
        if self.film is None:
            return None
        from tractionlab.circuit_record import CircuitRecord

        return CircuitRecord(self)

    def __getitem__(self, name):
        if name not in CHANNELS:
            raise KeyError(f"no channel {name!r}; there are: {', '.join(CHANNELS)}")
        first, count, _ = CHANNELS[name]
        return self.record[:, first] if count == 1 else self.record[:, first:first + count]

    def __getattr__(self, name):
        if name in CHANNELS:
            return self[name]
        raise AttributeError(f"a trace has no {name!r}; its channels are: {', '.join(CHANNELS)}")

    def __len__(self):
        return len(self.record)

    @cached_property
    def driven(self):
        """Which wheels are driven, a tuple of 4 bools."""
        from tractionlab.assembly import road_of

        return tuple(bool(share > 0.0) for share in road_of(self.scenario)[1])

    def until(self, rows):
        """The trace of the first so many rows."""
        return Trace(self.scenario, self.record[:rows], None if self.film is None else self.film[:rows])

    def merit(self):
        """Figures of merit of the run, see `tractionlab.merit`."""
        from tractionlab.merit import merit

        return merit(self)

    def to_csv(self, path):
        """Write all channels to a CSV file; the header names channel and unit."""
        header = []
        for name, (_, count, unit) in CHANNELS.items():
            header += [f"{name} [{unit}]"] if count == 1 else [f"{name}_{wheel} [{unit}]" for wheel in WHEEL_NAMES]
        columns = [column for name, (first, count, _) in CHANNELS.items() for column in range(first, first + count)]
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(header)
            writer.writerows([f"{value:.9g}" for value in row] for row in self.record[:, columns])
