"""The car of the day: an invented car with a complaint from the catalogue of faults, the same for
all on that day; its story when it is asked for, and where the course treats it.
"""

import hashlib

from tractionlab.catalogue import entries as catalogue
from tractionlab.lesson.ask import blank_face, draft_key, text_field
from tractionlab.lesson.start import lesson
from tractionlab.paint.card import Card
from tractionlab.workshop.fault_entry import KINDS
from tractionlab.workshop.faults import fault, faults
from tractionlab.written.record import my_record, today

KIND = "car"
_BENCH = 11  #: the lesson with the bench
#: Group of faults -> the lesson that explains what is broken there.
LESSONS = {
    "wheel speed": 3,
    "tone ring": 3,
    "tyres": 4,
    "base brake": 12,
    "brake fluid": 12,
    "hydraulics A": 6,
    "hydraulics B": 7,
    "sensors": 9,
    "driver inputs": 9,
    "torque": 5,
    "cornering sensors": 9,
    "supply": 10,
    "network": 9,
    "ecu": 9,
    "not a fault": 8,
}
_MOST = 500  # letters of a suspicion


def drawn_for(day):
    """(fault, vehicle) of the car of a day, which is a text such as 2026-11-30."""
    number = int.from_bytes(hashlib.sha256(f"car {day}".encode()).digest()[:8])
    names = sorted(faults())
    entry = fault(names[number % len(names)])
    return entry, entry.vehicles[number // len(names) % len(entry.vehicles)]


class CarOfTheDay(Card):
    """The complaint, a line for what the learner suspects, and the story."""

    def __init__(self):
        self.day = today()
        self.fault, vehicle = drawn_for(self.day)
        name = catalogue.shipped().vehicles()[vehicle].name.lower()
        super().__init__(
            blank_face(
                "Car of the day (invented)",
                text=f"A {name} comes in. The customer: \u201c{self.fault.story}\u201d",
                fields=[text_field("suspect", "What do you suspect, and why?", words=True)],
                buttons=[["keep", "Keep it", True], ["story", "What was it?", True]],
                draft=draft_key(f"car {self.day}"),
                links=[["Or find it yourself, on the bench of lesson 11", self._notebook(_BENCH)]],
            )
        )
        kept = my_record().last(self.fault.id, KIND)
        if kept is not None and kept["time"][:10] == self.day:
            self._show(kept["answer"], "Kept. Now look what it was, or find it on the bench.")

    def on_command(self, command, values):
        """Keep the suspicion of today, or tell the story."""
        line = values["suspect"].strip()
        if command == "story":
            return self._tell(line)
        if not 0 < len(line) <= _MOST:
            return self._show(line, f"Write a line first, of at most {_MOST} letters.")
        my_record().add(KIND, 0, self.fault.id, line)
        self._show(line, "Kept. Now look what it was, or find it on the bench.")

    def _tell(self, line):
        entry = self.fault
        number = LESSONS[entry.group]
        self._show(
            line,
            f"{entry.place[0].upper()}{entry.place[1:]}, {KINDS[entry.kind]}. {entry.cause}"
            f" Repair: {entry.repair}",
            links=[
                [f"Lesson {number}: {lesson(number)['title']}", self._notebook(number)],
                *self.face["links"][-1:],
            ],
        )

    def _show(self, line, message, **more):
        field = {**self.face["fields"][0], "value": line}
        self.turn(fields=[field], message=message, notice=my_record().note, **more)

    def _notebook(self, number):
        return lesson(number)["notebook"]


def car_of_the_day():
    """The car of the day."""
    return CarOfTheDay()
