"""What a candidate's browser can ask for: the sign-in, the page of the paper, its few files, the
copy of the answer file. Everything else is refused and noted.
"""

import hmac
from pathlib import Path

from jupyter_server.auth import IdentityProvider, User
from tornado.web import RequestHandler

from tractionlab.assess.desk.copy_to_send import copy_name
from tractionlab.assess.sitting.candidate_notebook import cover
from tractionlab.errors import UserError

#: Pages, scripts and style sheet.
FOLDER = Path(__file__).parent / "page"
#: Files that pages load, with their kinds; nothing else lies on the server's shelf.
FILES = {
    "room.js": "text/javascript",
    "wire.js": "text/javascript",
    "widgets.js": "text/javascript",
    "supervisor.js": "text/javascript",
    "room.css": "text/css",
}
#: Scripts come from the server and from the forms themselves; nothing is fetched from elsewhere.
_POLICY = (
    "default-src 'none'; script-src 'self' blob:; style-src 'self' 'unsafe-inline'; img-src 'self'"
    " data: blob:; font-src 'self' data:; connect-src 'self'; form-action 'self';"
    " base-uri 'none'; frame-ancestors 'none'"
)
#: Cookies: who has signed in, a candidate's number or the supervisor.
CANDIDATE, SUPERVISOR = "sitting-candidate", "sitting-supervisor"


class Seated(IdentityProvider):
    """A candidate by the signed cookie of the sign-in, for Jupyter Server's handlers."""

    def get_user(self, handler):
        number = signed(handler, CANDIDATE)
        return User(username=number) if number in handler.settings["room"].seats else None


def signed(handler, cookie):
    """What a cookie of this server says, or ""."""
    return (handler.get_signed_cookie(cookie, max_age_days=1) or b"").decode()


class Watched:
    """A handler whose refusals are noted."""

    @property
    def room(self):
        return self.settings["room"]

    @property
    def who(self):
        """Number of the candidate who asks, or from where somebody does who has not signed in."""
        number = signed(self, CANDIDATE)
        return number if number in self.room.seats else f"from {self.request.remote_ip}"

    def refuse(self, status, why):
        """Answer with a status; what was asked is noted."""
        self.set_status(status)
        self.room.attempts.note(self.who, f"{self.request.method} {self.request.path}", why)
        self.finish(f"{why}\n")

    def write_error(self, status_code, **_):
        """What tornado itself refuses, such as a form without its token."""
        if 400 <= status_code < 500:
            return self.refuse(status_code, "refused")
        self.finish("The server failed. Tell the supervisor.\n")


class Page(Watched, RequestHandler):
    """A page of the room, with headers that keep it to itself."""

    def set_default_headers(self):
        self.set_header("Content-Security-Policy", _POLICY)
        self.set_header("X-Content-Type-Options", "nosniff")
        self.set_header("Referrer-Policy", "no-referrer")
        self.set_header("Cache-Control", "no-store")

    def prepare(self):
        """Refuse who asks too fast."""
        if not self.room.requests.take(self.who):
            self.refuse(
                429, "too many requests at once: wait some seconds, then load the page again"
            )

    def show(self, name, **more):
        """Send one of the pages in the folder `page`."""
        self.finish(self.render_string(name, **more))

    def welcome(self, cookie, value):
        """Remember in the browser who has signed in."""
        tls = self.request.protocol == "https"
        self.set_signed_cookie(
            cookie, value, expires_days=1, httponly=True, samesite="Strict", secure=tls
        )


class Paper(Page):
    """The sign-in, then the page of the paper."""

    def get(self):
        key = self.get_query_argument("key", "")
        if self.room.key and hmac.compare_digest(key.encode(), self.room.key.encode()):
            self.welcome(CANDIDATE, *self.room.seats)
            return self.redirect("/")
        seat = self.room.seats.get(self.who)
        if seat is None and self.room.key:
            return self.refuse(403, "open the address that the window shows")
        if seat is None:
            return self.show("sign_in.html", said="", number="")
        self.show(
            "paper.html",
            sheet=seat.sheet,
            cover=cover(seat.sheet),
            ended=self.room.ended,
            token=self.xsrf_token.decode(),
        )


class SignIn(Page):
    """Number and PIN."""

    def post(self):
        where = self.request.remote_ip
        number, pin = self.get_body_argument("number", ""), self.get_body_argument("pin", "")
        number = self.room.register.on_slip(number)
        try:
            self.room.register.check(number, pin.strip(), where)
        except UserError as problem:
            self.room.attempts.note(f"from {where}", f"sign-in as {number}", problem)
            self.set_status(403)
            return self.show("sign_in.html", said=str(problem), number=number)
        self.welcome(CANDIDATE, number)
        self.redirect("/")


class Begin(Page):
    """A page asks for its line and its view."""

    async def post(self):
        if self.who not in self.room.seats:
            return self.refuse(403, "not signed in")
        if self.room.ended:
            self.set_status(410)
            return self.finish({"words": "The sitting has ended."})
        self.finish(await self.room.desks.begin(self.who))


class File(Page):
    """Scripts and style sheet of the pages."""

    def get(self, name):
        if name not in FILES:
            return self.refuse(404, "no such file")
        self.set_header("Content-Type", FILES[name])
        self.set_header("Cache-Control", "no-cache")
        self.finish((FOLDER / name).read_bytes())


class Copy(Page):
    """A candidate's own answer file, once it is handed in or the sitting has ended."""

    def get(self):
        if self.who not in self.room.seats:
            return self.refuse(403, "not signed in")
        state = self.room.state(self.who)
        if not (state["phase"] == "handed in" or self.room.ended and state["saved_at"]):
            return self.refuse(403, "a copy is there after handing in")
        self.set_header("Content-Type", "application/octet-stream")
        name = copy_name(self.who)
        self.set_header("Content-Disposition", f'attachment; filename="{name}"')
        self.finish(self.room.answers(self.who).read_bytes())


class Nothing(Page):
    """Everything that an exam room does not have."""

    def check_xsrf_cookie(self):
        """Nothing is done here, so nothing is to be protected."""

    def prepare(self):
        super().prepare()
        if not self._finished:
            self.refuse(404, "no page of the paper")


class NoIcon(Page):
    """Browsers ask for an icon by themselves."""

    def get(self):
        self.set_status(204)
