"""Where batches of marking are worked out: in this process, in some processes of this machine, or
on a dask.distributed scheduler.
"""

import multiprocessing
import os
import threading
from collections import deque
from concurrent.futures import ProcessPoolExecutor

from tractionlab.errors import UserError

_AHEAD = 3  #: batches under way for each worker; bounds the memory


class Here:
    """Works in this process."""

    count = 1

    def map(self, function, tasks):
        """Results of `function(*task)` in order."""
        return (function(*task) for task in tasks)

    def close(self):
        """Nothing to end."""


class _Queue:
    """Keeps some tasks under way and gives their results in order."""

    def map(self, function, tasks):
        """Results of `function(*task)` in order."""
        under_way = deque()
        for task in tasks:
            under_way.append(self.submit(function, task))
            if len(under_way) >= _AHEAD * self.count:
                yield under_way.popleft().result()
        while under_way:
            yield under_way.popleft().result()


class Processes(_Queue):
    """Works in `count` processes of this machine, which end when this one ends, however it does."""

    def __init__(self, count):
        self.count = count
        self._pool = ProcessPoolExecutor(
            count, mp_context=multiprocessing.get_context("spawn"), initializer=_end_with_parent
        )

    def submit(self, function, task):
        return self._pool.submit(function, *task)

    def close(self):
        """End the processes."""
        self._pool.shutdown(cancel_futures=True)


class College(_Queue):
    """Works on the scheduler of `dask.distributed` at an address such as tcp://host:8786."""

    def __init__(self, address):
        try:
            from distributed import Client
        except ModuleNotFoundError:
            raise UserError(
                "--workers needs the package distributed: install the course with the extra"
                " 'college'"
            ) from None
        try:
            self._client = Client(address, timeout=20)
        except (OSError, ValueError) as problem:
            raise UserError(
                f"--workers {address}: no scheduler answers there ({str(problem).splitlines()[0]})"
            ) from None
        self.count = max(1, len(self._client.scheduler_info()["workers"]))

    def submit(self, function, task):
        return self._client.submit(function, *task, pure=False)

    def close(self):
        """Let the scheduler go on without us."""
        self._client.close()


def workers(address="", count=None):
    """Workers for an address, or `count` processes (None = one per core; 1 = this process)."""
    if address:
        return College(address)
    count = count or os.cpu_count() or 1
    return Here() if count == 1 else Processes(count)


def _end_with_parent():
    threading.Thread(
        target=lambda: (multiprocessing.parent_process().join(), os._exit(1)), daemon=True
    ).start()
