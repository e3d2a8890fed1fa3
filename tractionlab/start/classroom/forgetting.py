"""Deleting what the class server holds of learners: first a list of what there is, then, only for
those who were chosen, folder, PIN, server and the lines of the log that name them.
"""

import asyncio
import os
import re
import shutil
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from tractionlab.start.classroom.instructor_page import PLACE, ForInstructor

#: A lesson that is being ended may still write; so often its folder is looked for again, s apart.
_TRIES, _APART = 10, 0.5


class Held(NamedTuple):
    """What there is of a learner: number of files in the folder, day of the last change."""

    name: str
    files: int
    day: str


def held(learners, names):
    """Held for everybody with a folder or one of the `names` (of those who have a PIN)."""
    homes = {home.name for home in Path(learners).iterdir() if home.is_dir()}
    return [_held(Path(learners) / name, name) for name in sorted(homes | set(names))]


def _held(home, name):
    times = [
        os.lstat(os.path.join(place, file)).st_mtime
        for place, _, files in os.walk(home)
        for file in files
    ]
    day = datetime.fromtimestamp(max(times)).date().isoformat() if times else ""
    return Held(name, len(times), day)


def without_lines(log, name):
    """Take the lines that have this name out of a log that is open for adding."""
    with open(log, "r+", encoding="utf-8", errors="replace") as file:
        # JupyterHub calls a learner's server, as a client of its own, jupyterhub-user-NAME.
        named = re.compile(rf"(?<![a-z0-9-])(jupyterhub-user-)?{re.escape(name)}(?![a-z0-9-])")
        kept = [line for line in file if not named.search(line)]
        file.seek(0)
        file.truncate()
        file.writelines(kept)


class ForgetPage(ForInstructor):
    """Lists what there is of each learner, and deletes it of those who are chosen."""

    async def get(self):
        await self._show("")

    async def post(self):
        """Delete what there is of the learners `name`, each of whom is on the list."""
        known = {one.name for one in await self._held()}
        done, left = [], []
        for name in sorted(known & set(self.get_body_arguments("name"))):
            (done if await self._forget(name) else left).append(name)
        said = f"Deleted: {', '.join(done)}." if done else "Nobody was chosen, nothing was deleted."
        if left:
            said = f"Not wholly deleted: {', '.join(left)}. Try again in a minute."
        await self._show(said)

    async def _held(self):
        return await asyncio.to_thread(held, self.authenticator.learners, self.register.names())

    async def _show(self, said):
        await self.show("forget", "forget.js", learners=await self._held(), said=said)

    async def _forget(self, name):
        user = self.find_user(name)
        if user:
            if user.spawner.pending:
                return False
            if user.running:
                await self.stop_single_user(user)
            await user.delete_spawners()
            self.users.delete(user)
        self.register.forget(name)
        gone = await _delete(Path(self.authenticator.learners) / name)
        await self.authenticator.watch.forget(name)
        without_lines(self.authenticator.log_file, name)
        return gone


async def _delete(folder):
    for _ in range(_TRIES):
        await asyncio.to_thread(shutil.rmtree, folder, ignore_errors=True)
        if not folder.exists():
            return True
        await asyncio.sleep(_APART)
    return False


#: Address below the hub's own.
FORGET = (f"{PLACE}/forget", ForgetPage)
