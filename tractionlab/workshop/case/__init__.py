"""A repair case: its log, score, suspects, sheets."""
