"""Lines from plain slopes and plans, and back to plain arrays, as the tests of the mechanics want them."""

import numpy as np
from numpy.typing import ArrayLike

from geometry.mechanics.chain import Chain, chain_of, peaks
from geometry.mechanics.vectors import ZERO, Floats, Vector, line_of


def values(plain: ArrayLike) -> Floats:
    """One number, or an array of them, as the mechanics take them."""
    return np.asarray(plain, dtype=np.float64)


def lines_of(slopes_deg: ArrayLike, plans_deg: ArrayLike = 0.0) -> list[Vector]:
    """Lines along a chain; what stands behind the first axis are rows."""
    slopes, plans = np.broadcast_arrays(values(slopes_deg), values(plans_deg))
    return [line_of(slope, plan) for slope, plan in zip(slopes, plans, strict=True)]


def vector_of(points: ArrayLike) -> Vector:
    """Vectors of an array (..., 3)."""
    whole = values(points)
    return Vector(whole[..., 0], whole[..., 1], whole[..., 2])


def array_of(vector: Vector) -> np.ndarray:
    """Vectors as one array (..., 3)."""
    return np.stack(np.broadcast_arrays(*vector), axis=-1)


def chain_in_plane(*slopes_deg: ArrayLike) -> Chain:
    """Joints of lines in one upright plane, yokes in line."""
    return chain_of([line_of(values(slope)) for slope in slopes_deg], [ZERO] * (len(slopes_deg) - 2))


def last_peak(*slopes_deg: ArrayLike) -> Floats:
    """Peak acceleration of the driven line of such joints, all single, over the square of the input speed."""
    return peaks(chain_in_plane(*slopes_deg), [False] * (len(slopes_deg) - 1))[-1]
