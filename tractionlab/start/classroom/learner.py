"""A learner's own server in a class: the folder brought up to date as `open` does it, then
JupyterLab for a hub. A college's own hub can start it too: `python -m
tractionlab.start.classroom.learner`, in the learner's home folder.
"""

import os
import sys

from tractionlab.catalogue.places import lessons_folder
from tractionlab.start import opening
from tractionlab.start.learner_folder import bring_up_to_date, check_folder
from tractionlab.start.own_notebooks import notebooks_in
from tractionlab.start.saving import clean_folder

#: A server that no browser has asked anything for so many seconds ends once its lessons have.
IDLE_S = 3600


def main():
    """Serve until nobody uses it any more, or the hub ends it."""
    folder = opening.default_folder()
    settings = prepare(folder)
    os.environ.update(JUPYTER_CONFIG_DIR=str(settings), JUPYTER_PREFER_ENV_PATH="1")
    os.environ.setdefault("JUPYTERHUB_DEFAULT_URL", f"/lab/tree/{opening.START_PAGE}")
    os.chdir(folder)
    sys.argv[1:] = [*arguments(folder), *sys.argv[1:]]
    from jupyterhub.singleuser import main as serve

    serve()


def prepare(folder):
    """Bring a learner's folder up to date; the folder with JupyterLab's settings for it."""
    check_folder(folder, lessons_folder())
    opening.sign(folder, bring_up_to_date(lessons_folder(), folder))
    clean_folder(folder)
    return opening.private_settings(folder, notebooks_in(lessons_folder()))


def arguments(folder):
    """What JupyterLab of `open` gets, and what a class needs besides."""
    line = "--ServerApp.kernel_websocket_connection_class="
    common = opening.lab_arguments(folder, None, browser=False)
    return [
        *(word for word in common if not word.startswith(line)),
        f"{line}tractionlab.start.classroom.flood.LearnersConnection",
        "--ServerApp.terminals_enabled=False",
        "--ServerApp.jpserver_extensions",
        "tractionlab.start.classroom.whereabouts=True",
        "--ServerApp.jpserver_extensions",
        "notebook_shim=False",  # for the notebook of long ago
        "--ServerApp.jpserver_extensions",
        "jupyter_server_terminals=False",
        f"--ServerApp.shutdown_no_activity_timeout={IDLE_S}",
    ]


if __name__ == "__main__":
    main()
