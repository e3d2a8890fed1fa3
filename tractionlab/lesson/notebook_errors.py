"""In a notebook a user's mistake is one sentence in place of what the block would show, without a
traceback; the blocks after it still run.
"""

import os
import sys
from html import escape
from pathlib import Path

from tractionlab.errors import UserError

#: Set, a mistake ends a notebook with its traceback, as any error does: for tests of the lessons.
TRACEBACKS = "TRACTIONLAB_TRACEBACKS"


def install():
    """Say mistakes in the notebook that runs; nothing happens outside of one."""
    shell = sys.modules["IPython"].get_ipython() if "IPython" in sys.modules else None
    if shell is None or UserError in shell.custom_exceptions or os.environ.get(TRACEBACKS):
        return
    shell.set_custom_exc((UserError,), _say)
    shell.events.register("post_run_cell", _go_on)


def _say(shell, kind, error, trace, tb_offset=None):
    from IPython.display import display

    said = str(error).replace(f"{Path.cwd()}{os.sep}", "")  # own files lie beside the notebook
    words = "<br>".join(escape(line) for line in said.splitlines())
    display(
        {
            "text/html": (
                f'<p role="alert" style="border-left: 4px solid; padding-left: 0.6em">{words}<br>'
                "Mend that, then press the button at the top of this page again.</p>"
            ),
            "text/plain": said,
        },
        raw=True,
    )


def _go_on(result):
    """The mistake has been said: the block counts as done, so that the notebook does not stop
    there.
    """
    if isinstance(result.error_in_exec, UserError):
        result.error_in_exec = None
