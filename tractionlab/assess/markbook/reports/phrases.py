"""Phrases that several reports and words of `tractionlab markbook` use."""


def who(book, number):
    """Number and, unless it was deleted, name of a candidate."""
    return f"{number}, {book.roll[number]}" if book.roll[number] else number


def total(found):
    """(marks, per cent, grade) of a Result."""
    return (
        f"{found.got:g} of {found.out_of:g}",
        f"{found.percent:.1f}",
        found.grade + ("" if found.safe else ", safety gate failed"),
    )


def still_open(found):
    """How many items of a Result nobody has marked yet."""
    return f"{len(found.open)} item{'s' if len(found.open) > 1 else ''} not marked yet"


def two_places(value):
    """A figure with two decimals, "-" for nan."""
    return "-" if value != value else f"{value:.2f}"
