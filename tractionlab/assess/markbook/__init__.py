"""Marks kept, moderated, changed, released, reported."""
