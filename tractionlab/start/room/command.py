"""`tractionlab paper room` serves a sitting to a class of browsers, `tractionlab paper sit` one
candidate's folder to the browser of this machine; both until Ctrl-C.
"""

import asyncio
import os
import secrets
import webbrowser
from pathlib import Path

from tractionlab.assess.desk.copy_to_send import copy_name
from tractionlab.assess.desk.sheet import read_sheet
from tractionlab.assess.sitting.candidate_notebook import SHEET_FILE
from tractionlab.catalogue.places import PRIVATE
from tractionlab.errors import UserError
from tractionlab.start import opening
from tractionlab.start.classroom.command import check_tls, machine_address
from tractionlab.start.room.seats import Register, Seat, seats_of

#: Folder, in that of the sitting, with PINs, slips and refused attempts.
ROOM = "room"


def check(args):
    """What can be known before anything is installed; raises UserError with one sentence."""
    args.folder = Path(args.folder).expanduser().absolute()
    args.seats = seats_of(args.folder) if args.word == "room" else _own_seat(args.folder)
    if args.port is not None and (problem := opening.port_problem(args.port)):
        raise UserError(problem)
    if args.word == "room":
        check_tls(args.certificate, args.key)


def _own_seat(folder):
    """{candidate number: Seat} of one candidate's folder."""
    if not (folder / SHEET_FILE).is_file():
        raise UserError(f"{folder} is no candidate's folder: it must hold {SHEET_FILE}")
    sheet = read_sheet(folder / SHEET_FILE)
    return {sheet["candidate"]: Seat(folder, sheet)}


def main(args):
    """Run one of the two; returns the exit code."""
    {"room": _room, "sit": _sit}[args.word](args)
    return 0


def _room(args):
    from tractionlab.start.room.slips import slips

    folder, seats = args.folder, args.seats
    own = folder / ROOM
    own.mkdir(mode=0o700, exist_ok=True)
    scheme = "https" if args.certificate else "http"
    address = f"{scheme}://{machine_address()}:{args.port}"

    def tell(room):
        slips(seats, room.register.pins, address).save(own / "slips")
        print(f"Candidates sign in at    {address}   (number and PIN of their slips)")
        print(f"Slips to print           {own / 'slips.pdf'}")
        print(f"The supervisor's page    {address}/supervisor")
        print(f"its password             {room.register.supervisor}")
        print(f"Answer files are in      {folder / 'candidates'}")
        if not args.certificate:
            print(
                "PINs and answers travel unprotected: use a network of the room's own, or"
                " --certificate and --key."
            )
        print("Leave this window open; to stop, press Ctrl-C here once.", flush=True)

    tls = (args.certificate, args.key) if args.certificate else None
    _serve(seats, own, args.port, "", tls, tell)


def _sit(args):
    folder, ((candidate, seat),) = args.folder, args.seats.items()
    own = folder / PRIVATE
    own.mkdir(exist_ok=True)
    port = args.port or opening.free_port(8888)
    key = secrets.token_urlsafe(24)
    address = f"http://127.0.0.1:{port}/?key={key}"

    def tell(room):
        print(f"The paper is at  {address}")
        if "practice" not in seat.sheet:
            print(
                "The browser reaches this paper alone. Other programs here can still read what"
                " lies on this machine: a supervisor watches the screen."
            )
            print(
                f"Once it is handed in, {folder / copy_name(candidate)} is the one file to"
                " send, by mail or on a stick."
            )
        print("Leave this window open; to stop, press Ctrl-C here once.", flush=True)
        if args.browser:
            webbrowser.open(address)

    _serve(args.seats, own, port, "127.0.0.1", None, tell, key)


def _serve(seats, own, port, address, tls, tell, key=""):
    from tractionlab.start.room.attempts import Attempts
    from tractionlab.start.room.server import Room, serve

    register = Register(own / "room.json", seats)
    opening.compile_kernels(own / "compile.log")
    os.environ["JUPYTER_PREFER_ENV_PATH"] = "1"

    async def run():
        room = Room(seats, register, Attempts(own / "refused.jsonl"), key)
        await serve(room, port, address, tls, lambda: tell(room))

    asyncio.run(run())
