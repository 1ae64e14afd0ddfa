"""The lateral link: how far it draws the axle sideways over the travel."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.frames import Floats


@dataclass(frozen=True, slots=True)
class LateralLink:
    """The link that holds the axle sideways, by its two bolt centres (x, y, z) at ride height, mm.

    Raises
    ------
    ValueError
        When a coordinate is not a finite number, or both bolts lie in one fore-and-aft plane: such a link cannot
        hold the axle sideways.
    """

    frame_point_mm: tuple[float, float, float]
    axle_point_mm: tuple[float, float, float]

    def __post_init__(self) -> None:
        if not np.isfinite((*self.frame_point_mm, *self.axle_point_mm)).all():
            raise ValueError(
                "lateral link: every coordinate must be a finite number of millimetres; measure both bolts again"
            )
        if self.frame_point_mm[1] == self.axle_point_mm[1]:
            raise ValueError("lateral link: frame_point_mm and axle_point_mm have the same y; measure both bolts again")

    @property
    def length_mm(self) -> float:
        """Bolt to bolt in space, mm."""
        return float(np.linalg.norm(np.subtract(self.axle_point_mm, self.frame_point_mm)))


class SideShift(NamedTuple):
    """Sideways displacement of the axle, (n,): `shift_mm` to the vehicle's right, NaN where `reachable` is False."""

    shift_mm: Floats
    reachable: NDArray[np.bool_]


def side_shift(link: LateralLink, travel_mm: ArrayLike, dx_mm: ArrayLike = 0.0) -> SideShift:
    """Sideways displacement of the axle for its vertical travel: the link's end stays on its arc in rear view.

    With (X, Y, Z) from frame bolt to axle bolt and l the link's length, the new Y is
    `sqrt(l² − (X + dx)² − (Z + travel)²)` with Y's own sign; its change is computed without cancellation. Exact for an
    axle that moves straight up and sideways; that the axle's turning shifts the bolt a little is left out. Beyond the
    travel at which the link would stand upright the axle cannot follow.

    >>> level = LateralLink((0.0, 450.0, 300.0), (0.0, -450.0, 300.0))
    >>> round(float(side_shift(level, 100.0).shift_mm[0]), 4)
    5.5728

    Parameters
    ----------
    link
        The link at ride height.
    travel_mm
        Axle relative to the frame, positive up, (n,), mm.
    dx_mm
        Fore-and-aft displacement of the axle on its path, positive rearward, (n,) or one value, mm.

    Returns
    -------
    SideShift
        (n,), relative to ride height.

    Source: plane geometry of the circle.
    """
    travel, dx = np.broadcast_arrays(np.atleast_1d(np.asarray(travel_mm, np.float64)), np.asarray(dx_mm, np.float64))
    ahead, across, above = np.subtract(link.axle_point_mm, link.frame_point_mm)
    change = -travel * (2.0 * above + travel) - dx * (2.0 * ahead + dx)
    reachable = across**2 + change >= 0.0
    left = np.sqrt(np.where(reachable, across**2 + change, np.nan))
    return SideShift(np.sign(across) * change / (left + abs(across)), reachable)
