"""Meter, oscilloscope, probes."""
