"""A process that makes children of itself by fork when servers ask for them: it has loaded what
they need, so they are ready at once.

It serves one server over a stream socket, and ends with it, and those that come to other sockets.
Lines of JSON: an order {"until", ...} is answered by {"pid"}, which is null after the (monotonic)
time `until`; {"gone", "code"} tells of a child that has ended. {"ready"} comes first.

Where learners are apart (`classroom/apart.py`) an order of the own server with "among", a process
id, makes the child one of those around that process; and by {"door"}, sent with two descriptors,
the own server opens a listening socket for one learner's server, and names a process among which
all children are made that are asked for there. A learner's code may come there too, so what it can
ask for is limited.
"""

import contextlib
import json
import os
import select
import signal
import socket
import sys
import time
import traceback
from typing import NamedTuple

from tractionlab.start.among import fork_among, seen_inside

#: Lines that may be open at a learner's door, children at work for all of them, and bytes of an
#: order [-].
MOST_LINES, MOST_CHILDREN, LONGEST_ORDER = 8, 40, 200_000
#: How often it is looked whether children work [s], and the share of a core above which they do.
_LOOK, _WORKS = 0.1, 0.2


class Door(NamedTuple):
    """Where a learner's server comes: its name, and a descriptor of the process among which its
    children belong, or None.
    """

    name: str
    process: int | None


class Warm:
    """The lines to servers, and their kernels at work."""

    def __init__(self, line, become, meeting=None):
        """`line` is a connected stream socket: without it this process ends. A child calls
        `become(order)`. `meeting`, a listening socket, is where others come.
        """
        self._become = become
        self._own = line
        self._heard = {line: b""}
        #: {listening socket: its Door}
        self._doors = {meeting: Door("", None)} if meeting else {}
        #: {line: Door through which it came}
        self._through = {}
        #: {process id of a child: (line of the server that asked for it, the number it knows)}
        self._children = {}
        #: When it was looked last, and the processor time of all children until then [s].
        self._seen = time.monotonic(), 0.0
        self._ended, self._wake = os.pipe()
        os.set_blocking(self._ended, False)
        os.set_blocking(self._wake, False)

    def notice_ends(self):
        """Let the end of a kernel wake this process."""
        signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
        signal.signal(signal.SIGCHLD, lambda *_: None)

    def tell(self, line=None, **words):
        """Write one line to a server, its own unless another is named."""
        line = line or self._own
        try:
            line.sendall(json.dumps(words).encode() + b"\n")
        except OSError:
            self._hang_up(line)

    def attend(self, patience=None):
        """Do what servers ask for; wait `patience` seconds for it, or until there is something.
        Ends the process when its own server has gone.
        """
        lines = [*self._heard, *self._doors, self._ended]
        ready, _, _ = select.select(lines, [], [], patience)
        if self._ended in ready:
            self._bury()
        for line in ready:
            if line in self._doors:
                self._let_in(line)
            elif line in self._heard:
                self._listen(line)

    def make_way(self, patience):
        """Do what servers ask for while children work, at most `patience` seconds; gives the
        seconds that it took. Who moves a slider needs the processor more than what is prepared.
        """
        begun = time.monotonic()
        while self._children_work() and time.monotonic() < begun + patience:
            self.attend(_LOOK)
        return time.monotonic() - begun

    def _children_work(self):
        """Did they since this was asked last?"""
        now, work = time.monotonic(), sum(map(work_of, self._children))
        (before, done), self._seen = self._seen, (now, work)
        return work - done > _WORKS * (now - before)

    def _let_in(self, socket_):
        door = self._doors[socket_]
        newcomer, _ = socket_.accept()
        lines = sum(one is door for one in self._through.values())
        if door.process is not None and lines >= MOST_LINES:
            return newcomer.close()
        # Whoever does not read what is said does not hold up the others.
        newcomer.setblocking(False)
        self._heard[newcomer], self._through[newcomer] = b"", door
        self.tell(newcomer, ready=True)

    def _listen(self, line):
        said, given = b"", []
        with contextlib.suppress(ConnectionResetError):
            if line is self._own:
                said, given, _, _ = socket.recv_fds(line, 1 << 16, 2)
            else:
                said = line.recv(1 << 16)
        *orders, rest = (self._heard[line] + said).split(b"\n")
        if not said or len(rest) > LONGEST_ORDER:
            return self._hang_up(line)
        self._heard[line] = rest
        for order in orders:
            try:
                order = json.loads(order)
                if line is self._own and "door" in order:
                    self._open_door(order["door"], *given)
                else:
                    self._bear(line, order)
            except (ValueError, KeyError, TypeError, RecursionError):  # not the course's servers
                return self._hang_up(line)

    def _open_door(self, name, listening, process):
        """In place of an earlier one of this name."""
        for old, door in list(self._doors.items()):
            if door.name == name:
                del self._doors[old]
                old.close()
                for line in [line for line, one in self._through.items() if one is door]:
                    self._hang_up(line)
                os.close(door.process)
        self._doors[socket.socket(fileno=listening)] = Door(name, process)

    def _hang_up(self, line):
        """A server has gone, and its kernels with it; with the own one, everything."""
        if line is self._own:
            sys.exit()
        if self._heard.pop(line, None) is not None:
            self._through.pop(line, None)
            line.close()
        for pid in [pid for pid, (asker, _) in self._children.items() if asker is line]:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGTERM)

    def _bury(self):
        with contextlib.suppress(BlockingIOError):
            os.read(self._ended, 4096)
        for pid, (line, name) in list(self._children.items()):
            gone, status = os.waitpid(pid, os.WNOHANG)
            if gone:
                del self._children[pid]
                if line in self._heard:
                    self.tell(line, gone=name, code=os.waitstatus_to_exitcode(status))

    def _bear(self, line, order):
        pid = self._fork(line, order) if time.monotonic() < order["until"] else None
        if pid is None:
            return self.tell(line, pid=None)
        if pid:
            # Whoever asks from inside knows the child by another number.
            name = seen_inside(pid) if self._process(line) is not None else pid
            self._children[pid] = line, name
            return self.tell(line, pid=name)
        try:
            self._forget(among_others=self._process(line) is not None)
            self._become(order)
        except BaseException:  # nothing of the parent's stack may run in the child
            traceback.print_exc()
        finally:
            os._exit(0)

    def _process(self, line):
        door = self._through.get(line)
        return door and door.process

    def _fork(self, line, order):
        """Process id of a child among those where it belongs, 0 in the child; None if none is
        made.
        """
        process = self._process(line)
        if process is not None:
            door = self._through[line]
            asked = [one for one, _ in self._children.values() if self._through.get(one) is door]
            return fork_among(process) if len(asked) < MOST_CHILDREN else None
        if line is self._own and "among" in order:
            with contextlib.suppress(ProcessLookupError):
                process = os.pidfd_open(order["among"])
                try:
                    return fork_among(process)
                finally:
                    os.close(process)
            return None
        return os.fork()

    def _forget(self, among_others):
        """Let go of everything that leads to a server or to another child; among others of the
        class's window, too.
        """
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        nothing = os.open(os.devnull, os.O_RDWR)
        for descriptor in map(int, os.listdir("/proc/self/fd")):
            if among_others or descriptor not in (1, 2):
                with contextlib.suppress(OSError):  # the one that listed them
                    os.fstat(descriptor)
                    os.dup2(nothing, descriptor)


def work_of(pid):
    """Processor time of a process until now [s]; 0 where it is gone."""
    try:
        with open(f"/proc/{pid}/stat") as stat:
            fields = stat.read().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
