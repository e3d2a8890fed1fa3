"""The commands of assessment: which words they take.

Light, so that the command line starts at once; the work is in the modules they name.
"""

from importlib import import_module

#: command word -> module with main(args); `paper` and `markbook` have words of their own.
_HOME = {"mark": "assess.markbook.mark_folder", "markbook": "assess.markbook.words"}
_PAPER = {
    **dict.fromkeys(("issue", "practice", "sit", "office"), "start.exam_room"),
    **dict.fromkeys(("new", "preview", "proof"), "assess.bank.paper_commands"),
}


def add(commands):
    """Add the parsers of `paper`, `mark` and `markbook`."""
    paper = commands.add_parser("paper", help="make, issue and practise papers").add_subparsers(
        dest="word", metavar="word", required=True
    )
    _make(paper)
    _issue(paper)
    mark = commands.add_parser("mark", help="mark a folder of answer files into a markbook")
    mark.add_argument("folder", help="folder with the answer files")
    mark.add_argument(
        "--sitting",
        required=True,
        metavar="KEYFILE",
        help="sitting.json from the assessor's folder",
    )
    mark.add_argument(
        "--store",
        default="markbook.sqlite",
        metavar="ADDRESS",
        help="file name, or any SQLAlchemy address (default: markbook.sqlite)",
    )
    mark.add_argument(
        "--workers",
        default="",
        metavar="ADDRESS",
        help="address of a dask.distributed scheduler (default: the cores of this machine)",
    )
    mark.add_argument("--report", metavar="FILE", help="write what is printed to a file too")
    _markbook(commands)


def work_of(args):
    """Module that does the work of a command."""
    name = _PAPER[args.word] if args.command == "paper" else _HOME[args.command]
    return import_module(f"tractionlab.{name}")


def _make(paper):
    new = paper.add_parser("new", help="make a paper from the blueprint")
    new.add_argument(
        "--outcomes", default="", metavar="LO1,LO2", help="outcomes it asks for (default: all)"
    )
    new.add_argument("--minutes", type=float, help="time (default: what its items need)")
    new.add_argument(
        "--kind",
        choices=("graded", "mock", "resit"),
        default="graded",
        help="a resit takes spare items only",
    )
    new.add_argument("--seed", default="1", help="any text: the same one gives the same paper")
    new.add_argument("--title", default="", help="title of the paper")
    new.add_argument(
        "--blueprint", default="", metavar="FILE", help="a blueprint of your own (TOML)"
    )
    new.add_argument(
        "--out", default="", metavar="FILE", help="file to write (default: its id, in this folder)"
    )
    preview = paper.add_parser(
        "preview", help="one HTML page with the items and their pictures, in one draw"
    )
    preview.add_argument("paper", help="name of a paper, or a paper file (TOML)")
    preview.add_argument(
        "--answers",
        action="store_true",
        help="with right answers, wrong ideas and sources: for you alone",
    )
    preview.add_argument(
        "--out",
        default="",
        metavar="FILE",
        help="file to write (default: its id and _preview.html)",
    )
    proof = paper.add_parser("proof", help="prove the keys by a second route")
    proof.add_argument(
        "paper",
        nargs="?",
        default="",
        help="name of a paper, or a paper file (default: the whole item bank)",
    )
    proof.add_argument(
        "--sheet",
        default="",
        metavar="FILE",
        help="write the questions that need a second person, with room for the answers (CSV)",
    )
    proof.add_argument(
        "--key",
        default="",
        metavar="FILE",
        help="that sheet, filled in by a second person (CSV: item, field, answer)",
    )
    proof.add_argument(
        "--by",
        default="a second person",
        metavar="NAME",
        help="who filled it in; stands in the report",
    )
    proof.add_argument("--html", default="", metavar="FILE", help="write the report as a page too")
    proof.add_argument(
        "--all", action="store_true", help="print every finding, not only what fails"
    )
    proof.add_argument("--quick", action="store_true", help="leave the simulations out")


def _issue(paper):
    issue = paper.add_parser(
        "issue", help="draw a paper for a roll: one folder for each candidate, the key for you"
    )
    issue.add_argument("paper", help="name of a paper, or a paper file (TOML)")
    issue.add_argument(
        "--roll",
        required=True,
        help=(
            "CSV file with the columns candidate, name, and perhaps extra_time_percent,"
            " larger_print"
        ),
    )
    issue.add_argument("--out", required=True, metavar="FOLDER", help="new folder for the sitting")
    issue.add_argument(
        "--date", default="", help="day of the sitting, such as 2026-03-31 (default: today)"
    )
    issue.add_argument("--place", default="", help="place of the sitting, shown on the cover page")
    issue.add_argument("--minutes", type=float, help="time, if it is not the paper's own")
    issue.add_argument(
        "--extra-time",
        type=int,
        default=0,
        metavar="PERCENT",
        help="extra time for candidates whose row does not say",
    )
    issue.add_argument(
        "--larger-print",
        action="store_true",
        help="larger print for candidates whose row does not say",
    )
    practice = paper.add_parser("practice", help="a paper for yourself, with feedback at once")
    practice.add_argument("paper", help="name of a paper, or a paper file (TOML)")
    practice.add_argument(
        "--out", required=True, metavar="FOLDER", help="new folder for the practice paper"
    )
    practice.add_argument("--larger-print", action="store_true", help="larger print")
    sit = paper.add_parser("sit", help="open a candidate's folder in JupyterLab")
    sit.add_argument("folder", help="folder of one candidate, or of a practice paper")
    office = paper.add_parser(
        "office",
        help=(
            "the assessor's notebooks in JupyterLab: issue, enter practicals, mark and report with"
            " forms"
        ),
    )
    office.add_argument(
        "folder",
        nargs="?",
        default="",
        help=(
            "your own folder, away from the class (default: tractionlab-assessor in your home"
            " folder)"
        ),
    )
    for opens in (sit, office):
        opens.add_argument(
            "--port",
            type=int,
            help="port of the local server (default: the first free one from 8888)",
        )
        opens.add_argument(
            "--no-browser",
            dest="browser",
            action="store_false",
            help="print the address, open no browser",
        )


def _markbook(commands):
    words = commands.add_parser(
        "markbook", help="see, moderate, change, release and report marks"
    ).add_subparsers(dest="word", metavar="word", required=True)

    def word(name, about, *more):
        parser = words.add_parser(name, help=about)
        for flag, how in more:
            parser.add_argument(flag, **how)
        parser.add_argument(
            "--store",
            default="markbook.sqlite",
            metavar="ADDRESS",
            help="file name, or any SQLAlchemy address (default: markbook.sqlite)",
        )
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
                "help": "steps that were done; --done alone means none of them",
            },
        ),
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
    word("lock", "close the marks for good", by)
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
