"""Words of `tractionlab markbook` by which a person decides: marks, held files, lost time,
practicals, appeals, release.
"""

from tractionlab.assess.markbook import amend, appeals, given_time, held, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.errors import UserError


def change(book, args):
    old, new = amend.change(book, args.candidate, args.item, args.marks, args.by, args.reason)
    whom = f"Candidate {args.candidate} {book.roll[args.candidate]}, {args.item}"
    if old is None:
        print(f"{whom}: {new:g} entered; there were no marks before.")
    else:
        print(f"{whom}: {old:g} -> {new:g}. The old marks stay in the history.")


def accept(book, args):
    row = held.accept(book, args.candidate, args.by, args.reason, args.check_number)
    print(
        f"Candidate {args.candidate}: the file {row.check_number} counts, with the {row.lines}"
        " lines that can be trusted."
    )


def reject(book, args):
    rows = held.reject(book, args.candidate, args.by, args.reason, args.check_number)
    files = ", ".join(row.check_number for row in rows)
    now = open_book(book.store, book.row.id).status(args.candidate)
    print(
        f"Candidate {args.candidate}: {files} rejected. "
        + {
            "rejected": (
                "No file of this candidate gives marks; one that comes later is marked as usual."
            ),
            "held": "Other files are still held.",
        }.get(now, "Another file counts.")
    )


def give_time(book, args):
    before, now = given_time.give(
        book, "time", [args.candidate], args.minutes, args.by, args.reason
    )
    _say_given(book, f"{now} minutes of lost time given back", before)


def give_break(book, args):
    if bool(args.candidate) == args.all:
        raise UserError("Name the candidates whose breaks count, or give --all for everybody.")
    before, now = given_time.give(
        book, "break", args.candidate or list(book.roll), args.minutes, args.by, args.reason
    )
    _say_given(book, f"breaks of up to {now} minutes do not count as time", before)


def _say_given(book, words, before):
    results = open_book(book.store, book.row.id).results
    for number, minutes in before.items():
        found = results.get(number)
        print(
            f"Candidate {number}: {words} (before: {minutes}). "
            + (
                f"Marked again: {found.got:g} of {found.out_of:g}."
                if found
                else "There is no answer file yet; it counts as soon as one is marked."
            )
        )


def observe(book, args):
    done = _ask_steps(book, args) if args.done is None else args.done
    found = amend.observe(book, args.candidate, args.item, done, args.by, args.reason or "")
    print(
        f"Candidate {args.candidate} {book.roll[args.candidate]}, {args.item}: {found.marks:g} of"
        f" {found.out_of:g}. {' '.join(found.reasons)}"
    )


def _ask_steps(book, args):
    """The steps that were done, asked one by one."""
    item = amend.practical(book, args.item)
    number, done = book.candidate(args.candidate), []
    print(f"Candidate {number} {book.roll[number]}: {item.title}. Answer y (done) or n (not done).")
    for step in (step for part in item.fields for step in part.steps):
        safety = " (SAFETY)" if step.get("gate") else ""
        answer = ""
        while answer not in ("y", "n"):
            try:
                answer = input(f"  {step['id']}: {step['text']}{safety} [y/n] ").strip().lower()
            except (EOFError, OSError):
                raise UserError(
                    "Nothing was entered. Say of each step whether it was done, or give"
                    " --done STEP STEP. --done alone means that none was."
                ) from None
        done += [step["id"]] * (answer == "y")
    return done


def appeal(book, args):
    differ = appeals.appeal(book, args.candidate, args.by, args.reason)
    print("Marked again from the frozen evidence: " + ("the same marks." if not differ else ""))
    for item, old, new in differ:
        print(f"  {item}: holds {old:g}, worked out now {new:g}")
    if differ:
        print("Nothing was changed. Decide, and use markbook change.")


def release(book, args):
    state.release(book, args.by, args.unfinished)
    print(f"The marks of {book.row.id} are released.")


def reopen(book, args):
    state.reopen(book, args.by, args.reason)
    print(f"The marks of {book.row.id} are open again.")


def lock(book, args):
    state.lock(book, args.by)
    print(f"The marks of {book.row.id} are locked.")
