"""The second route of `keys/service.py` for the proof. Same name and units."""

from itertools import permutations


def best_order(a, b, c, minutes_a, minutes_b, minutes_c):
    """All six orders tried: time until the cause is found, on average."""
    chance, cost = {"A": a, "B": b, "C": c}, {"A": minutes_a, "B": minutes_b, "C": minutes_c}

    def mean(order):
        return sum(
            chance[test] * sum(cost[earlier] for earlier in order[: k + 1])
            for k, test in enumerate(order)
        )

    return "".join(min(permutations("ABC"), key=mean))
