"""Gaps between what moves and what is in the way, by shapely, never larger than they truly are.

The shaft's body in side or top view is each section's outline: the tube at its true diameter, wider at the yokes. Its
gap to an obstacle is taken at every position of the travel and then lessened by half of the farthest that any corner
of the body moves to the next position: no place in between can come nearer than that. Around the least of them the
travel is looked at again in finer steps, so that the number given is both safe and sharp.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from geometry.frames import Floats, Points
from geometry.quantity import SidePoint

YOKE_SHARE = 1.4
"""Swing of the yokes over the tube's diameter where the build does not give it: common practice, no source."""
FINE_STEPS = 32
_MOST_REFINED = 12

BodyAt = Callable[[Floats], Floats]
"""Corners of the moving outline at each travel, (n,) mm -> (n, c, 2)."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Least gap to one obstacle, mm (nil or less: it touches), the travel where it is, and the gap at each position."""

    least_mm: float
    at_travel_mm: float
    along_mm: Floats


def shaft_outline(first: Points, last: Points, tube_mm: float, swing_mm: float, view: tuple[int, int]) -> Floats:
    """Corners of one section's body in a view, (n, 3) joint centres twice -> (n, 12, 2), mm.

    `view` names the two coordinates drawn: (0, 2) side, (0, 1) top. The yokes reach half a swing past the joint's
    centre and taper into the tube over the next swing.
    """
    a, b = first[:, view], last[:, view]
    along = b - a
    reach = np.hypot(along[:, 0], along[:, 1])[:, None]
    along = along / np.where(reach > 0.0, reach, 1.0)
    across = np.column_stack((-along[:, 1], along[:, 0]))
    half_yoke, half_tube = swing_mm / 2.0, min(tube_mm, swing_mm) / 2.0
    # Distance along the section from each joint, and half width there; short sections let the two yokes meet.
    stations = ((-0.5 * swing_mm, half_yoke), (0.6 * swing_mm, half_yoke), (1.0 * swing_mm, half_tube))
    upper = [a + along * at + across * wide for at, wide in stations]
    upper += [b - along * at + across * wide for at, wide in reversed(stations)]
    lower = [b - along * at - across * wide for at, wide in stations]
    lower += [a + along * at - across * wide for at, wide in reversed(stations)]
    return np.stack(upper + lower, axis=1)


def least_gap(body_at: BodyAt, travel_mm: Floats, obstacle: tuple[SidePoint, ...]) -> Gap:
    """Least gap between a moving outline and a fixed one over the travel, safe to the step between positions.

    Parameters
    ----------
    body_at
        Gives the corners of the moving outline at any travel of the range.
    travel_mm
        (n,) positions in ascending order; a single one stands for something that does not move.
    obstacle
        Corners of the fixed outline, in the same view.
    """
    import shapely

    fixed = (
        shapely.convex_hull(shapely.MultiPoint(obstacle))
        if len(obstacle) < 3
        else shapely.make_valid(shapely.Polygon(obstacle))
    )
    shapely.prepare(fixed)

    def bounded(travel: Floats) -> tuple[Floats, Floats]:
        """Gap at each position, and how far the body moves to the next, (n,) and (n-1,)."""
        corners = body_at(travel)
        bodies = shapely.make_valid(shapely.polygons(corners))
        steps = np.linalg.norm(np.diff(corners, axis=0), axis=2).max(axis=1) if len(travel) > 1 else np.zeros(0)
        return np.asarray(shapely.distance(bodies, fixed), np.float64), steps

    gaps, steps = bounded(travel_mm)
    if len(travel_mm) == 1:
        return Gap(float(gaps[0]), float(travel_mm[0]), gaps)
    between = np.minimum(gaps[:-1], gaps[1:]) - steps / 2.0
    along = gaps.copy()
    least, where = np.inf, 0.0
    order = np.argsort(between)
    for rank, index in enumerate(order):
        if between[index] >= least:
            break
        if rank >= _MOST_REFINED:
            least, where = float(between[index]), float(travel_mm[index])
            break
        fine_travel = np.linspace(travel_mm[index], travel_mm[index + 1], FINE_STEPS + 1)
        fine, fine_steps = bounded(fine_travel)
        safe = np.minimum(fine[:-1], fine[1:]) - fine_steps / 2.0
        lowest = int(np.argmin(safe))
        if safe[lowest] < least:
            least, where = float(safe[lowest]), float(fine_travel[lowest])
    return Gap(least, where, along)
