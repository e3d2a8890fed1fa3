"""Starts learners' servers as processes of the account that serves the class, each with a home
folder of its own, where it writes `server.log`, and a limit of memory.
"""

import hashlib
import os
import sys
from pathlib import Path

from jupyterhub.spawner import SimpleLocalProcessSpawner
from traitlets import Unicode

from tractionlab.start.classroom.left_behind import end_with_parent


class LearnerSpawner(SimpleLocalProcessSpawner):
    """`mem_limit` holds for the server and, each by itself, for its kernels; on Linux only."""

    sockets = Unicode(config=True, help="Short path of a folder for the kernels' sockets.")

    def make_preexec_fn(self, name):
        begin, limit = super().make_preexec_fn(name), self.mem_limit

        def begin_own():
            begin()
            end_with_parent()
            log = os.open("server.log", os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            os.dup2(log, 1)
            os.dup2(log, 2)
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
