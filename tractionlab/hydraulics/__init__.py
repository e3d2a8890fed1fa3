"""The two hydraulic layouts as graphs: parts, places, paths, values, faults, symbols, picture."""
