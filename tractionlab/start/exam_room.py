"""`tractionlab paper issue`, `practice` and `office`: from a paper and a roll to folders, and the
assessor's forms in JupyterLab.

What a paper needs (NumPy) and JupyterLab load inside the functions: the command line reads this
module before anything is installed.
"""

import math
import os
from pathlib import Path

from tractionlab.errors import UserError

#: What the assessor's folder opens on.
OFFICE_PAGE = "graded_paper_1.ipynb"


def main(args):
    """Run one of the three; returns the exit code."""
    {"issue": _issue, "practice": _practice, "office": _office}[args.word](args)
    return 0


def _issue(args):
    from tractionlab.assess.bank.paper import find_paper
    from tractionlab.assess.sitting.issue import issue
    from tractionlab.assess.sitting.roll import read_roll
    from tractionlab.assess.sitting.sitting import KEY_FILE
    from tractionlab.progress import Progress

    if not 0 <= args.extra_time <= 200:
        raise UserError(f"--extra-time must be 0 to 200 per cent, got {args.extra_time}")
    if args.minutes is not None and not (math.isfinite(args.minutes) and 1 <= args.minutes <= 600):
        raise UserError(f"--minutes must be 1 to 600, got {args.minutes:g}")
    if len(args.place) > 80 or not args.place.isprintable():
        raise UserError("--place must be at most 80 printable characters")
    paper, roll = find_paper(args.paper), read_roll(args.roll, args.extra_time, args.larger_print)
    with Progress("drawing the papers") as progress:
        sitting = issue(
            paper,
            roll,
            args.out,
            place=args.place,
            day=args.date,
            minutes=args.minutes,
            progress=lambda done, total: progress.say(f"{done} of {total}"),
        )
    out = Path(args.out)
    print(f"Sitting {sitting.id}: {len(roll)} candidates, {sitting.minutes:g} minutes")
    print(f"day:                 {sitting.date}; work that is begun on another day is held")
    if len(groups := sitting.groups()) > 1:
        print(
            f"groups:              {len(groups)}, as the sign-on list shows them. Within a group no"
            " two people share the numbers of more than a tenth of the items; people of different"
            " groups may, so seat the groups apart"
        )
    print(f"for the candidates:  {out / 'candidates'}")
    print(
        f"for you alone:       {out / 'assessor' / KEY_FILE}   (keep it safe and keep a copy:"
        " without it nothing can be marked)"
    )


def _practice(args):
    from tractionlab.assess.bank.paper import find_paper
    from tractionlab.assess.sitting.issue import practice

    practice(find_paper(args.paper), args.out, args.larger_print)
    print(f"Your practice paper: {args.out}\nOpen it:  python3 -m tractionlab paper sit {args.out}")


def _office(args):
    from tractionlab.catalogue.places import lessons_folder
    from tractionlab.start.learner_folder import ASSESSOR, bring_up_to_date, check_folder
    from tractionlab.start.opening import sign, told
    from tractionlab.start.own_notebooks import notebooks_in

    folder = Path(args.folder or "~/tractionlab-assessor").expanduser().absolute()
    check_folder(folder, lessons_folder())
    copied = bring_up_to_date(lessons_folder() / ASSESSOR, folder)
    for line in told(copied, folder):
        print(line)
    sign(folder, copied)
    _open(folder, OFFICE_PAGE, notebooks_in(lessons_folder() / ASSESSOR), args)


def _open(folder, page, own, args):
    """JupyterLab on a folder, on a page, until it is stopped; notebooks `own` run by themselves."""
    from tractionlab.catalogue.places import PRIVATE
    from tractionlab.start import opening

    if args.port and (problem := opening.port_problem(args.port)):
        raise UserError(problem)
    (folder / PRIVATE).mkdir(exist_ok=True)
    opening.compile_kernels(folder / PRIVATE / "compile.log")
    os.environ.update(
        JUPYTER_CONFIG_DIR=str(opening.private_settings(folder, own)), JUPYTER_PREFER_ENV_PATH="1"
    )
    print(
        "Opening JupyterLab. Leave this window open; to stop, press Ctrl-C here twice.", flush=True
    )
    from jupyterlab.labapp import LabApp

    LabApp.launch_instance(
        opening.lab_arguments(folder, args.port, args.browser, page, end_idle=False)
    )
