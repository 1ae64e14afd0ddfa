"""Shocks by rows: where their lower eyes go on a rigid axle that moves, turns and rolls, and how long they then are.

Every number is one number or an array; all broadcast. What is not known or cannot be is nan in its own row. Call under
`np.errstate(all="ignore")`.
"""

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats, Vector, minus, norm, plus, turned_by


def carried(off: Vector, centre: Vector, turn_deg: Floats, roll_sine: Floats | None = None) -> Vector:
    """Where a point of a rigid axle goes: turned about the cross-car axis, then rolled, about the axle's centre, mm.

    Parameters
    ----------
    off
        The point seen from the axle's centre as measured, mm.
    centre
        Where the axle's centre is now, mm.
    turn_deg
        How far the axle was turned since, slope growing, degrees.
    roll_sine
        Sine of the roll about the fore-and-aft axis, positive with the right side higher; none where it does not roll.

    >>> from geometry.mechanics.vectors import ORIGIN, ZERO, number
    >>> eye = Vector(number(0.0), number(400.0), number(-50.0))
    >>> [round(float(part), 3) for part in carried(eye, ORIGIN, ZERO, number(0.1))]  # 0.995 × 400 + 5, 40 − 49.75
    [0.0, 402.995, -9.749]

    Source: solid geometry.
    """
    angle = turn_deg * RADIAN
    return carried_by(off, centre, np.cos(angle), np.sin(angle), roll_sine)


def carried_by(off: Vector, centre: Vector, cosine: Floats, sine: Floats, roll_sine: Floats | None = None) -> Vector:
    """The same, from the turn's cosine and sine.

    >>> from geometry.mechanics.vectors import ORIGIN, number
    >>> eye = Vector(number(100.0), number(400.0), number(-50.0))
    >>> [float(part) for part in carried_by(eye, ORIGIN, number(0.6), number(0.8))]  # 60 − 40, −30 − 80
    [20.0, 400.0, -110.0]
    """
    there = turned_by(off, cosine, sine)
    if roll_sine is not None:
        cosine = np.sqrt(1.0 - roll_sine * roll_sine)
        there = Vector(there.x, there.y * cosine - there.z * roll_sine, there.z * cosine + there.y * roll_sine)
    return plus(centre, there)


def roll_sine(right_mm: Floats, left_mm: Floats, spread_mm: Floats) -> Floats:
    """Sine of a rigid axle's roll with its right side so far up at its stop, and its left so far; right up positive.

    nan where the axle is too narrow for that.

    >>> from geometry.mechanics.vectors import number
    >>> float(roll_sine(number(80.0), number(-100.0), number(900.0)))
    0.2

    Source: plane geometry; the stops, or springs, stand so far apart.
    """
    sine = (right_mm - left_mm) / spread_mm
    return np.where(np.abs(sine) < 1.0, sine, np.nan)


def motion_ratio(shorter_mm: Floats, longer_mm: Floats, step_mm: Floats) -> Floats:
    """How far a shock moves for each millimetre that axle or wheel moves: the lengths a step below less a step above.

    By the central difference over twice the step; positive where bump pushes the shock in. Of a shock that leans by a
    from the way that its eye goes it is cos a, and the damping at the axle is the square of it.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(motion_ratio(number(499.134), number(500.866), number(1.0))), 3)  # cos 30°
    0.866

    Source: definition of the derivative; the square, once for the way and once for the force, by the work done.
    """
    ratio: Floats = (longer_mm - shorter_mm) / (2.0 * step_mm)
    return ratio


def lean_deg(frame: Vector, axle: Vector, below: Vector, above: Vector) -> Floats:
    """Angle between a shock and the way that its lower eye goes, degrees, 0 to 90.

    `below` and `above` are where the eye is a little lower and a little higher.

    >>> from geometry.mechanics.vectors import ORIGIN, ZERO, number
    >>> up, down = Vector(ZERO, ZERO, number(1.0)), Vector(ZERO, ZERO, number(-1.0))
    >>> round(float(lean_deg(Vector(number(300.0), ZERO, number(400.0)), ORIGIN, down, up)), 3)  # 3-4-5
    36.87

    Source: vector algebra.
    """
    way, along = minus(above, below), minus(frame, axle)
    size = norm(way) * norm(along)
    cosine = np.abs(way.x * along.x + way.y * along.y + way.z * along.z) / size
    found: Floats = np.arccos(np.minimum(cosine, 1.0)) / RADIAN
    return found


def plumb_deg(frame: Vector, axle: Vector) -> tuple[Floats, Floats]:
    """How far a shock stands off plumb from the side, its top rearward positive, and from behind, either way, degrees.

    >>> from geometry.mechanics.vectors import ORIGIN, number
    >>> [round(float(one), 3) for one in plumb_deg(Vector(number(300.0), number(-400.0), number(400.0)), ORIGIN)]
    [36.87, 45.0]

    Source: trigonometry.
    """
    way = minus(frame, axle)
    side, behind = np.arctan2(way.x, way.z) / RADIAN, np.arctan2(np.abs(way.y), way.z) / RADIAN
    return side, behind


def damping_share(angle_deg: Floats) -> Floats:
    """Share of its damping that a shock keeps that leans so far from its eye's way: cos² a.

    >>> from geometry.mechanics.vectors import number
    >>> [round(float(damping_share(number(angle))), 4) for angle in (20.0, 30.0)]
    [0.883, 0.75]

    Source: the work done at the axle and in the shock is the same; way and force each take cos a once.
    """
    cosine = np.cos(angle_deg * RADIAN)
    share: Floats = cosine * cosine
    return share
