"""The Markdown of a lesson as blocks of a printed page, without what only a screen can do, and axes
to draw a guess in.
"""

import re
from dataclasses import replace

import mistune

from tractionlab.paint.blocks import Heading, Picture, Rows, Text
from tractionlab.paint.printed import png
from tractionlab.view import Chart, View

_PARSE = mistune.create_markdown(renderer=None, plugins=["table"])
#: Words about the screen -> what stands on paper.
_SCREEN_WORDS = (
    (r"\s*In the panel below:\s*\Z", ""),
    (r"in the panel below", "in the picture"),
    (r" in the panel above", ""),
    (r"A click on a part tells[^.]*\.", ""),
    (
        r"Click the (.*), and read what happens if each fails\.",
        r"What happens if each of these fails: the \1?",
    ),
    (
        (
            r"Click the parts one after the other, as the fluid flows through them\.( A wrong click"
            r" tells[^.]*\.)?"
        ),
        "Colour the way of the fluid in the drawing, each way in a colour of its own.",
    ),
)


def plain(source):
    """Blocks of a document from the Markdown of a lesson, without its title and without words about
    the screen, which stand in italics.
    """
    blocks = [block for token in _PARSE(source) for block in _blocks(token)]
    return [block for block in map(_for_paper, blocks) if getattr(block, "text", "shown")]


def axes_of(entry):
    """Blocks with axes to draw the curve of a prediction in; none if it has no curve."""
    if "draw" not in entry:
        return []
    draw, points = entry["draw"], entry["draw"]["points"]
    axes = Chart(
        title="",
        x=draw["x"],
        y=draw["y"],
        x_range=(points[0], points[-1]),
        y_range=tuple(draw["range"]),
    )
    empty = png(View(charts=(axes,), sentence=""))
    return [Text(draw["ask"], keep=True), Picture(empty, f"Axes: {draw['y']} over {draw['x']}.")]


def _for_paper(block):
    """The block with words for paper in place of those about the screen; its text may be empty
    then.
    """
    if not isinstance(block, Text):
        return block
    text = block.text
    for screen, paper in _SCREEN_WORDS:
        text = re.sub(screen, paper, text)
    return replace(block, text=text.rstrip())


def _blocks(token):
    kind, inner = token["type"], token.get("children", ())
    if kind == "heading" and token["attrs"]["level"] > 1:
        yield Heading(_words_of(token))
    elif kind in ("paragraph", "block_text") and [part["type"] for part in inner] != ["emphasis"]:
        yield Text(_words_of(token))
    elif kind == "block_quote":
        yield from (
            replace(block, text="      " + block.text) for part in inner for block in _blocks(part)
        )
    elif kind == "list":
        for number, item in enumerate(inner, 1):
            mark = f"{number}." if token["attrs"]["ordered"] else "\u2022"
            yield Text(f"{mark}  " + " ".join(map(_words_of, item["children"])))
    elif kind == "table":
        head, body = inner
        yield Rows(
            "",
            tuple(map(_words_of, head["children"])),
            tuple(tuple(map(_words_of, row["children"])) for row in body["children"]),
        )


def _words_of(token):
    if token["type"] in ("softbreak", "linebreak"):
        return " "
    return token["raw"] if "raw" in token else "".join(map(_words_of, token.get("children", ())))
