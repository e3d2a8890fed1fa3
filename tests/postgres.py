"""A PostgreSQL server of our own for one test run, where its programs are installed."""

import os
import shutil
import subprocess
import tempfile
from itertools import takewhile
from pathlib import Path


def programs():
    """Folder with initdb and postgres, or None."""
    found = [Path(place).parent for place in filter(None, [shutil.which("initdb")])] + sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), reverse=True
    )
    return next(
        (
            folder
            for folder in found
            if (folder / "initdb").exists() and (folder / "postgres").exists()
        ),
        None,
    )


class Server:
    """Runs in `folder`, reached through a socket in it.

    The server refuses to run as root, so then the system's postgres user runs it.
    """

    def __init__(self, folder):
        self.folder, where = Path(folder), programs()
        as_user = {"user": "postgres"} if os.geteuid() == 0 else {}
        self.folder.mkdir(mode=0o700)
        if as_user:
            shutil.chown(self.folder, "postgres")
            for parent in takewhile(
                lambda parent: parent != Path(tempfile.gettempdir()), self.folder.parents
            ):
                os.chmod(parent, parent.stat().st_mode | 0o011)
        data, quiet = (
            self.folder / "data",
            {
                "stdout": subprocess.DEVNULL,
                "stderr": subprocess.DEVNULL,
                "cwd": self.folder,
                **as_user,
            },
        )
        subprocess.run(
            [
                where / "initdb",
                "-D",
                data,
                "-U",
                "tester",
                "-A",
                "trust",
                "--no-sync",
                "-E",
                "UTF8",
                "--locale=C",
            ],
            check=True,
            **quiet,
        )
        self.process = subprocess.Popen(
            [where / "postgres", "-D", data, "-k", self.folder, "-c", "listen_addresses=", "-F"],
            **quiet,
        )
        self.address = f"postgresql+psycopg://tester@/postgres?host={self.folder}"

    def wait(self):
        """Wait until it answers."""
        import time

        import psycopg

        for _ in range(200):
            try:
                psycopg.connect(f"host={self.folder} user=tester dbname=postgres").close()
                return self
            except psycopg.OperationalError:
                time.sleep(0.05)
        raise RuntimeError("PostgreSQL did not start")

    def stop(self):
        self.process.terminate()
        self.process.wait(timeout=20)


def can_run():
    """True if the programs are there and somebody may run them."""
    if os.name != "posix":
        return False
    import pwd

    try:
        return programs() is not None and (os.geteuid() != 0 or bool(pwd.getpwnam("postgres")))
    except KeyError:
        return False
