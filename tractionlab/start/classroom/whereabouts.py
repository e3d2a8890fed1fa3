"""Which notebook a learner has in front and when the learner last moved something in it: an
extension of the learner's server notes it in a small file, which the instructor's page reads.

What a page sends tells both. What a kernel says does not: the start page follows the record, so it
draws itself again behind the lesson in which somebody answers.
"""

import json
import os
import sys
from pathlib import Path

from tornado.ioloop import PeriodicCallback

from tractionlab.catalogue.places import PRIVATE

#: The file in the learner's folder.
PLACE = Path(PRIVATE) / "whereabouts.json"
_LOOK_EVERY = 1000  #: ms


def _jupyter_server_extension_points():
    return [{"module": __name__}]


def _load_jupyter_server_extension(server):
    """Jupyter's server calls this when it starts."""
    from tractionlab.start.classroom.flood import LearnersConnection  # not for the hub

    seen = {}

    async def look():
        now = dict(seen)
        for session in await server.session_manager.list_sessions():
            if moved := LearnersConnection.moved.get(session["kernel"]["id"]):
                if moved >= now.get("moved", ""):
                    now |= {"notebook": session["path"], "moved": moved}
        if now:
            now["floods"] = LearnersConnection.floods
        if now != seen:
            note(server.root_dir, now)
            seen.update(now)

    # The server keeps it, or it would be collected.
    server.whereabouts = PeriodicCallback(look, _LOOK_EVERY)
    server.whereabouts.start()


def note(folder, now):
    """Write {"notebook": path, "moved": time, "floods": lines closed} for a learner's folder; a
    full disk is no reason to end anybody's lesson.
    """
    path = Path(folder) / PLACE
    draft = path.with_name(path.name + ".part")
    try:
        draft.write_text(json.dumps(now), encoding="utf-8")
        os.replace(draft, path)
    except OSError as error:
        print(f"{path} cannot be written: {error}", file=sys.stderr)
