"""Which messages of a browser reach the kernel behind its forms: those that widgets need, once
each, in their order, for the forms that this page shows.
"""

import json

from jupyter_server.services.kernels.connection.base import deserialize_msg_from_ws_v1

#: Types of messages that a browser may send, and those that it gets.
FROM_BROWSER = ("comm_open", "comm_msg")
TO_BROWSER = ("comm_open", "comm_msg", "comm_close", "status")
#: Longest message [bytes]; an answer of the desk has at most 32 768.
LONGEST = 200_000
_CONTROL = "jupyter.widget.control"
#: Offsets in a message without buffers: to channel, header, parent, metadata, content, and its end.
_OFFSETS = 6


class Refused(Exception):
    """A message that goes no further; the text says why."""


class Forms:
    """The state of one line between a page and its kernel.

    `name` is the name of the line, drawn by the server for each page that it sends; `known` are the
    names of the forms that the page shows.
    """

    def __init__(self, name):
        self.name, self._count, self._control, self.known = name, 0, "", set()

    def check(self, raw):
        """Raise Refused unless this message may go on to the kernel."""
        header, parent, metadata, content = _parts(raw)
        if header.get("msg_type") not in FROM_BROWSER:
            raise Refused(f"no form sends this: {header.get('msg_type')}")
        if header.get("session") != self.name or header.get("msg_id") != self._next:
            raise Refused(
                "not the next message of this page: sent before, out of order, or of another page"
            )
        self._count += 1
        if parent:
            raise Refused("a form's message answers no other")
        if header["msg_type"] == "comm_open":
            return self._open(metadata, content)
        if str(content.get("comm_id")) not in self.known | {self._control} - {""}:
            raise Refused("for a form that this page does not show")
        self._check_data(str(content["comm_id"]), content.get("data"))

    @property
    def _next(self):
        return f"{self.name}_{self._count}"

    def _open(self, metadata, content):
        if content.get("target_name") != _CONTROL or self._control:
            raise Refused(f"no page opens this: {content.get('target_name')}")
        if content.get("data") or set(metadata) - {"version"}:
            raise Refused("an opening that carries something")
        if not isinstance(content.get("comm_id"), str) or not 1 <= len(content["comm_id"]) <= 64:
            raise Refused("an opening without a name")
        self._control = content["comm_id"]

    def _check_data(self, comm, data):
        method = data.get("method") if isinstance(data, dict) else None
        if comm == self._control:
            if data != {"method": "request_states"}:
                raise Refused(f"{method} is nothing that a page asks")
        elif method == "custom":
            if set(data) != {"method", "content"} or not isinstance(data["content"], dict):
                raise Refused("what a form sends is a table")
        elif method == "update":
            # The one thing that a page tells a form's state: a value has been looked at.
            state = data.get("state")
            if not isinstance(state, dict) or list(state) != ["told"] or state["told"] is not True:
                raise Refused("a page does not change what a form shows")
        else:
            raise Refused(f"{method} is nothing that a form does")

    def learn(self, kind, content):
        """Take in, from a message of the kernel, which forms there are."""
        if kind == "comm_open":
            self.known.add(content["comm_id"])
        elif kind == "comm_close":
            self.known.discard(content["comm_id"])
        elif content.get("comm_id") == self._control:
            self.known.update(content["data"].get("states", ()))


def _parts(raw):
    """(header, parent, metadata, content) of a message; Refused if it is not laid out as such."""
    if not isinstance(raw, bytes):
        raise Refused("a text where a message of a form is bytes")
    if len(raw) > LONGEST:
        raise Refused(f"a message of {len(raw)} bytes")
    if int.from_bytes(raw[:8], "little") != _OFFSETS:
        raise Refused("bytes that are no message of a form")
    try:
        channel, pieces = deserialize_msg_from_ws_v1(raw)
        parts = [json.loads(piece) for piece in pieces]
    except (ValueError, IndexError, OverflowError, MemoryError, RecursionError):
        raise Refused("bytes that are no message of a form") from None
    if channel != "shell":
        raise Refused(f"a message on the channel {channel}")
    if not all(isinstance(part, dict) for part in parts):
        raise Refused("a message of another shape")
    return parts
