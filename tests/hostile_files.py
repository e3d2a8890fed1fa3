"""More than 200 kinds of answer files that somebody could make to crash marking or to gain marks.

Each is made by code from an honest file.
"""

import gzip
import io
import json
import pickle
import struct
import tarfile
import zipfile
import zlib

from sittings import clock, file_of, lines_of, written

from tractionlab.assess.answers import line as answer_line

#: What an honest name, number or value is replaced by.
NAMES = {
    "up": "../../etc/passwd",
    "drive": "C:\\Windows\\win.ini",
    "null": "a\x00b",
    "empty": "",
    "spaces": "   ",
    "slash": "/",
    "formula": "=1+1",
    "markup": "<script>alert(1)</script>",
    "sql": "x'; DROP TABLE tl_marks; --",
    "format": "{0.__class__}%s%n",
    "long": "9" * 3000,
    "number": 7,
    "list": ["007"],
    "none": None,
}
STRANGE_VALUES = {
    "escape": "\x1b[2J",
    "zero": "1\x00",
    "turn": "\u202e12",
    "invisible": "1\u200b2",
    "huge_text": "9" * 20_000,
    "many": list(range(5000)),
    "wide": {str(i): i for i in range(3000)},
}
RAW_VALUES = {
    "nan": "NaN",
    "infinity": "Infinity",
    "minus_infinity": "-Infinity",
    "overflow": "1e999",
    "huge_whole": "9" * 400,
    "more_than_digits": "9" * 5000,
    "deep_8": "[" * 8 + "]" * 8,
    "deep_100": "[" * 100 + "]" * 100,
    "deep_10000": "[" * 10_000 + "]" * 10_000,
    "deep_tables": '{"a":' * 50 + "1" + "}" * 50,
    "double_key": '{"a":1,"a":2}',
    "half_pair": '"\\ud800"',
    "raw_control": '"\x01"',
    "raw_newline_escape": '"\\u0000"',
    "comment": '"A"/*x*/',
    "single_quotes": "'A'",
    "undefined": "undefined",
    "call": "exit()",
    "hex": "0x1F",
    "underscore": "1_000",
    "leading_zero": "007",
    "plus": "+1",
    "trailing_comma": '["A",]',
    "unclosed": '["A"',
    "large": "1e13",
    "proto": '{"__proto__":{"marks":99},"__proto__":1}',
}


def swap(content, *pair):
    """Lines in another order."""
    lines = content.splitlines(keepends=True)
    a, b = pair
    lines[a], lines[b] = lines[b], lines[a]
    return b"".join(lines)


def raw_line(n, last, inside, time=None):
    """A line with any text as its entries, with a true hash of its own."""
    import hashlib

    body = ('{"n":%s,"time":"%s",%s,"before":"%s"}' % (n, time or clock(20), inside, last)).encode(
        "utf-8", "surrogatepass"
    )
    digest = hashlib.sha256(body).hexdigest()
    return body[:-1] + b',"hash":"' + digest.encode() + b'"}\n', digest


def first_line(sitting, number):
    """(bytes, hash) of an honest first line."""
    (kind, entries), *_ = lines_of(sitting, number, [])
    return answer_line.make(0, kind, sitting.seal(number), time=clock(0), **entries)


def kinds(sitting, other, number_of, right):
    """Yields (kind, bytes).

    number_of : callable, a fresh candidate number for each kind; right : callable, right answers
        [(item, field, value)] of a candidate;
    other : another Sitting of the same paper with the same roll.
    """
    yield from _changed(sitting, number_of, right)
    yield from _lines(sitting, number_of, right)
    yield from _foreign(sitting, other, number_of, right)
    yield from _entries(sitting, number_of, right)
    yield from _not_answers(sitting, number_of, right)


