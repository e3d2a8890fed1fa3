"""Reads and checks data/: tables, entries, a course's own files, and where things lie."""
