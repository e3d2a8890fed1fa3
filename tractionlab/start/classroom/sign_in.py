"""JupyterHub's door of a class: name, class password, PIN, and one sentence when it stays shut; and
the instructor's pages.
"""

import asyncio

from jupyterhub.auth import Authenticator
from jupyterhub.handlers.login import LoginHandler
from traitlets import Unicode

from tractionlab.errors import UserError
from tractionlab.start.classroom.forgetting import FORGET
from tractionlab.start.classroom.instructor_page import PLACE, ClassPage, SignInPage
from tractionlab.start.classroom.live_answers import ANSWERS, Watch
from tractionlab.start.classroom.register import Register


class SignIn(LoginHandler):
    """The sign-in page; says why a sign-in failed."""

    refusal = None

    def _render(self, login_error=None, **more):
        return super()._render(login_error=self.refusal or login_error, **more)


class ClassAuthenticator(Authenticator):
    """Lets in whom the class's register knows."""

    file = Unicode(config=True, help="File with passwords and PINs of the class.")
    address = Unicode(config=True, help="What learners type into their browser.")
    learners = Unicode(config=True, help="Folder with a home folder for each learner.")
    log_file = Unicode(config=True, help="File of the hub's log.")

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        self.register, self.watch = Register(self.file), Watch(self.learners)

    def get_handlers(self, app):
        pages = [("/login", SignIn), (PLACE, ClassPage), (f"{PLACE}/sign-in", SignInPage)]
        return [*pages, *ANSWERS, FORGET]

    async def authenticate(self, handler, data):
        words = (data.get(field, "") for field in ("username", "password", "pin"))
        try:
            return await asyncio.to_thread(self.register.sign_in, *words)
        except UserError as error:
            handler.refusal = str(error)
            return None
