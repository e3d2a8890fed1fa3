"""`tractionlab markbook`: reads the words, calls what does the work, prints it."""

from pathlib import Path

from tractionlab.assess.markbook import amend
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.words.decide import (
    accept,
    appeal,
    change,
    give_break,
    give_time,
    lock,
    observe,
    reject,
    release,
    reopen,
)
from tractionlab.assess.markbook.words.hand_over import export_as, forget, report, resit
from tractionlab.assess.markbook.words.moderate import compare, sample, second, similar, statistics
from tractionlab.assess.markbook.words.show import list_all, show
from tractionlab.errors import UserError


def main(args):
    """Run one word; returns the exit code."""
    if "://" not in args.store and not Path(args.store).is_file():
        raise UserError(
            f"{args.store}: there is no such markbook. `python3 -m tractionlab mark` makes one;"
            " --store names it"
        )
    store, code = Store(args.store), None
    try:
        if args.word != "second":
            amend.check_words(args)
        if args.word == "forget":
            forget(store, args)
        else:
            code = _WORDS[args.word](open_book(store, args.sitting), args)
    finally:
        store.close()
    return code or 0


_WORDS = {
    "list": list_all,
    "show": show,
    "change": change,
    "accept": accept,
    "reject": reject,
    "time": give_time,
    "break": give_break,
    "observe": observe,
    "appeal": appeal,
    "sample": sample,
    "second": second,
    "compare": compare,
    "release": release,
    "reopen": reopen,
    "lock": lock,
    "statistics": statistics,
    "resit": resit,
    "similar": similar,
    "report": report,
    "export": export_as,
}
