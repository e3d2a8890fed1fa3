"""The server's end of the line to a kernel: small pictures are sent at once, a kernel that is there
is asked at once, and a page hears of every kernel that takes the place of another.

Without the first the operating system holds a short message back until the browser has acknowledged
the one before, up to 40 ms (Nagle's algorithm, RFC 896, against delayed acknowledgement, RFC 1122
section 4.2.3.2). Without the second half a second passes: what a kernel says to the first question
of a new line comes before that line listens to it, and the server asks again after 0.5 s only.
Without the third a page goes on with what the old kernel knew: a new one that is
there sooner than the line to it (a forked one) says its first words to nobody. Used by
`--ServerApp.kernel_websocket_connection_class=tractionlab.start.connection.PromptConnection`."""

import asyncio
import contextlib

import zmq
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from tornado import web

from tractionlab.start.ending import let_requests_end

#: When a kernel is asked again whether it is there, before the server does it [s].
_SOON = (0.02, 0.03, 0.05, 0.1, 0.2)


class PromptConnection(ZMQChannelsWebsocketConnection):
    """The standard connection without the waits, and with word of a kernel that starts again."""

    @classmethod
    async def close_all(cls):
        """The last thing that a server which stops waits for."""
        await super().close_all()
        await let_requests_end()

    def connect(self):
        self.websocket_handler.set_nodelay(True)
        self.kernel_manager.observe(self._tell, "execution_state")
        connected = None
        with contextlib.suppress(web.HTTPError, KeyError):  # no kernel of this number any more
            connected = super().connect()
        if connected is None:
            self._say_gone()
            self.websocket_handler.close()
            connected = asyncio.Future()
            connected.set_result(None)
        return connected

    def nudge(self):
        answered = super().nudge()
        if not answered.done():
            asking = asyncio.ensure_future(self._ask_soon())
            answered.add_done_callback(lambda _: asking.cancel())
        return answered

    async def _ask_soon(self):
        try:
            with contextlib.closing(self.kernel_manager.connect_control()) as line:
                for wait in _SOON:
                    await asyncio.sleep(wait)
                    self.session.send(line, "kernel_info_request")
        except (OSError, RuntimeError, zmq.ZMQError):  # its sockets have gone
            self._say_gone()

    def _say_gone(self):
        self.log.error("A lesson ended in the moment in which a page came to it.")

    def disconnect(self):
        with contextlib.suppress(ValueError):  # called twice where a kernel has died
            self.kernel_manager.unobserve(self._tell, "execution_state")
        return super().disconnect()

    def _tell(self, change):
        if change.new == "starting":
            self._send_status_message(change.new)
