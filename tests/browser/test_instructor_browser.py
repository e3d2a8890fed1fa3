"""What an instructor clicks: a car whose fault does not stand above it, and the next group of the
day.
"""

import json

import pytest
from labserver import open_notebook, run_all_cells, write_notebook

pytestmark = pytest.mark.browser
START = "from tractionlab.lesson import *"


def test_the_setter_s_form_closes_when_the_car_comes_in(page, lab):
    write_notebook(lab.folder / "office.ipynb", [START, "case_office()"])
    open_notebook(page, lab, "office.ipynb")
    run_all_cells(page)
    form = page.locator(".tl-card", has_text="A car for the class")
    form.get_by_label("Fault", exact=True).select_option("pads-oil-contaminated")
    form.get_by_label("Car", exact=True).select_option("front_petrol")
    form.get_by_role("button", name="Bring the car in").click()
    page.locator(".tl-case").first.wait_for()
    form.get_by_role("button", name="Show the setter's form").wait_for()
    assert form.locator("select, input").count() == 0
    assert "pads" not in page.locator(".jp-Notebook").inner_text().split("Repair case")[0]
    form.get_by_role("button", name="Show the setter's form").click()
    assert form.get_by_label("Fault", exact=True).input_value() == "pads-oil-contaminated"
    form.get_by_role("button", name="Hide this form").click()
    form.get_by_role("button", name="Show the setter's form").wait_for()
    assert form.locator("select, input").count() == 0


def test_the_next_group_begins_with_two_clicks(page, lab):
    (lab.folder / "my_record.jsonl").write_text(
        json.dumps(
            {
                "time": "2026-01-01",
                "kind": "prediction",
                "lesson": 1,
                "question": "x",
                "answer": "1",
            }
        )
        + "\n"
    )
    write_notebook(lab.folder / "group.ipynb", [START, "new_group()"])
    open_notebook(page, lab, "group.ipynb")
    run_all_cells(page)
    card = page.locator(".tl-card", has_text="the next group of the day")
    card.get_by_role("button", name="New group").click()
    card.get_by_role("button", name="Yes, put").click()
    card.get_by_text("Done. The answers are in").wait_for()
    assert (
        not (lab.folder / "my_record.jsonl").exists()
        and len(list((lab.folder / "earlier_groups").rglob("my_record.jsonl"))) == 1
    )


def test_a_bad_own_file_is_a_sentence_and_the_blocks_after_it_run(page, lab):
    own = lab.folder / "my_vehicles.toml"
    own.write_text('[my_van]\nname = "Van"\nlike = "front_petrl"\n', encoding="utf-8")
    try:
        write_notebook(
            lab.folder / "bad.ipynb", [START, "launch_panel()", "print('still running')"]
        )
        open_notebook(page, lab, "bad.ipynb")
        run_all_cells(page)
        page.get_by_text("still running", exact=True).wait_for()
        said = page.get_by_role("alert").filter(has_text="my_vehicles.toml")
        assert (
            "did you mean 'front_petrol'" in said.inner_text()
            and page.get_by_text("Traceback").count() == 0
        )
    finally:
        own.unlink()
