"""The best possible run, the worth of control, stops after the braking rules."""
