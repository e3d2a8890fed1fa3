"""The markbook's tables, and the forms in which values lie in them."""

import json
import zlib
from typing import Any

import sqlalchemy as sa
from sqlalchemy import (
    Column,
    Double,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    String,
    Table,
    Text,
)

SCHEMA = 1
METADATA = sa.MetaData()


def _sitting() -> Column:
    return Column("sitting", String(120), primary_key=True)


def _candidate(**more: Any) -> Column:
    return Column("candidate", String(16), **more)


about = Table("tl_about", METADATA, Column("schema", Integer, primary_key=True))
#: One row per sitting. `sealed` is the text of the key file, so that an appeal needs nothing but
#: the markbook. state: open, released, locked.
sittings = Table(
    "tl_sittings",
    METADATA,
    Column("id", String(120), primary_key=True),
    Column("paper", String(80), nullable=False),
    Column("title", Text, nullable=False),
    Column("date", String(10), nullable=False),
    Column("sealed", Text, nullable=False),
    Column("state", String(10), nullable=False),
    Column("package", String(40), nullable=False),
)
candidates = Table(
    "tl_candidates",
    METADATA,
    _sitting(),
    _candidate(primary_key=True),
    Column("name", Text, nullable=False),
    Column("conditions", Text, nullable=False),
    ForeignKeyConstraint(["sitting"], ["tl_sittings.id"]),
)
#: One row per different content. status: counted, older, held, rejected, refused. `result`: JSON
#: {item: [marks, out of, [reasons], gate, exact]}.
#: `grace`: seconds after the issued end in which answers counted.
files = Table(
    "tl_files",
    METADATA,
    _sitting(),
    Column("digest", String(64), primary_key=True),
    _candidate(index=True),
    Column("status", String(10), nullable=False),
    Column("findings", Text, nullable=False),
    Column("lines", Integer, nullable=False),
    Column("check_number", String(16), nullable=False),
    Column("grace", Double, nullable=False),
    Column("result", Text, nullable=False),
    Column("evidence", LargeBinary, nullable=False),
    ForeignKeyConstraint(["sitting"], ["tl_sittings.id"]),
)
#: One row per file name that was read; two names with one digest are duplicates. `problem`: why
#: there is nothing to read, or "".
names = Table(
    "tl_names",
    METADATA,
    _sitting(),
    Column("name", String(400), primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("problem", Text, nullable=False),
    ForeignKeyConstraint(["sitting"], ["tl_sittings.id"]),
)
#: One row per candidate who has a counted or held file. status: marked, held, rejected.
records = Table(
    "tl_records",
    METADATA,
    _sitting(),
    _candidate(primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("status", String(10), nullable=False),
    ForeignKeyConstraint(["sitting"], ["tl_sittings.id"]),
)
#: The marks that hold now. `gate` is 0 where a safety gate of the item was failed, else 1; `exact`
#: is 1 where the fault of a repair case was named exactly.
marks = Table(
    "tl_marks",
    METADATA,
    _sitting(),
    _candidate(primary_key=True),
    Column("item", String(60), primary_key=True),
    Column("outcome", String(8), nullable=False),
    Column("marks", Double, nullable=False),
    Column("out_of", Double, nullable=False),
    Column("reasons", Text, nullable=False),
    Column("gate", Integer, nullable=False),
    Column("exact", Integer, nullable=False),
    ForeignKeyConstraint(["sitting"], ["tl_sittings.id"]),
)
#: Everything a person did, never altered. kind: mark, accept, reject, time, observe, second,
#: appeal, release, lock, forget.
changes = Table(
    "tl_changes",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("sitting", String(120), nullable=False, index=True),
    _candidate(nullable=False),
    Column("item", String(60), nullable=False),
    Column("time", String(20), nullable=False),
    Column("by", Text, nullable=False),
    Column("kind", String(10), nullable=False),
    Column("old", Text, nullable=False),
    Column("new", Text, nullable=False),
    Column("reason", Text, nullable=False),
)
#: Marks of a second marker, who has not seen the first ones.
seconds = Table(
    "tl_seconds",
    METADATA,
    _sitting(),
    _candidate(primary_key=True),
    Column("item", String(60), primary_key=True),
    Column("by", String(80), primary_key=True),
    Column("marks", Double, nullable=False),
    Column("time", String(20), nullable=False),
)


def packed(content: bytes) -> bytes:
    """Bytes as they are kept."""
    return zlib.compress(content, 6)


def unpacked(kept: bytes, limit: int = 16_000_000) -> bytes:
    """The bytes that were kept."""
    return zlib.decompressobj().decompress(kept, limit)


def as_text(value: object) -> str:
    """Data as text that is the same for the same data."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
