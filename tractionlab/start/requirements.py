"""What the course needs, as pyproject.toml lists it, and which of that this Python has.

Standard library only.
"""

import importlib.metadata
import importlib.util
import json
import re
import sys
import tomllib
from pathlib import Path
from urllib.parse import urlparse
from urllib.request import url2pathname


def clone_folder():
    """Folder of the clone that this package runs from, or None when it was installed as a copy."""
    folder = Path(__file__).resolve().parents[2]
    return folder if (folder / "pyproject.toml").is_file() else None


def required(clone, extras=()):
    """Requirements of the course and of the named extras, as pyproject.toml lists them."""
    project = tomllib.loads((clone / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return sum(
        (project["optional-dependencies"][extra] for extra in extras), list(project["dependencies"])
    )


def missing(requirements):
    """Those requirements (`name>=1.2` or `name==1.2`, with `; sys_platform != 'win32'` behind what
    Windows does without) that this Python does not meet.
    """
    return [text for text in requirements if not _is_met(text)]


def _is_met(requirement):
    name, sign, lowest, elsewhere = re.fullmatch(
        r"([\w.-]+)(?:([>=]=)([\w.]+))?(;sys_platform!='win32')?", requirement.replace(" ", "")
    ).groups()
    if elsewhere and sys.platform == "win32":
        return True
    try:
        found = importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return False
    if sign == "==":
        return found == lowest
    return not sign or _numbers(found) >= _numbers(lowest)


def _numbers(version):
    return [int(part) for part in re.match(r"\d+(?:\.\d+)*", version).group().split(".")]


def installed_from(clone):
    """True if this Python can import the package anywhere, and it is the one of this clone."""
    try:
        origin = importlib.metadata.distribution("tractionlab").read_text("direct_url.json")
    except importlib.metadata.PackageNotFoundError:
        return False
    return (
        bool(origin)
        and Path(url2pathname(urlparse(json.loads(origin)["url"]).path)).resolve() == clone
    )
