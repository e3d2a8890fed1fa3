"""The line between a candidate's page and the kernel behind it: Jupyter Server's own, with its own
list of types of messages, and before that the rules of `messages.py`.
"""

import json

from jupyter_server.auth.decorator import ws_authenticated
from jupyter_server.services.kernels.websocket import KernelWebsocketHandler
from tornado.ioloop import IOLoop
from tornado.websocket import WebSocketHandler

from tractionlab.start.connection import PromptConnection
from tractionlab.start.room.messages import TO_BROWSER, Forms, Refused
from tractionlab.start.room.pages import Watched

#: Codes with which a line is closed: another window shows the paper; the sitting has ended; the
#: page sends more than the server takes.
ELSEWHERE, ENDED, TOO_FAST = 4001, 4002, 4003
#: Bytes of a message that count as one more message.
_PIECE = 10_000
#: Seconds for a closed page to hear why.
_LAST = 0.2
#: Longest answer of a form that is looked at for what it refused [bytes].
_SHORT = 4000


class FormsConnection(PromptConnection):
    """Jupyter Server's connection, for messages of forms alone."""

    limit_rate = False

    def handle_incoming_message(self, incoming_msg):
        """Pass a message on, or refuse and note it; close the line of a page that floods it."""
        handler = self.websocket_handler
        if handler.flooded:
            return
        if not handler.room.messages.take(handler.who, 1 + len(incoming_msg) / _PIECE):
            return handler.end_flood()
        try:
            self.websocket_handler.forms.check(incoming_msg)
        except Refused as refusal:
            return self.websocket_handler.note("message", refusal)
        super().handle_incoming_message(incoming_msg)

    def handle_outgoing_message(self, stream, outgoing_msg):
        """Pass on what forms are made of; an error of a form is noted, and goes no further."""
        _, parts = self.session.feed_identities(outgoing_msg)
        kind = json.loads(parts[1])["msg_type"]
        if kind == "error":
            self.websocket_handler.note("message", "no form can take it")
        if kind not in TO_BROWSER:
            return
        known = self.websocket_handler.forms.known
        if kind != "status" and (kind != "comm_msg" or not known or len(parts[4]) < _SHORT):
            self._look_at(kind, json.loads(parts[4]))
        super().handle_outgoing_message(stream, outgoing_msg)

    def _look_at(self, kind, content):
        self.websocket_handler.forms.learn(kind, content)
        said = content.get("data", {}).get("content")
        if isinstance(said, dict) and said.get("odd"):
            self.websocket_handler.note("answer", said.get("words"))


class Line(Watched, KernelWebsocketHandler):
    """The web socket of a signed-in candidate. It names no kernel: a candidate has one."""

    #: True once the page has sent too much.
    flooded = False

    def get_websocket_protocol(self):
        """Tornado asks no page whether it is there: Jupyter Server does, in milliseconds, which
        Tornado would take for seconds and complain about in the window.
        """
        protocol = super().get_websocket_protocol()
        if protocol:
            protocol.params.ping_interval = None
        return protocol

    @ws_authenticated
    async def get(self):
        """Open the line of the page that was sent last."""
        name = self.get_argument("session_id", "")
        self.kernel_id = self.room.desks.kernel_of(self.who, name)
        if self.kernel_id is None:
            return self.refuse(403, "a line of another page")
        self.forms = Forms(name)
        await self.pre_get()
        await WebSocketHandler.get(self, kernel_id=self.kernel_id)

    async def open(self, kernel_id):
        """The page is there."""
        self.room.desks.arrived(self.who, self)
        await super().open(kernel_id)

    def check_origin(self, origin=None):
        """Only pages of this server open a line."""
        own = super().check_origin(origin)
        if not own:
            self.note("message", "of a page that came from elsewhere")
        return own

    def end_flood(self):
        """Close the line, and read no more of it."""
        self.flooded = True
        self.note(
            "message", "far more than a paper needs: the page was closed, and may be loaded again"
        )
        stream = self.ws_connection.stream
        self.close(TOO_FAST)
        IOLoop.current().call_later(_LAST, stream.close)

    def note(self, what, why):
        """Note a refused message of this candidate."""
        self.room.attempts.note(self.who, what, why)

    def on_close(self):
        """The page has gone."""
        self.room.desks.left(self.who, self)
        if self.connection is not None:
            super().on_close()
