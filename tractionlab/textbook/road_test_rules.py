"""Rules and conversions of vehicle tests: adhesion curves of the axles, stability after a steering
dwell, friction over temperature.
"""

YAW_SHARES = (
    (1.00, 0.35),
    (1.75, 0.20),
)  # s after the end of steering, largest share of the peak yaw rate
LEAST_SIDE_STEP = 1.83  # m, 1.07 s after the begin of steering
FRICTION_PER_KELVIN = 0.002


def least_braking_rate(adhesion):
    """Braking rate [g] that a car must reach at an adhesion of 0.2 to 0.8.

    Source: 71/320/EEC, Annex II, Appendix; the inequality from memory.
    """
    return 0.1 + 0.85 * (adhesion - 0.2)


def stable_after_dwell(peak, after_1_00, after_1_75, side_step):
    """Does a car pass the sine with dwell? Yaw rates in any one unit, side step in m.

    Source: 49 CFR 571.126, S5.2, second-hand.
    """
    yaw = all(
        abs(rate) <= share * abs(peak)
        for rate, (_, share) in zip((after_1_00, after_1_75), YAW_SHARES)
    )
    return yaw and side_step >= LEAST_SIDE_STEP


def friction_at_20(friction, celsius):
    """Peak friction of a wet test track as it would be at 20 degC.

    Source: UN R117; the constant second-hand, form and sign from memory.
    """
    return friction + FRICTION_PER_KELVIN * (celsius - 20.0)
