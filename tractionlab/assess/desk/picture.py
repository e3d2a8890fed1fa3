"""Pictures of an item as `<img>`."""


def picture(item):
    """`<img>` with the charts of an item, or ""."""
    from tractionlab.view import Chart, Line

    if not item.get("charts"):
        return ""
    charts = tuple(
        Chart(
            title=chart["title"],
            x=chart["x"],
            y=chart["y"],
            lines=tuple(Line(**line) for line in chart["lines"]),
        )
        for chart in item["charts"]
    )
    return image(charts, "Picture to read from")


def image(charts, words):
    """`<img>` with charts."""
    from tractionlab.paint.printed import img_tag
    from tractionlab.view import View

    lines = "; ".join(
        f"{chart.y} against {chart.x}"
        + "".join(f", {line.label}" for line in chart.lines if line.label)
        for chart in charts
    )
    return img_tag(View(charts=charts, sentence=f"{words}: {lines}."))
