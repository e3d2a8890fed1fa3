"""`tractionlab mark`: a folder of answer files in, a markbook out, and every odd file named."""

from pathlib import Path

from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import workers
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.errors import UserError
from tractionlab.progress import Progress
from tractionlab.written.line_file import write_whole

_ORDER = ("counted", "older", "held", "rejected", "refused", "duplicates", "not read")


def main(args):
    """Mark the folder `args.folder`; returns the exit code."""
    folder, sitting = Path(args.folder), read_sitting(args.sitting)
    if not folder.is_dir():
        raise UserError(f"{folder} is no folder. Give the folder that holds the answer files.")
    store = Store(args.store)
    pool = workers(args.workers)
    try:
        with Progress(f"marking {sitting.id}") as progress:
            told = mark_folder(
                folder,
                sitting,
                store,
                pool,
                progress=lambda done, total: progress.say(
                    f"{bar(done, total)} {done} of {total} files"
                ),
            )
    finally:
        pool.close()
        store.close()
    text = report(sitting, told)
    print(text)
    if args.report:
        try:
            write_whole(args.report, f"{text}\n".encode())
        except OSError as problem:
            raise UserError(
                f"Everything was marked, but --report {args.report} cannot be written"
                f" ({problem.strerror})."
            ) from None
    return 0


def bar(done, total, width=20):
    """[#####---------------]"""
    full = width * done // total if total else width
    return f"[{'#' * full}{'-' * (width - full)}]"


def report(sitting, told):
    """What marking has to say, as text."""
    lines = [
        f"Sitting {sitting.id}: {len(sitting.candidates)} candidates on the roll",
        ", ".join(
            f"{told.counts[status]} {status}"
            for status in _ORDER
            if told.counts[status] or status == "counted"
        ),
    ]
    if told.absent:
        lines.append(f"No file that could be used: candidate {', '.join(told.absent)}")
    if told.named:
        lines += ["", "Files to look at:", *(f"  {name}: {words}" for name, words in told.named)]
    return "\n".join(lines)