def _changed(sitting, number_of, right):
    """Honest files that were changed afterwards."""
    for share in (1, 3, 7, 13, 22, 35, 48, 61, 77, 88, 97):
        content = file_of(sitting, number := number_of(), right(number))
        yield f"cut_at_{share}_percent", content[: len(content) * share // 100]
    for kept in (1, 2, 4):
        content = file_of(sitting, number := number_of(), right(number))
        yield f"only_{kept}_lines", b"".join(content.splitlines(keepends=True)[:kept])
    for a, b in ((0, 1), (1, 2), (2, 4), (3, -1), (0, -1), (-2, -1)):
        yield f"swapped_{a}_{b}", swap(file_of(sitting, number := number_of(), right(number)), a, b)
    for name, turn in (
        ("reversed", lambda lines: lines[::-1]),
        ("rotated", lambda lines: lines[2:] + lines[:2]),
        ("doubled", lambda lines: lines * 2),
        ("head_twice", lambda lines: lines[:1] + lines),
        ("without_head", lambda lines: lines[1:]),
        ("every_other", lambda lines: lines[::2]),
        ("middle_left_out", lambda lines: lines[:2] + lines[4:]),
        ("last_answer_left_out", lambda lines: lines[:-2] + lines[-1:]),
    ):
        yield (
            name,
            b"".join(
                turn(
                    file_of(sitting, number := number_of(), right(number)).splitlines(keepends=True)
                )
            ),
        )
    for name, old, new in (
        ("kind", b'"kind":"answer"', b'"kind":"ANSWER"'),
        ("number", b'"n":2', b'"n":3'),
        ("time", clock(20).encode(), clock(21).encode()),
        ("space", b'"n":1,', b'"n": 1,'),
        ("own_work", b'"own_work":true', b'"own_work":false'),
        ("candidate", b'"candidate":"', b'"candidate":"1'),
        ("byte_order_mark", b'{"n":0', b'\xef\xbb\xbf{"n":0'),
        ("tab", b'"n":2', b'\t"n":2'),
        ("nul", b'"n":2', b'\x00"n":2'),
        ("not_utf8", b'"n":2', b'\xff"n":2'),
        ("overlong", b'"n":2', b'\xc0\xaf"n":2'),
        ("carriage_returns", b"\n", b"\r\n"),
        ("blank_lines", b"\n", b"\n\n"),
    ):
        yield (
            f"edited_{name}",
            file_of(sitting, number := number_of(), right(number)).replace(
                old, new, -1 if old == b"\n" else 1
            ),
        )
    for place in (1, 2, -2):
        lines = file_of(sitting, number := number_of(), right(number)).splitlines(keepends=True)
        lines[place] = lines[place].replace(b'"value":', b'"value":"Z","was":')
        yield f"edited_value_{place}", b"".join(lines)
    lines = file_of(sitting, number := number_of(), right(number)).splitlines(keepends=True)
    kind, entries = lines_of(sitting, number, right(number))[1]
    lines[1], _ = answer_line.make(
        1, kind, json.loads(lines[1])["before"], time=clock(20), **(entries | {"value": "A1"})
    )
    yield "edited_with_a_new_hash_of_its_own", b"".join(lines)


def _lines(sitting, number_of, right):
    """Lines where they cannot stand, and times that cannot be."""

    def built(change, step=20):
        number = number_of()
        return written(change(lines_of(sitting, number, right(number))), sitting.seal(number), step)

    yield "answer_after_hand_in", built(lambda lines: [*lines, lines[1]])
    yield "handed_in_twice", built(lambda lines: [*lines, lines[-1]])
    yield "handed_in_first", built(lambda lines: [lines[-1], *lines])
    yield "started_twice", built(lambda lines: [lines[0], *lines])
    yield (
        "without_declaration",
        built(lambda lines: [*lines[:-1], ("hand_in", {"own_work": False})]),
    )
    yield "opened_before_start", built(lambda lines: [("opened", {"version": "9"}), *lines])
    yield (
        "unknown_item",
        built(
            lambda lines: [
                lines[0],
                ("answer", {"item": "99-none", "field": "answer", "value": "A"}),
                *lines[1:],
            ]
        ),
    )
    yield (
        "unknown_field",
        built(lambda lines: [lines[0], ("answer", lines[1][1] | {"field": "marks"}), *lines[1:]]),
    )
    yield "format_99", built(lambda lines: [("start", lines[0][1] | {"format": 99}), *lines[1:]])
    yield "all_too_late", built(lambda lines: lines, step=5000)
    for sign, text in enumerate(
        ("=HYPERLINK(0)", "+cmd|' /C calc'!A0", "@SUM(A1)", "=1+1", "-cmd", "\n=1+1", "\uff1d1+1")
    ):
        yield (
            f"formula_{sign}",
            built(
                lambda lines: [
                    (kind, entries | {"value": text} if kind == "answer" else entries)
                    for kind, entries in lines
                ]
            ),
        )
    for name, time in (
        ("month_13", "2026-13-02T09:00:00Z"),
        ("day_31", "2026-02-31T09:00:00Z"),
        ("offset", "2026-03-02T09:00:00+01:00"),
        ("no_zone", "2026-03-02T09:00:00"),
        ("words", "today"),
        ("year_1999", "1999-03-02T09:00:00Z"),
        ("second_99", "2026-03-02T09:00:99Z"),
        ("clock_back", "2026-03-02T08:00:00Z"),
        ("far_future", "2099-03-02T09:00:00Z"),
    ):
        number = number_of()
        lines, raw, last = lines_of(sitting, number, right(number)), [], sitting.seal(number)
        for n, (kind, entries) in enumerate(lines):
            line, last = answer_line.make(
                n, kind, last, time=time if n == 1 else clock(n * 20), **entries
            )
            raw.append(line)
        yield f"time_{name}", b"".join(raw)
    for name, aside in (("up", "../up"), ("nul", ".nul"), ("long", "a" * 200)):
        yield (
            f"mended_{name}",
            built(
                lambda lines: [
                    lines[0],
                    ("mended", {"aside": aside, "bytes": 3, "digest": "x"}),
                    *lines[1:],
                ]
            ),
        )


def _foreign(sitting, other, number_of, right):
    """Files of others, and files that claim to be of others."""
    yield "of_another_sitting", file_of(other, number := number_of(), right(number))
    number, victim = number_of(), number_of()
    yield (
        "with_a_seal_of_ones_own",
        written(lines_of(sitting, victim, right(victim)), sitting.seal(number)),
    )
    yield (
        "with_a_seal_of_zeros",
        written(lines_of(sitting, number := number_of(), right(number)), "0" * 64),
    )
    yield (
        "head_of_one_answers_of_another",
        b"".join(
            file_of(sitting, number := number_of(), right(number)).splitlines(keepends=True)[:1]
            + file_of(sitting, number := number_of(), right(number)).splitlines(keepends=True)[1:]
        ),
    )
    for entry in ("sitting", "paper", "candidate"):
        for name, value in NAMES.items():
            number = number_of()
            inside = {
                "kind": "start",
                "format": 1,
                "sitting": sitting.id,
                "paper": sitting.paper["id"],
                "candidate": number,
            } | {entry: value}
            head, last = raw_line(0, sitting.seal(number), json.dumps(inside)[1:-1])
            rest = [head]
            for n, (kind, entries) in enumerate(lines_of(sitting, number, right(number))[1:], 1):
                line, last = answer_line.make(n, kind, last, time=clock(20 * n), **entries)
                rest.append(line)
            yield f"{entry}_{name}", b"".join(rest)


def _entries(sitting, number_of, right):
    """Second lines whose entries are not what they should be, with true hashes throughout."""

    def with_second(inside):
        number = number_of()
        head, last = first_line(sitting, number)
        second, last = raw_line(1, last, inside(right(number)[0]))
        rest = [head, second]
        for n, (kind, entries) in enumerate(lines_of(sitting, number, right(number))[1:], 2):
            line, last = answer_line.make(n, kind, last, time=clock(20 * n), **entries)
            rest.append(line)
        return b"".join(rest)

    def answer(value):
        return lambda first: (
            f'"kind":"answer","item":{json.dumps(first[0])},'
            f'"field":{json.dumps(first[1])},"value":{value}'
        )

    for name, value in RAW_VALUES.items():
        yield f"value_{name}", with_second(answer(value))
    for name, value in STRANGE_VALUES.items():
        yield f"value_{name}", with_second(answer(json.dumps(value)))
    for name, inside in (
        ("no_kind", '"item":"a"'),
        ("kind_list", '"kind":["answer"]'),
        ("kind_none", '"kind":null'),
        ("kind_unknown", '"kind":"mark","marks":99'),
        ("extra", '"kind":"opened","version":"1","marks":99'),
        ("missing", '"kind":"opened"'),
        ("twice", '"kind":"opened","version":"1","version":"2"'),
        ("kind_twice", '"kind":"opened","kind":"hand_in","version":"1"'),
        ("version_number", '"kind":"opened","version":1'),
        ("own_work_text", '"kind":"hand_in","own_work":"true"'),
        ("item_list", '"kind":"answer","item":["a"],"field":"b","value":1'),
        ("bytes_true", '"kind":"mended","aside":"a","bytes":true,"digest":"x"'),
        ("second_before", '"kind":"opened","version":"1","before":"x"'),
        ("second_n", '"kind":"opened","version":"1","n":0'),
        ("python", '"kind":"opened","version":__import__("os").getcwd()'),
    ):
        yield f"entry_{name}", with_second(lambda first: inside)
    for name, n in (
        ("text", '"1"'),
        ("float", "1.0"),
        ("true", "true"),
        ("none", "null"),
        ("minus", "-1"),
        ("huge", "1" * 30),
    ):
        number = number_of()
        head, last = first_line(sitting, number)
        yield f"n_{name}", head + raw_line(n, last, '"kind":"opened","version":"1"')[0]
    for name, text in (
        ("list", b"[1,2]\n"),
        ("number", b"7\n"),
        ("null", b"null\n"),
        ("text", b'"x"\n'),
        ("nothing", b"{}\n"),
        ("long_line", b"x" * 200_000 + b"\n"),
    ):
        number = number_of()
        yield f"second_line_{name}", first_line(sitting, number)[0] + text


class _Danger:
    """Would run a command if anybody unpickled it."""

    def __reduce__(self):
        import os

        return os.system, ("exit 1",)


def _not_answers(sitting, number_of, right):
    """Content that is no answer file at all."""
    honest = file_of(sitting, number := number_of(), right(number))
    zipped = io.BytesIO()
    with zipfile.ZipFile(zipped, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("../../answers.jsonl", honest)
        archive.writestr("bomb", b"\0" * 5_000_000)
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w") as archive:
        archive.addfile(tarfile.TarInfo("/etc/answers.jsonl"))
    yield from {
        "empty": b"",
        "one_newline": b"\n",
        "blanks": b" \t\r\n" * 50,
        "nul_bytes": b"\0" * 5000,
        "all_bytes": bytes(range(256)) * 20,
        "zip_bomb": zipped.getvalue(),
        "tar": packed.getvalue(),
        "gzip": gzip.compress(honest),
        "gzip_bomb": gzip.compress(b"\0" * 5_000_000),
        "zlib": zlib.compress(honest),
        "pickle": pickle.dumps(_Danger()),
        "pickle_text": b"cos\nsystem\n(S'exit 1'\ntR.",
        "png": b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 2**31),
        "pdf": b"%PDF-1.7\n",
        "program": b"\x7fELF" + b"\0" * 100,
        "script": b"#!/bin/sh\nexit 1\n",
        "python": b"import os\nos._exit(1)\n",
        "html": b"<html><script>alert(1)</script>",
        "laughs": b'<!DOCTYPE l [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><l>&b;</l>',
        "yaml": b"!!python/object/apply:os.system ['exit 1']\n",
        "csv": b"candidate,marks\n001,100\n",
        "toml": b"[marks]\nall = 100\n",
        "json_list": b"[" + b"1," * 10_000 + b"1]",
        "json_marks": b'{"candidate":"001","marks":100}\n',
        "brackets": b"[" * 100_000,
        "braces": b'{"a":' * 50_000,
        "quotes": b'"' * 100_001,
        "backslashes": b'"' + b"\\" * 99_999 + b"\n",
        "utf16": honest.decode().encode("utf-16"),
        "notebook": b'{"cells":[],"nbformat":4}',
        "one_long_line": b"A" * 3_000_000,
        "many_lines": b"{}\n" * 60_000,
        "too_large": b"\n".join([honest] * 20) + b" " * 8_000_001,
        "base64": __import__("base64").b64encode(honest),
        "half_pairs": "\udc80\udcff".encode("utf-8", "surrogatepass") * 50,
        "sqlite": b"SQLite format 3\0" + b"\0" * 84,
    }.items()
