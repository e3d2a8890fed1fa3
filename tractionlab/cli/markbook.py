"""The words of `tractionlab markbook` and their options."""

from tractionlab.cli.mark import add_store


def add_markbook(commands):
    words = commands.add_parser(
        "markbook", help="see, moderate, change, release and report marks"
    ).add_subparsers(dest="word", metavar="word", required=True)

    def word(name, about, *more):
        parser = words.add_parser(name, help=about)
        for flag, how in more:
            parser.add_argument(flag, **how)
        add_store(parser)
        parser.add_argument(
            "--sitting", default="", metavar="ID", help="which sitting, if the markbook has several"
        )

    candidate = ("candidate", {"help": "candidate number"})
    item = ("item", {"help": "item, as `markbook show` lists it"})
    by = ("--by", {"required": True, "metavar": "NAME", "help": "who decides"})
    reason = ("--reason", {"required": True, "help": "why; it stays in the record"})
    out = ("--out", {"required": True, "metavar": "FOLDER", "help": "folder to write to"})
    word("list", "all candidates with marks and status")
    word(
        "show",
        "one candidate's record: marks, reasons, findings, history",
        candidate,
        ("--replay", {"action": "store_true", "help": "every saved step with its time"}),
        ("--evidence", {"metavar": "FILE", "help": "write the frozen answer file there"}),
    )
    word(
        "change",
        "change the marks of an item; the old ones stay in the history",
        candidate,
        item,
        ("marks", {"help": "new marks; comma or point"}),
        by,
        reason,
    )
    word(
        "accept",
        "count a file that was held, up to where it can be trusted",
        candidate,
        by,
        reason,
        ("--check-number", {"default": "", "help": "which file, if there are several"}),
    )
    word(
        "reject",
        "end the hold of a file without marks",
        candidate,
        by,
        reason,
        ("--check-number", {"default": "", "help": "only this file"}),
    )
    word(
        "time",
        "give lost time back to a candidate, and mark the kept answers again with it",
        candidate,
        (
            "--minutes",
            {
                "required": True,
                "metavar": "MINUTES",
                "help": "lost minutes in all; 0 takes them back",
            },
        ),
        by,
        reason,
    )
    word(
        "break",
        "let breaks that a supervisor entered at the desk count, and mark the kept answers again",
        ("candidate", {"nargs": "*", "help": "candidate numbers"}),
        ("--all", {"action": "store_true", "help": "everybody on the roll"}),
        (
            "--minutes",
            {
                "required": True,
                "metavar": "MINUTES",
                "help": "so many minutes of breaks at most; 0 takes them back",
            },
        ),
        by,
        reason,
    )
    word(
        "observe",
        "fill in the list of an observed practical",
        candidate,
        item,
        by,
        (
            "--done",
            {
                "nargs": "*",
                "metavar": "STEP",
                "help": "steps that were done; --done alone means none; left out, each is asked",
            },
        ),
        ("--reason", {"help": "why, if it was entered before"}),
    )
    word("appeal", "note an appeal and mark the frozen evidence again", candidate, by, reason)
    word("sample", "who has to be looked at by a second person, and why")
    word(
        "second",
        "sheet for blind second marking, or enter a second mark",
        ("--out", {"metavar": "FOLDER", "help": "write sheets without names and first marks"}),
        (
            "--enter",
            {
                "metavar": "FILE",
                "help": "read second marks from a CSV file: candidate, item, marks",
            },
        ),
        ("--by", {"default": "", "metavar": "NAME", "help": "second marker"}),
    )
    word("compare", "first against second marks")
    word(
        "release",
        "let the marks out",
        by,
        (
            "--unfinished",
            {
                "action": "store_true",
                "help": "although practicals are not entered: they give no marks",
            },
        ),
    )
    word("reopen", "take released or locked marks back for a correction", by, reason)
    word("lock", "close the marks; only reopen, with a reason, opens them again", by)
    word("statistics", "facility and discrimination of every item, results by outcome")
    word(
        "resit",
        "plan and paper for the outcomes not yet achieved",
        (
            "--out",
            {
                "metavar": "FOLDER",
                "help": "write the resit papers (TOML) and the plan (CSV) into this folder",
            },
        ),
    )
    word("similar", "answers and times that raise a question")
    word(
        "report",
        "feedback for candidates, class overview, assessor's record",
        out,
        ("--candidate", {"default": "", "help": "only this candidate"}),
    )
    word(
        "export",
        "write the markbook as csv, json, or its questions as qti",
        ("form", {"choices": ("csv", "json", "qti")}),
        out,
    )
    word(
        "forget",
        "delete the personal data of a candidate, or of sittings older than a day",
        by,
        reason,
        (
            "--folder",
            {
                "action": "append",
                "default": [],
                "help": (
                    "also look through this folder for copies: issued sitting, inbox, reports (may"
                    " be given several times)"
                ),
            },
        ),
        (
            "--yes",
            {
                "action": "store_true",
                "help": "delete what is listed; without it nothing is deleted",
            },
        ),
        ("--candidate", {"default": "", "help": "whose data"}),
        (
            "--before",
            {
                "default": "",
                "metavar": "DAY",
                "help": "sittings before this day, such as 2024-09-01",
            },
        ),
    )
