"""The second routes: functions with the same names as those in `keys/`, that find the same answer
by another method: they count, search, try, iterate, simulate or read a picture.

A closed formula has no place here, since it is the key again. A key without a second route is shown
by worked examples, see `worked`.
"""
