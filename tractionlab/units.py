"""Units people read and write, in SI: multiply by one to get into SI, divide by it to get out.

Speed has its other factor too, since times 3.6 and divided by 1/3.6 differ in the last bit.
"""

from math import pi

BAR = 1e5  #: Pa
CM3 = 1e-6  #: m^3; a millilitre
MM = 1e-3  #: m
KMH = 1.0 / 3.6  #: m/s
IN_KMH = 3.6  #: km/h in one m/s
RPM = 2.0 * pi / 60.0  #: rad/s
