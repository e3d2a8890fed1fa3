"""Own-number exercises: worked answers, fair numbers, and wrong ideas that never count as right."""

from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.lesson.exercises import TOLERANCE, all_exercises, judge

EXERCISES = all_exercises()
#: Worked by hand and by a separate program from the same formulas; invented numbers.
WORKED = {
    "1.1": (
        dict(grip=0.25, mass=1500, axle=("rear", 0.48), height=0.55, wheelbase=2.70),
        (1861, 1.24),
    ),
    "1.2": (
        dict(force=1861, radius=0.305, first_gear=3.60, final=3.70, efficiency=0.92, engine=200),
        (46.3, 76.8),
    ),
    "2.1": (
        dict(low=0.10, high=0.8, load=3500, pressure=30, per_bar=10, radius=0.305),
        (700, 1684, 1334),
    ),
    "2.2": (
        dict(slope=0.10, mass=1500, low=0.10, load=3500, per_bar=10, radius=0.305, gears=12.25),
        (1464, 23.3, 55.5),
    ),
    "3.1": (dict(speed=30, radius=0.305, teeth=48), (261, 209)),
    "3.2": (dict(teeth=44, speed=60), (55.0, -8.33)),
    "4.1": (dict(wheel=24, reference=18), (25.0, 33.3)),
    "4.2": (
        dict(first=10.0, second=8.0, apart=50, radius=0.305, most=1.24),
        (39.92, 3.992, 4.991, 20.0, 16.1),
    ),
    "5.1": (dict(indicated=220, friction=20, target=46.3), (145, 90, 35, 0.603)),
    "5.2": (
        dict(
            angle=54.0,
            step=0.36,
            rate=1000,
            torque=1225.4,
            grip=0.22,
            load=3600,
            radius=0.305,
            inertia=14.31,
        ),
        (150, 150, 20.98, 11.3),
    ),
    "6.1": (dict(coil=1.2, voltage=12.0, extra=1.5), (20.0, 50.0, 4.44, 2)),
    "6.2": (dict(gas=250, precharge=80, high=185, low=145, each=0.80, flow=4.0), (29.8, 37, 7.45)),
    "7.1": (dict(first=0.5, per_bar=0.03, pressure=40, flow=3.0, cold=1.5), (1.70, 0.567, 1.133)),
    "7.2": (dict(flow=3.0, per_bar=0.03, start=10, rise=15), (1.00, 15, 0.450)),
    "8.1": (
        dict(torque=600, speed=30, radius=0.300, duration=10, disc=6, cooling=20),
        (60.4, 7, 10),
    ),
    "10.1": (dict(low=7.0, leak=3.0, resistor=100), (0.70, 4.0, 1.10)),
    "10.2": (dict(current=25, battery=12.4, feed=0.3, ground=1.2), (48.0, 10.9)),
    "11.1": (dict(joints=7, price=4), (3, 4.375, 5.5)),
    "11.2": (dict(chances=(50, 30, 20), minutes=(12, 3, 6)), (14.7, 12.6)),
    "12.1": (dict(tyre=(205, 55, 16), tread=2.0, speed=100), (631.9, 619.9, 1.936)),
    "12.2": (dict(air=1.0, pressure=50, flow=3.0), (0.980, 0.327, 10.13)),
    "8.2": (dict(car=20, surplus=9, bend=10, track=1.50), (5.0, 3.0)),
    "9.1": (dict(limit=100, down=1, bad=70), (1.0, 2.5, 50.0)),
    "9.2": (dict(coil=1.10, small=0.3, large=2.2), (0.545, 0.673, 1.341, 1)),
}
IDS = sorted(EXERCISES)


@pytest.mark.parametrize("name", IDS)
def test_worked_answers(name):
    numbers, expected = WORKED[name]
    parts = EXERCISES[name].build(**numbers).parts
    assert [part.answer for part in parts] == pytest.approx(
        expected, rel=4e-3
    )  # half of the last printed digit


def test_a_ring_with_more_teeth_reads_too_much():
    parts = EXERCISES["3.2"].build(teeth=52, speed=60).parts
    assert [part.answer for part in parts] == pytest.approx((65.0, 8.33), rel=2e-3)


def test_front_drive_worked_answer():
    parts = (
        EXERCISES["1.1"]
        .build(grip=0.25, mass=1300, axle=("front", 0.60), height=0.54, wheelbase=2.60)
        .parts
    )
    assert [part.answer for part in parts] == pytest.approx((1819, 1.40), rel=2e-3)


@pytest.mark.parametrize("name", IDS)
def test_no_wrong_idea_is_right_for_any_numbers(name):
    tasks = [EXERCISES[name].build(**numbers) for numbers in EXERCISES[name].numbers()]
    assert len(tasks) >= 50
    for task in tasks:
        for part in task.parts:
            assert part.sensible[0] <= part.answer <= part.sensible[1]
            for trap in part.traps:
                assert judge(f"{trap.value:.6f}", part).kind in ("wrong", "size", "unit"), (
                    task.data,
                    part.label,
                    trap,
                )
                assert part.exact or not isclose(trap.value, part.answer, rel_tol=TOLERANCE)


