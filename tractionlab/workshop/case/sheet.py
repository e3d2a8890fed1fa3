"""Job sheet and answer sheet of a case, as HTML and PDF; and the `case` command."""

from pathlib import Path

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.paint.blocks import NAME_AND_DATE, Heading, Page, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words
from tractionlab.workshop.case.all_readings import all_readings
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.criteria_search import par_minutes
from tractionlab.workshop.case.file import BANDS, chosen, draw, read_case, save_case, typed
from tractionlab.workshop.case.score import CRITERIA
from tractionlab.workshop.case.suspects import predicted
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import fault, symptoms
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.reading import shown
from tractionlab.workshop.tests.base import preparations, reading_minutes, run, tests

_ASKED = (
    "Place",
    "Kind of fault",
    "Why it happened",
    "Repair",
    "Readings after the repair",
    "Memory cleared and read again",
    "Verification drive",
)


def job_sheet(case):
    """Document for the learner: complaint, cautions, tests with minutes, room for readings.

    Nothing on it tells the fault.
    """
    cautions = read_toml(data_folder() / "safety.toml")["cautions"].values()
    rows = tuple(
        (
            t.id,
            t.name,
            f"{t.minutes:g}",
            "; ".join(preparations()[key] for key in (*t.critical_on(case.vehicle), *t.minor)),
        )
        for t in tests().values()
    )
    rows += (("", "One reading of your own in the wiring", f"{reading_minutes():g}", ""),)
    return Document(
        "Job sheet",
        [
            Text(f"{catalogue.shipped().vehicles()[case.vehicle].name}, an invented course car"),
            NAME_AND_DATE,
            Heading("The customer says"),
            Text(case.complaint, strong=True),
            Text(f"In short: {symptoms()[case.symptom]}."),
            Heading("Safety"),
            safety_words(),
            *(Text(f"\u2022  {entry['title']}. {entry['text']}") for entry in cautions),
            Rows("Tests", ("Test", "What", "Minutes", "Before it"), rows, (2, 9, 3, 12)),
            Page(),
            Rows(
                "What I measured",
                ("Test", "Reading, unit", "Place", "What it excludes"),
                (("", "", "", ""),) * 10,
                (1, 3, 3, 4),
                room=True,
            ),
            Rows(
                "My finding",
                ("Question", "Answer"),
                tuple((question, "") for question in _ASKED),
                (1, 2),
                room=True,
            ),
        ],
    )


def answer_sheet(case):
    """Document for the instructor: the fault, what each useful test shows, a good route with its
    minutes, par, the scheme of points, and all readings.
    """
    entry = case.fault
    route = route_to(entry.id, case.symptom, case.vehicle)
    return Document(
        "Answer sheet",
        [
            Heading("The fault"),
            Text(
                f"{entry.place}, {KINDS[entry.kind]}: {entry.cause} Why: {WHYS[entry.why]}. Band"
                f" {entry.band}, {BANDS[entry.band]}."
            ),
            Text(f"Repair: {entry.repair}"),
            Text(f"Proof: {entry.verification} {entry.proof}"),
            Rows(
                "Readings that show it (computed)",
                ("Test", "Reading", "This car", "A sound one"),
                tuple(
                    _shown(entry, case.vehicle, expected)
                    for expected in entry.expected(case.vehicle)
                ),
                (1, 4, 2, 2),
            ),
            Text(
                "Memory of the brake unit (computed): "
                + predicted("T04", entry.id, case.vehicle)[0].value
                + "."
            ),
            Rows(
                "Faults that fit the first symptom",
                ("Place", "Kind"),
                tuple((fault(key).place, KINDS[fault(key).kind]) for key in case.candidates()),
                (2, 1),
            ),
            Rows(
                "A good route (computed)",
                ("Test", "What", "Minutes"),
                tuple(
                    (test, tests()[test].name, f"{tests()[test].minutes:g}") for test in route.tests
                ),
                (2, 9, 3),
            ),
            Text(
                f"{route.minutes} minutes; par"
                f" {par_minutes(entry.id, case.symptom, case.vehicle, entry.kind):.0f} minutes."
            ),
            Rows(
                "Points",
                ("Criterion", "Most"),
                tuple((name, f"{most}") for name, most in CRITERIA.items()),
                (5, 1),
            ),
            Text(
                "An unsafe step ends the try. Part on hope, the same place repaired once more, and"
                " hint: minus 5 each. A correct fault without proof: at most 7 of 15. Without a"
                " repair or an honest stop safety, order and economy count nothing. The record is"
                " judged by its form only: read it."
            ),
            *all_readings(case),
        ],
    )


