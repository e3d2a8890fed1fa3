"""What customers say: every sentence, symptom and lamp of the 88 stories is borne out by a drive of
the one car or by a test of the bench; what cannot be is of a named kind.
"""

import numpy as np
import pytest
from told import CHECK, Car

from tractionlab.catalogue.value_file import read_toml
from tractionlab.workshop.case.suspects import car_with
from tractionlab.workshop.drive import bay
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.faults import default_file, fault, faults, symptoms
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import run, telling

EVERY = [(name, vehicle) for name, entry in faults().items() for vehicle in entry.vehicles]
SYMPTOMS = [(name, vehicle, symptom) for name, vehicle in EVERY for symptom in fault(name).symptoms]
#: Symptoms that are seen in readings, and the tests in which they are.
IN_READINGS = {
    "spins": ("T03", "T05", "T06", "T07", "T10", "T12", "T14", "T16", "T20", "T23", "T29"),
    "acts": ("T07",),
    "buzz": ("T12", "T19"),
    "noted": ("T05", "T07", "T12", "T18"),
    "soft_pedal": ("T16", "T17", "T21"),
    "hot_pull": ("T06", "T16", "T21", "T22", "T23"),
    "pump_noise": ("T02", "T05", "T15", "T16"),
    "hill": ("T05", "T22"),
    "switch": ("T03", "T05", "T10"),
}


def id_of(words):
    return "-".join(words)


@pytest.mark.parametrize("pair", EVERY, ids=id_of)
def test_every_sentence_is_borne_out(pair):
    car = Car(*pair)
    wrong = [
        f"{sentence.says} {claim}"
        for sentence in fault(pair[0]).told
        for claim in sentence.shows
        if not car.holds(claim)
    ]
    assert wrong == []


@pytest.mark.parametrize("pair", EVERY, ids=id_of)
def test_no_story_would_fit_a_sound_car(pair):
    sound = Car("", pair[1])
    claims = [claim for sentence in fault(pair[0]).told for claim in sentence.shows]
    assert not all(sound.holds(claim) for claim in claims)


def test_no_sentence_is_without_computation_but_those_of_a_named_kind():
    kinds = read_toml(default_file())["told_kinds"]
    marked = dict.fromkeys(kinds, 0)
    for entry in faults().values():
        open_ = [sentence.says for sentence in entry.told if not sentence.shows]
        assert len(open_) < len(entry.told), entry.id
        for sentence in entry.told:
            assert bool(sentence.shows) != bool(sentence.kind), sentence.says
            if sentence.kind:
                marked[sentence.kind] += 1
            if sentence.kind == "before":
                assert entry.work or entry.weather, sentence.says
    assert all("common practice, no source" in kinds[kind] for kind in kinds if kind != "before")
    assert marked.pop("before") == 21 and marked == {"smell": 2, "sound": 2, "engine": 3}


def test_wrong_claims_are_noticed():
    car = Car("outlet-valve-leaks", "front_petrol")
    assert car.holds("T17 pedal_sinks > 5") and not car.holds("T17 pedal_sinks > 50")
    assert car.holds("always abs = off") and not car.holds("start abs = stays on")
    assert not car.holds("T17 pedal_sinks = sound") and car.holds("T17 pedal_sinks > 3 sound")
    with pytest.raises(KeyError):
        car.holds("tomorrow abs = off")


def lit(runs):
    """Lamps that stay on for a fault, after the lamp check."""
    return {
        name for run_ in runs for name, state in run_.lamps.items() if (state[CHECK:] == 1).any()
    }


@pytest.mark.parametrize("case", SYMPTOMS, ids=id_of)
def test_the_symptom_can_be_seen(case):
    name, vehicle, symptom = case
    values = car_with(name, vehicle)
    runs = bay.life(vehicle, values)
    at_once = lit([diagnose(vehicle, values, bay.ignition_on(vehicle))])
    drives = [lit([run_]) for run_ in runs[:-1]]
    if symptom in IN_READINGS:
        sound = part_values(vehicle)
        assert any(
            telling(run(test, vehicle, values), run(test, vehicle, sound))
            for test in IN_READINGS[symptom]
        )
    elif symptom == "at_ignition":
        assert {"abs", "tc"} <= at_once
    elif symptom in ("moving_off", "driving"):
        assert "abs" not in at_once and any({"abs", "tc"} <= lamps for lamps in drives)
    elif symptom == "red_lamp":
        assert any("brake" in lamps for lamps in [at_once, *drives])
    elif symptom in ("tc_only", "engine"):
        assert any("tc" in lamps and "abs" not in lamps for lamps in [at_once, *drives])
    elif symptom == "after_control":
        assert "tc" not in at_once | drives[0] | drives[1] | drives[2] and any(
            "tc" in lamps for lamps in drives[3:]
        )
    elif symptom == "after_repair":
        assert fault(name).work
    elif symptom == "no_talk":
        assert {reading.value for reading in run("T04", vehicle, values)} == {"no answer"}
    else:
        assert symptom == "come_and_go" and any("tc" in lamps for lamps in drives)
        dried = Car(name, vehicle).worth(["dried", "tc"]) == "off"
        assert any(np.any(run_.lamps["tc"][CHECK:] == 0) for run_ in runs) or dried


def test_every_symptom_has_faults():
    assert all(any(key in entry.symptoms for entry in faults().values()) for key in symptoms())
