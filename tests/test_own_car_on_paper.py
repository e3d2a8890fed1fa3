"""A car of an own file in exercises and on hand-outs: as an instructor would take it there."""

import re

import pytest

from tractionlab.catalogue import entries as catalogue
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.lesson import practice
from tractionlab.lesson.exercise_cars import of_car
from tractionlab.lesson.exercises import all_exercises
from tractionlab.written.numbers import show

VAN = """[my_van]
name = "Our van"
like = "front_petrol"
mass_kg = { value = 1900, source = "weighed in our workshop" }
teeth = { value = 44, source = "counted on the ring, invented" }
driven_cm3_per_bar = { value = 0.025, source = "invented for a test" }
"""


@pytest.fixture
def lessons(tmp_path, monkeypatch):
    """A folder of lessons with the file beside them; the command is given somewhere else."""
    folder = tmp_path / "lessons"
    folder.mkdir()
    monkeypatch.chdir(folder)
    (folder / "my_vehicles.toml").write_text(VAN, encoding="utf-8")
    return folder


def words(card):
    return [words for _, words, _ in card.face["buttons"]]


def press(card, words, *typed):
    command = next(name for name, shown, _ in card.face["buttons"] if shown == words)
    card.on_command(command, {str(i): text for i, text in enumerate(typed)})


def right(card):
    return [show(part.answer) for part in card.task.parts]


def test_from_the_template_to_an_answer(tmp_path, monkeypatch):
    """Template, one value changed, the lesson's exercise, an answer, the next day."""
    monkeypatch.chdir(tmp_path)
    assert cli.main(["vehicle", "new", "my_vehicles.toml"]) == 0
    path = tmp_path / "my_vehicles.toml"
    text = re.sub(
        r"^#mass_kg = \{ value = \d+", "mass_kg = { value = 1900", path.read_text(), flags=re.M
    )
    path.write_text(text, encoding="utf-8")
    card = practice.exercise("1.1")
    assert ["Mass with driver", "1900 kg"] not in card.face["data"]
    press(card, "Numbers of My own car")
    assert ["Mass with driver", "1900 kg"] in card.face["data"]
    assert card.face["title"].endswith("with the numbers of My own car")
    press(card, "Check", *right(card))
    assert "All right" in card.face["message"]
    later = practice.exercise("1.1")
    assert "All right on" in later.face["message"] and later.task == card.task
    path.write_text(text.replace("1900", "2000"), encoding="utf-8")
    changed = practice.exercise("1.1")
    assert ["Mass with driver", "2000 kg"] in changed.face["data"]
    assert "All right" not in changed.face["message"], "the answer was to other numbers"
    path.unlink()
    gone = practice.exercise("1.1")
    assert "own car" not in gone.face["title"] and len(gone.face["buttons"]) == 4


def test_the_numbers_of_the_course_come_back(lessons):
    card = practice.exercise("2.1")
    assert words(card)[-1] == "Numbers of Our van"
    press(card, "Numbers of Our van")
    own = card.face["data"]
    press(card, "New numbers")
    fixed = [row for row in card.face["data"] if row in own]
    assert ["Load on each driven wheel", "5592 N"] in fixed and card.face["data"] != own
    press(card, "Numbers of the course")
    assert (
        "van" not in card.face["title"]
        and ["Load on each driven wheel", "5592 N"] not in (card.face["data"])
    )


def test_an_exercise_that_is_about_no_car_or_about_another_kind_offers_none(lessons):
    assert "Numbers of Our van" not in words(practice.exercise("4.1"))
    car = catalogue.in_use().vehicles()["my_van"]
    electric = catalogue.shipped().vehicles()["front_electric"]
    rear = catalogue.shipped().vehicles()["rear_petrol"]
    assert of_car(all_exercises()["5.1"], car) and not of_car(all_exercises()["5.1"], electric)
    assert of_car(all_exercises()["7.1"], car) and not of_car(all_exercises()["7.1"], rear)


def test_a_mistake_in_the_file_leaves_the_exercise_with_a_sentence(lessons):
    (lessons / "my_vehicles.toml").write_text(VAN.replace("1900", "nan"), encoding="utf-8")
    card = practice.exercise("1.1")
    assert "mass_kg must be a number from 500 to 4000, got nan" in card.face["notice"]
    press(card, "Check", *right(card))
    assert "All right" in card.face["message"] and "mass_kg" in card.face["notice"]


@pytest.mark.parametrize("name", sorted(all_exercises()))
def test_what_an_exercise_shows_is_what_it_computes_with(lessons, name):
    """Each number of the car stands among the data; the answer follows from the figures shown."""
    course = all_exercises()[name]
    for car in catalogue.in_use().vehicles().values():
        own = of_car(course, car)
        if own is None:
            continue
        seen = {own.task(key, draw).data for key in "ab" for draw in range(6)}
        assert len(seen) >= 2
        for values in (values for key, values in own.draws.items() if values != course.draws[key]):
            (value,) = values
            number = value[1] * 100 if isinstance(value, tuple) else value
            shown = [float(n) for _, text in next(iter(seen)) for n in re.findall(r"[\d.]+", text)]
            assert any(n == pytest.approx(number, rel=1e-9) for n in shown), (name, number)


def test_a_hand_out_with_an_own_car(lessons, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    asked = ["handouts", "2", "--car", "my_van", "--folder", "lessons", "--out", "paper"]
    assert cli.main(asked) == 0
    sheet = (tmp_path / "paper/lesson-02-worksheet.html").read_text(encoding="utf-8")
    answers = (tmp_path / "paper/lesson-02-answers.html").read_text(encoding="utf-8")
    assert "Push with one wheel on ice, with the numbers of Our van" in sheet
    assert "5592 N" in sheet and "5592" in answers
    assert "Pulling away, with Our van" in sheet and "Hill start" in sheet
    for car, said in (("my_vann", "did you mean 'my_van'"), ("rear_petrol", "known are my_van")):
        assert cli.main(["handouts", "2", "--car", car, "--folder", "lessons"]) == 2
        assert said in capsys.readouterr().err
    assert cli.main(["handouts", "2", "--car", "my_van"]) == 2
    assert "my_vehicles.toml has no own car, or is not there" in capsys.readouterr().err


def test_of_own_files_a_hand_out_takes_the_car_that_is_asked_for_alone(lessons):
    (lessons / "my_vehicles.toml").write_text(
        VAN + '[rear_petrol]\nmass_kg = { value = 3000, source = "invented for a test" }\n',
        encoding="utf-8",
    )
    found = catalogue.with_one_car(lessons, "my_van").vehicles()
    assert found["my_van"]["mass_kg"] == 1900
    assert found["rear_petrol"] == catalogue.shipped().vehicles()["rear_petrol"]


@pytest.mark.parametrize(
    "text, said",
    [
        ('name = "Our van"\nlike = "front_petrol"\n', "name, like: outside a table"),
        (VAN.replace("Our van", "Front-drive petrol car"), r"is that of \[front_petrol\]"),
        (VAN.replace('"front_petrol"', '"as front_petrol"'), "did you mean 'front_petrol'"),
        (VAN.replace("1900", '"1900 kg"'), "mass_kg must be a number from 500 to 4000"),
        (VAN.replace("mass_kg", "mass_t"), "did you mean 'mass_kg'"),
    ],
)
def test_a_mistake_is_one_sentence(lessons, text, said):
    (lessons / "my_vehicles.toml").write_text(text, encoding="utf-8")
    with pytest.raises(UserError, match=said) as told:
        catalogue.in_use().vehicles()
    assert "my_vehicles.toml" in str(told.value) and "\n" not in str(told.value)
