"""The options of `tractionlab mark`."""


def add_mark(commands):
    """Add the parser of `mark`."""
    mark = commands.add_parser("mark", help="mark a folder of answer files into a markbook")
    mark.add_argument("folder", help="folder with the answer files")
    mark.add_argument(
        "--sitting",
        required=True,
        metavar="KEYFILE",
        help="sitting.json from the assessor's folder",
    )
    add_store(mark)
    mark.add_argument(
        "--workers",
        default="",
        metavar="ADDRESS",
        help="address of a dask.distributed scheduler (default: the cores of this machine)",
    )
    mark.add_argument("--report", metavar="FILE", help="write what is printed to a file too")


def add_store(parser):
    """Add the option that names a markbook."""
    parser.add_argument(
        "--store",
        default="markbook.sqlite",
        metavar="ADDRESS",
        help="file name, or any SQLAlchemy address (default: markbook.sqlite)",
    )
