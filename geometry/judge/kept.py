"""What one suspension does, kept from solve to solve: most edits leave it as it was."""

from functools import lru_cache

import numpy as np

from geometry.mechanics import lift, links, springs
from geometry.mechanics.vectors import Floats, number

_WAYS = {"spring": lift.by_spring, "block": lift.by_block, "shackle": lift.by_shackle}


def lifted(leaf: springs.Leaf, curvature: Floats, by: str, rise: Floats) -> lift.Lift:
    """The lift, worked out once for each distinct one where the spring is one for all, as its curvature then is."""
    if not (rise.ndim or curvature.ndim):
        return _kept_lift(leaf, float(curvature), by, float(rise))
    way = _WAYS[by]
    if not curvature.ndim:
        few, place = np.unique(rise, return_inverse=True)
        if 4 * few.size < rise.size:
            made = way(leaf, curvature, few)

            def spread_out(part: Floats) -> Floats:
                return part[place] if np.ndim(part) else part

            kept = made.leaf
            whole = springs.Leaf(
                spread_out(kept.eye_x), spread_out(kept.eye_z), spread_out(kept.pivot_x), spread_out(kept.pivot_z),
                spread_out(kept.shackle_mm), spread_out(kept.front_half_mm), spread_out(kept.rear_half_mm),
                spread_out(kept.offset_mm), kept.hangs,
            )  # fmt: skip
            dx, dz, turn, bent = map(spread_out, (made.dx_mm, made.dz_mm, made.turn_deg, made.curvature))
            return lift.Lift(dx, dz, turn, whole, bent)
    return way(leaf, curvature, rise)


@lru_cache(maxsize=8)
def _kept_lift(leaf: springs.Leaf, curvature: float, by: str, rise: float) -> lift.Lift:
    return _WAYS[by](leaf, number(curvature), number(rise))


def ride_curvature(leaf: springs.Leaf, axle_z: Floats) -> Floats:
    """Curvature at ride height; most edits leave the spring as it was, so one spring's is kept."""
    if axle_z.ndim or any(part.ndim for part in leaf[:-1]):
        return springs.ride_curvature(leaf, axle_z)
    return number(_kept_curvature(leaf, float(axle_z)))


@lru_cache(maxsize=8)
def _kept_curvature(leaf: springs.Leaf, axle_z: float) -> float:
    return float(springs.ride_curvature(leaf, number(axle_z)))


def leaf_path(leaf: springs.Leaf, curvature: Floats, travel: Floats) -> springs.Path:
    """Path over the travel; of one spring in one travel it is kept, as most edits leave both as they were."""
    if curvature.ndim or travel.shape[-1] > 1:
        return springs.axle_path(leaf, curvature, travel)
    return _kept_path(leaf, float(curvature), travel.tobytes())


@lru_cache(maxsize=8)
def _kept_path(leaf: springs.Leaf, curvature: float, travel: bytes) -> springs.Path:
    path = springs.axle_path(leaf, number(curvature), np.frombuffer(travel, np.float64)[:, None])
    for part in path:
        part.setflags(write=False)
    return path


def leaf_curve(leaf: springs.Leaf, curvature: Floats, points: int) -> Floats:
    """So many points of the main leaf of one spring, (points, 2); kept for the same reason."""
    return _kept_curve(leaf, float(curvature), points)


@lru_cache(maxsize=8)
def _kept_curve(leaf: springs.Leaf, curvature: float, points: int) -> Floats:
    curve = np.stack(springs.leaf_curve(leaf, number(curvature), points), axis=-1)
    curve.setflags(write=False)
    return curve


def link_path(bar: links.FourBar, travel: Floats) -> links.LinkPath:
    """The same of links."""
    if (travel.ndim and travel.shape[-1] > 1) or any(part.ndim for part in bar):
        return links.axle_path(bar, travel)
    return _kept_links(bar, travel.tobytes(), travel.shape)


@lru_cache(maxsize=16)
def _kept_links(bar: links.FourBar, travel: bytes, shape: tuple[int, ...]) -> links.LinkPath:
    return links.axle_path(bar, np.frombuffer(travel, np.float64).reshape(shape)[()])


def leaf_travel(leaf: springs.Leaf, curvature: Floats, up: Floats) -> springs.Path:
    """Where an axle goes by so much up, (rows,): of one spring in few places each only once, and kept."""
    if not up.ndim or curvature.ndim:
        return springs.axle_path(leaf, curvature, up)
    few, place = np.unique(up, return_inverse=True)
    path = _kept_path(leaf, float(curvature), few.tobytes())
    return springs.Path(*(part[place, 0] for part in path))


def link_travel(bar: links.FourBar, up: Floats) -> links.LinkPath:
    """The same of links."""
    if not up.ndim or any(part.ndim for part in bar):
        return links.axle_path(bar, up)
    few, place = np.unique(up, return_inverse=True)
    path = _kept_links(bar, few.tobytes(), few.shape)
    return links.LinkPath(*(part[place] for part in path))
