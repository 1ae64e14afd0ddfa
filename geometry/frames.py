"""Axes, directions and angles.

Right-handed axes, fixed to the frame as the vehicle sits at ride height on a level floor: x rearward from the front
axle's centreline, y to the vehicle's right, z up from the floor. These are the senses of the three-dimensional
reference system of SAE J1100 and ISO 4130 (from memory); the vehicle axes of ISO 8855 (X forward, Y left, Z up) are
ours turned half round about z: x = -X, y = -Y, z = Z.

Slope: follow a line rearward; positive when its rear end is lower. Plan: follow it rearward; positive when its rear
end lies farther to the right. Degrees at every public door, radians only inside.
"""

from math import cos, sin
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats: TypeAlias = NDArray[np.float64]
"""Numbers, whatever the shape."""
Points: TypeAlias = NDArray[np.float64]
"""Points or vectors in space, (..., 3), mm."""
Directions: TypeAlias = NDArray[np.float64]
"""Unit vectors in space, (..., 3)."""


_RADIAN = np.pi / 180.0


def _assembled(x: Floats, y: Floats, z: Floats) -> Points:
    """Coordinates as one array, (...) three times -> (..., 3); x has the whole shape, the others broadcast to it."""
    whole = np.empty((*np.shape(x), 3))
    whole[..., 0], whole[..., 1], whole[..., 2] = x, y, z
    return whole


def direction(slope_deg: ArrayLike, plan_deg: ArrayLike = 0.0) -> Directions:
    """Unit vector of lines with these slopes and plans: (cos s cos p, cos s sin p, -sin s).

    Parameters
    ----------
    slope_deg, plan_deg
        Degrees, shapes that broadcast together to (...).

    Returns
    -------
    Directions
        (..., 3).

    Examples
    --------
    >>> direction(0.0).tolist()
    [1.0, 0.0, -0.0]
    """
    s, p = np.multiply(slope_deg, _RADIAN), np.multiply(plan_deg, _RADIAN)
    cos_s = np.cos(s)
    return _assembled(cos_s * np.cos(p), cos_s * np.sin(p), -np.sin(s))


def line_of(slope_deg: float, plan_deg: float) -> Directions:
    """Unit vector of one line, (3,): the same as `direction`, quicker for plain numbers."""
    s, p = slope_deg * _RADIAN, plan_deg * _RADIAN
    cos_s = cos(s)
    return np.array((cos_s * cos(p), cos_s * sin(p), -sin(s)))


def slope_deg(line: Directions) -> Floats:
    """Slope that a gauge laid along each line reads, asin(-z), (..., 3) -> (...), degrees; by atan2, so exact."""
    return np.degrees(np.arctan2(-line[..., 2], np.hypot(line[..., 0], line[..., 1])))


def side_slope_deg(line: Directions) -> Floats:
    """Slope of each line as drawn in side view, (..., 3) -> (...), degrees; the gauge's own where plan is nil."""
    return np.degrees(np.arctan2(-line[..., 2], line[..., 0]))


def plan_deg(line: Directions) -> Floats:
    """Plan angle of each line, (..., 3) -> (...), degrees."""
    return np.degrees(np.arctan2(line[..., 1], line[..., 0]))


def turned_in_side_view(vector: Points, nose_up_deg: ArrayLike) -> Points:
    """Vectors turned about the cross-car axis so that the slope of a line grows by the angle given.

    x' = x cos a + z sin a, z' = z cos a - x sin a; y is kept. Shapes (..., 3) and (...) broadcast.
    """
    a = np.multiply(nose_up_deg, _RADIAN)
    cos_a, sin_a = np.cos(a), np.sin(a)
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    return _assembled(x * cos_a + z * sin_a, y, z * cos_a - x * sin_a)


def unit(vector: Points) -> Directions:
    """Vectors divided by their own length, (..., 3) -> (..., 3); nan where a vector has none."""
    size = norm(vector)
    return vector / np.where(size > 0.0, size, np.nan)[..., None]


def norm(vector: Points) -> Floats:
    """Length of vectors, (..., 3) -> (...)."""
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    return np.sqrt(x * x + y * y + z * z)


def cross(a: Points, b: Points) -> Points:
    """Vector product, (..., 3) and (..., 3) -> (..., 3); written out, as numpy's is slow for few rows."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return _assembled(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)


def dot(a: Points, b: Points) -> Floats:
    """Scalar product, (..., 3) and (..., 3) -> (...)."""
    return a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1] + a[..., 2] * b[..., 2]
