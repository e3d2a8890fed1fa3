"""JupyterHub's settings for a class: no root, no accounts of the system, no Node."""

import secrets
import sys
from pathlib import Path
from typing import NamedTuple

import bcrypt
from jupyterhub_traefik_proxy.fileprovider import TraefikFileProviderProxy
from sqlalchemy import event
from sqlalchemy.engine import Engine

from tractionlab.catalogue.places import PRIVATE, cache_folder
from tractionlab.start.classroom.instructor_page import PLACE
from tractionlab.start.classroom.left_behind import PROXY_RULES, PROXY_SETTINGS
from tractionlab.start.classroom.register import INSTRUCTOR, LEARNERS, REGISTER
from tractionlab.start.classroom.sign_in import ClassAuthenticator
from tractionlab.start.classroom.spawner import LearnerSpawner
from tractionlab.start.warm_kernels import MEETING

#: Memory that a learner's kernel may take for data. A lesson takes up to 0.3 GB.
MEMORY = "1500M"


class Ports(NamedTuple):
    """Numbers of the ports: `public` for browsers, the others on this machine only."""

    public: int
    hub: int
    proxy: int


def configure(c, folder, sockets, ports, address, certificate=None, key=None):
    """Put the settings of a class into `c`, a traitlets Config.

    `folder` is the class's, `sockets` a folder with a short path for sockets, `address` what
    learners type; `certificate` and `key` are files (PEM) and switch TLS on.
    """
    own = Path(folder) / PRIVATE
    scheme = "https" if certificate else "http"
    c.JupyterHub.bind_url = f"{scheme}://:{ports.public}"
    c.JupyterHub.hub_bind_url = f"http://127.0.0.1:{ports.hub}"
    c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = str(certificate or ""), str(key or "")
    c.JupyterHub.cookie_secret_file = str(own / "cookie_secret")
    c.JupyterHub.db_url = f"sqlite:///{own / 'hub.sqlite'}"
    c.JupyterHub.upgrade_db = True
    _write_without_waiting()
    c.JupyterHub.template_paths = [str(Path(__file__).parent / "pages")]
    c.JupyterHub.default_url = _first_page
    _log(c, own / "hub.log")
    c.JupyterHub.authenticator_class = ClassAuthenticator
    c.ClassAuthenticator.address = address
    c.ClassAuthenticator.file = str(own / REGISTER)
    c.ClassAuthenticator.learners = str(Path(folder) / LEARNERS)
    c.ClassAuthenticator.log_file = str(own / "hub.log")
    c.Authenticator.allow_all = True
    c.Authenticator.admin_users = {INSTRUCTOR}
    _learners(c, folder, sockets)
    _proxy(c, own, ports)
    _pack(c, scheme)


def _write_without_waiting():
    """Let the hub, which serves everybody in one thread, not wait for the disk at each of the ten
    changes that a sign-in makes. A power cut may lose the last of them, nothing else
    (sqlite.org/pragma.html, "synchronous", read for this).
    """

    @event.listens_for(Engine, "connect")
    def set_up(connection, _):
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=NORMAL")


def _learners(c, folder, sockets):
    c.JupyterHub.spawner_class = LearnerSpawner
    c.LearnerSpawner.sockets = str(sockets)
    c.SimpleLocalProcessSpawner.home_dir_template = str(Path(folder) / LEARNERS / "{username}")
    c.Spawner.cmd = [sys.executable, "-m", "tractionlab.start.classroom.learner"]
    c.Spawner.mem_limit = MEMORY
    c.Spawner.poll_interval = 10
    c.Spawner.start_timeout = c.Spawner.http_timeout = 120
    c.Spawner.environment = {
        "TRACTIONLAB_CACHE": str(cache_folder()),
        MEETING: str(Path(sockets) / "warm"),
    }


def _proxy(c, own, ports):
    c.JupyterHub.proxy_class = TraefikFileProviderProxy
    c.TraefikProxy.traefik_api_url = f"http://localhost:{ports.proxy}"
    c.TraefikProxy.traefik_api_username = "hub"
    word = secrets.token_urlsafe(24)
    c.TraefikProxy.traefik_api_password = word
    # A slow hash is for words that can be guessed. The proxy works this one out at each question of
    # the hub, which asks at least twice for each learner who comes.
    quick = bcrypt.hashpw(word.encode(), bcrypt.gensalt(4)).decode()
    c.TraefikProxy.traefik_api_hashed_password = quick
    c.TraefikProxy.traefik_log_level = "ERROR"
    c.TraefikProxy.static_config_file = str(own / PROXY_SETTINGS)
    c.TraefikFileProviderProxy.dynamic_config_file = str(own / PROXY_RULES)


def _pack(c, scheme):
    """Let the proxy compress what goes to browsers: the parts of a lesson's page have 7 MB, and a
    class asks for them all at once by way of one wireless network. Not what comes line by line
    while a server starts (the proxy's options from memory; `test_class.py` looks at an answer).
    """
    named = {"pack": {"compress": {"excludedContentTypes": ["text/event-stream"]}}}
    everywhere = {scheme: {"http": {"middlewares": ["pack@file"]}}}
    c.TraefikProxy.extra_static_config = {"entryPoints": everywhere}
    c.TraefikProxy.extra_dynamic_config = {"http": {"middlewares": named}}


def _log(c, path):
    """Errors in the window, everything in a file."""
    file = {"class": "logging.FileHandler", "formatter": "console", "filename": str(path)}
    file["filters"] = ["no_looks"]
    c.JupyterHub.log_level = "INFO"
    c.JupyterHub.logging_config = {
        "filters": {"no_looks": {"()": lambda: _is_no_look}},
        "handlers": {"console": {"level": "ERROR"}, "file": file},
        "loggers": {"JupyterHub": {"level": "INFO", "handlers": ["console", "file"]}},
    }


def _is_no_look(line):
    """False for what the instructor's page asks every second, if it went well."""
    return not line.getMessage().startswith(f"200 GET /hub{PLACE}/")


def _first_page(handler):
    """The instructor's page for the instructor, the own server for everybody else."""
    user = handler.current_user
    return f"{handler.hub.base_url}{PLACE[1:]}" if user and user.name == INSTRUCTOR else ""