@pytest.mark.parametrize("name", IDS)
def test_right_answers_pass_with_three_digits_comma_and_unit(name):
    for numbers in list(EXERCISES[name].numbers())[::7]:
        for part in EXERCISES[name].build(**numbers).parts:
            text = (
                str(part.answer)
                if part.exact
                else f"{part.answer:.3g}"
                if part.answer < 1000
                else f"{part.answer:.0f}"
            )
            for typed in (
                text,
                text.replace(".", ","),
                f"{text} {part.unit}" if part.unit != "1" else text,
            ):
                assert judge(typed, part).kind == "right", (typed, part)


@pytest.mark.parametrize("name", IDS)
def test_each_wrong_idea_gets_its_own_sentence(name):
    part_whys = [
        (part, trap)
        for part in EXERCISES[name].build(**WORKED[name][0]).parts
        for trap in part.traps
    ]
    answered = [judge(f"{trap.value:.4f}", part).message for part, trap in part_whys]
    assert sum(trap.why == said for (_, trap), said in zip(part_whys, answered)) >= 0.7 * len(
        answered
    )


@pytest.mark.parametrize("name", IDS)
@settings(max_examples=30, deadline=None)
@given(key=st.text("0123456789abcdef", min_size=16, max_size=16), draw=st.integers(0, 200))
def test_same_learner_same_numbers_and_new_numbers_differ(name, key, draw):
    exercise = EXERCISES[name]
    assert exercise.task(key, draw).data == exercise.task(key, draw).data
    assert exercise.task(key, draw).data != exercise.task(key, draw + 1).data


def test_learners_get_different_numbers():
    assert len({EXERCISES["1.1"].task(f"{i:016x}", 0).data for i in range(30)}) > 20


@pytest.mark.parametrize(
    "name, part, text, kind, words",
    [
        ("1.1", 0, "1.861", "unit", "right in kN"),
        ("1.1", 0, "1,861 kN", "right", "1861 N"),
        ("1.1", 0, "1861 kN", "unit", "right in N"),
        ("1.1", 0, "1861 kg", "unreadable", "unit 'kg'"),
        ("1.1", 0, "1861 N m", "unit", "torque"),
        ("1.1", 0, "90000", "size", "Check the size"),
        ("1.1", 0, "-5", "size", "Check the size"),
        ("1.1", 0, "1 861", "unreadable", "thousands"),
        ("1.1", 0, "1766", "wrong", "load transfer"),
        ("2.2", 1, "2.33 MPa", "right", "23.3 bar"),
        ("2.2", 1, "2,33", "unit", "right in MPa"),
        ("5.1", 3, "60.3 %", "right", "0.603"),
        ("5.1", 3, "60,3", "unit", "right in %"),
        ("5.2", 0, "151", "wrong", ""),
        ("5.2", 1, "0.15", "unit", "right in s"),
        ("5.2", 3, "3.15", "unit", "right in m/s"),
        ("8.1", 1, "6.62", "wrong", ""),
        ("8.1", 1, "7", "right", "7"),
        ("8.1", 0, "60,4 °C", "right", "60.4"),
        ("3.1", 0, "261/min", "right", "261 rpm"),
        ("3.1", 1, "12,5 kN", "unit", "frequency in Hz"),
        ("3.2", 1, "8.3", "wrong", "minus"),
        ("3.2", 1, "-0,083", "unit", "plain number"),
        ("4.1", 0, "33.3", "wrong", "divided by the car"),
        ("4.2", 3, "2,03", "wrong", ""),
        ("1.2", 1, "0.768", "unit", "plain number"),
        ("6.1", 0, "0,2", "unit", "plain number"),
        ("6.1", 2, "4440 mA", "right", "4.44 A"),
        ("6.1", 2, "10", "wrong", "without the plug"),
        ("6.1", 3, "1", "wrong", "increase"),
        ("6.2", 0, "29,8 ml", "right", "29.8"),
        ("6.2", 0, "29.6", "right", ""),
        ("6.2", 1, "38", "wrong", "Round down"),
        ("7.1", 1, "570 ms", "right", "0.567 s"),
        ("7.1", 2, "0.283", "wrong", "longer"),
        ("7.2", 2, "0.15", "wrong", "pause"),
    ],
)
def test_judging(name, part, text, kind, words):
    verdict = judge(text, EXERCISES[name].build(**WORKED[name][0]).parts[part])
    assert (verdict.kind, words in verdict.message) == (kind, True), verdict


@settings(max_examples=300, deadline=None)
@given(name=st.sampled_from(IDS), text=st.text(max_size=45))
def test_no_typed_text_breaks_judging(name, text):
    for part in EXERCISES[name].build(**WORKED[name][0]).parts:
        assert judge(text, part).message
