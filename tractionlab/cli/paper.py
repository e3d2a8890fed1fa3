"""The words of `tractionlab paper` and their options."""


def add_making(paper):
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
    new.add_argument(
        "--car",
        default="",
        metavar="KEY",
        help="a car of your my_vehicles.toml, whose numbers are written into the paper",
    )
    new.add_argument("--folder", default=".", help="where my_vehicles.toml stands (default: here)")
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
        help="file to write (default: its id and _preview.html, or _answers.html)",
    )
    proof = paper.add_parser("proof", help="prove the keys by second routes and worked examples")
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
    proof.add_argument(
        "--mutants",
        action="store_true",
        help="put wrong ideas into each key and say how many the proof finds; check dimensions",
    )
    proof.add_argument("--quick", action="store_true", help="leave the simulations out")


def add_issuing(paper):
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
    sit = paper.add_parser("sit", help="show the paper of a candidate's folder in a browser")
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
    room = paper.add_parser(
        "room", help="serve a sitting to a class of browsers, with a page for the supervisor"
    )
    room.add_argument("folder", help="folder of the sitting, as `paper issue` made it")
    room.add_argument("--port", type=int, default=8000, help="port of the server (default: 8000)")
    room.add_argument("--certificate", default="", metavar="FILE", help="for TLS (PEM)")
    room.add_argument("--key", default="", metavar="FILE", help="its key (PEM)")
