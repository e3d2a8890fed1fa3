"""The server's end of the warm process: kernels come from it by fork, or, where it is not there or
not ready, are started in the ordinary way. Used by
`--ServerApp.kernel_manager_class=tractionlab.start.warm_kernels.WarmKernels`. In a class all
servers share one warm process, which they find at the socket that the variable MEETING names.
"""

import asyncio
import json
import os
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import uuid4

import psutil
from jupyter_client.provisioning import LocalProvisioner
from jupyter_server.services.kernels.kernelmanager import (
    AsyncMappingKernelManager,
    ServerKernelManager,
)
from tornado import web
from traitlets import default

#: Seconds that an order may take; longer, and the kernel is started in the ordinary way. That takes
#: ten times the processor time of a forked one: a busy machine must not be made busier by it.
PATIENCE = 10.0
#: As ipykernel starts a kernel, or its debugger complains.
COMMAND = (sys.executable, "-Xfrozen_modules=off", "-m", "tractionlab.start.warm_process")
#: Variable with the path of the socket at which the warm process of a class waits.
MEETING = "TRACTIONLAB_WARM"


class WarmProcess:
    """The process that makes kernels of itself; it ends when this end of the line is closed."""

    def __init__(self, command=COMMAND, meeting=None, env=os.environ):
        """`meeting` is the path of a socket at which it serves others as well."""
        line, other = socket.socketpair()
        # One thread of linear algebra: a process that forks may have no other thread. A session of
        # its own: Ctrl-C in the window of the server is the server's.
        with other:
            subprocess.Popen(
                [*command, *([str(meeting)] if meeting else [])],
                stdin=other,
                cwd=Path(__file__).parents[2],
                env=dict(env) | {"OPENBLAS_NUM_THREADS": "1"},
                start_new_session=True,
            )
        self._listen_at(line)

    @classmethod
    def met(cls, meeting):
        """The one that waits at a socket; it ends the kernels made for this line when the line is
        closed. None if there is none.
        """
        line = socket.socket(socket.AF_UNIX)
        try:
            line.connect(meeting)
        except OSError:
            return line.close()
        one = cls.__new__(cls)
        one._listen_at(line)
        return one

    def _listen_at(self, line):
        self._line = line
        self._line.setblocking(False)
        self._heard, self._answers, self._asked = b"", [], 0
        self.ready, self.alive = False, True
        #: {process id of a kernel that has ended: its exit code}
        self.ended = {}

    def listen(self):
        """Take in what the process has said since."""
        while self.alive:
            try:
                said = self._line.recv(1 << 16)
            except BlockingIOError:
                return
            except OSError:
                said = b""
            if not said:
                return self.close()
            *lines, self._heard = (self._heard + said).split(b"\n")
            for line in map(json.loads, lines):
                self.ready = self.ready or "ready" in line
                if "pid" in line:
                    self._answers.append(line["pid"])
                if "gone" in line:
                    self.ended[line["gone"]] = line["code"]

    async def fork(self, **order):
        """Process id of a new kernel, or None: ask for an ordinary one."""
        self.listen()
        if not (self.ready and self.alive):
            return None
        number, self._asked = self._asked, self._asked + 1
        order["until"] = time.monotonic() + PATIENCE
        try:
            self._line.sendall(json.dumps(order).encode() + b"\n")
        except OSError:
            return self.close()
        while time.monotonic() < order["until"] + 0.2 and self.alive:
            await asyncio.sleep(0.01)
            self.listen()
            if len(self._answers) > number:
                return self._answers[number]
        return None

    def open_door(self, path, process):
        """Let a learner's server come to a socket at `path`; kernels that are asked for there are
        made among those around `process`, a process id (`start/forking.py`).
        """
        Path(path).unlink(missing_ok=True)
        keeper = os.pidfd_open(process)
        with socket.socket(socket.AF_UNIX) as door:
            door.bind(str(path))
            door.listen()
            order = json.dumps({"door": str(path)}).encode() + b"\n"
            socket.send_fds(self._line, [order], [door.fileno(), keeper])
        os.close(keeper)

    def close(self):
        """Make no more kernels; those at work end with the process."""
        self.alive = False
        self._line.close()


