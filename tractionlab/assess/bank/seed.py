"""The number that every draw and every order of options begins from."""

import hashlib
import json


def seed_of(*parts):
    """SHA-256 over the parts, as an integer."""
    return int.from_bytes(
        hashlib.sha256(json.dumps([str(part) for part in parts]).encode()).digest()
    )
