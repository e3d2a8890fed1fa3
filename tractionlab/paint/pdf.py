"""Blocks of a page as a PDF on A4 sheets, set with reportlab: same content, same bytes."""

from bisect import bisect_left
from functools import lru_cache, partial
from html import escape
from io import BytesIO
from pathlib import Path

import matplotlib
from reportlab import rl_config
from reportlab.lib import colors
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import (
    CondPageBreak,
    HRFlowable,
    Image,
    KeepTogether,
    PageBreak,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
    Table,
    TableStyle,
)

from tractionlab.paint.blocks import Heading, Lines, Picture, Rows, Signature, Text

#: What reportlab's frame keeps free on both sides together [pt]. A table that is wider than the
#: rest is never split over pages.
_PADDING = 12
#: Room a heading needs on its sheet for what follows it [pt].
_HEADING_NEEDS = 110
#: Highest cell of a table [pt]; a row is never split, so a higher one would fit no sheet.
_HIGHEST_CELL = 560
#: What a table leaves free left and right of a cell's words.
_CELL_PADDING = 12
#: More signs than that never fit into one [-]: 51 lines of the narrowest letter over the whole
#: sheet.
_LONGEST_CELL = 11_000
_CUT = " ... (cut here; the web page of the same name has all of it)"
#: Height of a line to write on [pt].
_RULE = 20
#: Pictures and pages as plain bytes: as letters they are a quarter longer, and slow to write.
rl_config.useA85 = 0


def pdf(title, blocks, about=""):
    """Bytes of the PDF: `title` and the blocks in order; `about` stands at the foot of each sheet
    and is the file's subject.
    """
    _fonts()
    target, styles = BytesIO(), _styles()
    page = SimpleDocTemplate(
        target,
        pagesize=A4,
        leftMargin=20 * mm,
        rightMargin=18 * mm,
        topMargin=18 * mm,
        bottomMargin=18 * mm,
        title=title,
        author="",
        subject=about.encode("ascii", "replace").decode(),
        invariant=1,
        lang="en-GB",
    )
    story = [Paragraph(escape(title), styles["title"])]
    for block in blocks:
        story += [CondPageBreak(_HEADING_NEEDS)] if isinstance(block, Heading) else []
        story += _flow(block, styles, page.width - _PADDING, page.height - _PADDING)
    foot = partial(_foot, about=about)
    page.build(story, onFirstPage=foot, onLaterPages=foot)
    return target.getvalue()


@lru_cache(1)
def _fonts():
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    pdfmetrics.registerFont(TTFont("Plain", folder / "DejaVuSans.ttf"))
    pdfmetrics.registerFont(TTFont("Strong", folder / "DejaVuSans-Bold.ttf"))


@lru_cache(1)
def _styles():
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
            KeepTogether(
                [
                    Spacer(1, 26),
                    HRFlowable(width="60%", hAlign="LEFT", thickness=0.8, color="black"),
                    Paragraph(escape(block.text), styles["cell"]),
                ]
            )
        ]
    return [PageBreak()]


def _picture(block, styles, width, height):
    """The picture, no wider and no higher than leaves room for its words and its heading on one
    sheet; all three stay together.
    """
    words = Paragraph(escape(block.alt), styles["cell"])
    image = Image(BytesIO(block.png))
    most = height - block.leave - words.wrap(width, height)[1]
    scale = min(width / image.imageWidth, most / image.imageHeight, 1.0)
    image.drawWidth, image.drawHeight = image.imageWidth * scale, image.imageHeight * scale
    image.keepWithNext = True
    return [image, words, Spacer(1, 6)]


def _table(block, styles, width):
    shares = block.widths or (1.0,) * len(block.head)
    widths = [width * share / sum(shares) for share in shares]

    def style(name, i):
        return styles[f"{name} number" if i in block.numbers else name]

    cells = [
        [Paragraph(escape(cell), style("head", i)) for i, cell in enumerate(block.head)],
        *(
            [_cell(cell, style("cell", i), widths[i] - _CELL_PADDING) for i, cell in enumerate(row)]
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

    def made(words):
        return Paragraph(escape(words).replace("\n", "<br/>"), style)

    def fits(words):
        return made(words).wrap(width, _HIGHEST_CELL)[1] <= _HIGHEST_CELL

    if (len(text) < 200 and text.count("\n") < 20) or fits(text):
        return made(text)
    places = range(min(len(text), _LONGEST_CELL))
    return made(
        text[: bisect_left(places, True, key=lambda n: not fits(text[:n] + _CUT)) - 1] + _CUT
    )


def _foot(canvas, page, about):
    canvas.setFont("Plain", 8)
    canvas.drawRightString(
        page.leftMargin + page.width, 24, f"{page.title}   {canvas.getPageNumber()}"
    )
    canvas.drawRightString(page.leftMargin + page.width, 13, about)
