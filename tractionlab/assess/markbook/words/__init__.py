"""The words of `tractionlab markbook`."""
