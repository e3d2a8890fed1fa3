"""The electrical network: netlist, pins, nodal solution, drawing."""
