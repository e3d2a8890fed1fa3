"""When a question comes back: the rule, and the three that are due on a day.

Recall that is spaced over days lasts longer than recall in one sitting. Cepeda, Pashler, Vul,
Wixted, Rohrer: Distributed practice in verbal recall tasks, Psychological Bulletin 132 (2006)
354-380, find it in 317 experiments; Latimier, Peyre, Ramus: A meta-analytic review of the benefit
of spacing out retrieval practice episodes on retention, Educational Psychology Review 33 (2021)
959-987, give g = 0.74 for it, and no difference between gaps that grow and equal ones (g = 0.034).
Kang, Lindsey, Mozer, Pashler: Retrieval practice over the long term, Psychonomic Bulletin & Review
(2014), found that growing gaps keep more in memory on the way. All three: abstracts read. Doubling,
the first gap and the longest one are chosen for this course.
"""

import hashlib
from datetime import date, timedelta

MOST = 3  #: questions of a day
_LONGEST = 32  # days


def gap(rights):
    """Days until a question comes back that was right on so many days running: 1 after a wrong
    answer, then 2, 4, 8, at most 32.

    Examples
    --------
    Wrong, or right on one, two, three and nine days running:

    >>> [gap(rights) for rights in (0, 1, 2, 3, 9)]
    [1, 2, 4, 8, 32]
    """
    return min(2**rights, _LONGEST)


def history(lines, names):
    """{question: [(day, right)]} of the first answer of each day to one of `names`, oldest first;
    a line whose day cannot be read is left out.
    """
    found = {}
    for line in lines:
        if line["kind"] != "question" or line["question"] not in names:
            continue
        try:
            day = date.fromisoformat(line["time"][:10])
        except ValueError:
            continue
        days = found.setdefault(line["question"], {})
        days.setdefault(day, line.get("right") is True)
    return {name: sorted(days.items()) for name, days in found.items()}


def comes_back(answers):
    """The day on which a question with these (day, right) comes back."""
    rights = 0
    for _, right in answers:
        rights = rights + 1 if right else 0
    return answers[-1][0] + timedelta(days=gap(rights))


def due(lines, names, day):
    """At most three of `names` that are due on `day`, by what was answered before it: those first
    that have waited longest for their gap. What is answered on the day itself changes nothing.
    """
    waits = {}
    for name, answers in history(lines, names).items():
        before = [answer for answer in answers if answer[0] < day]
        if before and (back := comes_back(before)) <= day:
            last = before[-1][0]
            waits[name] = (day - last) / (back - last)

    def place(name):
        return -waits[name], hashlib.sha256(f"{day} {name}".encode()).digest()

    return sorted(waits, key=place)[:MOST]


def next_day(lines, names, day):
    """The first day after `day` on which one of `names` comes back; None if none was answered."""
    days = [comes_back(answers) for answers in history(lines, names).values()]
    return min((max(back, day + timedelta(days=1)) for back in days), default=None)
