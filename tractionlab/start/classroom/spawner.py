"""Starts learners' servers as processes of the account that serves the class, each with a home
folder of its own, where it writes `server.log`, and a limit of memory. They are made by fork of a
process that has loaded all they need, or in the ordinary way where that is not there or not ready.
"""

import asyncio
import hashlib
import os
import sys
from pathlib import Path

from jupyterhub.spawner import SimpleLocalProcessSpawner
from jupyterhub.utils import random_port
from traitlets import Unicode

from tractionlab.start.classroom.left_behind import end_with_parent
from tractionlab.start.classroom.warm_servers import write_to

_LOG = "server.log"
_LOOK_EVERY = 0.05  #: s


class LearnerSpawner(SimpleLocalProcessSpawner):
    """`mem_limit` holds for the server and, each by itself, for its kernels; on Linux only."""

    sockets = Unicode(config=True, help="Short path of a folder for the kernels' sockets.")
    #: The WarmProcess that makes servers, or None.
    warm = None

    async def start(self):
        """By fork, or as of old."""
        if self.warm:
            import resource  # not on Windows

            os.makedirs(self.home_dir, exist_ok=True)
            self.port = self.port or random_port()
            limit = self.mem_limit or resource.RLIM_INFINITY
            order = {"argv": self.get_args(), "env": self.get_env(), "cwd": self.home_dir}
            pid = await self.warm.fork(**order, data=[limit, limit], log=_LOG)
            if pid is not None:
                self.pid = pid
                ip = self.ip or "127.0.0.1"
                await self._answers(ip)
                return ip, self.port
        return await super().start()

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
        # A socket's path may have 107 characters (unix(7)), so a learner's name is shortened.
        short = hashlib.sha256(self.user.name.encode()).hexdigest()[:8]
        folder = Path(self.sockets) / short
        folder.mkdir(mode=0o700, exist_ok=True)
        return super().get_env() | {"JUPYTER_RUNTIME_DIR": str(folder)}
