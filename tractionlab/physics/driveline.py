"""From gearbox to wheels: gears, differentials, inertias, and the dry friction that brakes and
rolling resistance add.
"""

from math import tanh

import numpy as np

#: How fast a wheel that the friction can hold comes to rest [1/s]. Numerical choice, not a property
#: of a car.
SETTLING = 500.0
_SWEEPS = 30
_SETTLED = 1e-7


def torque_shares(drive, front_share=0.5):
    """Share of the driving torque per wheel, shape (4,), for drive 'rear', 'front' or 'all'.

    An open differential gives both sides the same torque. Source: derived.
    """
    if drive == "front":
        front_share = 1.0
    elif drive == "rear":
        front_share = 0.0
    half = 0.5 * front_share
    return np.array([half, half, 0.5 - half, 0.5 - half])


def compliance(wheel_inertia, shares, locked, centre_locked):
    """Wheel accelerations per unit of torque at each wheel, without gearbox [1/(kg m^2)], shape
    (4, 4).

    Parameters
    ----------
    wheel_inertia : float, one wheel with its shaft [kg m^2]
    shares : array, shape (4,)
    locked : bool
        Driven wheels of one axle turn together.
    centre_locked : bool
        The mean speeds of front and rear wheels are the same.

    Notes
    -----
    What turns together is a constraint C w = 0: the accelerations are 1 / Jw times the torques less
    their part along C. Source: derived (Lagrange)."""
    ties = [
        np.eye(4)[left] - np.eye(4)[left + 1] for left in (0, 2) if locked and shares[left] > 0.0
    ]
    if centre_locked:
        ties.append(np.array([0.5, 0.5, -0.5, -0.5]))
    if not ties:
        return np.eye(4) / wheel_inertia
    tied = np.array(ties)
    return (np.eye(4) - tied.T @ np.linalg.inv(tied @ tied.T) @ tied) / wheel_inertia


def add_gearbox(free, shares, inertia, ratio, soft):
    """Fill `soft` (4, 4) with the compliance `free` and an inertia [kg m^2] that turns `ratio`
    times as fast as the differential case.

    J = J_free + inertia ratio^2 s s^T, with case speed s^T w, inverted by the formula for a change
    of rank one. Source: derived."""
    reflected, felt = inertia * ratio * ratio, 0.0
    for i in range(4):
        for j in range(4):
            felt += shares[i] * free[i, j] * shares[j]
    for i in range(4):
        for j in range(4):
            row, column = 0.0, 0.0
            for k in range(4):
                row += free[i, k] * shares[k]
                column += free[j, k] * shares[k]
            soft[i, j] = free[i, j] - reflected / (1.0 + reflected * felt) * row * column


def case_speed(wheels, shares):
    """Speed of the differential case [rad/s], in an all-wheel car of the centre one."""
    speed = 0.0
    for i in range(4):
        speed += shares[i] * wheels[i]
    return speed


def take_ratio(wheels, before, after, shares, inertia, soft):
    """Let the synchroniser bring the gearbox from one overall ratio to another while the clutch is
    open: changes the speeds of the wheels [rad/s] in place, and gives the heat of its friction [J].

    Momentum is kept, and afterwards the gearbox turns with the wheels. `soft` is that of the ratio
    `after`, see `add_gearbox`. Source: derived (plastic impact)."""
    case = case_speed(wheels, shares)
    lag = (before - after) * case
    for i in range(4):
        felt = 0.0
        for j in range(4):
            felt += soft[i, j] * shares[j]
        wheels[i] += felt * after * inertia * lag
    return 0.5 * inertia * lag * (before * case - after * case_speed(wheels, shares))


def geared_torque(torque, case_speed, ratio, efficiency):
    """Torque at the differential case [N m]; friction of the gears always takes away energy, in
    both directions.
    """
    ideal = torque * ratio
    return ideal - (1.0 - efficiency) * abs(ideal) * tanh(5.0 * case_speed)


def lock_torque(left, right, capacity):
    """Torque a limited-slip differential moves from the faster left wheel to the right one, or from
    the faster front axle to the rear one [N m], speeds in rad/s.
    """
    return capacity * tanh(left - right)


def hold_with_friction(acceleration, friction, capacity, speed, soft):
    """Apply dry friction at the four wheels so that none is driven backwards by it; changes both
    arrays in place.

    A wheel slows down by its full capacity, and once the capacity is enough to hold it, it stays at
    rest without creeping. Projected Gauss-Seidel over the wheels, since a differential couples
    them.

    Parameters
    ----------
    acceleration : array (4,), in: without friction, out: with it [rad/s^2]
    friction : array (4,), out: friction torque, positive slows forward rotation [N m]
    capacity : array (4,), largest friction torque >= 0 [N m]
    speed : array (4,) [rad/s]
    soft : array (4, 4), from `compliance`
    """
    for i in range(4):
        friction[i] = 0.0
    for _ in range(_SWEEPS):
        largest = 0.0
        for i in range(4):
            wanted = friction[i] + (acceleration[i] + SETTLING * speed[i]) / soft[i, i]
            wanted = min(capacity[i], max(-capacity[i], wanted))
            change = wanted - friction[i]
            friction[i] = wanted
            largest = max(largest, abs(change))
            for j in range(4):
                acceleration[j] -= soft[j, i] * change
        if largest < _SETTLED:
            break
