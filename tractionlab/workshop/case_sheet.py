"""Job sheet and answer sheet of a case as self-contained pages that print; and the `case` command."""
from html import escape
from pathlib import Path

from tractionlab import catalogue
from tractionlab.errors import UserError
from tractionlab.places import data_folder
from tractionlab.workshop.bench_tests import preparations, run, shown, tests
from tractionlab.workshop.case import Case
from tractionlab.workshop.case_file import BANDS, draw, read_case, save_case
from tractionlab.workshop.faults import KINDS, WHYS, fault, symptoms
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.score import CRITERIA, par_minutes
from tractionlab.workshop.suspects import predicted
from tractionlab.workshop.technician import route_to

_STYLE = """body { font: 12pt/1.4 system-ui, sans-serif; color: #111; background: #fff; max-width: 44rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 18pt; } h2 { font-size: 13pt; margin: 1.2em 0 .3em; } blockquote { border-left: 4px solid #0072B2; margin: 0; padding: 0 0 0 .8em; font-size: 13pt; }
table { border-collapse: collapse; width: 100%; } th, td { border: 1px solid #555; text-align: left; padding: 3px 6px; vertical-align: top; font-weight: 400; } thead th { font-weight: 700; }
.line td { height: 2.2em; } .line td:first-child { width: 28%; } .small { font-size: 10pt; } @page { margin: 16mm; } @media print { body { margin: 0; max-width: none; } h2 { break-after: avoid; } tr { break-inside: avoid; } }"""


def _page(title, body):
    return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>{escape(title)}</title>'
            f"<style>{_STYLE}</style></head><body><h1>{escape(title)}</h1>\n{body}\n</body></html>\n")


def _table(head, rows, kind=""):
    cells = "".join(f'<tr{kind}>{"".join(f"<td>{escape(str(cell))}</td>" for cell in row)}</tr>' for row in rows)
    return f'<table><thead><tr>{"".join(f"<th scope=col>{escape(word)}</th>" for word in head)}</tr></thead><tbody>{cells}</tbody></table>'


def job_sheet(case):
    """Page for the learner: complaint, cautions, tests with minutes, room for readings. Nothing on it tells the fault."""
    safety = catalogue.read_toml(data_folder() / "safety.toml")
    cautions = "".join(f"<li><strong>{escape(entry['title'])}.</strong> {escape(entry['text'])}</li>" for entry in safety["cautions"].values())
    rows = [[t.id, t.name, t.minutes, "; ".join(preparations()[key] for key in (*t.critical, *t.minor))] for t in tests().values()]
    body = (f"<p>{escape(catalogue.vehicles()[case.vehicle].name)}, an invented course car</p><h2>The customer says</h2><blockquote>{escape(case.complaint)}</blockquote>"
            f"<p>In short: {escape(symptoms()[case.symptom])}.</p><h2>Safety</h2><p>{escape(safety['statement']['text'])}</p><ul class=small>{cautions}</ul>"
            f"<h2>Tests</h2>{_table(['Test', 'What', 'Minutes', 'Before it'], rows)}"
            f"<h2>What I measured</h2>{_table(['Test', 'Reading, unit', 'Place', 'What it excludes'], [['', '', '', '']] * 10, ' class=line')}"
            f"<h2>My finding</h2>{_table(['Question', 'Answer'], [['Place', ''], ['Kind of fault', ''], ['Why it happened', ''], ['Repair', ''], ['Readings after the repair', ''], ['Memory cleared and read again', ''], ['Verification drive', '']], ' class=line')}"
            "<p>Name, date: ______________________________</p>")
    return _page("Job sheet", body)


def answer_sheet(case):
    """Page for the instructor: the fault, what each useful test shows, a good route with its minutes, par, and the scheme of points."""
    entry = case.fault
    route = route_to(entry.id, case.symptom, case.vehicle)
    steps = [[test, tests()[test].name, tests()[test].minutes] for test in route.tests]
    telling = [_shown(entry, case.vehicle, expected) for expected in entry.expected(case.vehicle)]
    fitting = [[fault(key).place, KINDS[fault(key).kind]] for key in case.candidates()]
    body = (f"<h2>The fault</h2><p>{escape(entry.place)}, {escape(KINDS[entry.kind])}: {escape(entry.cause)} Why: {escape(WHYS[entry.why])}. Band {entry.band}, {escape(BANDS[entry.band])}.</p>"
            f"<p>Repair: {escape(entry.repair)}</p><p>Proof: {escape(entry.verification)} {escape(entry.proof)}</p>"
            f"<h2>Readings that show it (computed)</h2>{_table(['Test', 'Reading', 'This car', 'A sound one'], telling)}"
            f"<h2>Faults that fit the first symptom</h2>{_table(['Place', 'Kind'], fitting)}"
            f"<h2>A good route (computed)</h2>{_table(['Test', 'What', 'Minutes'], steps)}"
            f"<p>{route.minutes} minutes; par {par_minutes(entry.id, case.symptom, case.vehicle, entry.kind):.0f} minutes.</p>"
            f"<h2>Points</h2>{_table(['Criterion', 'Most'], list(CRITERIA.items()))}<p class=small>An unsafe step ends the try. Part on hope and hint: minus 5 each. "
            "A correct fault without proof: at most 7 of 15. The record is judged by its form only: read it.</p>")
    return _page("Answer sheet", body)


def _shown(entry, vehicle, expected):
    """Test, name of a reading, and what this car and a sound one show."""
    faulty, sound = ({reading.key: reading for reading in readings}[expected.reading] for readings in (
        predicted(expected.test, entry.id, vehicle), run(expected.test, vehicle, part_values(vehicle))))
    return [expected.test, faulty.name, shown(faulty.value, faulty.unit), shown(sound.value, sound.unit)]


def main(args):
    """Run `tractionlab case new|show|sheet`."""
    return {"new": _new, "show": _show, "sheet": _sheets}[args.step](args)


def _new(args):
    if args.fault:
        case = Case(args.fault, args.vehicle or fault(args.fault).vehicles[0], mode=args.mode)
    else:
        case = draw(args.group, args.band, args.vehicle, args.seed, args.mode)
    path = save_case(case, args.file, args.title)
    print(f"Saved {path}." + ("" if args.hide else f" Fault: {case.fault.place}, {KINDS[case.fault.kind]}, on the {catalogue.vehicles()[case.vehicle].name.lower()}."))


def _show(args):
    case = read_case(args.file)
    print(f"{catalogue.vehicles()[case.vehicle].name}: {case.complaint}\nFirst symptom: {symptoms()[case.symptom]}. Mode: {case.mode}.")
    if not args.hide:
        route = route_to(case.fault.id, case.symptom, case.vehicle)
        print(f"Fault: {case.fault.place}, {KINDS[case.fault.kind]}. {case.fault.cause}\nGroup {case.fault.group}, band {case.fault.band}. {len(case.candidates())} faults fit the first symptom."
              f"\nA good route: {' '.join(route.tests)}, {route.minutes} minutes.")


def _sheets(args):
    case = read_case(args.file)
    folder = Path(args.out or Path(args.file).parent)
    for name, page in (("job-sheet", job_sheet(case)), ("answer-sheet", answer_sheet(case))):
        path = folder / f"{Path(args.file).stem}-{name}.html"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path.write_text(page, encoding="utf-8")
        except OSError as problem:
            raise UserError(f"{path} cannot be written ({problem.strerror or problem}). Choose another folder with --out.") from None
        print(f"Saved {path}")
