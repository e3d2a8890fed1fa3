"""The instructor's page on the class server: where learners sign in, who has, and a new PIN."""

from jupyterhub.handlers.base import BaseHandler
from reportlab.graphics import renderSVG
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from tornado import web

from tractionlab.start.classroom.register import INSTRUCTOR

#: Where the page lies below the hub's own address.
PLACE = "/class"


class InstructorPage(BaseHandler):
    """For the instructor only."""

    async def prepare(self):
        await super().prepare()
        if self.current_user is None and self.request.method == "GET":
            return self.redirect(f"{self.settings['login_url']}?next={self.request.path}")
        if self.current_user is None or self.current_user.name != INSTRUCTOR:
            raise web.HTTPError(403, "This page is the instructor's.")

    async def get(self):
        register, address = self.authenticator.register, self.authenticator.address
        page = await self.render_template(
            "class.html",
            address=address,
            password=register.password,
            picture=picture_code(address),
            learners=[self._learner(name) for name in register.names()],
            xsrf=self.xsrf_token.decode("ascii"),
        )
        self.finish(page)

    def _learner(self, name):
        known = self.find_user(name)
        last = known and known.last_activity
        return {
            "name": name,
            "works": bool(known and known.active),
            "last": last.strftime("%Y-%m-%d %H:%M UTC") if last else "",
        }

    async def post(self):
        """Forget the PIN of one learner."""
        self.authenticator.register.forget(self.get_body_argument("name"))
        self.redirect(self.request.path)


def picture_code(address):
    """An address as a code for the cameras of phones (QR code, ISO/IEC 18004), as SVG."""
    side = 220
    drawing = Drawing(side, side)
    drawing.add(QrCodeWidget(address, barWidth=side, barHeight=side, barLevel="M"))
    return renderSVG.drawToString(drawing).partition("?>")[2]
