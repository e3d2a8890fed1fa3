"""The words of `tractionlab case`."""


def add(commands):
    """A word, and the case's file."""
    cases = commands.add_parser("case", help="make a repair case, show it, print its sheets")
    steps = cases.add_subparsers(dest="step", metavar="step", required=True)
    listed = steps.add_parser("list", help="print all faults: id, group, difficulty, cars")
    listed.add_argument("--group", default="", help="only this group")
    listed.add_argument(
        "--band", type=int, default=0, help="only this difficulty: 1 easy, 2 medium, 3 hard"
    )
    new = steps.add_parser(
        "new", help="draw a fault, or take a named one, and save the case as a small TOML file"
    )
    new.add_argument("file", help="file to write, such as case-1.toml")
    new.add_argument(
        "--fault", default="", help="id of a fault in the catalogue; drawn at random if left out"
    )
    new.add_argument(
        "--group",
        default="",
        help="draw from this group only, such as wheel-speed; `case list` shows them",
    )
    new.add_argument(
        "--band",
        type=int,
        default=0,
        help="draw from this difficulty only: 1 easy, 2 medium, 3 hard",
    )
    new.add_argument("--vehicle", default="", help="rear_petrol, front_petrol or front_electric")
    new.add_argument(
        "--seed", type=int, help="number of the draw: the same number gives the same case"
    )
    new.add_argument("--mode", default="practice", help="practice or graded")
    new.add_argument("--title", default="", help="words for the top of the file")
    new.add_argument("--hide", action="store_true", help="do not print which fault it is")
    show = steps.add_parser("show", help="print complaint and fault of a case")
    show.add_argument("file", help="case file (TOML)")
    show.add_argument("--hide", action="store_true", help="print the complaint only")
    sheet = steps.add_parser("sheet", help="write job sheet and answer sheet as pages that print")
    sheet.add_argument("file", help="case file (TOML)")
    sheet.add_argument(
        "--out", metavar="FOLDER", help="folder for the pages (default: beside the case)"
    )
