"""What mail and sticks do to an answer file on its way: what can be undone without a loss is
undone, and of what is no answer file it is said what it is.
"""

import codecs
from email.parser import BytesHeaderParser

from tractionlab.assess.answers.reading import MOST_LINES, claimed

#: First bytes of packed files (from memory): zip, gzip, 7z, rar, xz.
_PACKED = (b"PK\x03\x04", b"\x1f\x8b", b"7z\xbc\xaf\x27\x1c", b"Rar!", b"\xfd7zXZ")
#: Bytes that `as_written` takes away at most: a mark, and one sign a line.
ADDED = len(codecs.BOM_UTF8) + MOST_LINES
_LOOKED_AT = 65_536  #: bytes in which the head of a mail ends
#: Lines of which every mail has one in its head (RFC 5322, RFC 2045).
_OF_MAIL = {"mime-version", "received", "message-id"}


def as_written(content):
    """The bytes as the desk wrote them, where a program on the way changed the ends of lines or put
    a mark before them: no line of an answer file holds such signs itself.
    """
    content = content.removeprefix(codecs.BOM_UTF8)
    first, _, _ = content.partition(b"\n")
    if not first.endswith(b"\r") or not claimed(first.removesuffix(b"\r")):
        return content
    return content.replace(b"\r\n", b"\n")


def what_it_is(content):
    """What a file is that is no answer file, and what to do; "" if that cannot be said."""
    if content.startswith(_PACKED):
        return "It is a packed file: unpack it, put the answer file here, and mark again."
    head = BytesHeaderParser().parsebytes(content[:_LOOKED_AT])
    if _OF_MAIL & {name.lower() for name in head.keys()}:
        return "It is a whole mail: save its attachment here, and mark again."
    return ""
