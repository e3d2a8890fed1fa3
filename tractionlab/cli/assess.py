"""The commands of assessment, and the modules that do their work.

Light, so that the command line starts at once.
"""

from importlib import import_module

from tractionlab.cli.mark import add_mark
from tractionlab.cli.markbook import add_markbook
from tractionlab.cli.paper import add_issuing, add_making

#: command word -> module with main(args); `paper` and `markbook` have words of their own.
_HOME = {"mark": "assess.markbook.mark_folder", "markbook": "assess.markbook.words.command"}
_PAPER = {
    **dict.fromkeys(("issue", "practice", "office"), "start.exam_room"),
    **dict.fromkeys(("sit", "room"), "start.room.command"),
    **dict.fromkeys(("new", "preview", "proof"), "assess.bank.paper_commands"),
}


def add(commands):
    """Add the parsers of `paper`, `mark` and `markbook`."""
    paper = commands.add_parser("paper", help="make, issue and practise papers").add_subparsers(
        dest="word", metavar="word", required=True
    )
    add_making(paper)
    add_issuing(paper)
    add_mark(commands)
    add_markbook(commands)


def work_of(args):
    """Module that does the work of a command."""
    name = _PAPER[args.word] if args.command == "paper" else _HOME[args.command]
    return import_module(f"tractionlab.{name}")