def _shown(entry, vehicle, expected):
    """Test, name of a reading, and what this car and a sound one show."""
    faulty, sound = (
        {reading.key: reading for reading in readings}[expected.reading]
        for readings in (
            predicted(expected.test, entry.id, vehicle),
            run(expected.test, vehicle, part_values(vehicle)),
        )
    )
    return (
        expected.test,
        faulty.name,
        shown(faulty.value, faulty.unit),
        shown(sound.value, sound.unit),
    )


def main(args):
    """Run `tractionlab case list|new|show|sheet`."""
    return {"list": _list, "new": _new, "show": _show, "sheet": _sheets}[args.step](args)


def _list(args):
    found = chosen(args.group, args.band)
    rows = [
        ("fault", "group", "band", "cars"),
        *(
            (entry.id, typed(entry.group), str(entry.band), ", ".join(entry.vehicles))
            for entry in found
        ),
    ]
    wide = [max(len(row[i]) for row in rows) for i in range(3)]
    for row in rows:
        print("  ".join([*(cell.ljust(width) for cell, width in zip(row, wide)), row[3]]))
    print(
        f"{len(found)} faults. Bands:"
        f" {'; '.join(f'{band} {words}' for band, words in BANDS.items())}."
    )


def _new(args):
    if args.fault:
        case = Case(args.fault, args.vehicle or fault(args.fault).vehicles[0], mode=args.mode)
    else:
        case = draw(args.group, args.band, args.vehicle, args.seed, args.mode)
    path = save_case(case, args.file, args.title)
    print(
        f"Saved {path}."
        + (
            ""
            if args.hide
            else (
                f" Fault: {case.fault.place}, {KINDS[case.fault.kind]}, on the"
                f" {catalogue.shipped().vehicles()[case.vehicle].name.lower()}."
            )
        )
    )


def _show(args):
    case = read_case(args.file)
    print(
        f"{catalogue.shipped().vehicles()[case.vehicle].name}: {case.complaint}\nFirst symptom:"
        f" {symptoms()[case.symptom]}. Mode: {case.mode}."
    )
    if not args.hide:
        route = route_to(case.fault.id, case.symptom, case.vehicle)
        print(
            f"Fault: {case.fault.place}, {KINDS[case.fault.kind]}. {case.fault.cause}\nGroup"
            f" {case.fault.group}, band {case.fault.band}. {len(case.candidates())} faults fit the"
            f" first symptom.\nA good route: {' '.join(route.tests)}, {route.minutes} minutes."
        )


def _sheets(args):
    saved = save_sheets(
        read_case(args.file), Path(args.file).stem, Path(args.out or Path(args.file).parent)
    )
    print("\n".join(f"Saved {path}." for path in saved))


def save_sheets(case, stem, folder):
    """Write job sheet and answer sheet as HTML and PDF.

    Returns their paths; UserError if the folder cannot be written.
    """
    saved = []
    for name, sheet in (("job-sheet", job_sheet(case)), ("answer-sheet", answer_sheet(case))):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            saved += sheet.save(folder / f"{stem}-{name}")
        except OSError as problem:
            raise UserError(
                f"{problem.filename} cannot be written ({problem.strerror or problem}). Choose"
                " another folder."
            ) from None
    return saved
