"""Debounce counters against a counter stepped by hand, and the code memory over several ignition
cycles.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractionlab.diagnosis import status_byte as s
from tractionlab.diagnosis.fault_memory import CLEAN_TRIPS, Memory, counter_of, debounce, first_pass

KEY = ("C0031", "13")
STEPS = st.lists(st.sampled_from((-1.0, -0.5, 0.0, 1.0)), min_size=1, max_size=400)


def by_hand(steps, limit):
    """The counter, sample by sample, and where it changes its mind."""
    counter, failed, values, turns = 0.0, False, [], []
    for k, step in enumerate(steps):
        counter = min(limit, max(0.0, counter + step))
        if (not failed and counter >= limit) or (failed and counter <= 0.0):
            failed = not failed
            turns.append((k, failed))
        values.append(counter)
    return values, tuple(turns)


@given(STEPS, st.sampled_from((1.0, 3.0, 10.0, 40.0)))
def test_debounce_is_the_counter_stepped_by_hand(steps, limit):
    values, turns = by_hand(steps, limit)
    found = debounce(np.array(steps), limit)
    assert found == turns
    np.testing.assert_allclose(counter_of(np.array(steps), limit, found), values, atol=1e-9)


def test_counter_of_the_lesson():
    """Counts up 1 and down 1 each 10 ms, confirmed at 100: 1.0 s when always bad; 2.5 s when 7 of
    10 samples are bad; never at half.
    """
    assert debounce(np.ones(300), 100.0)[0] == (99, True)
    seven = np.tile([1.0] * 4 + [-1.0] + [1.0] * 3 + [-1.0] * 2, 60)
    assert abs((debounce(seven, 100.0)[0][0] + 1) * 0.01 - 2.5) <= 0.1
    assert debounce(np.tile([1.0, -1.0], 3000), 100.0) == ()


def test_first_pass_counts_good_samples():
    assert first_pass(np.array([False, True, False, True, True]), 2) == 3
    assert first_pass(np.array([True, False]), 2) is None


def test_snapshot_is_that_of_the_first_failure():
    memory = (
        Memory().result(KEY, True, {"speed [km/h]": 12.0}).result(KEY, True, {"speed [km/h]": 80.0})
    )
    assert memory[KEY].snapshot["speed [km/h]"] == 12.0
    assert memory.stored == (memory[KEY],) and memory[KEY].present


def test_three_trips_until_it_is_confirmed():
    memory = Memory()
    for trip in range(3):
        assert memory.stored == ()
        memory = (
            memory.ignition_on()
            .result(KEY, True, trips=3)
            .result(KEY, False)
            .result(KEY, True, trips=3)
        )
        assert memory[KEY].count == trip + 1, "one cycle counts once"
    assert memory[KEY].stored and memory.pending == ()


def test_pending_is_kept_apart_from_stored():
    memory = Memory().result(KEY, True, trips=3)
    assert memory.stored == () and memory.pending == (memory[KEY],)


def test_forty_clean_trips_erase_a_code():
    memory = Memory().result(KEY, True).result(KEY, False)
    for _ in range(CLEAN_TRIPS):
        assert memory[KEY].stored
        memory = memory.ignition_on().result(KEY, False)
    memory = memory.ignition_on()
    assert not memory[KEY].stored and memory[KEY].snapshot == {} and memory[KEY].count == 0


def test_a_trip_without_a_result_is_not_clean():
    memory = Memory().result(KEY, True)
    for _ in range(3 * CLEAN_TRIPS):
        memory = memory.ignition_on()
    assert memory[KEY].stored and memory[KEY].clean == 0


def test_a_failure_starts_the_clean_trips_anew():
    memory = Memory().result(KEY, True)
    for _ in range(CLEAN_TRIPS - 1):
        memory = memory.ignition_on().result(KEY, False)
    memory = memory.ignition_on().result(KEY, True).ignition_on().result(KEY, False).ignition_on()
    assert memory[KEY].stored and memory[KEY].clean == 1


def test_clearing_leaves_codes_as_not_tested():
    memory = Memory().result(KEY, True, {"speed [km/h]": 3.0}).clear()
    assert memory[KEY].status == 0x50 and memory[KEY].snapshot == {} and memory.stored == ()


def test_nothing_changes_in_place():
    first = Memory()
    second = first.result(KEY, True)
    assert first.stored == () and second.stored and first.entries == {}
    with pytest.raises(TypeError):
        second.entries[KEY] = None


@given(st.lists(st.sampled_from(("bad", "good", "cycle", "clear", "drive")), max_size=60))
def test_memory_and_its_numbers_agree_after_any_history(history):
    memory = Memory()
    for step in history:
        memory = {
            "bad": lambda: memory.result(KEY, True, {"supply [V]": 12.0}),
            "good": lambda: memory.result(KEY, False),
            "cycle": memory.ignition_on,
            "clear": memory.clear,
            "drive": lambda: memory.driven(3.0),
        }[step]()
    entry = memory[KEY]
    assert bool(entry.snapshot) == bool(entry.count) == bool(entry.status & s.FAILED_SINCE_CLEAR)
    assert 0 <= entry.clean < CLEAN_TRIPS
    assert memory.mileage_km == Memory().mileage_km + 3.0 * history.count("drive")
