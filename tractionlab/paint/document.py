"""A printed page as data, and its two forms: one self-contained HTML file and one PDF.

No network, no browser, same content same bytes.
"""

import base64
import re
from bisect import bisect_left
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape
from io import BytesIO
from pathlib import Path

_STYLE = """body{font:16px/1.5 system-ui,sans-serif;color:#111;background:#fff;max-width:52rem;margin:1.5rem auto;padding:0 1rem}
h1{font-size:1.6rem}h2{font-size:1.2rem;margin-top:1.8rem}table{border-collapse:collapse;width:100%;margin:0 0 1rem}caption{text-align:left;font-weight:700;padding-bottom:.3rem}
th,td{border-bottom:1px solid #888;padding:.25rem .6rem .25rem 0;text-align:left;vertical-align:top}.number{text-align:right;font-variant-numeric:tabular-nums;padding-right:1.4rem}thead th{border-bottom:2px solid #111}
.room td{height:2.4rem;border-left:1px solid #888}img{max-width:100%;height:auto}.line{border-top:1px solid #111;width:60%;margin-top:3rem;padding-top:.2rem}.rule{border-bottom:1px solid #888;height:1.7rem}figure{margin:0 0 1rem}a{color:#00568a}
@media print{.keep{break-after:avoid}body{margin:0;max-width:none}h2{break-after:avoid}tr,img{break-inside:avoid}.page{break-before:page}}"""

_IN_NOTEBOOK = """.tl-sheet{max-width:52rem;font:15px/1.45 system-ui,sans-serif}.tl-sheet p{margin:.2rem 0}.tl-sheet h2{font-size:1.1rem;margin:1rem 0 .3rem}
.tl-sheet table{border-collapse:collapse;margin:.4rem 0}.tl-sheet caption{text-align:left;font-weight:700;white-space:nowrap}
.tl-sheet :is(th,td){text-align:left;vertical-align:top;font-weight:400;padding:.15rem 1.2rem .15rem 0;border-bottom:1px solid #999}.tl-sheet thead th{font-weight:700}.tl-sheet :is(th,td).number{text-align:right;font-variant-numeric:tabular-nums}"""


#: A number, perhaps with the most it could be: "3", "12.5 of 40".
_NUMBER = re.compile(r"[-\u2212]?\d+(?:[.,]\d+)?(?: of \d+)?")


@dataclass(frozen=True)
class Heading:
    """A heading inside the page."""

    text: str


@dataclass(frozen=True)
class Text:
    """A paragraph; with `link` it is a link to that file beside the learner's notebooks.

    `keep`: on one sheet with what follows.
    """

    text: str
    link: str = ""
    strong: bool = False
    keep: bool = False


#: The first line of a sheet that is filled in by hand.
NAME_AND_DATE = Text("Name: ______________________________     Date: ____________________")


@dataclass(frozen=True)
class Rows:
    """A table: caption, titles of the columns, rows of texts, whose lines newlines part. `widths`:
    shares of the page for print. `room`: rows high enough to write in."""

    caption: str
    head: tuple
    rows: tuple
    widths: tuple = ()
    room: bool = False

    @property
    def numbers(self):
        """Places of the columns that hold nothing but numbers; they stand to the right."""
        columns = [[cell for cell in column if cell] for column in zip(*self.rows)]
        return {
            i
            for i, column in enumerate(columns)
            if i and column and all(_NUMBER.fullmatch(cell) for cell in column)
        }


@dataclass(frozen=True)
class Picture:
    """A picture (PNG bytes) and what it shows in words.

    `leave`: height [pt] of its sheet that it leaves for what stands above it.
    """

    png: bytes
    alt: str
    leave: float = 40.0


@dataclass(frozen=True)
class Lines:
    """Room to write in: so many ruled lines."""

    count: int


@dataclass(frozen=True)
class Signature:
    """A line to sign on, with what stands below it."""

    text: str


@dataclass(frozen=True)
class Page:
    """Begin a new sheet."""


