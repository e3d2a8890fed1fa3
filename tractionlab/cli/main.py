"""Command line of the course: reads the arguments, calls the module that does the work, prints its
errors.
"""

import argparse
import errno
import math
import os
import sys
from typing import NamedTuple

from tractionlab.cli import assess as assessment
from tractionlab.cli import case, classroom
from tractionlab.cli.arguments import Parser
from tractionlab.errors import UserError
from tractionlab.start import environment

OVERVIEW = """\
tractionlab: an interactive course on traction control for light vehicles.

  python3 -m tractionlab open                  open the course (installs itself at the first start)
  python3 -m tractionlab class                 serve a class over the network from this machine
  python3 -m tractionlab handouts              print the lessons: worksheets and answer sheets
  python3 -m tractionlab run scenario.toml     compute a run of your own: figures, CSV file, picture
  python3 -m tractionlab paper ...             make papers, issue them to a class, practise on one
  python3 -m tractionlab mark FOLDER ...       mark answer files into a markbook
  python3 -m tractionlab markbook ...          see, moderate, change, release and report marks
  python3 -m tractionlab case ...              make a repair case, show it, print its two sheets
  python3 -m tractionlab vehicle new FILE      write a commented file for a vehicle of your own
  python3 -m tractionlab check                 recompute all that is held against published sources
  python3 -m tractionlab test                  run all tests (for contributors)
  python3 -m tractionlab reference             write pages about what your own program may call

Add --help to a command to see what it takes."""


class Sweep(NamedTuple):
    """Values of one scenario setting to go through."""

    key: str
    first: float
    last: float
    count: int


def sweep(text):
    """Read `key=from:to:count`, for example `pedal_percent=20:100:9`."""
    try:
        key, values = text.split("=")
        first, last, count = values.replace(",", ".").split(":")
        found = Sweep(key.strip(), float(first), float(last), int(count))
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not key=from:to:count, as in pedal_percent=20:100:9"
        ) from None
    if not found.key or not math.isfinite(found.first) or not math.isfinite(found.last):
        raise argparse.ArgumentTypeError(f"{text!r}: needs a key and two ordinary numbers")
    if not 2 <= found.count <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r}: count must be 2 to 1000, got {found.count}")
    return found


def parser():
    """The parser of all commands."""
    top = Parser(prog="python3 -m tractionlab", description="Traction control, computed.")
    commands = top.add_subparsers(dest="command", metavar="command")

    opens = commands.add_parser("open", help="open the course in JupyterLab")
    opens.add_argument(
        "--folder", help="your own working folder (default: tractionlab-course in your home folder)"
    )
    opens.add_argument(
        "--port", type=int, help="port of the local server (default: the first free one from 8888)"
    )
    opens.add_argument(
        "--no-browser",
        dest="browser",
        action="store_false",
        help="print the address, open no browser",
    )

    classroom.add(commands)
    tests = commands.add_parser(
        "test", help="run all tests", usage="python3 -m tractionlab test [-- pytest arguments]"
    )
    tests.add_argument("pytest", nargs="*", help="arguments for pytest, after --")

    prints = commands.add_parser(
        "handouts", help="print lessons: worksheets and sheets with the answers"
    )
    prints.add_argument("lesson", nargs="*", type=int, help="numbers of lessons (default: all)")
    prints.add_argument(
        "--out",
        metavar="FOLDER",
        default="handouts",
        help="folder for the sheets (default: handouts)",
    )
    prints.add_argument(
        "--numbers",
        type=int,
        default=1,
        metavar="SET",
        help="another set gives the exercises other numbers",
    )
    prints.add_argument(
        "--car",
        metavar="KEY",
        help="a car of your my_vehicles.toml: exercises with its numbers, further pictures with it",
    )
    prints.add_argument(
        "--folder", default=".", help="where my_vehicles.toml stands (default: here)"
    )

    runs = commands.add_parser("run", help="compute a scenario file")
    runs.add_argument("scenario", help="scenario file (TOML)")
    runs.add_argument(
        "--out",
        metavar="FOLDER",
        help="folder for CSV and picture (default: beside the scenario file)",
    )
    runs.add_argument("--json", action="store_true", help="print the figures as JSON")
    runs.add_argument(
        "--explain",
        action="store_true",
        help="print each decision of the control unit with its reason, and write them as CSV",
    )
    runs.add_argument(
        "--sweep",
        type=sweep,
        action="append",
        default=[],
        metavar="KEY=FROM:TO:COUNT",
        help="go through values of one setting; give it twice for a map of two",
    )

    vehicles = commands.add_parser("vehicle", help="write a file for a vehicle of your own")
    words = vehicles.add_subparsers(dest="word", metavar="word", required=True)
    new = words.add_parser(
        "new", help="write a commented file with every value of a vehicle, its unit and its range"
    )
    new.add_argument("file", help="file to write: my_vehicles.toml in the folder of the lessons")
    new.add_argument(
        "--like",
        default="front_petrol",
        metavar="CAR",
        help="the car of the course that it starts from (default: front_petrol)",
    )

    checks = commands.add_parser("check", help="recompute every check against a published source")
    checks.add_argument("--json", action="store_true", help="print the table as JSON")
    checks.add_argument(
        "--topic", default="", help="only checks whose topic holds this text, such as: stopping"
    )
    checks.add_argument("--differs", action="store_true", help="print only what does not agree")

    reference = commands.add_parser(
        "reference", help="write pages about the modules that a program of your own may call"
    )
    reference.add_argument(
        "--out",
        metavar="FOLDER",
        default="reference",
        help="folder for the pages (default: reference)",
    )

    assessment.add(commands)
    case.add(commands)
    return top


