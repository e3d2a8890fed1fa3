"""Bench tests T01 to T29."""
