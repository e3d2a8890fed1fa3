"""Control is worth teaching: it comes close to the best constant-slip launch, and never harms;
README shows the figures.
"""

from pathlib import Path

import pytest

from tractionlab.figures import worth

README = Path(__file__).resolve().parents[1] / "README.md"


@pytest.fixture(scope="module")
def rows():
    return worth.worth()


def test_control_gets_at_least_90_percent_of_the_best_launch(rows):
    assert len(rows) == 15
    low = {(row.vehicle, row.road): round(row.share, 3) for row in rows if row.share < 0.90}
    assert not low


def test_control_never_costs_more_than_2_percent(rows):
    assert all(row.both >= 0.98 * row.off for row in rows)


def test_control_pays_where_grip_is_poor_or_split(rows):
    assert all(row.both > 1.3 * row.off for row in rows if "wet" not in row.road or "|" in row.road)


def test_readme_shows_these_figures(rows):
    shown = (
        README.read_text(encoding="utf-8")
        .split("<!-- control-table:start -->")[1]
        .split("<!-- control-table:end -->")[0]
        .strip()
    )
    assert shown == worth.table(rows)
