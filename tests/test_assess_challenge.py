"""The proof of the keys put to the test: it finds wrong ideas, its second routes are methods of
their own, dimensions hold, and worked examples stand where there is no second route.
"""

from dataclasses import replace
from math import atan, pi, sin

import pytest
import sympy

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.call import function_of
from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.bank.item import items
from tractionlab.assess.keys import axle, fluid, grip, measuring, strategy
from tractionlab.assess.proof import challenge as put_to_test
from tractionlab.assess.proof import worked
from tractionlab.assess.proof.algebra import same_by_algebra
from tractionlab.assess.proof.challenge import LEAST, challenge
from tractionlab.assess.proof.dimensions import Unchecked, wrong_dimension
from tractionlab.assess.proof.mutants import mutants
from tractionlab.assess.proof.second import axle as second_axle
from tractionlab.assess.proof.second import fluid as second_fluid
from tractionlab.assess.proof.second import grip as second_grip
from tractionlab.assess.proof.second_route import route_of
from tractionlab.assess.proof.worked import Evidence, read_evidence
from tractionlab.errors import UserError


def computed():
    """{"module.function": [(item, field)]} of the bank."""
    found = {}
    for item in items().values():
        for part in item.fields:
            if part.kind in ("number", "choice", "sketch") and part.key is not None:
                name = f"{part.key.module}.{part.key.function}"
                found.setdefault(name, []).append((item, part))
    return found


def test_the_proof_finds_wrong_ideas_in_all_keys_of_the_bank():
    result = challenge(items().values())
    total = result.caught + len(result.missed)
    assert result.keys == len(computed()) and total > 10 * result.keys
    assert result.caught >= LEAST * total, result.missed
    assert result.hollow == () and result.wrong_units == ()
    assert result.measured > 90 and result.passed


def test_without_its_examples_a_key_lets_wrong_ideas_through(monkeypatch):
    """So the share of mutants found says something."""
    item = items()["10-ground-drop"]
    assert not challenge([item]).missed
    monkeypatch.setattr(put_to_test, "evidence_of", lambda call: Evidence())
    bare = challenge([item])
    assert bare.caught == 0 and len(bare.missed) > 10 and not bare.passed


@pytest.mark.parametrize(
    "key, idea",
    [
        (fluid.pulses_time, "ceil left out"),
        (fluid.time_of, "ratio turned: volume / flow"),
        (grip.on_slope, "degrees for radians: sin(atan(slope))"),
        (grip.mean_grip, "factor left out: speed * KMH"),
        (strategy.end_temperature, "term left out"),
        (grip.better_start, "comparison turned"),
        (axle.split_force, "max for min"),
        (measuring.bus, "sign: first + second"),
        (grip.grip_needed, "force and mass mixed up"),
    ],
)
def test_each_kind_of_wrong_idea_is_among_the_mutants(key, idea):
    found = [mutant for mutant in mutants(key) if mutant.idea.startswith(idea)]
    values = _any_values(key)
    right = key(*values)
    assert any(put_to_test._answer(mutant, values) != right for mutant in found)


def _any_values(key):
    call = next(
        part.key
        for uses in computed().values()
        for _, part in uses
        if function_of("keys", part.key.module, part.key.function) is key
    )
    evidence = worked.evidence_of(call)
    if evidence.worked:
        return evidence.worked[0].of
    return {grip.better_start: (55, 45, 0.4, 0.5, 2.5)}[key]


def time_turned(volume, flow):
    return 1 / (flow / volume)


def thousand_steps(force, mass):
    speed = 0.0
    for _ in range(1000):
        speed += force / mass * 0.001
    return speed


def bar_by_bar(per_bar, pressure):
    return sum(per_bar for _ in range(pressure))


def slope_by_sine(mass, slope):
    return 9.81 * sin(atan(slope / 100)) * mass


HOLLOW = [
    (fluid.time_of, time_turned),
    (grip.acceleration, thousand_steps),
    (fluid.torque_at, bar_by_bar),
    (axle.high_side, lambda force, low, load: force - load * low),
    (measuring.bus, lambda first, second: 1 / (1 / first + 1 / second)),
]


