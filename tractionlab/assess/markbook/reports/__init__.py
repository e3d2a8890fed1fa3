"""Reports of a sitting: feedback, class overview, assessor's record."""
