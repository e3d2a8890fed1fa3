"""Over 120 further kinds of hostile answer files: logs of repair cases above all."""

from case_candidates import answer, case_line

from tractionlab.assess.bank.item import items
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import faults, symptoms
from tractionlab.workshop.tests.base import preparations


def put(log, place, *entries):
    """The log with entries put in before a place."""
    return [*log[:place], *entries, *log[place:]]


def having(log, of, /, **other):
    """The log with entries of one kind changed."""
    return [{**entry, **other} if entry.get("do") == of else entry for entry in log]


def kinds(new):
    """Yields (kind, base, candidate, files): the base is the honest file that it must not beat.

    new : callable, a fresh Candidate
    """
    for part in (_order, _after_the_end, _strange_steps, _repairs, _starts, _ends, _readings):
        for name, base, change in part():
            one = new()
            yield name, base, one, [one.file(change(one.log(base), one))]
    for part in (_answer_lines, _other_items, _many_files):
        yield from part(new)


def _order():
    """Honest steps in another order, cut short, or more than once."""
    whole = "by_the_book"
    yield from (
        (f"cut_after_{n}", whole, lambda log, one, n=n: log[:n]) for n in (1, 2, 3, 5, 8, 11)
    )
    yield from ((f"cut_before_{n}", whole, lambda log, one, n=n: log[n:]) for n in (1, 2, 4))
    yield from (
        (
            f"without_{do}",
            whole,
            lambda log, one, do=do: [entry for entry in log if entry["do"] != do],
        )
        for do in ("cautions", "test", "clear", "note", "repair")
    )
    at = lambda log, do: next(n for n, entry in enumerate(log) if entry["do"] == do)
    moved = lambda log, do, to: put(
        log[: at(log, do)] + log[at(log, do) + 1 :], to, log[at(log, do)]
    )
    yield from (
        (f"{do}_first", whole, lambda log, one, do=do: moved(log, do, 0))
        for do in ("repair", "finish", "cautions")
    )
    yield from (
        (f"{do}_second", whole, lambda log, one, do=do: moved(log, do, 1))
        for do in ("repair", "clear", "note")
    )
    yield "repair_before_tests", whole, lambda log, one: moved(log, "repair", 2)
    yield "cautions_last", whole, lambda log, one: moved(log, "cautions", len(log))
    yield "finish_in_the_middle", whole, lambda log, one: moved(log, "finish", len(log) // 2)
    yield "backwards", whole, lambda log, one: log[::-1]
    yield "backwards_but_the_start", whole, lambda log, one: [log[0], *log[:0:-1]]
    yield (
        "sorted",
        whole,
        lambda log, one: [log[0], *sorted(log[1:], key=lambda entry: entry["do"])],
    )
    yield "rotated", whole, lambda log, one: log[5:] + log[:5]
    yield "every_other", whole, lambda log, one: log[::2]
    yield "each_twice", whole, lambda log, one: [entry for entry in log for _ in range(2)]
    yield "all_twice", whole, lambda log, one: log * 2
    yield "all_twice_one_start", whole, lambda log, one: log + log[1:]
    yield (
        "two_tries_mixed",
        "unsafe",
        lambda log, one: [entry for pair in zip(log, one.log("by_the_book")) for entry in pair],
    )
    yield "tests_thirty_times", whole, lambda log, one: put(log, 3, *[log[2]] * 30)


def _after_the_end():
    """A case that has ended, unsafely or not, and goes on."""
    yield "second_try", "unsafe", lambda log, one: log + one.log("by_the_book")
    yield "second_try_without_start", "unsafe", lambda log, one: log + one.log("by_the_book")[1:]
    yield "repair_after_unsafe", "unsafe", lambda log, one: [*log, one.repair()]
    yield (
        "all_places_after_unsafe",
        "unsafe",
        lambda log, one: log + [one.repair(place=place) for place in one.places],
    )
    yield from (
        (f"{do}_after_unsafe", "unsafe", lambda log, one, entry=entry: [*log, entry])
        for do, entry in {
            "cautions": {"do": "cautions"},
            "hint": {"do": "hint"},
            "finish": {"do": "finish"},
            "clear": {"do": "clear"},
            "stopped": {"do": "stopped", "test": "T06", "prepared": []},
        }.items()
    )
    yield (
        "honest_stop_after_unsafe",
        "unsafe",
        lambda log, one: [*log, {"do": "honest_stop", "suspected": [one.fault.id], "next": "T10"}],
    )
    yield "repair_after_finish", "guess", lambda log, one: [*log, one.repair()]
    yield "tests_after_finish", "guess", lambda log, one: log + one.log("measured_only")[2:]
    yield (
        "unsafe_said_to_be_safe",
        "unsafe",
        lambda log, one: having(log, "stopped", critical="", missing=[], why="", safe=True),
    )


def _strange_steps():
    """Steps that the bench does not have, or not so, after an unsafe one and inside a good case."""
    for n, do in enumerate(
        (
            "explode",
            "",
            None,
            5,
            [],
            {},
            "START",
            "Repair",
            "finish ",
            "undo",
            "score",
            "__init__",
            "repair\n",
            True,
        )
    ):
        yield (
            f"do_{n}",
            "unsafe",
            lambda log, one, do=do: [*log, {"do": do, "points": 100, "total": 100}],
        )
    yield "do_missing", "by_the_book", lambda log, one: put(log, 4, {"test": "T01", "prepared": []})
    yield "empty_step", "by_the_book", lambda log, one: put(log, 4, {})
    for n, changed in enumerate(
        (
            {"minutes": -1000},
            {"minutes": 1e12},
            {"minutes": "NaN"},
            {"minutes": [1]},
            {"minutes": None},
            {"points": 100},
            {"score": {"total": 100}},
            {"readings": [{"key": "x", "value": 1e9}]},
        )
    ):
        yield (
            f"entry_{n}",
            "measured_only",
            lambda log, one, changed=changed: [{**entry, **changed} for entry in log],
        )
    for n, prepared in enumerate(
        (
            "eyes",
            {"eyes": 1},
            [["eyes"]],
            None,
            7,
            ["eyes", "none such"],
            [1, 2],
            [None],
            list(preparations()) * 40,
        )
    ):
        yield (
            f"prepared_{n}",
            "by_the_book",
            lambda log, one, prepared=prepared: having(log, "test", prepared=prepared),
        )
    yield (
        "all_prepared_for_all",
        "by_the_book",
        lambda log, one: having(log, "test", prepared=sorted(preparations())),
    )
    yield (
        "unprepared_said_to_be_a_test",
        "unsafe",
        lambda log, one: having(log, "stopped", do="test", condition="", readings=[]),
    )
    for n, test in enumerate(("T99", "t01", "T01 ", "", 1, ["T01"], None, {"T01": 1}, "T01; T28")):
        yield f"test_{n}", "by_the_book", lambda log, one, test=test: having(log, "test", test=test)
    for n, condition in enumerate(("none", ["at_ignition"], 5, {"a": 1}, "x" * 4000)):
        yield (
            f"condition_{n}",
            "by_the_book",
            lambda log, one, condition=condition: having(log, "test", condition=condition),
        )
    for n, text in enumerate(
        ("", " ", "x" * 2001, "5 V " * 999, 5, ["5 V"], None, {"text": "5 V"})
    ):
        yield f"note_{n}", "by_the_book", lambda log, one, text=text: having(log, "note", text=text)
    yield (
        "notes_by_the_hundred",
        "by_the_book",
        lambda log, one: put(log, 3, *[{"do": "note", "text": "=1+1 <b>5 V</b> " * 60}] * 300),
    )
    yield (
        "hints_by_the_hundred",
        "by_the_book",
        lambda log, one: put(log, 3, *[{"do": "hint"}] * 200),
    )
    yield (
        "too_many_steps",
        "by_the_book",
        lambda log, one: put(log, 3, *[{"do": "note", "text": "5 V"}] * 400),
    )
    yield (
        "a_step_of_a_thousand_values",
        "unsafe",
        lambda log, one: [
            *log,
            {
                "do": "repair",
                "place": list(one.places) * 12,
                "kind": list(KINDS) * 10,
                "why": list(WHYS),
            },
        ],
    )


def _repairs():
    """Repairs by the dozen, half right, or of what is not there."""
    other = lambda one: next(place for place in one.places if place != one.fault.place)
    ended = lambda log: log[:-1]
    yield (
        "all_places",
        "guess",
        lambda log, one: put(ended(log), 3, *(one.repair(place=place) for place in one.places)),
    )
    yield (
        "all_places_right_one_last",
        "guess",
        lambda log, one: (
            log[:3]
            + [one.repair(place=place) for place in one.places if place != one.fault.place]
            + [one.repair()]
        ),
    )
    yield (
        "all_kinds",
        "guess",
        lambda log, one: log[:3] + [one.repair(kind=kind) for kind in KINDS] + [one.repair()],
    )
    yield (
        "all_reasons",
        "guess",
        lambda log, one: log[:3] + [one.repair(why=why) for why in WHYS] + [one.repair()],
    )
    yield (
        "right_first_then_wrong",
        "guess",
        lambda log, one: [*ended(log), one.repair(place=other(one))],
    )
    yield (
        "right_wrong_right",
        "guess",
        lambda log, one: [*ended(log), one.repair(place=other(one)), one.repair()],
    )
    yield "right_thirty_times", "guess", lambda log, one: ended(log) + [one.repair()] * 30
    yield (
        "normal_everywhere",
        "guess",
        lambda log, one: log[:3] + [one.repair(place=place, kind="normal") for place in one.places],
    )
    yield (
        "normal_then_right",
        "guess",
        lambda log, one: put(log, 3, *(one.repair(kind="normal") for _ in range(20))),
    )
    yield (
        "tests_after_a_guess",
        "measured_only",
        lambda log, one: [*log[:2], one.repair(place=other(one)), *log[2:]],
    )
    foreign = next(
        entry.place for entry in faults().values() if "rear_petrol" not in entry.vehicles
    )
    for n, changed in enumerate(
        (
            {"place": foreign},
            {"place": None},
            {"place": ["a"]},
            {"place": ""},
            {"kind": "everything"},
            {"kind": None},
            {"kind": ["normal"]},
            {"why": "because"},
            {"why": None},
            {"place": "<b>x</b>" * 400},
        )
    ):
        yield (
            f"repair_{n}",
            "measured_only",
            lambda log, one, changed=changed: [*log, one.repair(**changed)],
        )


def _starts():
    """Another car, another complaint, another mode."""
    whole = "by_the_book"
    first = lambda log, changed: [{**log[0], **changed}, *log[1:]]
    for n, changed in enumerate(
        (
            {"car": "0" * 16},
            {"car": 7},
            {"car": ["a"]},
            {"car": None},
            {"car": ""},
            {"vehicle": "front_petrol"},
            {"vehicle": None},
            {"vehicle": ["rear_petrol"]},
            {"mode": "practice"},
            {"mode": None},
            {"symptom": ""},
            {"symptom": None},
            {"symptom": "none"},
            {"do": "begin"},
        )
    ):
        yield f"start_{n}", whole, lambda log, one, changed=changed: first(log, changed)
    foreign = lambda one: next(name for name in symptoms() if name != one.fault.symptoms[0])
    yield "another_complaint", whole, lambda log, one: first(log, {"symptom": foreign(one)})
    yield (
        "fault_in_place_of_car",
        whole,
        lambda log, one: [
            {
                **{name: value for name, value in log[0].items() if name != "car"},
                "fault": "return-pump-seized",
            },
            *log[1:],
        ],
    )
    yield "without_start", "unsafe", lambda log, one: one.log("by_the_book")[1:]
    yield "start_without_car", whole, lambda log, one: [{"do": "start"}, *log[1:]]
    yield "practice_case", "unsafe", lambda log, one: first(one.log(whole), {"mode": "practice"})


def _ends():
    """Honest stops that are none."""
    stop = lambda suspected, test="T10": {"do": "honest_stop", "suspected": suspected, "next": test}
    for n, suspected in enumerate(
        ([], list(faults()), ["none"], "return-pump-seized", None, [1], [["a"]], {"a": 1})
    ):
        yield (
            f"honest_stop_{n}",
            "measured_only",
            lambda log, one, suspected=suspected: [*log, stop(suspected)],
        )
    yield (
        "honest_stop_by_guess",
        "nothing",
        lambda log, one: [*one.log("guess")[:2], stop([one.fault.id])],
    )
    yield (
        "honest_stop_next_unknown",
        "measured_only",
        lambda log, one: [*log, stop([one.fault.id], "T99")],
    )
    yield (
        "honest_stop_twice",
        "guess",
        lambda log, one: [*log[:-1], stop([one.fault.id]), stop([one.fault.id])],
    )
    yield (
        "honest_stop_after_a_repair",
        "guess",
        lambda log, one: [*log[:-1], stop([one.fault.id, "return-pump-seized"])],
    )


def _readings():
    """Readings in the wiring that cannot be set up."""
    good = {
        "instrument": "volts",
        "points": {"R": "body", "B": "body"},
        "pulled": [],
        "key": "on",
        "happens": "still",
        "accelerator": 0.0,
        "brake_pedal": False,
        "tc_switch": False,
        "flexed": False,
    }
    for n, changed in enumerate(
        (
            {"instrument": "guess"},
            {"points": []},
            {"points": {"R": 5}},
            {"points": {"R": "none such", "B": "body"}},
            {"points": {str(i): "body" for i in range(300)}},
            {"pulled": ["everything"]},
            {"key": "gone"},
            {"happens": "wonder"},
            {"accelerator": 1e12},
            {"accelerator": "full"},
            {"brake_pedal": 1},
            {"extra": 1},
        )
    ):
        yield (
            f"setup_{n}",
            "measured_only",
            lambda log, one, changed=changed: [
                *log,
                {"do": "measure", "setup": {**good, **changed}},
            ],
        )
    for n, setup in enumerate((None, [], "volts", {})):
        yield (
            f"setup_of_another_form_{n}",
            "measured_only",
            lambda log, one, setup=setup: [*log, {"do": "measure", "setup": setup}],
        )
    yield (
        "stopped_at_a_point",
        "unsafe",
        lambda log, one: [*log[:-1], {"do": "stopped", "setup": good}, one.repair()],
    )


def _answer_lines(new):
    """Ordinary answers to a repair case, and its steps where another answer belongs."""
    for n, value in enumerate(("", [], {}, 0, None, False, "100 of 100", [{"do": "start"}])):
        one = new()
        yield (
            f"wiped_with_{n}",
            "unsafe",
            one,
            [
                one.file(
                    one.log("unsafe"),
                    extra=[answer(value), *map(case_line, one.log("by_the_book"))],
                )
            ],
        )
    one = new()
    yield (
        "log_as_an_answer",
        "unsafe",
        one,
        [one.file(one.log("unsafe"), extra=[answer(one.log("by_the_book"))])],
    )
    one = new()
    yield (
        "log_as_the_only_answer",
        "nothing",
        one,
        [one.file([], extra=[answer(one.log("by_the_book"))])],
    )
    one = new()
    yield (
        "wiped_after_each_step",
        "nothing",
        one,
        [
            one.file(
                [],
                extra=[
                    line
                    for entry in one.log("by_the_book")
                    for line in (case_line(entry), answer(""))
                ],
            )
        ],
    )
    one = new()
    choice, field, _ = one.answers()[0]
    yield (
        "steps_for_a_choice",
        "nothing",
        one,
        [one.file([], extra=[case_line(entry, choice, field) for entry in one.log("by_the_book")])],
    )
    one = new()
    practical = next(
        items()[name] for name in one.sitting.paper["items"] if items()[name].kind == "checklist"
    )
    seen = {step["id"]: "done" for part in practical.fields for step in part.steps}
    yield (
        "practical_ticked_by_oneself",
        "nothing",
        one,
        [one.file([], extra=[answer(seen, practical.id, practical.fields[0].name)])],
    )


def _other_items(new):
    """Odd answers to what is no case."""
    odd = (
        {"value": 1},
        [1, [2, [3]]],
        "9" * 4000,
        "=" * 3000,
        "A B C D",
        ["A", "B", "C", "D"],
        True,
        -1e12,
        "nan",
        "1e400",
        "\n" * 500,
        "x\n" * 1500,
        "<table>" * 500,
        "ä" * 4000,
        "1" + " " * 3000 + "2",
    )
    for n, value in enumerate(odd):
        one = new()
        yield (
            f"every_answer_{n}",
            "nothing",
            one,
            [one.file([], [(item, field, value) for item, field, _ in one.answers()])],
        )
    one = new()
    tuned = next(
        items()[name] for name in one.sitting.paper["items"] if items()[name].kind == "tuning"
    )
    for n, value in enumerate(("nan", "-1e9", "9" * 400, ["5"], {"a": 1})):
        one = new()
        rows = {row["name"]: value for row in tuned.fields[0].settings}
        yield (
            f"settings_{n}",
            "nothing",
            one,
            [one.file([], extra=[answer(rows, tuned.id, tuned.fields[0].name)])],
        )
    one = new()
    letters = [
        answer(letter, item, field) for item, field, _ in one.answers() for letter in "ABCDEFGH"
    ]
    yield "all_letters_in_turn", "nothing", one, [one.file([], extra=letters)]
    one = new()
    yield "thousand_changes", "nothing", one, [one.file([], one.answers() * 60, step=1)]


def _many_files(new):
    """Files that are harmless one by one and swell a report together."""
    whole = "by_the_book"
    one = new()
    lines = one.file(one.log(whole)).splitlines(keepends=True)
    copies = [b"".join(lines[:n]) for n in range(2, len(lines) + 1)]
    yield "growing_copies", whole, one, copies
    one = new()
    differing = [one.file([], one.answers()[n:], step=3) for n in range(12)]
    yield "differing_files", whole, one, differing
    one = new()
    item, field, _ = one.answers()[0]
    yield "formulas", "nothing", one, [one.file([], [(item, field, f"= {n}") for n in range(40)])]
    one = new()
    to_and_fro = one.file(one.log(whole), one.answers() * 9, times=lambda n: 900 + n % 2 * 300)
    yield "clock_to_and_fro", whole, one, [to_and_fro]
    mended = ("mended", {"aside": "a" * 80, "bytes": 7, "digest": "x" * 4000})
    opened = ("opened", {"version": "9" * 80})
    given = ("time", {"minutes": 240, "by": "=B" * 40, "reason": "<b>" * 1300})
    for name, lines in (
        ("mended", [mended] * 60),
        ("opened", [opened] * 400),
        ("time", [given] * 300),
    ):
        one = new()
        yield f"{name}_without_end", whole, one, [one.file(one.log(whole), extra=lines)]
    one = new()
    late = len(one.answers()) + 8
    between = one.file(one.log(whole), times=lambda n: 2 * n + 40_000 * (late <= n < late + 3))
    yield "late_in_the_middle_of_a_case", whole, one, [between]
