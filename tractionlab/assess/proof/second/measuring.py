"""The second route of `keys/measuring.py` for the proof. Same name and units."""

from tractionlab.assess.proof.second.halving import halved


def current_through(supply, load, extra):
    """Current, by halving, at which both drops make up the supply."""
    return halved(0.0, 1e6, lambda amps: amps * load + amps * extra >= supply)
