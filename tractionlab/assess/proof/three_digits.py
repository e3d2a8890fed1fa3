"""A number that is rounded to three significant digits after every step, as on paper: to see
whether a key bears rounding on the way.
"""


def three(value):
    """A number rounded to three significant digits."""
    return float(f"{float(value):.3g}")


def _rounded(name):
    def operate(self, *others):
        result = getattr(float, name)(self, *(float(other) for other in others))
        return ThreeDigits(three(result))

    return operate


class ThreeDigits(float):
    """A float whose sums, differences, products, quotients and powers are rounded to three
    significant digits.
    """


for _name in ("add", "radd", "sub", "rsub", "mul", "rmul", "truediv", "rtruediv", "pow", "rpow"):
    setattr(ThreeDigits, f"__{_name}__", _rounded(f"__{_name}__"))