@pytest.mark.parametrize("key, route", [*HOLLOW, (grip.on_slope, slope_by_sine)])
def test_a_route_that_is_the_key_again_is_recognised(key, route):
    assert same_by_algebra(key, route)


@pytest.mark.parametrize("key, route", HOLLOW)
def test_a_computer_algebra_library_says_the_same(key, route):
    """Key and route on symbols; a count is a number."""
    names = route.__code__.co_varnames[: route.__code__.co_argcount]
    values = [
        7 if route is bar_by_bar and name == "pressure" else sympy.Symbol(name, positive=True)
        for name in names
    ]
    assert sympy.simplify(sympy.nsimplify(key(*values) - route(*values), tolerance=1e-9)) == 0


@pytest.mark.parametrize(
    "key, route",
    [
        (axle.split_force, second_axle.split_force),
        (axle.brake_pressure, second_axle.brake_pressure),
        (fluid.usable_of, second_fluid.usable_of),
        (fluid.pulses_time, second_fluid.pulses_time),
        (grip.stop, second_grip.stop),
    ],
)
def test_a_route_that_decides_on_numbers_is_another_method(key, route):
    assert not same_by_algebra(key, route)
    names = route.__code__.co_varnames[: route.__code__.co_argcount]
    with pytest.raises(TypeError):
        route(*(sympy.Symbol(name, positive=True) for name in names))


def test_another_formula_is_not_the_key():
    assert not same_by_algebra(grip.acceleration, lambda force, mass: force / (mass * 9.81))


@pytest.mark.parametrize(
    "function, units, words",
    [
        (lambda volume, flow: flow / volume, "cm^3, cm^3/s -> s", "dimension"),
        (lambda force, mass: force + mass, "N, kg -> N", "Cannot convert"),
        (lambda torque, radius: torque * radius, "N*m, m -> N", "dimension"),
        (fluid.time_of, "cm^3, cm^3/s -> s", ""),
        (lambda speed: speed / 3.6, "km/h -> m/s", ""),
    ],
)
def test_dimensions(function, units, words):
    found = wrong_dimension(function, units)
    assert words in found and bool(found) == bool(words)


def test_dimensions_that_cannot_be_followed_are_not_claimed():
    """The sensor model is handed numbers in a tuple; a choice answers in words."""
    with pytest.raises(Unchecked):
        wrong_dimension(axle.low_side, "1, 1 -> 1")
    with pytest.raises(Unchecked):
        wrong_dimension(lambda speed: abs(speed)[0], "km/h -> km/h")


def test_every_key_has_a_second_route_or_an_example():
    assert not [
        name
        for name, uses in computed().items()
        if not route_of(uses[0][1].key) and not worked.evidence_of(uses[0][1].key).worked
    ]


def test_a_key_that_answers_in_words_has_an_example_of_every_answer():
    for name, uses in computed().items():
        part = uses[0][1]
        if part.kind == "choice" and not route_of(part.key):
            given = {
                part.key.run(params)
                for item, part in uses
                for params in fair_draws(item)
                if set(part.key.names) <= set(params)
            }
            examples = {example.gives for example in worked.evidence_of(part.key).worked}
            assert given <= examples, name


def test_no_example_and_no_route_is_for_a_key_that_nobody_asks():
    asked = set(computed())
    assert {".".join(pair) for pair in read_evidence()} <= asked


def test_examples_say_where_they_are_from():
    examples = [example for evidence in read_evidence().values() for example in evidence.worked]
    by_hand = [example for example in examples if example.source == worked.BY_HAND]
    assert len(examples) > 200 and len(by_hand) < len(examples)
    assert worked.BY_HAND in by_hand[0].words()


