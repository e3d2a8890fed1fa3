"""Papers, answers, marks: an assessor can stand behind every mark.

Answers are data; nothing a candidate sends is ever run.
"""
