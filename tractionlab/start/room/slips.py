"""Slips for the candidates of an exam room: address, number and PIN, to be cut apart."""

from tractionlab.paint.blocks import Rows, Text
from tractionlab.paint.document import Document


def slips(seats, pins, address):
    """Document: a row to cut out for each candidate."""
    sheet = next(iter(seats.values())).sheet
    rows = tuple(
        (seat.sheet["name"], f"number {number}", f"PIN {pins[number]}", address)
        for number, seat in seats.items()
    )
    when_and_where = ", ".join(filter(None, (sheet["date"], sheet["place"])))
    head = ("Name", "Number", "PIN", "Address to type into the browser")
    return Document(
        f"Slips: {sheet['title']}",
        [
            Text("Cut the rows apart. Check who each person is, then give out the slip."),
            Rows("Slips", head, rows, (3, 1.6, 1.6, 3.8), room=True),
            Text("Collect the slips at the end, and destroy this sheet with the PINs."),
        ],
        f"Sitting {sheet['sitting']}, {when_and_where}",
    )