@dataclass
class Document:
    """A title and its blocks in order."""

    title: str
    blocks: list = field(default_factory=list)

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
        return (
            '<!DOCTYPE html>\n<html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport"'
            ' content="width=device-width">'
            f"<title>{escape(self.title)}</title><style>{_STYLE}</style></head>\n<body><main><h1>{escape(self.title)}</h1>\n{body}\n</main></body></html>\n"
        )

    def pdf(self):
        """A PDF on A4 sheets."""
        from reportlab.lib.pagesizes import A4
        from reportlab.lib.units import mm
        from reportlab.platypus import CondPageBreak, Paragraph, SimpleDocTemplate

        _fonts()
        target, styles = BytesIO(), _styles()
        page = SimpleDocTemplate(
            target,
            pagesize=A4,
            leftMargin=20 * mm,
            rightMargin=18 * mm,
            topMargin=18 * mm,
            bottomMargin=18 * mm,
            title=self.title,
            author="",
            invariant=1,
            lang="en-GB",
        )
        story = [Paragraph(escape(self.title), styles["title"])]
        for block in self.blocks:
            story += [CondPageBreak(_HEADING_NEEDS)] if isinstance(block, Heading) else []
            story += _flow(block, styles, page.width - _PADDING, page.height - _PADDING)
        page.build(story, onFirstPage=_foot, onLaterPages=_foot)
        return target.getvalue()


def fragment(blocks):
    """Blocks as HTML for a notebook: the plain look of the pages, inside the notebook's own."""
    return (
        "<div"
        f' class="tl-sheet"><style>{_IN_NOTEBOOK}</style>{"".join(_html(block) for block in blocks)}</div>'
        if blocks
        else ""
    )


#: What reportlab's frame keeps free on both sides together [pt]. A table that is wider than the
#: rest is never split over pages.
_PADDING = 12
#: Room a heading needs on its sheet for what follows it [pt].
_HEADING_NEEDS = 110
#: Highest cell of a table [pt]; a row is never split, so a higher one would fit no sheet.
_HIGHEST_CELL = 560
#: More signs than that never fit into one [-]: 51 lines of the narrowest letter over the whole
#: sheet.
_LONGEST_CELL = 11_000
_CUT = " ... (cut here; the web page of the same name has all of it)"
#: Height of a line to write on [pt].
_RULE = 20


def _lines(text, end):
    return escape(text).replace("\n", end)


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
        cells = [[_lines(cell, "<br>") for cell in row] for row in block.rows]
        body = "".join(
            "<tr><th"
            f' scope="row">{first}</th>{"".join(f"<td{where}>{cell}</td>" for cell, where in zip(rest, mark[1:]))}</tr>'
            for first, *rest in cells
        )
        room = ' class="room"' if block.room else ""
        return f"<table{room}><caption>{escape(block.caption)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    if isinstance(block, Picture):
        return (
            f'<figure><img alt="{escape(block.alt)}"'
            f' src="data:image/png;base64,{base64.b64encode(block.png).decode()}"><figcaption'
            f' aria-hidden="true">{escape(block.alt)}</figcaption></figure>'
        )
    if isinstance(block, Signature):
        return f'<p class="line">{escape(block.text)}</p>'
    return '<div class="page"></div>'


@lru_cache(1)
def _fonts():
    import matplotlib
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    pdfmetrics.registerFont(TTFont("Plain", folder / "DejaVuSans.ttf"))
    pdfmetrics.registerFont(TTFont("Strong", folder / "DejaVuSans-Bold.ttf"))


@lru_cache(1)
def _styles():
    from reportlab.lib.enums import TA_RIGHT
    from reportlab.lib.styles import ParagraphStyle

    plain = ParagraphStyle("plain", fontName="Plain", fontSize=9.5, leading=13, spaceAfter=5)
    found = {
        "plain": plain,
        "strong": ParagraphStyle("strong", plain, fontName="Strong"),
        "cell": ParagraphStyle("cell", plain, fontSize=8.5, leading=11, spaceAfter=0),
        "head": ParagraphStyle(
            "head", plain, fontName="Strong", fontSize=8.5, leading=11, spaceAfter=0
        ),
        "caption": ParagraphStyle(
            "caption", plain, fontName="Strong", fontSize=8.5, leading=11, spaceAfter=2
        ),
        "title": ParagraphStyle(
            "title", plain, fontName="Strong", fontSize=15, leading=19, spaceAfter=8
        ),
        "heading": ParagraphStyle(
            "heading",
            plain,
            fontName="Strong",
            fontSize=11.5,
            leading=15,
            spaceBefore=8,
            spaceAfter=4,
            keepWithNext=1,
        ),
    }
    return found | {
        f"{name} number": ParagraphStyle(
            f"{name} number", found[name], alignment=TA_RIGHT, rightIndent=8
        )
        for name in ("head", "cell")
    }


