"""The start page and the pages around a lesson: map, progress, entry check, safety words, bay work."""
import tomllib
from functools import lru_cache
from html import escape

from IPython.display import HTML, Markdown

from tractionlab.errors import UserError
from tractionlab.places import data_folder

from .ask import blank_face, choice_field, keep_choice, my_record
from .card import Card
from .questions import questions, reply
from .record import progress, today

_LESSON_KEYS = {"number": int, "title": str, "minutes": int, "needs": list, "before": str, "bay": str, "outcomes": list}


@lru_cache(2)
def _table(name):
    return tomllib.loads((data_folder() / name).read_text(encoding="utf-8"))


def lessons():
    """The lesson map: dicts of data/lessons.toml in order."""
    found = _table("lessons.toml")["lesson"]
    for place, entry in enumerate(found, 1):
        _check_lesson(place, entry)
    return found


def _check_lesson(place, entry):
    for key, kind in _LESSON_KEYS.items():
        if not isinstance(entry.get(key), kind):
            raise UserError(f"{data_folder() / 'lessons.toml'}, lesson {place}: {key} is missing or not a {kind.__name__}")
    for key in entry:
        if key not in (*_LESSON_KEYS, "notebook", "cautions"):
            raise UserError(f"{data_folder() / 'lessons.toml'}, lesson {place}: unknown key {key!r}")


def lesson(number):
    """The entry of a lesson in the map; UserError if there is none."""
    found = next((entry for entry in lessons() if entry["number"] == number), None)
    if found is None:
        raise UserError(f"no lesson {number!r}; there are 1 to {len(lessons())}")
    return found


def needs_of(entry):
    """What a lesson needs, in words."""
    return ", ".join([*(f"lesson {number}" for number in entry["needs"]), *filter(None, [entry["before"]])]) or "nothing"


def _link(entry):
    title = escape(entry["title"])
    return f'<a href="{entry["notebook"]}">{title}</a>' if "notebook" in entry else title


def _progress_words(entry, lines):
    if "notebook" not in entry:
        return "planned"
    states = [progress(lines, outcome["shown_by"]) for outcome in entry["outcomes"]]
    tried = len(states) - states.count("not tried")
    return f"{tried} of {len(states)} outcomes tried, {states.count('shown twice')} shown twice" if tried else "not tried"


def lesson_map():
    """Table of all lessons: link, minutes, what each needs, what the learner has done."""
    lines, rows = my_record().lines(), []
    for entry in lessons():
        rows.append((str(entry["number"]), _link(entry), str(entry["minutes"]), escape(needs_of(entry)), _progress_words(entry, lines)))
    return _as_table("Lesson map", ("No.", "Lesson", "Minutes", "Needs", "You"), rows)


def my_outcomes():
    """Table of the outcomes of all ready lessons: not tried, tried, shown twice."""
    lines = my_record().lines()
    rows = [(str(entry["number"]), escape(outcome["text"]), progress(lines, outcome["shown_by"]))
            for entry in lessons() for outcome in entry["outcomes"]]
    return _as_table("Outcomes", ("Lesson", "You can ...", "So far"), rows)


def _as_table(caption, head, rows):
    """HTML table of ready-made cells; the second column heads its row."""
    left = "style='text-align:left;font-weight:normal'"
    titles = "".join(f"<th scope='col' style='text-align:left'>{title}</th>" for title in head)
    body = "".join("<tr>" + "".join(f"<th scope='row' {left}>{cell}</th>" if i == 1 else f"<td {left}>{cell}</td>" for i, cell in enumerate(row))
                   + "</tr>" for row in rows)
    return HTML(f"<table><caption style='text-align:left;font-weight:bold'>{caption}</caption><thead><tr>{titles}</tr></thead>"
                f"<tbody>{body}</tbody></table>{_note()}")


def _note():
    note = my_record().note
    return f"<p role='status'>{escape(note)}</p>" if note else ""


class EntryCheck(Card):
    """Five questions that point to a lesson."""

    def __init__(self):
        self.asked = {name: entry for name, entry in questions().items() if "points_to" in entry}
        super().__init__(blank_face("Entry check: five questions, five minutes, no marks",
                               fields=[choice_field(name, entry, name) for name, entry in self.asked.items()], buttons=[["check", "Check", True]]))

    def on_command(self, command, values):
        """Judge all five; name the first lesson that helps."""
        left = [name for name, entry in self.asked.items() if values[name] not in map(str, range(1, len(entry["options"]) + 1))]
        if left:
            fields = [{**field, "value": values[field["name"]]} for field in self.face["fields"]]
            return self.turn(fields=fields, message=f"Answer all five first: {len(left)} to go. 'I do not know' is an answer.")
        right = {name: keep_choice(name, entry, values[name]) for name, entry in self.asked.items()}
        fields = [{**field, "value": values[field["name"]], "mark": "right" if right[field["name"]] else "wrong",
                   "message": reply(self.asked[field["name"]], int(values[field["name"]]))}
                  for field in self.face["fields"]]
        self.turn(fields=fields, message=self._advice(right), notice=my_record().note)

    def _advice(self, right):
        score = f"{sum(right.values())} of {len(right)}. "
        at_first = {line["question"]: line.get("right") for line in reversed(my_record().lines())
                    if line["question"] in right and line["time"][:10] == today()}
        unsure = [name for name, good in right.items() if not (good and at_first.get(name, True))]
        first = min((self.asked[name]["points_to"] for name in unsure), default=None)
        if first is None:
            return score + "You know the ground. Do the exercises of lessons 1, 2 and 5, then start with lesson 8."
        since = "At the first try it was fewer. " if all(right.values()) else ""
        return f"{score}{since}Start with lesson {first}: {lesson(first)['title']}."


def entry_check():
    """The five-minute entry check."""
    return EntryCheck()


def safety_statement():
    """The safety statement of the course."""
    return HTML(f"<p><strong>Safety.</strong> {escape(_table('safety.toml')['statement']['text'].strip())}</p>")


def you_can(number):
    """The outcomes of a lesson."""
    entry = lesson(number)
    lines = [f"* {outcome['text']}" for outcome in entry["outcomes"]]
    return Markdown(f"After this lesson (about {entry['minutes']} minutes) you can\n\n" + "\n".join(lines))


def in_the_bay(number):
    """Bay work of a lesson with its cautions."""
    entry, cautions = lesson(number), _table("safety.toml")["cautions"]
    lines = [f"* **{cautions[key]['title']}.** {cautions[key]['text']}" for key in entry["cautions"]]
    last = "The maker's workshop information and your local rules come first. Work only with a qualified person beside you."
    return Markdown(entry["bay"] + "\n\n" + "\n".join(lines) + f"\n\n{last}")


def what_next(number):
    """Progress in a lesson, and links to the start page and the next ready lesson."""
    entry, lines = lesson(number), my_record().lines()
    rows = "".join(f"<li>{escape(o['text'])}: <strong>{progress(lines, o['shown_by'])}</strong></li>" for o in entry["outcomes"])
    following = next((other for other in lessons() if other["number"] > number and "notebook" in other), None)
    onward = f"Next: lesson {following['number']}, {_link(following)}. " if following else ""
    onward += "Run this block again to bring the list up to date. "
    return HTML(f"<p>So far you can</p><ul>{rows}</ul><p>{onward}<a href='00_start.ipynb'>Start page</a></p>{_note()}")
