"""The second routes of `keys/strategy.py` for the proof: a counter run over samples. Same names and
units.
"""


def counter_time_part(limit, sample, bad):
    """A counter fifty times as long run over evenly spread samples until it is full: the grain of
    single samples is gone then.
    """
    count, share, time = 0, 0.0, 0
    while count < 50 * limit:
        share += bad / 100
        time += sample
        if share >= 1.0 - 1e-9:
            share, count = share - 1.0, count + 1
        else:
            count = max(0, count - 1)
    return time / 1000 / 50


def confirmed(bad):
    """The counter after a long run."""
    count, share = 0, 0.0
    for _ in range(20000):
        share += bad / 100
        if share >= 1.0 - 1e-9:
            share, count = share - 1.0, count + 1
        else:
            count = max(0, count - 1)
    return "yes" if count > 100 else "never"
