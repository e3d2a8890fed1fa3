"""Wheel-speed sensors: rings, gaps, wave forms, counting."""
