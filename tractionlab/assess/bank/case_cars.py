"""The cars that a repair case draws from, for those who may know them: fault, repair, proof, and a
good route.
"""

from tractionlab.catalogue.entries import shipped, shipped_only
from tractionlab.paint.blocks import Rows
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.fault_entry import KINDS
from tractionlab.workshop.faults import fault
from tractionlab.workshop.tests.base import tests


@shipped_only()
def cars_of(item):
    """Table of all cars of an item of kind case; a candidate gets one of them.

    item : Item whose draws under `car` have vehicle and fault
    """
    return Rows(
        "The cars of this case: each candidate gets one of them",
        ("Car, customer", "Fault, repair", "Proof of the repair", "A good route (computed)"),
        tuple(_row(draw["vehicle"], fault(draw["fault"])) for draw in item.draws["car"]),
        (3, 3, 3, 3),
    )


def _row(vehicle, entry):
    route = route_to(entry.id, entry.symptoms[0], vehicle)
    steps = ", ".join(f"{name} {tests()[name].name}" for name in route.tests)
    return (
        f"{shipped().vehicles()[vehicle].name}. {entry.story}",
        f"{entry.place}, {KINDS[entry.kind]}. {entry.cause} {entry.repair}",
        entry.verification,
        f"{steps}: {route.minutes:g} minutes",
    )
