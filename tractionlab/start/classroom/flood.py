"""What the pages of a learner send to the own server. One that floods it: its line is closed and
the instructor sees it, so that it takes no processor time from the others. No page of a lesson
sends so much.
"""

import re
import sys
from datetime import UTC, datetime

from tornado.ioloop import IOLoop

from tractionlab.start.connection import PromptConnection
from tractionlab.start.pace import Pace

#: Messages of all pages of a learner, at once and in each second: a slider that is dragged sends up
#: to 60 a second. Bytes of a message that count as one more.
MESSAGES, _PIECE = (3000, 300), 100_000
#: Code with which a line is closed (RFC 6455: against the rules of the server); s to hear it.
_AGAINST_RULES, _LAST = 1008, 0.2
#: What a page sends when its learner does something, not when it looks whether a lesson is there.
_DONE = re.compile(rb'"msg_type": ?"(comm_msg|execute_request)"')


def _is_laid_out(message):
    """False for bytes that name more parts than they can hold: Jupyter Server would look for them
    without an end.
    """
    return isinstance(message, str) or 8 * int.from_bytes(message[:8], "little") <= len(message)


def _is_done(message):
    """Did the learner do something? A message of bytes has that in its header, which lies between
    its second and its third place (`tests/wire.py`); an older page's is text.
    """
    if isinstance(message, str):
        return bool(_DONE.search(message.encode()))
    begin, end = (int.from_bytes(message[at : at + 8], "little") for at in (16, 24))
    return bool(_DONE.search(message[begin:end]))


class LearnersConnection(PromptConnection):
    """The line from a page to a lesson, with a limit.

    Attributes
    ----------
    floods : int, how often a line of this server was closed
    moved : {kernel: when its learner last did something on a page of it}, times as text, in UTC
    """

    floods = 0
    moved = {}
    _pace = Pace(*MESSAGES)
    _closed = False

    def handle_incoming_message(self, incoming_msg):
        """Pass a message on, or close the line."""
        if self._closed:
            return
        cost = 1 + len(incoming_msg) / _PIECE
        if _is_laid_out(incoming_msg) and self._pace.take("", cost):
            if _is_done(incoming_msg):
                self.moved[self.kernel_id] = datetime.now(UTC).isoformat()
            return super().handle_incoming_message(incoming_msg)
        self._closed = True
        LearnersConnection.floods += 1
        print("A page sent too many messages, or too long ones: closed.", file=sys.stderr)
        handler = self.websocket_handler
        stream = handler.ws_connection.stream
        handler.close(_AGAINST_RULES, "too many messages")
        IOLoop.current().call_later(_LAST, stream.close)