class Forked:
    """A kernel of the warm process, with what a provisioner asks of a process it started."""

    stdin = stdout = stderr = None

    def __init__(self, warm, pid):
        self.pid, self._warm = pid, warm

    def poll(self):
        """Exit code, None while it is at work; -1 where the warm process, whose child it is, has
        not yet told it.
        """
        self._warm.listen()
        if self.pid in self._warm.ended:
            return self._warm.ended[self.pid]
        try:
            ended = psutil.Process(self.pid).status() == psutil.STATUS_ZOMBIE
        except psutil.NoSuchProcess:
            ended = True
        return -1 if ended else None

    def wait(self):
        """Exit code of a kernel that has ended."""
        return self.poll()

    def send_signal(self, number):
        """As `Popen.send_signal`."""
        if self.poll() is None:
            os.kill(self.pid, number)


class WarmProvisioner(LocalProvisioner):
    """Kernels by fork from `parent.parent.warm`, the manager of all kernels."""

    async def launch_kernel(self, cmd, **kwargs):
        """As of old, if the warm process makes none."""
        warm = self.parent.parent.warm
        where = str(kwargs.get("cwd") or os.getcwd())
        # The command is "python -m ipykernel_launcher", then words for the kernel.
        order = {"argv": cmd[3:], "env": kwargs.get("env") or dict(os.environ), "cwd": where}
        if warm:
            import resource  # not on Windows

            order["data"] = resource.getrlimit(resource.RLIMIT_DATA)
        pid = await warm.fork(**order) if warm else None
        if pid is None:
            return await super().launch_kernel(cmd, **kwargs)
        self.process = Forked(warm, pid)
        self.pid = self.pgid = pid
        self.cwd = where
        return self.connection_info


class WarmKernel(ServerKernelManager):
    """Manager of one kernel. Where the system has them it is spoken to by files that only this user
    can open: of two programs that choose a free port at the same time one fails, and a port can be
    listened to.
    """

    @default("transport")
    def _by_files(self):
        return "ipc" if self.parent.sockets else "tcp"

    @default("ip")
    def _where(self):
        sockets = self.parent.sockets
        return str(Path(sockets.name) / uuid4().hex[:8]) if sockets else super()._ip_default()

    async def _async_pre_start_kernel(self, **kwargs):
        if self.provisioner is None:
            own = {"kernel_id": self.kernel_id, "kernel_spec": self.kernel_spec, "parent": self}
            self.provisioner = WarmProvisioner(**own)
        return await super()._async_pre_start_kernel(**kwargs)

    async def restart_kernel(self, *args, **kwargs):
        """As of old; the pages on it hear of it (`start/connection.py`)."""
        self.execution_state = "restarting"
        await super().restart_kernel(*args, **kwargs)
        self.execution_state = "starting"


class WarmKernels(AsyncMappingKernelManager):
    """Manager of all kernels of a server, with its warm process where processes can be forked."""

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        forks = sys.platform == "linux"
        #: Short names: a socket's path has at most 107 bytes.
        self.sockets = TemporaryDirectory(prefix="lines-") if forks else None
        self.warm = self._warm() if forks else None

    @staticmethod
    def _warm():
        meeting = os.environ.get(MEETING)
        return WarmProcess.met(meeting) if meeting else WarmProcess()

    async def shutdown_all(self, now=False):
        """Also one that a page is starting at this moment: it is no kernel yet to Jupyter Server,
        which answers 404 and then does not stop.
        """
        if self._pending_kernels:
            await asyncio.wait([*self._pending_kernels.values()], timeout=PATIENCE)
        for number in self.list_kernel_ids():
            with suppress(web.HTTPError):  # ended meanwhile
                await self.shutdown_kernel(number, now=now)

    @default("kernel_manager_class")
    def _one(self):
        return "tractionlab.start.warm_kernels.WarmKernel"
