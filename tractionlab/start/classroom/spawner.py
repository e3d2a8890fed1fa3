"""Starts learners' servers as processes of the account that serves the class, each with a home
folder of its own, where it writes `server.log`, and a limit of memory. They are made by fork of a
process that has loaded all they need, or in the ordinary way where that is not there or not ready.
Where bubblewrap is, each works apart from the others (`apart.py`), and is always forked.
"""

import asyncio
import hashlib
import os
import sys
from pathlib import Path

from jupyterhub.spawner import SimpleLocalProcessSpawner
from jupyterhub.utils import random_port
from traitlets import Unicode

from tractionlab.errors import UserError
from tractionlab.start.classroom.apart import Apart
from tractionlab.start.classroom.left_behind import end_with_parent
from tractionlab.start.classroom.warm_servers import write_to
from tractionlab.start.warm_kernels import MEETING

_LOG = "server.log"
_LOOK_EVERY = 0.05  #: s
#: Socket in a learner's own folder of sockets at which kernels are asked for.
DOOR = "warm"
#: How often the process that makes servers is asked, seconds apart: it may still be loading.
_TRIES, _APART = 60, 1.0


class LearnerSpawner(SimpleLocalProcessSpawner):
    """`mem_limit` holds for the server and, each by itself, for its kernels; on Linux only."""

    sockets = Unicode(config=True, help="Short path of a folder for the kernels' sockets.")
    #: The WarmProcess that makes servers, or None; that for kernels, where learners are apart.
    warm = kernels = None
    #: What is around this learner's server where learners are apart.
    _apart = None

    async def start(self):
        """By fork, or as of old."""
        os.makedirs(self.home_dir, exist_ok=True)
        self.port = self.port or random_port()
        if self.kernels:
            self.pid = await self._start_apart()
        elif not self.warm or (pid := await self._fork()) is None:
            return await super().start()
        else:
            self.pid = pid
        ip = self.ip or "127.0.0.1"
        await self._answers(ip)
        return ip, self.port

    async def _start_apart(self):
        """Process id of a server with nothing around it but its own."""
        self._end_apart()
        folder = self._socket_folder()
        self._apart = await asyncio.to_thread(Apart, self.home_dir, folder)
        self.kernels.open_door(folder / DOOR, self._apart.pid)
        for _ in range(_TRIES):
            if (pid := await self._fork(among=self._apart.pid)) is not None:
                return pid
            await asyncio.sleep(_APART)
        self._end_apart()
        raise UserError("The learner's server did not start. Try again in a minute.")

    async def _fork(self, **more):
        import resource  # not on Windows

        limit = self.mem_limit or resource.RLIM_INFINITY
        order = {"argv": self.get_args(), "env": self.get_env(), "cwd": self.home_dir}
        return await self.warm.fork(**order, data=[limit, limit], log=_LOG, **more)

    def clear_state(self):
        super().clear_state()
        self._end_apart()

    def _end_apart(self):
        if self._apart:
            self._apart.close()
            self._apart = None

    async def _answers(self, ip):
        """Wait until the new server takes connections or has ended. The hub itself would look at
        ever longer intervals, and find it a second late.
        """
        while await self.poll() is None:
            try:
                _, line = await asyncio.open_connection(ip, self.port)
            except OSError:
                await asyncio.sleep(_LOOK_EVERY)
            else:
                return line.close()

    def make_preexec_fn(self, name):
        begin, limit = super().make_preexec_fn(name), self.mem_limit

        def begin_own():
            begin()
            end_with_parent()
            write_to(_LOG)
            if limit and sys.platform == "linux":
                import resource

                resource.setrlimit(resource.RLIMIT_DATA, (limit, limit))

        return begin_own

    def get_env(self):
        folder = self._socket_folder()
        own = {MEETING: str(folder / DOOR)} if self.kernels else {}
        return super().get_env() | {"JUPYTER_RUNTIME_DIR": str(folder)} | own

    def _socket_folder(self):
        # A socket's path may have 107 characters (unix(7)), so a learner's name is shortened.
        short = hashlib.sha256(self.user.name.encode()).hexdigest()[:8]
        folder = Path(self.sockets) / short
        folder.mkdir(mode=0o700, exist_ok=True)
        return folder
