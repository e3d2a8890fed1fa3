"""Drives of a car with a fault: what sensors, unit and driver notice."""
