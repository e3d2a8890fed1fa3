"""Pages of the instructor on the class server: the class in sight, where learners sign in, and a
new PIN for one of them.
"""

from datetime import UTC, datetime
from pathlib import Path

from jupyterhub.handlers.base import BaseHandler
from reportlab.graphics import renderSVG
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from tornado import web

from tractionlab.lesson.start import lessons
from tractionlab.paint.bundle import bundle
from tractionlab.start.classroom.register import INSTRUCTOR

#: Where the pages lie below the hub's own address.
PLACE = "/class"
_PAGES = Path(__file__).parent / "pages"


class ForInstructor(BaseHandler):
    """A page or an answer for the instructor only; whoever has not signed in may do so."""

    #: Do those who have not signed in get the sign-in page? A script would not know what to do.
    leads_to_sign_in = True

    async def prepare(self):
        await super().prepare()
        if self.current_user is None and self.leads_to_sign_in and self.request.method == "GET":
            return self.redirect(f"{self.settings['login_url']}?next={self.request.path}")
        if self.current_user is None or self.current_user.name != INSTRUCTOR:
            raise web.HTTPError(403, "This page is the instructor's.")
        self.set_header("Cache-Control", "no-store")

    @property
    def register(self):
        """The Register of the class."""
        return self.authenticator.register

    def present(self, names):
        """{name: when the server of this learner was started}, of those whose server is at work."""
        users = {name: self.find_user(name) for name in names}
        return {
            name: (user.spawner.orm_spawner.started or datetime.now(UTC)).replace(tzinfo=UTC)
            for name, user in users.items()
            if user and user.active
        }

    async def show(self, page, script=None, **more):
        """Answer with the page `page`.html and its `script`."""
        text = await self.render_template(
            f"{page}.html",
            here=f"{self.hub.base_url}{PLACE[1:]}",
            page=page,
            style=(_PAGES / "class.css").read_text(encoding="utf-8"),
            script=bundle(_PAGES / script) if script else "",
            xsrf=self.xsrf_token.decode("ascii"),
            **more,
        )
        self.finish(text)


class ClassPage(ForInstructor):
    """Who is where, and what the class got wrong; follows by itself."""

    async def get(self):
        known = [(0, "Start page")]
        known += [(entry["number"], entry["title"]) for entry in lessons() if "notebook" in entry]
        await self.show("class", "class.js", lessons=known)

    async def post(self):
        """Forget the PIN of one learner."""
        self.register.forget(self.get_body_argument("name"))
        self.set_status(204)


class SignInPage(ForInstructor):
    """Address, class password and picture code, for the projector."""

    async def get(self):
        address = self.authenticator.address
        await self.show(
            "address",
            address=address,
            password=self.register.password,
            picture=picture_code(address),
        )


def picture_code(address):
    """An address as a code for the cameras of phones (QR code, ISO/IEC 18004), as SVG."""
    side = 220
    drawing = Drawing(side, side)
    drawing.add(QrCodeWidget(address, barWidth=side, barHeight=side, barLevel="M"))
    return renderSVG.drawToString(drawing).partition("?>")[2]
