"""Papers, answers, marks: an assessor can stand behind every mark. Answers are data; nothing a
candidate sends is ever run.

* `bank`: items, draws of their numbers, papers; `keys`: the answer to each item, computed
* `proof`: a second path to each key
* `sitting`: issuing a paper to a class; `desk`: the candidate's forms; `answers`: answer files
* `judge`: from an answer to marks and a reason
* `markbook`: marks of a sitting: store, marking, moderation, release, reports, resit. **How marks
  become "achieved" or "not yet"** is one page: markbook/result.py; the rules of each paper:
  data/papers
"""
