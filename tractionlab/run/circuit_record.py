"""What the hydraulic circuit did in a run: pressures, fluid, flows, plungers and commands, a row a
cycle, and the run as a picture.
"""

import numpy as np

from tractionlab.control.settings import WHEELS
from tractionlab.hydraulics.picture import circuit_scene
from tractionlab.physics import circuit as h
from tractionlab.run import loop
from tractionlab.run.circuit_assembly import circuit_parts


class CircuitRecord:
    """Arrays of a run with a circuit; places, flows and commands are numbered as in
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
        self.pressures = film[:, loop.F_PRESSURE : loop.F_FLUID]
        self.fluid = film[:, loop.F_FLUID : loop.F_FLOW]
        self.flows = film[:, loop.F_FLOW : loop.F_TRAVEL]
        self.travel = film[:, loop.F_TRAVEL : loop.F_COMMAND]
        self.command = np.pad(
            film[:, loop.F_COMMAND : loop.F_PULSE], ((0, 0), (0, h.COMMANDS - h.AIM))
        )
        self.pulse = film[:, loop.F_PULSE : loop.F_SEEN]
        self.seen = film[:, loop.F_SEEN :]
        self.measured = self.seen[:, WHEELS : WHEELS + 4]

    def scene(self, every=1):
        """The run as a CircuitScene, a frame for every so many rows."""
        t = slice(None, None, every)
        return circuit_scene(
            self.layout,
            self.time[t],
            self.pressures[t],
            self.fluid[t],
            self.flows[t],
            self.travel[t],
            self.command[t],
            self.parts,
            pulse=self.pulse[t],
        )
