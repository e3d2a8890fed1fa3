"""A second marker who knows nothing but a page of second marking: its rules, its keys, the answers.
Marks numbers and choices, positions of valves and ways of the fluid; passes the rest over."""

import re
from html import unescape

_NUMBER = re.compile(r"([-+]?\d+(?:[.,]\d+)?)\s*(.*)")


def lines_of_page(html):
    """The text of a page, a line for each paragraph, heading or row of a table, its cells with a
    bar between them.
    """
    body = re.sub(r"<style.*?</style>|\n", "", html, flags=re.DOTALL)
    body = re.sub(r"</(?:p|h1|h2|tr|caption)>", "\n", body)
    body = re.sub(r"</t[hd]>(?=<t[hd])", "|", body)
    return [unescape(re.sub(r"<[^>]+>", "", line)).strip() for line in body.splitlines()]


def marks_from(html):
    """{item: marks} of the questions that could be marked from the page."""
    lines, found, begun = lines_of_page(html), {}, 0
    rules = " ".join(lines)
    wrong, missing = (
        float(re.search(words + r" (\d+) %", rules).group(1)) / 100
        for words in ("with a wrong unit gets", "a right number without it gets")
    )
    for place, line in enumerate(lines):
        end = re.match(r"My marks for (\S+), of \d+:", line)
        if end:
            marks = _question(lines[begun:place], wrong, missing)
            begun = place + 1
            if marks is not None:
                found[end.group(1)] = round(marks, 2)
    return found


def _question(lines, wrong, missing):
    if "Key and answer" not in lines:
        return None
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