def test_a_wrong_example_makes_the_proof_fail(monkeypatch):
    from tractionlab.assess.proof import second_route
    from tractionlab.assess.proof.prove import prove

    item = items()["12-tyres"]
    evidence = worked.evidence_of(item.fields[0].key)
    wrong = replace(evidence, worked=(replace(evidence.worked[0], gives=630.0),))
    monkeypatch.setattr(
        second_route,
        "evidence_of",
        lambda call: wrong if call.function == "diameter" else evidence,
    )
    finding = prove([replace(item, fields=item.fields[:1])])[0]
    assert (
        finding.kind == "fails" and "a worked example says otherwise: 205, 55, 16" in finding.words
    )


def test_a_key_that_nothing_shows_makes_the_proof_fail(monkeypatch):
    from tractionlab.assess.proof import second_route
    from tractionlab.assess.proof.prove import prove

    monkeypatch.setattr(second_route, "evidence_of", lambda call: Evidence())
    finding = prove([items()["12-tyres"]])[0]
    assert (
        finding.kind == "fails" and "neither a second route nor a worked example" in finding.words
    )


@pytest.mark.parametrize(
    "text, words",
    [
        ("[grip]\nnothing.worked = []", "there is no function nothing in assess/keys/grip.py"),
        ('[grip]\nstop.units = "km/h -> m"', "units must name 2 values"),
        ("[grip]\nstop.note = 1", "unknown key 'note'"),
        (
            '[grip]\nstop.worked = [{ of = [1], gives = 2, how = "so" }]',
            "of must have 2 values, got [1]",
        ),
        ("[grip]\nstop.worked = [{ of = [1, 2], gives = 2 }]", "how is missing"),
    ],
)
def test_a_mistake_in_the_file_of_examples_is_named(tmp_path, text, words):
    path = tmp_path / "proof.toml"
    path.write_text(text + "\n", encoding="utf-8")
    with pytest.raises(UserError, match="proof.toml") as caught:
        read_evidence(path)
    assert words in str(caught.value)


def test_the_published_examples_are_what_their_sources_say():
    assert measuring.bus(120, 120) == 60
    assert function_of("keys", "service", "diameter")(205, 55, 16) == pytest.approx(631.9)
    assert fluid.torque_per_bar(57, 0.38, 0.118) * 50 == pytest.approx(1144.21, abs=0.01)
    assert pi / 4 * 57**2 == pytest.approx(2551.8, abs=0.1)


def test_the_command_prints_the_share_and_the_report_names_what_was_proved(tmp_path, capsys):
    from tractionlab import __version__
    from tractionlab.cli.main import main
    from tractionlab.written.record import today

    page = tmp_path / "proof.html"
    assert main(["paper", "proof", "graded_1", "--quick", "--mutants", "--html", str(page)]) == 0
    out, html = capsys.readouterr().out, page.read_text(encoding="utf-8")
    for words in (
        "Second routes that equal their key up to algebra: none.",
        f"(graded_1). Edition {__version__} of the course. Proved on {today()}.",
        "A second person answered 0 of 56 fields",
        "%; asked: 95 %)",
    ):
        assert words in out and words in html, words
    assert "Route of the key" in html and "Second route: " in html and "Worked example: " in html
    assert "public tyre pages, seen" in html and "worked by hand here" in html


def test_a_proof_that_finds_too_little_ends_with_one(monkeypatch, capsys):
    from tractionlab.cli.main import main

    monkeypatch.setattr(put_to_test, "LEAST", 1.01)
    assert main(["paper", "proof", "graded_1", "--quick", "--mutants"]) == 1


def test_without_the_units_library_the_command_says_what_is_missing(monkeypatch, capsys):
    from tractionlab.assess.bank import paper_commands
    from tractionlab.cli.main import main

    monkeypatch.setattr(paper_commands, "find_spec", lambda name: None)
    assert main(["paper", "proof", "graded_1", "--quick", "--mutants"]) == 2
    assert "pip install pint" in capsys.readouterr().err


def test_one_candidate_cannot_tell_the_next_what_to_choose():
    """The right option of a computed choice differs between draws."""
    for uses in computed().values():
        for item, part in uses:
            if part.kind == "choice":
                rights = {keys(item, params)[part.name] for params in fair_draws(item)}
                assert len(rights) > 1, item.id
