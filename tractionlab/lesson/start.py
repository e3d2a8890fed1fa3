"""The map of the lessons and what stands around one: entry check, safety words, what one can do
afterwards, bay work.
"""

from functools import lru_cache
from html import escape

from IPython.display import HTML, Markdown

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.lesson.ask import blank_face, choice_field, keep_choice
from tractionlab.lesson.questions import questions, reply
from tractionlab.paint.card import Card
from tractionlab.written.record import day_of, my_record, today

_LESSON_KEYS = {
    "number": int,
    "title": str,
    "minutes": int,
    "needs": list,
    "before": str,
    "bay": str,
    "outcomes": list,
}


@lru_cache(2)
def _table(name):
    return read_toml(data_folder() / name)


def lessons():
    """The lesson map: dicts of data/lessons.toml in order."""
    found = _table("lessons.toml")["lesson"]
    for place, entry in enumerate(found, 1):
        _check_lesson(place, entry)
    return found


def _check_lesson(place, entry):
    for key, kind in _LESSON_KEYS.items():
        if not isinstance(entry.get(key), kind):
            raise UserError(
                f"{data_folder() / 'lessons.toml'}, lesson {place}: {key} is missing or not a"
                f" {kind.__name__}"
            )
    for key in entry:
        if key not in (*_LESSON_KEYS, "notebook", "cautions"):
            raise UserError(
                f"{data_folder() / 'lessons.toml'}, lesson {place}: unknown key {key!r}"
            )


def lesson(number):
    """The entry of a lesson in the map; UserError if there is none."""
    found = next((entry for entry in lessons() if entry["number"] == number), None)
    if found is None:
        raise UserError(f"no lesson {number!r}; there are 1 to {len(lessons())}")
    return found


def needs_of(entry):
    """What a lesson needs, in words."""
    earlier, before = [f"lesson {number}" for number in entry["needs"]], entry["before"]
    if earlier and before:
        before = before[0].lower() + before[1:]
    return ", ".join([*earlier, *filter(None, [before])]) or "nothing"


def link(entry, words=""):
    """A lesson of the map as an HTML link; the browser opens it beside the others."""
    words, notebook = escape(words or entry["title"]), entry.get("notebook")
    return f'<a href="{notebook}" data-lesson="{notebook}">{words}</a>' if notebook else words


class EntryCheck(Card):
    """Five questions that point to a lesson."""

    def __init__(self):
        self.asked = {name: entry for name, entry in questions().items() if "points_to" in entry}
        super().__init__(
            blank_face(
                "Entry check: five questions, five minutes, no marks",
                fields=[choice_field(name, entry, name) for name, entry in self.asked.items()],
                buttons=[["check", "Check", True]],
            )
        )
        last = {name: my_record().last(name, "question") for name in self.asked}
        if all(last.values()):
            newest = max(last.values(), key=lambda line: line["time"])
            self._show(
                {name: line["answer"] for name, line in last.items()}, f"On {day_of(newest)}: "
            )

    def on_command(self, command, values):
        """Judge all five; name the first lesson that helps."""
        left = [
            name
            for name, entry in self.asked.items()
            if values[name] not in map(str, range(1, len(entry["options"]) + 1))
        ]
        if left:
            fields = [{**field, "value": values[field["name"]]} for field in self.face["fields"]]
            return self.turn(
                fields=fields,
                message=f"Answer all five first: {len(left)} to go. 'I do not know' is an answer.",
            )
        for name, entry in self.asked.items():
            keep_choice(name, entry, values[name])
        self._show(values, "")

    def _show(self, chosen, when):
        right = {name: chosen[name] == str(entry["answer"]) for name, entry in self.asked.items()}
        fields = [
            {
                **field,
                "value": chosen[field["name"]],
                "mark": "right" if right[field["name"]] else "wrong",
                "message": reply(self.asked[field["name"]], int(chosen[field["name"]])),
            }
            for field in self.face["fields"]
        ]
        words, leads_to = self._advice(right)
        links = [
            [f"Lesson {entry['number']}: {entry['title']}", entry["notebook"]]
            for entry in map(lesson, leads_to)
        ]
        self.turn(fields=fields, message=when + words, links=links, notice=my_record().note)

    def _advice(self, right):
        """(what the answers lead to in words, numbers of lessons)."""
        score = f"{sum(right.values())} of {len(right)}. "
        at_first = {
            line["question"]: line.get("right")
            for line in reversed(my_record().lines())
            if line["question"] in right and line["time"][:10] == today()
        }
        unsure = [name for name, good in right.items() if not (good and at_first.get(name, True))]
        first = min((self.asked[name]["points_to"] for name in unsure), default=None)
        if first is None:
            return (
                score
                + "You know the ground. Do the exercises of lessons 1, 2 and 5, then start with"
                " lesson 8.",
                (1, 2, 5, 8),
            )
        since = "At the first try it was fewer. " if all(right.values()) else ""
        return f"{score}{since}Start with lesson {first}: {lesson(first)['title']}.", (first,)


def entry_check():
    """The five-minute entry check."""
    return EntryCheck()


def safety_statement():
    """The safety statement of the course."""
    return HTML(
        "<p><strong>Safety.</strong>"
        f" {escape(_table('safety.toml')['statement']['text'].strip())}</p>"
    )


def you_can(number):
    """The outcomes of a lesson."""
    entry = lesson(number)
    lines = [f"* {outcome['text']}" for outcome in entry["outcomes"]]
    return Markdown(
        f"After this lesson (about {entry['minutes']} minutes) you can\n\n" + "\n".join(lines)
    )


def in_the_bay(number):
    """Bay work of a lesson with its cautions."""
    entry, cautions = lesson(number), _table("safety.toml")["cautions"]
    lines = [
        f"* **{cautions[key]['title']}.** {cautions[key]['text']}" for key in entry["cautions"]
    ]
    last = (
        "The maker's workshop information and your local rules come first. Work only with a"
        " qualified person beside you."
    )
    return Markdown(entry["bay"] + "\n\n" + "\n".join(lines) + f"\n\n{last}")
