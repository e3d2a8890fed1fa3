"""Writes the reports of a sitting as pages and PDF files."""

import errno
from functools import cache, partial
from pathlib import Path
from typing import NamedTuple

from tractionlab.assess.markbook.reports.assessors_record import record
from tractionlab.assess.markbook.reports.feedback import feedback
from tractionlab.assess.markbook.reports.overview import overview
from tractionlab.written.line_file import write_whole


class Written(NamedTuple):
    """paths : files that were written; failed : a sentence for each page that could not be made."""

    paths: list
    failed: list


def write(book, folder, only=""):
    """Write the reports into a folder of the sitting's own below `folder`; feedback only when the
    marks are released. A page that cannot be made stops no other. Returns Written."""
    pages = {} if only else {"class_overview": overview, "assessors_record": record}
    if book.row.state != "open":
        for number in [book.candidate(only)] if only else book.results:
            if number in book.results:
                pages[f"feedback_{number}"] = partial(feedback, number=number)
    folder = Path(folder) / book.row.id
    folder.mkdir(parents=True, exist_ok=True)
    written = Written([], [])
    for name, make in pages.items():
        page = cache(partial(make, book))
        for form in ("html", "pdf"):
            _write_page(folder / f"{name}.{form}", page, form, written)
    return written


def _write_page(path, page, form, written):
    try:
        made = getattr(page(), form)()
        write_whole(path, made if isinstance(made, bytes) else made.encode())
        written.paths.append(path)
    except OSError as problem:
        if problem.errno == errno.ENOSPC:
            raise
        written.failed.append(f"{path} cannot be written ({problem.strerror}).")
    except Exception as problem:  # whatever one page meets, the others are made
        words = f"{type(problem).__name__}: {str(problem)[:200]}".splitlines()[0]
        written.failed.append(
            f"{path} could not be made ({words}). Report it to the makers of the "
            "course; the other pages are whole."
        )
