"""Start of `python3 -m tractionlab`.

Plain old syntax, so that an old Python can say that it is too old.
"""

import subprocess
import sys

OLDEST = (3, 11)


def runs(program):
    """True if the program can be started."""
    try:
        return (
            subprocess.call(
                [program, "-c", ""], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
            )
            == 0
        )
    except OSError:
        return False


def too_old(version):
    """The sentence for a Python that is too old, or None."""
    if tuple(version[:2]) >= OLDEST:
        return None
    sentence = "This course needs Python %d.%d or newer, but this is Python %d.%d." % (
        OLDEST + tuple(version[:2])
    )
    for minor in range(OLDEST[1], 20):
        name = "python3.%d" % minor
        if runs(name):
            return sentence + " Your machine has a newer one: use  %s -m tractionlab open" % name
    return (
        sentence
        + " Install a newer Python (python.org, or your system's software centre) and start again."
    )


if __name__ == "__main__":
    problem = too_old(sys.version_info)
    if problem:
        sys.stderr.write(problem + "\n")
        sys.exit(2)
    from tractionlab.cli.main import main

    sys.exit(main())
