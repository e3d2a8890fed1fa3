"""A sitting issued: roll, folders, sheets."""
