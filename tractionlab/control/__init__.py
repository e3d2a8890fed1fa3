"""What the control unit does.

It reads only what sensors can tell; the true speed of the car is unknown here.
"""
