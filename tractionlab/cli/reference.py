"""`tractionlab reference`: pages about the modules that others may call, from their docstrings."""

from pathlib import Path

import tractionlab

#: What a program of one's own may use; a room brings its modules.
PUBLIC = (
    "tractionlab",
    "tractionlab.errors",
    "tractionlab.view",
    "tractionlab.catalogue",
    "tractionlab.physics",
    "tractionlab.hydraulics",
    "tractionlab.sensors",
    "tractionlab.textbook",
    "tractionlab.control",
    "tractionlab.run",
    "tractionlab.bench",
    "tractionlab.figures",
    "tractionlab.diagnosis",
    "tractionlab.workshop",
    "tractionlab.checks",
    "tractionlab.assess.markbook",
)


def main(args):
    """Write the pages into the folder `args.out`."""
    import pdoc

    for name in tractionlab.__all__:
        setattr(tractionlab, name, getattr(tractionlab, name))
    pdoc.render.configure(docformat="numpy")
    folder = Path(args.out)
    pdoc.pdoc(*PUBLIC, output_directory=folder)
    print(f"Reference: open {folder / 'index.html'}")
    return 0
