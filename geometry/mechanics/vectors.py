"""Axes, lines and angles on rows: every component is one number or an array whose last axis is the rows.

Right-handed axes, fixed to the frame as the vehicle sits at ride height on a level floor: x rearward from the front
axle's centreline, y to the vehicle's right, z up from the floor. These are the senses of the three-dimensional
reference system of SAE J1100 and ISO 4130 (from memory); the vehicle axes of ISO 8855 (X forward, Y left, Z up) are
ours turned half round about z: x = -X, y = -Y, z = Z.

Slope: follow a line rearward; positive when its rear end is lower. Plan: follow it rearward; positive when its rear
end lies farther to the right. Degrees at every public door, radians only inside.

Source: any textbook of vector algebra.
"""

from typing import NamedTuple, TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
"""One number or an array of numbers; the last axis is the rows."""
Bools: TypeAlias = NDArray[np.bool_]
"""One truth or an array of truths, shaped as the numbers that they go with."""
RADIAN = np.pi / 180.0
"""One degree in radians."""


def number(value: float) -> Floats:
    """One number for all rows: numpy's own scalar, which divides by nought without raising.

    >>> float(number(-2.5) / number(0.0))
    -inf
    """
    return cast("Floats", np.float64(value))


NAN = number(np.nan)
"""Not known."""
ZERO, ONE = number(0.0), number(1.0)


class Vector(NamedTuple):
    """Points (mm) or directions in space by their components, which broadcast together."""

    x: Floats
    y: Floats
    z: Floats


NOWHERE = Vector(NAN, NAN, NAN)
ORIGIN = Vector(ZERO, ZERO, ZERO)


def line_of(slope_deg: Floats, plan_deg: Floats = ZERO) -> Vector:
    """Unit vectors of lines with these slopes and plans, degrees: (cos s cos p, cos s sin p, -sin s).

    >>> [float(part) for part in line_of(number(0.0))]
    [1.0, 0.0, -0.0]
    """
    slope, plan = slope_deg * RADIAN, plan_deg * RADIAN
    cosine = np.cos(slope)
    return Vector(cosine * np.cos(plan), cosine * np.sin(plan), -np.sin(slope))


def slope_deg(line: Vector) -> Floats:
    """Slope that a gauge laid along each line reads, degrees; by atan2, so exact.

    >>> round(float(slope_deg(line_of(number(7.3), number(4.0)))), 9)
    7.3
    """
    found: Floats = np.arctan2(-line.z, np.hypot(line.x, line.y)) / RADIAN
    return found


def side_slope_deg(line: Vector) -> Floats:
    """Slope of each line as drawn in side view, degrees; the gauge's own where plan is nil.

    >>> round(float(side_slope_deg(line_of(number(10.0), number(30.0)))), 3)  # tan(side) = tan(slope)/cos(plan)
    11.508
    """
    found: Floats = np.arctan2(-line.z, line.x) / RADIAN
    return found


def plan_deg(line: Vector) -> Floats:
    """Plan angle of each line, degrees.

    >>> round(float(plan_deg(line_of(number(10.0), number(30.0)))), 9)
    30.0
    """
    found: Floats = np.arctan2(line.y, line.x) / RADIAN
    return found


def turned_by(vector: Vector, cosine: Floats, sine: Floats) -> Vector:
    """Vectors turned about the cross-car axis by an angle given as cosine and sine; the slope of a line grows by it.

    x' = x cos a + z sin a, z' = z cos a - x sin a; y is kept.

    >>> [float(part) for part in turned_by(Vector(number(10.0), number(7.0), number(5.0)), number(0.6), number(0.8))]
    [10.0, 7.0, -5.0]
    """
    return Vector(vector.x * cosine + vector.z * sine, vector.y, vector.z * cosine - vector.x * sine)


def turned(vector: Vector, angle_deg: Floats) -> Vector:
    """Vectors turned about the cross-car axis by an angle in degrees, as in `turned_by`.

    >>> round(float(slope_deg(turned(line_of(number(3.0)), number(2.5)))), 9)
    5.5
    """
    angle = angle_deg * RADIAN
    return turned_by(vector, np.cos(angle), np.sin(angle))


def plus(a: Vector, b: Vector) -> Vector:
    """Sum of vectors.

    >>> [float(part) for part in plus(Vector(ONE, ONE, ZERO), Vector(ONE, ZERO, number(3.0)))]
    [2.0, 1.0, 3.0]
    """
    return Vector(a.x + b.x, a.y + b.y, a.z + b.z)


def minus(a: Vector, b: Vector) -> Vector:
    """Difference of vectors.

    >>> [float(part) for part in minus(Vector(ONE, ONE, ZERO), Vector(ONE, ZERO, number(3.0)))]
    [0.0, 1.0, -3.0]
    """
    return Vector(a.x - b.x, a.y - b.y, a.z - b.z)


def times(factor: Floats, a: Vector) -> Vector:
    """Vectors stretched by a factor.

    >>> [float(part) for part in times(number(2.0), Vector(ONE, ZERO, number(3.0)))]
    [2.0, 0.0, 6.0]
    """
    return Vector(factor * a.x, factor * a.y, factor * a.z)


def dot(a: Vector, b: Vector) -> Floats:
    """Scalar product.

    >>> float(dot(Vector(ONE, number(2.0), number(3.0)), Vector(number(4.0), number(5.0), number(6.0))))
    32.0
    """
    return a.x * b.x + a.y * b.y + a.z * b.z


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product.

    >>> one, other = Vector(ONE, number(2.0), number(3.0)), Vector(number(4.0), number(5.0), number(6.0))
    >>> [float(part) for part in cross(one, other)]
    [-3.0, 6.0, -3.0]
    """
    return Vector(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x)


def norm(a: Vector) -> Floats:
    """Length of vectors.

    >>> float(norm(Vector(number(2.0), number(3.0), number(6.0))))
    7.0
    """
    found: Floats = np.sqrt(dot(a, a))
    return found


def apart_mm(one: Vector, two: Vector) -> Floats:
    """Distance of places, as between the ends of a link, a shock or a bar, mm.

    >>> float(apart_mm(Vector(number(120.0), ZERO, number(350.0)), ORIGIN))
    370.0
    """
    return norm(minus(two, one))


def where(test: Bools, a: Vector, b: Vector) -> Vector:
    """Vectors of `a` where the test holds, of `b` elsewhere.

    >>> where(np.array([True, False]), Vector(ONE, ONE, ONE), ORIGIN).z.tolist()
    [1.0, 0.0]
    """
    return Vector(np.where(test, a.x, b.x), np.where(test, a.y, b.y), np.where(test, a.z, b.z))


def backward(a: Vector) -> Vector:
    """Vectors turned round: of a line, the one followed the other way.

    >>> [float(part) for part in backward(Vector(ONE, number(-2.0), number(3.0)))]
    [-1.0, 2.0, -3.0]
    """
    return Vector(-a.x, -a.y, -a.z)


def picked(a: Vector, row: int | tuple[int, ...]) -> Vector:
    """One row of vectors, or one place of their first axis; a component that is one for all stays.

    >>> [float(part) for part in picked(Vector(np.array([1.0, 2.0]), ZERO, np.array([3.0, 4.0])), 1)]
    [2.0, 0.0, 4.0]
    """
    return Vector(*(part[row] if np.ndim(part) else part for part in a))
