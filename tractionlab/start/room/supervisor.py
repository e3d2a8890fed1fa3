"""The supervisor's page: who is in, what is saved, what was refused; breaks, lost time, end for
all.
"""

import asyncio
from datetime import datetime

from tractionlab.errors import UserError
from tractionlab.start.room.pages import CANDIDATE, SUPERVISOR, Page, signed

#: What is written for each entry.
_FIELDS = {
    "break": ("by", "reason"),
    "resume": ("by",),
    "lost_time": ("minutes", "by", "reason"),
}


class _Supervisors(Page):
    """For whoever knows the supervisor's password. A candidate's browser gets nothing of it."""

    @property
    def known(self):
        return bool(signed(self, SUPERVISOR))

    def prepare(self):
        super().prepare()
        if not self._finished and signed(self, CANDIDATE) and not self.known:
            self.refuse(403, "the supervisor's page")


class Overview(_Supervisors):
    """The page, or the sign-in to it."""

    def get(self):
        if not self.known:
            return self.show("supervisor_sign_in.html", said="")
        sheet = next(iter(self.room.seats.values())).sheet
        seats = self.room.seats
        self.show("supervisor.html", sheet=sheet, seats=seats, token=self.xsrf_token.decode())

    def post(self):
        """The password."""
        where, password = self.request.remote_ip, self.get_body_argument("password", "").strip()
        try:
            self.room.register.check_supervisor(password, where)
        except UserError as problem:
            self.room.attempts.note(f"from {where}", "supervisor's page", problem)
            self.set_status(403)
            return self.show("supervisor_sign_in.html", said=str(problem))
        self.welcome(SUPERVISOR, "supervisor")
        self.redirect("/supervisor")


class Now(_Supervisors):
    """How things stand, as data."""

    def get(self):
        if not self.known:
            return self.refuse(403, "not the supervisor")
        self.finish(
            {
                "candidates": [self.room.state(number) for number in self.room.seats],
                "attempts": list(self.room.attempts.latest),
                "refused": sum(self.room.attempts.counts.values()),
                "ended": self.room.ended,
                "clock": datetime.now().strftime("%H:%M:%S"),
            }
        )


class Enter(_Supervisors):
    """A break that begins or ends, or lost time that is given back, for candidates by number."""

    async def post(self):
        if not self.known:
            return self.refuse(403, "not the supervisor")
        what = self.get_body_argument("what", "")
        said = {name: self.get_body_argument(name, "") for name in _FIELDS.get(what, ())}
        left = {}

        async def enter(number):
            try:
                if not said or number not in self.room.seats:
                    raise UserError("There is no such candidate or entry.")
                await self.room.enter(number, what, said)
            except UserError as problem:
                left[number] = str(problem)

        numbers = self.get_body_arguments("number")
        await asyncio.gather(*map(enter, numbers))
        self.finish({"done": [one for one in numbers if one not in left], "left": left})


class End(_Supervisors):
    """End the sitting for all."""

    async def post(self):
        if not self.known:
            return self.refuse(403, "not the supervisor")
        await self.room.end()
        self.finish({})
