"""Answer files: lines, reading, folders."""
