"""The class at a glance: totals, outcomes and items, with pictures."""

from io import BytesIO

import numpy as np

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import item_statistics
from tractionlab.assess.markbook.reports.phrases import still_open, total, two_places, who
from tractionlab.paint.blocks import Heading, Page, Picture, Rows, Text
from tractionlab.paint.document import Document

_BLUE, _ORANGE = "#0072B2", "#D55E00"


def overview(book):
    """Document for the class: totals, outcomes, items, with pictures."""
    sitting = book.sitting
    rows = tuple(
        (
            who(book, number),
            book.status(number),
            *(
                ("-", "-", "-", "")
                if number not in book.results
                else (*total(book.results[number]), _missing(book.results[number]))
            ),
        )
        for number in book.roll
    )
    figures = item_statistics.figures(book)
    statistics = tuple(
        (
            items()[row.item].title,
            row.outcome,
            str(row.tries),
            two_places(row.facility),
            two_places(row.discrimination),
            row.remark,
        )
        for row in figures
    )
    blocks = [
        Text(f"{sitting.about}. Marks are {book.row.state}."),
        Rows(
            "Candidates",
            ("Candidate", "File", "Marks", "Per cent", "Result", "What is missing"),
            rows,
            (3, 1.2, 1.8, 1.2, 1.6, 5),
        ),
    ]
    if book.results:
        blocks += [Page(), Heading("Pictures"), _totals_picture(book), _outcomes_picture(book)]
    blocks += [
        Page(),
        Heading("Items"),
        Text(
            "Facility: mean share of the marks. Discrimination: correlation with the rest of the"
            " paper. Both are questions to the item, not to a person."
        ),
        Rows(
            "Items",
            ("Item", "Outcome", "Tries", "Facility", "Discr.", "Remark"),
            statistics,
            (4, 1.4, 0.9, 1.2, 1.1, 4),
        ),
    ]
    return Document(f"Class overview: {sitting.paper['title']}", blocks, sitting.about)


def _missing(found):
    return "\n".join((*([f"{still_open(found)}."] if found.open else []), *found.lacking))


def _picture(figure, alt):
    target = BytesIO()
    figure.savefig(target, format="png", dpi=150, metadata={"Software": None})
    return Picture(target.getvalue(), alt)


def _figure():
    from matplotlib.figure import Figure

    return Figure(figsize=(6.9, 3.1), layout="constrained")


def _totals_picture(book):
    percents = [found.percent for found in book.results.values()]
    line = book.sitting.paper["rules"].get("overall_percent", 60.0)
    figure = _figure()
    axes = figure.add_subplot()
    axes.hist(percents, bins=np.arange(0, 101, 10), color="white", edgecolor="black", hatch="//")
    axes.axvline(line, color=_ORANGE, linestyle="--")
    axes.text(line + 1, 0.96, f"line {line:g} %", transform=axes.get_xaxis_transform(), va="top")
    axes.set(xlabel="total [%]", ylabel="candidates", xlim=(0, 100))
    axes.yaxis.get_major_locator().set_params(integer=True)
    above = sum(percent >= line for percent in percents)
    return _picture(
        figure,
        f"Totals: {above} of {len(percents)} candidates at or above the line of {line:g} %; middle"
        f" value {np.median(percents):.0f} %, lowest {min(percents):.0f} %, highest"
        f" {max(percents):.0f} %.",
    )


def _outcomes_picture(book):
    shares = item_statistics.by_outcome(book)
    figure = _figure()
    axes = figure.add_subplot()
    axes.bar(
        range(len(shares)),
        [100 * np.mean(values) for values in shares.values()],
        color="white",
        edgecolor=_BLUE,
        hatch="..",
    )
    axes.plot(
        range(len(shares)),
        [100 * np.min(values) for values in shares.values()],
        "kv",
        markersize=5,
        label="lowest",
    )
    axes.plot(
        range(len(shares)),
        [100 * np.max(values) for values in shares.values()],
        "k^",
        markersize=5,
        label="highest",
    )
    axes.set_xticks(range(len(shares)), list(shares), fontsize=8)
    axes.set(ylabel="share of the marks [%]", ylim=(0, 104))
    axes.legend(
        frameon=False,
        ncols=2,
        loc="lower right",
        bbox_to_anchor=(1.0, 1.0),
        fontsize=8,
        handlelength=0.6,
    )
    words = ", ".join(f"{name} {100 * np.mean(values):.0f} %" for name, values in shares.items())
    return _picture(
        figure,
        "Mean share of the marks by outcome (bars), with the lowest and the highest candidate"
        f" (triangles): {words}.",
    )
