"""What people write: typed numbers, append-only files, the learner's record."""
