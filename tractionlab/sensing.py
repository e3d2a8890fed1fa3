"""What the wheel-speed sensors tell: flanks of teeth counted while the wheels turn, and the speeds that the control unit makes of them."""
from tractionlab.control.wheel_signals import read_wheel
from tractionlab.physics.sensors import TURN, edges_between

# Rows of the counters (COUNTERS, 4): angle of the ring [rad], flanks of this cycle, time of the last one [s], speed as read [m/s],
# time of the last flank of the cycles before [s].
ANGLE, FLANKS, FLANK_TIME, READ, LAST = range(5)
COUNTERS = 5


def count_flanks(i, t, dt, before, after, rings, counters):
    """Turn ring i on from time t by dt [s] while its wheel goes from one speed to the other [rad/s], and count the flanks that pass:
    the rising one of each tooth, and half a pitch behind it the falling one."""
    start = counters[ANGLE, i]
    end = start + 0.5 * dt * (before + after)
    behind = 0.5 * TURN / rings[i].teeth
    rising, rose = edges_between(start, end, t, t + dt, rings[i])
    falling, fell = edges_between(start - behind, end - behind, t, t + dt, rings[i])
    counters[ANGLE, i] = end
    if rising + falling > 0.0:
        counters[FLANKS, i] += rising + falling
        counters[FLANK_TIME, i] = max(rose, fell)


def read_speeds(t, pitch, counters):
    """Speeds of the four wheels as the control unit reads them at time t, into row READ; the counters start anew.

    `pitch` is the way from tooth to tooth [m].
    """
    for i in range(4):
        speed, last = read_wheel(counters[FLANKS, i], counters[FLANK_TIME, i], t, counters[READ, i], counters[LAST, i], 0.5 * pitch)
        counters[READ, i], counters[LAST, i], counters[FLANKS, i] = speed, last, 0.0
