"""Which hatch a road surface gets, the same live and printed."""

#: Words by which a surface is known; the place in the list is the number of its hatch.
SURFACE_WORDS = (
    ("ice",),
    ("snow",),
    ("wet", "water"),
    ("asphalt", "dry", "tar"),
    ("gravel", "sand", "earth"),
    ("concrete", "cobble", "stone"),
)


def hatch_number(name):
    """Number of the hatch for the surface called `name`; an unknown one always gets the same."""
    low = name.lower()
    for number, words in enumerate(SURFACE_WORDS):
        if any(word in low for word in words):
            return number
    total = 0
    for letter in low:
        total = (total * 31 + ord(letter)) % 9973
    return total % len(SURFACE_WORDS)
