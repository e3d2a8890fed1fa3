"""The server's end of the line to a kernel: small pictures are sent at once, and a page hears of
every kernel that takes the place of another.

Without the first the operating system holds a short message back until the browser has acknowledged
the one before, up to 40 ms (Nagle's algorithm, RFC 896, against delayed acknowledgement, RFC 1122
section 4.2.3.2). Without the second a page goes on with what the old kernel knew: a new one that is
there sooner than the line to it (a forked one) says its first words to nobody. Used by
`--ServerApp.kernel_websocket_connection_class=tractionlab.start.connection.PromptConnection`."""

import contextlib

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """The standard connection without the wait, and with word of a kernel that starts again."""

    def connect(self):
        self.websocket_handler.set_nodelay(True)
        self.kernel_manager.observe(self._tell, "execution_state")
        return super().connect()

    def disconnect(self):
        with contextlib.suppress(ValueError):  # called twice where a kernel has died
            self.kernel_manager.unobserve(self._tell, "execution_state")
        return super().disconnect()

    def _tell(self, change):
        if change.new == "starting":
            self._send_status_message(change.new)
