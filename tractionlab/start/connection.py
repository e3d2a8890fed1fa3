"""The server's end of the line to a kernel, told to send small pictures at once.

Without this the operating system holds a short message back until the browser has acknowledged the
one before, up to 40 ms (Nagle's algorithm, RFC 896, against delayed acknowledgement, RFC 1122
section 4.2.3.2). Used by
`--ServerApp.kernel_websocket_connection_class=tractionlab.start.connection.PromptConnection`."""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """The standard connection without the wait."""

    def connect(self):
        self.websocket_handler.set_nodelay(True)
        return super().connect()
