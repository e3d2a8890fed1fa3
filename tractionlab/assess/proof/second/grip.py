"""The second routes of `keys/grip.py` for the proof: iteration, small steps of time, trying. Same
names, same values in and out.
"""

_G = 9.81


def push(drive, grip, mass, share, height, base):
    """Load transfer by iteration: force moves load, load allows force."""
    sign, force = (1 if drive == "rear" else -1), 0.0
    for _ in range(200):
        force = grip * (mass * _G * share / 100 + sign * force * height / base)
    return force


def stop(speed, grip):
    """Distance of a car that loses speed in small steps."""
    v, distance, step = speed / 3.6, 0.0, 1e-4
    while v > 0.0:
        distance += v * step
        v -= grip * _G * step
    return distance


def side_left(drive_share):
    """Largest side force, by trying, that stays inside the circle."""
    best = 0.0
    for k in range(100001):
        side = k / 1000
        if side * side + drive_share * drive_share <= 10000:
            best = side
    return best


def better_start(rear_share, front_share, grip, height, base):
    """Both cars by iteration of the load transfer."""
    rear, front = (
        push("rear", grip, 1000.0, rear_share, height, base),
        push("front", grip, 1000.0, front_share, height, base),
    )
    return "same" if abs(rear - front) < 0.03 * front else "rear" if rear > front else "front"
