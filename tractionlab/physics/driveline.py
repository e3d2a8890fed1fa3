"""From gearbox to wheels: differentials, inertias, and the dry friction that brakes and rolling
resistance add.
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


def compliance(wheel_inertia, gear_inertia, ratio, shares, locked):
    """Wheel accelerations per unit of torque at each wheel [1/(kg m^2)], shape (4, 4).

    Parameters
    ----------
    wheel_inertia : float, one wheel with its shaft [kg m^2]
    gear_inertia : float, all that turns with the gearbox input [kg m^2]
    ratio : float, gearbox input speed over differential case speed [-]
    shares : array, shape (4,)
    locked : bool
        Driven wheels of one axle turn together.

    Notes
    -----
    Generalised inertia J = Jw I + Jg i^2 s s^T, with case speed s^T w. A locked axle is the
    constraint that its wheels are equal. Source: derived (Lagrange)."""
    inertia = wheel_inertia * np.eye(4) + gear_inertia * ratio**2 * np.outer(shares, shares)
    if not locked:
        return np.linalg.inv(inertia)
    columns = []
    for left in (0, 2):
        pair = np.zeros((4, 2))
        pair[left, 0] = pair[left + 1, 1] = 1.0
        columns.append(pair.sum(axis=1, keepdims=True) if shares[left] > 0 else pair)
    free = np.hstack(columns)
    return free @ np.linalg.inv(free.T @ inertia @ free) @ free.T


def geared_torque(torque, case_speed, ratio, efficiency):
    """Torque at the differential case [N m]; friction of the gears always takes away energy, in
    both directions.
    """
    ideal = torque * ratio
    return ideal - (1.0 - efficiency) * abs(ideal) * tanh(5.0 * case_speed)


def lock_torque(left, right, capacity):
    """Torque a limited-slip differential moves from the faster left wheel to the right one [N m],
    speeds in rad/s.
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
