"""Gaps between what moves and what is in the way, by shapely, never larger than they truly are.

The shaft's body in side or top view is each section's outline: the tube at its true diameter, wider at the yokes. Its
gap to an obstacle is taken at every position of the travel and then lessened by half of the farthest that any corner
of the body moves to the next position: no place in between can come nearer than that. Around the least of them the
body is looked at again in finer steps, so that the number given is both safe and sharp.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from geometry.frames import Floats, Points
from geometry.quantity import SidePoint

YOKE_SHARE = 1.4
"""Swing of the yokes over the tube's diameter where the build does not give it: common practice, no source."""
FINE_STEPS = 16
_MOST_BODIES = 96
"""How many bodies are looked at between positions, shared out over the steps in doubt."""


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


@dataclass(frozen=True)
class Body:
    """A moving outline: its corners (n, c, 2) at each position (n,) of the travel, ascending; one if it stands still.

    What several obstacles are held against is worked out once.
    """

    corners_mm: Floats
    travel_mm: Floats

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        """The outlines as polygons, (n,)."""
        return _polygons(self.corners_mm)

    @cached_property
    def moves(self) -> Floats:
        """How each corner moves to the next position, (n-1, c, 2)."""
        return np.diff(self.corners_mm, axis=0)

    @cached_property
    def steps(self) -> Floats:
        """How far the farthest corner moves to the next position, (n-1,)."""
        return np.asarray(np.hypot(self.moves[..., 0], self.moves[..., 1]).max(axis=1))

    @cached_property
    def bow(self) -> float:
        """How far a corner's path bows from its chord at the most: an eighth of its second difference."""
        bows = np.diff(self.moves, axis=0)
        return float(np.hypot(bows[..., 0], bows[..., 1]).max()) / 8.0 if len(bows) else 0.0


def least_gap(body: Body, obstacle: tuple[SidePoint, ...]) -> Gap:
    """Least gap between a moving outline and a fixed one over the travel, safe to what lies between positions.

    Between two positions every corner is taken along its chord; how far its true path bows from the chord is taken
    off the gap, as is half a fine step. `obstacle` holds the corners of the fixed outline, in the same view.
    """
    import shapely

    outline, travel_mm = shapely.Polygon(obstacle), body.travel_mm
    fixed = outline if outline.is_valid else shapely.make_valid(outline)
    gaps = _distances(body.shapes, fixed)
    if len(travel_mm) == 1:
        return Gap(float(gaps[0]), float(travel_mm[0]), gaps)
    steps, bow = body.steps, body.bow
    between = np.minimum(gaps[:-1], gaps[1:]) - steps / 2.0 - bow
    # Only where the bound falls below the least gap seen can a lesser one hide; those are looked into all at once.
    doubtful = np.flatnonzero(between < gaps.min())
    if not len(doubtful):  # it does not move
        return Gap(float(gaps.min()), float(travel_mm[np.argmin(gaps)]), gaps)
    cuts = min(max(_MOST_BODIES // len(doubtful), 1), FINE_STEPS)
    shares = np.linspace(0.0, 1.0, cuts + 1)[:, None, None]
    fine = body.corners_mm[doubtful][:, None] + shares * body.moves[doubtful][:, None]
    near = _distances(_polygons(fine.reshape(-1, *fine.shape[2:])), fixed).reshape(len(doubtful), cuts + 1)
    safe = np.minimum(near[:, :-1], near[:, 1:]) - (steps[doubtful] / cuts / 2.0)[:, None] - bow
    row, cut = divmod(int(np.argmin(safe)), cuts)
    index = doubtful[row]
    where = travel_mm[index] + cut / cuts * (travel_mm[index + 1] - travel_mm[index])
    return Gap(float(safe[row, cut]), float(where), gaps)


def _polygons(corners: Floats) -> NDArray[np.object_]:
    import shapely

    shapes: NDArray[np.object_] = shapely.polygons(corners)
    return shapes


def _distances(shapes: NDArray[np.object_], fixed: object) -> Floats:
    import shapely

    # Outlines whose corners fall together divide by nought inside, and still come out right.
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(shapely.distance(shapes, fixed), np.float64)
