"""What car and road do. Pure functions in SI units; no controller is known here."""
