"""`tractionlab class`: one machine serves a class over the network until Ctrl-C."""

import contextlib
import os
import signal
import socket
import ssl
import sys
import tempfile
from pathlib import Path

from tractionlab.catalogue.places import PRIVATE, lessons_folder
from tractionlab.errors import UserError
from tractionlab.start.classroom.left_behind import end_proxies
from tractionlab.start.classroom.register import LEARNERS, REGISTER, Register, check_class_password
from tractionlab.start.learner_folder import check_folder
from tractionlab.start.opening import compile_kernels, port_problem

#: The instructor's page below the class's address.
_PAGE = "/hub/class"
_INHERITED = ("HOME", "LANG", "LC_ALL", "PATH", "PYTHONPATH", "TRACTIONLAB_CACHE", "XDG_CACHE_HOME")
#: What makes learners' servers by fork.
_SERVERS = (sys.executable, "-m", "tractionlab.start.classroom.warm_servers")


def check(args):
    """What can be known before anything is installed; raises UserError with one sentence."""
    if os.name == "nt":
        raise UserError(
            "JupyterHub, which serves the class, does not run on Windows. Start this command on a"
            " machine with Linux (or macOS); learners may use Windows all the same."
        )
    folder = args.folder or "~/tractionlab-class"
    args.folder = Path(folder).expanduser().absolute()
    check_folder(args.folder, lessons_folder())
    own = args.folder / PRIVATE
    own.chmod(0o700)
    with _alone(own / "lock", args.folder):
        if end_proxies(own):
            print("Ended the proxy that an earlier class from this folder had left behind.")
    if problem := port_problem(args.port):
        raise UserError(problem)
    if args.password is not None:
        check_class_password(args.password)
    check_tls(args.certificate, args.key)


def check_tls(certificate, key):
    """Raise UserError unless both files are left out, or belong together."""
    if bool(certificate) != bool(key):
        raise UserError("TLS needs both files: give --certificate and --key together.")
    if certificate:
        for path in filter(lambda path: not Path(path).is_file(), (certificate, key)):
            raise UserError(f"There is no file {path}: --certificate and --key name files (PEM).")
        try:
            # An empty password: otherwise a key that has one would be asked for in the window.
            ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(
                certificate, key, password=""
            )
        except (OSError, ssl.SSLError) as error:
            raise UserError(
                f"{certificate} and {key} do not serve for TLS ({error.strerror or error}): both"
                " must be PEM files that belong together, the key without a password."
            ) from None


def main(args):
    """Serve until Ctrl-C."""
    own = args.folder / PRIVATE
    with _alone(own / "lock", args.folder):
        register = Register(own / REGISTER)
        if args.password is not None:
            register.set_password(args.password)
        compile_kernels(own / "compile.log")
        (args.folder / LEARNERS).mkdir(mode=0o700, exist_ok=True)
        # Not the system's own choice of folder: on macOS its path is too long for sockets.
        with tempfile.TemporaryDirectory(prefix="class-", dir="/tmp") as sockets:
            _serve(args, register, Path(sockets))


@contextlib.contextmanager
def _alone(path, folder):
    """Keep a second class from the same folder out."""
    import fcntl  # not on Windows

    with open(path, "w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise UserError(
                f"A class is already served from {folder}. Stop that one, or choose another folder"
                " with --folder."
            ) from None
        yield


def _serve(args, register, sockets):
    from jupyterhub.app import JupyterHub
    from traitlets.config import Config

    from tractionlab.start.classroom.apart import why_not
    from tractionlab.start.classroom.hub import Ports, configure
    from tractionlab.start.classroom.spawner import LearnerSpawner
    from tractionlab.start.warm_kernels import WarmProcess

    scheme = "https" if args.certificate else "http"
    address = f"{scheme}://{machine_address()}:{args.port}"
    # The proxy's program lies beside this Python.
    os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    c = Config()
    tls = {name: getattr(args, name) and Path(getattr(args, name)).absolute() for name in _TLS}
    configure(c, args.folder, sockets, Ports(args.port, *_free_ports(2)), address, **tls)
    warm, why = [], why_not()
    if sys.platform == "linux":
        # What they inherit can be read by learners' code.
        env = {name: os.environ[name] for name in _INHERITED if name in os.environ}
        LearnerSpawner.warm = WarmProcess(command=_SERVERS, env=env)
        warm = [WarmProcess(meeting=sockets / "warm", env=env), LearnerSpawner.warm]
        LearnerSpawner.kernels = None if why else warm[0]
    for line in told(address, register, args.folder, why):
        print(line, flush=True)
    # A window that is closed stops the class as Ctrl-C does.
    signal.signal(signal.SIGHUP, lambda *_: os.kill(os.getpid(), signal.SIGTERM))
    os.chdir(args.folder / PRIVATE)  # JupyterHub reads settings that lie in the present folder
    try:
        JupyterHub.instance(config=c)
        JupyterHub.launch_instance([])
    finally:
        for one in warm:
            one.close()


_TLS = ("certificate", "key")


def told(address, register, folder, why):
    """What the instructor has to know, line by line; `why` learners' code is not kept apart, or
    "".
    """
    yield f"Learners sign in at   {address}"
    yield f"class password        {register.password}"
    yield f"Your own page         {address}{_PAGE}"
    yield "your name             instructor"
    yield f"your password         {register.instructor}"
    yield f"Learners' folders are in {folder / LEARNERS}."
    yield (
        f"Learners are not kept apart ({why}): what one programs can reach the folders of all."
        if why
        else "Learners are kept apart: what one programs reaches no folder or lesson of another."
    )
    if address.startswith("http:"):
        yield (
            "Passwords travel unprotected: use a network of the class's own, or --certificate and"
            " --key."
        )
    yield "Leave this window open; to stop, press Ctrl-C here once."


def machine_address():
    """Address of this machine in its network, 127.0.0.1 without one. Nothing is sent: the system
    only chooses its way to an address that is kept for documents (RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            return probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"


def _free_ports(count):
    with contextlib.ExitStack() as stack:
        probes = [stack.enter_context(socket.create_server(("127.0.0.1", 0))) for _ in range(count)]
        return [probe.getsockname()[1] for probe in probes]
