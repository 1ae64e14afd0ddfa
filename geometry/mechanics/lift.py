"""Lifting vehicles on leaf springs, by rows: by more arch, by a block, by another shackle.

Each way says how the axle moves in the frame's axes and which spring to go on with. A lift brings the axle down, since
the frame's axes go up with the vehicle; a lift of nil changes nothing. What cannot be reached is nan in its own row.

Source: plane geometry on the closed form of `geometry.mechanics.springs`.
"""

from typing import NamedTuple

import numpy as np

from geometry.mechanics.springs import Leaf, axle_path, posture
from geometry.mechanics.vectors import RADIAN, Floats


class Lift(NamedTuple):
    """What a lift does to the axle in the frame's axes, and the spring to go on with.

    `dx_mm` rearward, `dz_mm` up (a lift brings the axle down), `turn_deg` positive when the pinion's nose rises; then
    `leaf` and `curvature` (1/mm) as they are after the lift, for travel and further lifts. All but `leaf` are nan where
    the lift cannot be reached.
    """

    dx_mm: Floats
    dz_mm: Floats
    turn_deg: Floats
    leaf: Leaf
    curvature: Floats


def by_spring(leaf: Leaf, curvature: Floats, lift_mm: Floats) -> Lift:
    """Lift by more arch: the axle goes down by lift_mm along the spring's own path and turns with the seat.

    >>> from geometry.mechanics.springs import leaf_of
    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     lifted = by_spring(flat, number(0.0), number(50.0))
    >>> round(float(lifted.dx_mm), 2), float(lifted.dz_mm)
    (-2.56, -50.0)
    """
    path = axle_path(leaf, curvature, 0.0 - lift_mm)
    return Lift(path.dx_mm, path.dz_mm, path.turn_deg, leaf, path.curvature)


def by_block(leaf: Leaf, curvature: Floats, lift_mm: Floats) -> Lift:
    """Block between spring and axle: the axle moves straight away from the seat by its height, without turning.

    With the spring over the axle a block of lift_mm brings the axle down and the vehicle up; a lift below nil is a
    thinner block, the axle comes up toward the seat, and whether there is room is not asked here. Under the axle
    (offset above nil) a block lowers the vehicle: a lift of -30 mm is a block of 30 mm there, and no block lifts.

    >>> from geometry.mechanics.springs import leaf_of
    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     lifted = by_block(flat, number(0.0), number(50.0))
    >>> round(float(lifted.dz_mm), 9), float(lifted.turn_deg), float(lifted.leaf.offset_mm)
    (-50.0, 0.0, -130.0)
    """
    at = posture(leaf, curvature)
    slope = at.seat_slope_deg * RADIAN
    away = np.where((leaf.offset_mm > 0.0) & (lift_mm > 0.0), np.nan, 0.0 - lift_mm)[()]
    dx, known = away * np.sin(slope), 0.0 * (at.x + away)
    return Lift(dx, away * np.cos(slope), known, leaf._replace(offset_mm=leaf.offset_mm + away), curvature + known)


def by_shackle(leaf: Leaf, curvature: Floats, lift_mm: Floats) -> Lift:
    """Lift by another shackle, solved in closed form: the load and so the curvature stay, the whole leaf swings.

    The axle's centre turns about the fixed eye until it lies lower by lift_mm; the shackle that holds the swung leaf
    reaches from the pivot to its eye. Not reachable where no swing brings the axle that low, or where the shackle
    would have to pass through the line from the fixed eye to its pivot.

    >>> from geometry.mechanics.springs import leaf_of
    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     lifted = by_shackle(flat, number(0.0), number(5.0))
    >>> round(float(lifted.leaf.shackle_mm), 2), float(lifted.dz_mm)
    (110.0, -5.0)
    """
    at = posture(leaf, curvature)
    x, z = at.x - leaf.eye_x, at.z - leaf.eye_z
    eye_x, eye_z = at.eye_x - leaf.eye_x, at.eye_z - leaf.eye_z
    line_x, line_z = leaf.pivot_x - leaf.eye_x, leaf.pivot_z - leaf.eye_z
    reach = np.sqrt(x * x + z * z)
    turn = np.sign(x) * (np.arcsin((lift_mm - z) / reach) - np.arcsin(-z / reach))
    cosine, sine = np.cos(turn), np.sin(turn)
    swung_x, swung_z = eye_x * cosine + eye_z * sine, eye_z * cosine - eye_x * sine
    sides = (line_x * eye_z - line_z * eye_x) * (line_x * swung_z - line_z * swung_x)
    known = 0.0 / (sides > 0.0)
    wanted = np.hypot(swung_x - line_x, swung_z - line_z) + known
    shackle = np.where(lift_mm == 0.0, leaf.shackle_mm, wanted)[()]
    dx = x * (cosine - 1.0) + z * sine + known
    return Lift(dx, 0.0 - lift_mm + known, turn / RADIAN + known, leaf._replace(shackle_mm=shackle), curvature + known)