def _flow(block, styles, width, height):
    from reportlab.platypus import HRFlowable, PageBreak, Paragraph, Spacer

    if isinstance(block, Heading):
        return [Paragraph(escape(block.text), styles["heading"])]
    if isinstance(block, Text):
        words = Paragraph(escape(block.text), styles["strong" if block.strong else "plain"])
        words.keepWithNext = block.keep
        return [words]
    if isinstance(block, Lines):
        rule = HRFlowable(width="100%", thickness=0.5, color="grey", spaceBefore=_RULE)
        return [rule] * block.count + [Spacer(1, 8)]
    if isinstance(block, Rows):
        return _table(block, styles, width)
    if isinstance(block, Picture):
        return _picture(block, styles, width, height)
    if isinstance(block, Signature):
        return [
            Spacer(1, 26),
            HRFlowable(width="60%", hAlign="LEFT", thickness=0.8, color="black"),
            Paragraph(escape(block.text), styles["cell"]),
        ]
    return [PageBreak()]


def _picture(block, styles, width, height):
    """The picture, no wider and no higher than leaves room for its words and its heading on one
    sheet; all three stay together.
    """
    from reportlab.platypus import Image, Paragraph, Spacer

    words = Paragraph(escape(block.alt), styles["cell"])
    image = Image(BytesIO(block.png))
    most = height - block.leave - words.wrap(width, height)[1]
    scale = min(width / image.imageWidth, most / image.imageHeight, 1.0)
    image.drawWidth, image.drawHeight = image.imageWidth * scale, image.imageHeight * scale
    image.keepWithNext = True
    return [image, words, Spacer(1, 6)]


def _table(block, styles, width):
    from reportlab.lib import colors
    from reportlab.platypus import CondPageBreak, Paragraph, Spacer, Table, TableStyle

    shares = block.widths or (1.0,) * len(block.head)
    widths = [width * share / sum(shares) for share in shares]
    style = lambda name, i: styles[f"{name} number" if i in block.numbers else name]
    cells = [
        [Paragraph(escape(cell), style("head", i)) for i, cell in enumerate(block.head)],
        *(
            [_cell(cell, style("cell", i), widths[i]) for i, cell in enumerate(row)]
            for row in block.rows
        ),
    ]
    heights = [None] + [26 if block.room else None] * len(block.rows)
    between = [("LINEBEFORE", (1, 1), (-1, -1), 0.4, colors.grey)] if block.room else []
    table = Table(cells, colWidths=widths, rowHeights=heights, repeatRows=1)
    table.setStyle(
        TableStyle(
            [
                *between,
                ("LINEBELOW", (0, 0), (-1, 0), 1, colors.black),
                ("LINEBELOW", (0, 1), (-1, -1), 0.4, colors.grey),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("LEFTPADDING", (1, 0), (-1, -1), 4 if block.room else 0),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    return [
        CondPageBreak(70),
        Paragraph(escape(block.caption), styles["caption"]),
        table,
        Spacer(1, 8),
    ]


def _cell(text, style, width):
    """Paragraph of a cell; what is too high for a sheet is cut, and says so."""
    from reportlab.platypus import Paragraph

    made = lambda words: Paragraph(_lines(words, "<br/>"), style)
    fits = lambda words: made(words).wrap(width, _HIGHEST_CELL)[1] <= _HIGHEST_CELL
    if len(text) < 200 or fits(text):
        return made(text)
    places = range(min(len(text), _LONGEST_CELL))
    return made(
        text[: bisect_left(places, True, key=lambda n: not fits(text[:n] + _CUT)) - 1] + _CUT
    )


def _foot(canvas, page):
    canvas.setFont("Plain", 8)
    canvas.drawRightString(
        page.leftMargin + page.width, 24, f"{page.title}   {canvas.getPageNumber()}"
    )
