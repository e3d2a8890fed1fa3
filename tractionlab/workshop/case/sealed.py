"""A word made unreadable for the eye, for files that learners get.

No secret: whoever runs this module reads it.
"""

import base64
import binascii
import hashlib
import secrets

_KEY = b"tractionlab repair case"
_LENGTH = 80  # characters, so that the length of a word tells nothing
_SALT, _CHECK = 6, 6


def seal(word):
    """Text that looks otherwise each time; `unseal` gives the word back.

    The word is ASCII, at most 80 characters.
    """
    salt, data = secrets.token_bytes(_SALT), word.ljust(_LENGTH).encode("ascii")
    return base64.urlsafe_b64encode(salt + _check(salt, data) + _mixed(salt, data)).decode("ascii")


def unseal(text):
    """The word of a sealed text; ValueError if one of its letters was changed."""
    try:
        raw = base64.b64decode(text.encode("ascii"), altchars=b"-_", validate=True)
    except (AttributeError, UnicodeEncodeError, binascii.Error):
        raise ValueError("not a sealed text") from None
    salt, check = raw[:_SALT], raw[_SALT : _SALT + _CHECK]
    data = _mixed(salt, raw[_SALT + _CHECK :])
    if len(data) != _LENGTH or check != _check(salt, data):
        raise ValueError("not as it was written")
    return data.decode("ascii").rstrip()


def _mixed(salt, data):
    stream = hashlib.shake_256(_KEY + salt).digest(_LENGTH)
    return bytes(a ^ b for a, b in zip(data, stream))


def _check(salt, data):
    return hashlib.sha256(_KEY + salt + data).digest()[:_CHECK]
