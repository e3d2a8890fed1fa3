"""The second routes: functions with the same names as those in `keys/`, written apart from them.

Where a key is a single step, the second route is the same relation in another form: it finds a slip
in the code, not a wrong idea of the physics.
"""
