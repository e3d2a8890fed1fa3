"""A second marker who knows nothing but a page of second marking: its rules, its keys, the answers.
Marks numbers and choices, positions of valves, ways of the fluid, sketches, settings by what they
reached, and repair cases."""

import re
from html import unescape

from second_person_case import case_points

#: Between the lines of one cell.
BREAK = "\u00b6"
_NUMBER = re.compile(r"([-+]?\d+(?:[.,]\d+)?)\s*(.*)")


def lines_of_page(html):
    """The text of a page, a line for each paragraph, heading or row of a table, its cells with a
    bar between them, lines in a cell with BREAK.
    """
    html = html.replace("<br>", BREAK)
    body = re.sub(r"<style.*?</style>|\n", "", html, flags=re.DOTALL)
    body = re.sub(r"</(?:p|h1|h2|tr|caption)>", "\n", body)
    body = re.sub(r"</t[hd]>(?=<t[hd])", "|", body)
    return [unescape(re.sub(r"<[^>]+>", "", line)).strip() for line in body.splitlines()]


def marks_from(html):
    """{item: marks} of the questions that could be marked from the page."""
    lines, found, begun = lines_of_page(html), {}, 0
    rules = " ".join(lines)
    said = (
        re.search(words + r" (\d+) %", rules)
        for words in ("with a wrong unit gets", "a right number without it gets")
    )
    wrong, missing = (float(found[1]) / 100 if found else 0.0 for found in said)
    for place, line in enumerate(lines):
        end = re.match(r"My marks for (\S+), of \d+:", line)
        if end:
            marks = _question(lines[begun:place], wrong, missing)
            begun = place + 1
            if marks is not None:
                found[end.group(1)] = round(marks, 2)
    return found


def table(lines, caption):
    """Rows of the table with this caption, as lists of cells."""
    begin = lines.index(caption) + 1
    rows = [line.split("|") for line in lines[begin:]]
    ends = (i for i, row in enumerate(rows) if len(row) != len(rows[0]))
    return rows[1 : next(ends, None)]


def _question(lines, wrong, missing):
    if "The case as it went" in lines:
        most = next(
            found for line in lines if (found := re.search(r"\((\d+) marks\): worked", line))
        )
        return int(most[1]) * case_points(lambda caption: table(lines, caption), BREAK) / 100
    if "Key and answer" not in lines:
        return None
    if "On the roads that judge" in lines:
        return _settings(lines)
    if "What the sketch has to show" in lines:
        return _sketches(lines)
    begin = lines.index("Key and answer")
    rows = [line.split("|") for line in lines[begin + 2 :] if line.count("|") == 3]
    if not all(right for _, right, _, _ in rows):
        return None
    total = 0.0
    for label, right, rule, answer in rows:
        how, most = _asked(lines[:begin], label)
        if rule.startswith("counts "):
            share = _number(answer, how, rule, wrong, missing)
        elif rule.startswith("at rest "):
            share = _positions(answer, right, rule.removeprefix("at rest "))
        else:
            said = re.sub(r"^[A-H]  ", "", answer).replace(" > ", ", then ")
            share = float(said == right)
        total += most * share
    return total


def _settings(lines):
    """Each demand that is met earns the same share."""
    rows = table(lines, "On the roads that judge")
    most = next(found for line in lines if (found := re.search(r"\((\d+) marks\)$", line)))
    met = 0
    for _, wanted, figure in rows:
        limit = float(wanted.split()[-1])
        met += float(figure) >= limit if "at least" in wanted else float(figure) <= limit
    return int(most[1]) * met / len(rows)


def _sketches(lines):
    """Marks of the features that the values show; nothing for a sketch that is not whole."""
    total = 0.0
    for _, right, _, answer in table(lines, "Key and answer"):
        right, drawn = ([p.split(": ") for p in words.split("; ")] for words in (right, answer))
        begin = lines.index("What the sketch has to show")
        features, lines = table(lines, "What the sketch has to show"), lines[begin + 1 :]
        try:
            points = [float(at.removeprefix("at ")) for at, _ in right]
            right, drawn = ([float(y.replace(",", ".")) for _, y in p] for p in (right, drawn))
        except ValueError:
            continue
        total += sum(
            float(marks) for _, how, marks in features if _shows(how, points, drawn, right)
        )
    return total


def _shows(how, points, drawn, right):
    number = r"(-?[\d.]+(?:e-?\d+)?)"
    start, end = re.search(rf"from {number} to {number}", how).groups()
    first, last = points.index(float(start)), points.index(float(end))
    piece = drawn[first : last + 1]
    limits = [float(each) for each in re.findall(rf"(?:over|within|most|least) {number}", how)]
    if how.startswith("the largest"):
        return first <= drawn.index(max(drawn)) <= last and max(drawn) - min(drawn) > limits[0]
    if how.startswith("each value"):
        return all(abs(a - b) <= limits[0] for a, b in zip(piece, right[first : last + 1]))
    if how.startswith("values"):
        return max(piece) - min(piece) <= limits[0]
    way = 1 if how.startswith("rises") else -1
    back = all(way * (b - a) >= -limits[1] for a, b in zip(piece, piece[1:]))
    return back and way * (piece[-1] - piece[0]) >= limits[0]


def _asked(lines, label):
    """(what is said of the unit, marks) of a field."""
    wanted = re.escape(label) + r"(, [^,]*)? \((\d+) marks?\)(?:: _+)?"
    found = next(filter(None, (re.fullmatch(wanted, line) for line in lines)))
    return found.group(1) or "", int(found.group(2))


def _number(answer, how, band, wrong, missing):
    low, high, unit = re.fullmatch(r"counts from (\S+) to (\S+) ?(.*)", band).groups()
    typed = _NUMBER.fullmatch(answer)
    if not typed or not float(low) <= float(typed.group(1).replace(",", ".")) <= float(high):
        return 0.0
    if not typed.group(2):
        return missing if "with its unit" in how else 1.0
    return 1.0 if typed.group(2) == unit else wrong


def _positions(answer, right, rest):
    """Parts that have to leave their rest and are set right count for, parts set wrong against."""
    right, rest, chosen = (
        dict(part.split(": ", 1) for part in re.split("[,;] ", words))
        for words in (right, rest, answer)
    )
    moving = [part for part in right if right[part] != rest[part]]
    good = sum(chosen[part] == right[part] for part in moving)
    wrong = sum(chosen[part] != right[part] for part in right)
    return max(0.0, (good - wrong) / len(moving))
