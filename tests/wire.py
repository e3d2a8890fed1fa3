"""What clients of the tests speak with: a free port, and messages between browser and kernel as
bytes.
"""

import json
import socket

from jupyter_server.services.kernels.connection.base import (
    deserialize_msg_from_ws_v1,
    serialize_msg_to_ws_v1,
)

#: How such a message is laid out (JupyterLab's own choice).
PROTOCOL = "v1.kernel.websocket.jupyter.org"


def free_port():
    """A port that nobody uses now."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        return free.getsockname()[1]


def packed(channel, *parts):
    """A message on a channel; parts that are no bytes go as JSON."""
    pieces = [part if isinstance(part, bytes) else json.dumps(part).encode() for part in parts]
    return serialize_msg_to_ws_v1(pieces, channel)


def unpacked(data):
    """(header, parent, content, number of buffers) of a message."""
    _, (header, parent, _, content, *buffers) = deserialize_msg_from_ws_v1(data)
    return json.loads(header), json.loads(parent), json.loads(content), len(buffers)
