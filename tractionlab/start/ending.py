"""How a server that is told to stop comes to its end while requests are still at work."""

import asyncio
import threading

#: Seconds that requests have to come to their end before they are cut off.
PATIENCE = 5


async def let_requests_end():
    """Wait for requests that use a thread, as one that saves a notebook does.

    A thread (anyio's) ends after the request that it was made for, and a process after all its
    threads: a server that stopped in between would never end.
    """
    for _ in range(PATIENCE):
        if asked := _with_a_thread():
            await asyncio.wait(asked, timeout=1)
    if late := _with_a_thread():
        for request in late:
            request.cancel()
        await asyncio.wait(late, timeout=1)


def _with_a_thread():
    made_for = {getattr(thread, "root_task", None) for thread in threading.enumerate()}
    made_for -= {None, asyncio.current_task()}
    return {request for request in made_for if not request.done()}
