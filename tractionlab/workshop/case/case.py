"""A repair case: a car with one fault, a complaint, tests at a cost, a repair, the proof.

All that happens goes into a log that anybody can replay.
"""

from dataclasses import asdict, replace
from types import MappingProxyType

from tractionlab.errors import UserError
from tractionlab.workshop.case import suspects
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import check_vehicle, fault, faults, symptoms
from tractionlab.workshop.instruments import probing
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import minutes_of, preparations, run, tests

VERSION = 1
MODES = MappingProxyType(
    {
        "practice": "practice: the list of possible faults can be seen",
        "graded": "graded: no list, no hints shown unasked",
    }
)
CLEAR_MINUTES, PART_MINUTES = 2, 30  # invented
LONGEST_NOTE = 2000  # characters


class Case:
    """One try at one case.

    Parameters
    ----------
    fault_id, vehicle : the car in the bay
    symptom : key of the first symptom; the fault's own first one if left out
    mode : one of MODES

    Attributes
    ----------
    log : list of dicts, grows only; `replay.replay(log)` gives the same case
    minutes : int used so far; stopped : str, why the case ended early; finished : bool
    readings : {test or Setup: readings} as taken before the first repair; a reading that
        means nothing is not among them
    """

    def __init__(self, fault_id, vehicle, symptom="", mode="practice"):
        entry = fault(fault_id)
        check_vehicle(vehicle)
        if vehicle not in entry.vehicles:
            raise UserError(
                f"{fault_id} does not fit {vehicle!r}; it fits {', '.join(entry.vehicles)}"
            )
        self.fault, self.vehicle, self.symptom, self.mode = (
            entry,
            vehicle,
            symptom or entry.symptoms[0],
            mode,
        )
        if self.symptom not in entry.symptoms:
            raise UserError(
                f"{fault_id} has the symptoms {', '.join(entry.symptoms)}, got {symptom!r}"
            )
        if mode not in MODES:
            raise UserError(f"mode must be one of {', '.join(MODES)}; got {mode!r}")
        self.log, self.minutes, self.stopped, self.finished = [], 0, "", False
        self.acknowledged, self.repaired, self.cleared, self.first_repair = (
            False,
            False,
            False,
            None,
        )
        self.readings = {}
        self._note(
            "start",
            version=VERSION,
            fault=fault_id,
            vehicle=vehicle,
            symptom=self.symptom,
            mode=mode,
        )

    @property
    def complaint(self):
        """The customer's own words, and the symptom in short."""
        return f"\u201c{self.fault.story}\u201d"

    @property
    def over(self):
        """True once nothing more can be done."""
        return self.finished or bool(self.stopped)

    def _note(self, do, **more):
        self.log.append({"do": do, "minutes": self.minutes, **more})

    def _may(self, needs_caution=True):
        if self.over:
            raise UserError("This case has ended. Begin a new one.")
        if needs_caution and not self.acknowledged:
            raise UserError("Read the cautions and confirm them first.")

    def acknowledge(self):
        """Confirm that the cautions were read."""
        self._may(needs_caution=False)
        self.acknowledged = True
        self._note("cautions")

    def take(self, test, prepared=(), condition=""):
        """Take a test. `prepared`: keys of what was done before; `condition`: symptom whose
        conditions a verification drive repeats.

        A critical preparation that is missing ends the case. Returns the readings; an unknown test
        or key is a UserError."""
        self._may()
        known = tests()
        if test not in known:
            raise UserError(f"there is no test {test!r}; there are {', '.join(known)}")
        if strange := set(prepared) - set(preparations()):
            raise UserError(
                f"no preparation is called {sorted(strange)[0]!r}; there are"
                f" {', '.join(preparations())}"
            )
        if condition and condition not in symptoms():
            raise UserError(f"condition must be one of {', '.join(symptoms())}; got {condition!r}")
        entry = known[test]
        missing = [key for key in entry.critical_on(self.vehicle) if key not in prepared]
        if missing:
            self.stopped = f"{entry.name}: not done before: {preparations()[missing[0]]}."
            self._note(
                "stopped", test=test, prepared=sorted(prepared), missing=missing, why=self.stopped
            )
            return ()
        self.minutes += entry.minutes
        found = self._measure(test)
        if not self.repaired_anything:
            self.readings[test] = found
        self._note(
            "test",
            test=test,
            prepared=sorted(prepared),
            condition=condition,
            readings=[asdict(reading) for reading in found],
        )
        return found

    def measure(self, setup):
        """Take one reading at points of the wiring. Returns probing.Taken; a UserError, which costs
        nothing, says why there is none.

        A probe on a circuit that nobody may measure ends the case. A reading that means nothing is
        written down, but excludes nothing."""
        self._may()
        forbidden = probing.network_of(self.vehicle, self.values).plan.forbidden
        if not_allowed := [point for _, point in setup.points if point in forbidden]:
            name, why = forbidden[not_allowed[0]]
            self.stopped = f"Probe on the {name}: {why}"
            self._note("stopped", setup=setup.plain(), why=self.stopped)
            return None
        taken = probing.take(probing.network_of(self.vehicle, self.values), setup)
        self.minutes += minutes_of(setup)
        if not self.repaired_anything and taken.sound:
            self.readings[setup] = taken.readings
        self._note(
            "measure",
            setup=setup.plain(),
            sound=taken.sound,
            readings=[asdict(reading) for reading in taken.readings],
        )
        return taken

    @property
    def values(self):
        """Part values of the car as it now is."""
        return (
            part_values(self.vehicle)
            if self.repaired
            else suspects.car_with(self.fault.id, self.vehicle)
        )

    @property
    def repaired_anything(self):
        """True after the first repair."""
        return self.first_repair is not None

    def _measure(self, test):
        """Readings of the car as it now is.

        Codes that are no longer set stay stored until the memory is cleared.
        """
        story = suspects.story_of(self.fault.id)
        found = run(test, self.vehicle, self.values, story)
        if test == "T04" and self.repaired and not self.cleared:
            before = {
                reading.key: reading
                for reading in run(
                    test, self.vehicle, suspects.car_with(self.fault.id, self.vehicle), story
                )
            }
            found = tuple(_stored(before.get(reading.key, reading)) for reading in found)
        return found

    def candidates(self):
        """Faults that fit the first symptom."""
        return suspects.candidates(self.symptom, self.vehicle)

    def possible(self):
        """Those whose computed readings agree with all that was read before the first repair."""
        left = self.candidates()
        for test, readings in self.readings.items():
            left = suspects.still_possible(left, test, readings, self.vehicle)
        return left

    def hint(self):
        """The test that tells most per minute now; costs points."""
        self._may()
        self._note("hint")
        best = [
            pair
            for pair in suspects.worth_per_minute(self.possible(), self.vehicle, self.readings)
            if pair[1] > 0.0
        ]
        if not best:
            return (
                "What is left cannot be told apart by a further test, or only one fault is left."
                " Decide."
            )
        chosen = tests()[best[0][0]]
        return f"Try {chosen.id}, {chosen.name.lower()}: of all tests it tells most in its time."

    def repair(self, place, kind, why):
        """Repair a place for a kind of fault with a cause. Returns True if the car is sound now."""
        self._may()
        if kind not in KINDS or why not in WHYS:
            raise UserError(
                f"{'kind' if kind not in KINDS else 'why'} must be one of"
                f" {', '.join(KINDS if kind not in KINDS else WHYS)}; got"
                f" {kind if kind not in KINDS else why!r}"
            )
        if place not in self.places():
            raise UserError(f"place must be one of {', '.join(self.places())}; got {place!r}")
        if self.first_repair is None:
            self.first_repair = len(self.log)
        self.minutes += 0 if kind == "normal" else PART_MINUTES
        self.repaired = self.repaired or (place == self.fault.place)
        self._note("repair", place=place, kind=kind, why=why)
        return self.repaired

    def places(self):
        """All places of this vehicle at which the catalogue knows a fault, by alphabet."""
        return tuple(
            sorted({entry.place for entry in faults().values() if self.vehicle in entry.vehicles})
        )

    def clear_memory(self):
        """Clear the fault memory of all control units."""
        self._may()
        self.minutes += CLEAR_MINUTES
        self.cleared = True
        self._note("clear")

    def note(self, text):
        """Write something down for the record."""
        self._may()
        if not isinstance(text, str) or not text.strip():
            raise UserError("There is nothing to write down: type the note first.")
        if len(text.strip()) > LONGEST_NOTE:
            raise UserError(
                f"Not written down: the note has {len(text.strip())} characters, the most is"
                f" {LONGEST_NOTE}. Shorten it, or write it as two notes."
            )
        self._note("note", text=text.strip())

    def stop_honestly(self, suspected, next_test):
        """End with "not proven": at most two suspected faults and the test that would come next."""
        self._may()
        if not 1 <= len(suspected) <= 2 or any(name not in faults() for name in suspected):
            raise UserError("an honest stop names one or two faults of the catalogue that are left")
        if next_test not in tests():
            raise UserError(f"the next test must be one of {', '.join(tests())}; got {next_test!r}")
        self.finished = True
        self._note("honest_stop", suspected=list(suspected), next=next_test)

    def finish(self):
        """Hand the car over."""
        self._may()
        self.finished = True
        self._note("finish")


def _stored(reading):
    """A reading of the memory after the repair: what was present is only stored now."""
    if isinstance(reading.value, str):
        return replace(reading, value=reading.value.replace("present", "stored"))
    return reading
