"""From an answer to marks with a reason."""
