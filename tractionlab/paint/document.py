"""A printed page as data, and its two forms: one self-contained HTML file and one PDF.

No network, no browser, same content same bytes.
"""

import base64
from dataclasses import dataclass, field
from html import escape
from pathlib import Path

from tractionlab.paint.blocks import Heading, Lines, Picture, Rows, Signature, Text

_HERE = Path(__file__).parent
_STYLE = (_HERE / "page.css").read_text(encoding="utf-8")
_IN_NOTEBOOK = (_HERE / "sheet.css").read_text(encoding="utf-8")


@dataclass
class Document:
    """A title and its blocks in order. about: what it belongs to, such as a sitting and its day, at
    the foot of each sheet.
    """

    title: str
    blocks: list = field(default_factory=list)
    about: str = ""

    def save(self, stem):
        """Write stem.html and stem.pdf; returns both paths."""
        stem = Path(stem)
        paths = stem.with_name(stem.name + ".html"), stem.with_name(stem.name + ".pdf")
        for path, content in zip(paths, [self.html().encode(), self.pdf()]):
            path.write_bytes(content)
        return paths

    def html(self):
        """One page that needs nothing else."""
        body = "\n".join(_html(block) for block in self.blocks)
        body += f"\n<p>{escape(self.about)}</p>" * bool(self.about)
        return (
            '<!DOCTYPE html>\n<html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport"'
            ' content="width=device-width">'
            f"<title>{escape(self.title)}</title><style>{_STYLE}</style></head>\n<body><main>"
            f"<h1>{escape(self.title)}</h1>\n{body}\n</main></body></html>\n"
        )

    def pdf(self):
        """A PDF on A4 sheets."""
        from tractionlab.paint.pdf import pdf  # reportlab and matplotlib load for print alone

        return pdf(self.title, self.blocks, self.about)


def fragment(blocks):
    """Blocks as HTML for a notebook: the plain look of the pages, inside the notebook's own."""
    body = "".join(_html(block) for block in blocks)
    return f'<div class="tl-sheet"><style>{_IN_NOTEBOOK}</style>{body}</div>' if blocks else ""


def _html(block):
    if isinstance(block, Heading):
        return f"<h2>{escape(block.text)}</h2>"
    if isinstance(block, Text):
        words = (
            f'<a href="{escape(block.link)}">{escape(block.text)}</a>'
            if block.link
            else escape(block.text)
        )
        words = f"<strong>{words}</strong>" if block.strong else words
        return f'<p class="keep">{words}</p>' if block.keep else f"<p>{words}</p>"
    if isinstance(block, Lines):
        return '<div class="rule"></div>' * block.count
    if isinstance(block, Rows):
        mark = [' class="number"' if i in block.numbers else "" for i in range(len(block.head))]
        head = "".join(
            f'<th scope="col"{where}>{escape(cell)}</th>' for cell, where in zip(block.head, mark)
        )
        cells = [[escape(cell).replace("\n", "<br>") for cell in row] for row in block.rows]
        body = "".join(
            f'<tr><th scope="row">{first}</th>'
            + "".join(f"<td{where}>{cell}</td>" for cell, where in zip(rest, mark[1:]))
            + "</tr>"
            for first, *rest in cells
        )
        room = ' class="room"' if block.room else ""
        return (
            f"<table{room}><caption>{escape(block.caption)}</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
        )
    if isinstance(block, Picture):
        return (
            f'<figure><img alt="{escape(block.alt)}"'
            f' src="data:image/png;base64,{base64.b64encode(block.png).decode()}"><figcaption'
            f' aria-hidden="true">{escape(block.alt)}</figcaption></figure>'
        )
    if isinstance(block, Signature):
        return f'<p class="line">{escape(block.text)}</p>'
    return '<div class="page"></div>'
