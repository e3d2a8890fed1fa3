"""What the hydraulic circuit did in a run: pressures, fluid, flows, plungers and commands, a row a
cycle, and the run as a picture.
"""

import numpy as np

from tractionlab.control.settings import SENSE_WHEELS
from tractionlab.hydraulics.film import Film
from tractionlab.hydraulics.picture import circuit_scene
from tractionlab.physics import circuit as h
from tractionlab.run import record_layout as r
from tractionlab.run.circuit_assembly import circuit_parts


class CircuitRecord:
    """Arrays of the circuit in a run; places, flows and commands are numbered as in
    `physics.circuit`.

    layout : "A" or "B"; parts : the Circuit with its faults
    time (n,) [s]; pressures (n, PLACES) [Pa], fluid (n, PLACES) [m^3] : at the row's time flows (n,
    FLOWS) [m^3/s] : mean of the cycle that begins with the row; travel (n, VALVES) [-] : at the end
    of the valve's pulse in it
    command (n, COMMANDS) : current at the end of that pulse [A], foot [Pa], pumps; pulse (n,
    VALVES) : share of the cycle it lasts, by wire
    seen (n, SENSORS) : what the sensors tell the control unit, in the order of `control.settings`;
    measured (n, 4) [m/s] : the wheel speeds of it
    """

    def __init__(self, trace):
        film = trace.film
        film.setflags(write=False)
        self.layout, self.parts = circuit_parts(trace.scenario)
        self.time = trace.time
        self.pressures = film[:, r.F_PRESSURE : r.F_FLUID]
        self.fluid = film[:, r.F_FLUID : r.F_FLOW]
        self.flows = film[:, r.F_FLOW : r.F_TRAVEL]
        self.travel = film[:, r.F_TRAVEL : r.F_COMMAND]
        self.command = np.pad(film[:, r.F_COMMAND : r.F_PULSE], ((0, 0), (0, h.COMMANDS - h.AIM)))
        self.pulse = film[:, r.F_PULSE : r.F_SEEN]
        self.seen = film[:, r.F_SEEN :]
        self.measured = self.seen[:, SENSE_WHEELS : SENSE_WHEELS + 4]

    def scene(self, every=1):
        """The run as a CircuitScene, a frame for every so many rows."""
        t = slice(None, None, every)
        film = Film(
            time=self.time[t],
            pressures=self.pressures[t],
            fluid=self.fluid[t],
            flows=self.flows[t],
            travel=self.travel[t],
            command=self.command[t],
            pulse=self.pulse[t],
        )
        return circuit_scene(self.layout, film, self.parts)