def main(arguments=None):
    """Run one command.

    Returns the exit code: 0 fine, 1 a check or test failed, 2 a user's mistake.
    """
    arguments = sys.argv[1:] if arguments is None else list(arguments)
    if not arguments:
        print(OVERVIEW)
        return 0
    top = parser()
    args = top.parse_args(arguments)
    if args.command == "run" and len(args.sweep) > 2:
        top.error("--sweep can be given once or twice")
    try:
        code = _run(args, arguments) or 0
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")
        return 0
    except UserError as error:
        print(error, file=sys.stderr)
    except KeyboardInterrupt:
        print("\nStopped. Start the same command again to go on.", file=sys.stderr)
    except OSError as error:
        sentence = system_sentence(error)
        if sentence is None:
            raise
        print(sentence, file=sys.stderr)
    return 2


def _run(args, arguments):
    if args.command == "open":
        from tractionlab.start import opening as work

        work.check(args)
        python = environment.ensure()
    elif args.command == "class" and not args.word:
        from tractionlab.start.classroom import command as work

        work.check(args)
        python = environment.ensure(["class"])
    elif args.command == "test":
        from tractionlab.start import testing as work

        work.check(args)
        python = environment.ensure(["test"])
    elif args.command == "reference":
        python = environment.ensure(["reference"], installed=False)
    elif args.command == "paper" and args.word in ("sit", "room"):
        from tractionlab.start.room import command as work

        work.check(args)
        python = environment.ensure()
    elif args.command == "paper" and args.word == "office":
        python = environment.ensure()
    else:
        python = environment.ensure(installed=False)
    if python:
        return environment.hand_over(python, arguments)
    if args.command == "run":
        from tractionlab.cli import run as work
    elif args.command == "handouts":
        from tractionlab.lesson import handouts as work
    elif args.command == "case":
        from tractionlab.workshop.case import sheet as work
    elif args.command == "vehicle":
        from tractionlab.catalogue import template as work
    elif args.command == "check":
        from tractionlab import checks as work
    elif args.command == "class" and args.word:
        from tractionlab.lesson import class_overview as work
    elif args.command == "reference":
        from tractionlab.cli import reference as work
    elif args.command in ("paper", "mark", "markbook"):
        work = assessment.work_of(args)
    return work.main(args)


def system_sentence(error):
    """One sentence for what the system refused, or None if it is no such thing."""
    place = f" ({error.filename})" if error.filename else ""
    if error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
        return f"The disk is full{place}. Free some space and start the same command again."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"The course may not write or read here{place}. Use a folder of your own and start"
            " again."
        )
    if error.filename and error.errno in (
        errno.ENOENT,
        errno.EEXIST,
        errno.ENOTDIR,
        errno.EISDIR,
        errno.ENAMETOOLONG,
        errno.EINVAL,
    ):
        return (
            f"{error.filename} cannot serve here: {os.strerror(error.errno).lower()}. Choose"
            " another file or folder."
        )
    return None
