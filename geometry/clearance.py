"""Gaps between what moves and what is in the way, by shapely, never larger than they truly are.

The shaft's body in side or top view is each section's outline: the tube at its true diameter, wider at the yokes. Its
gap to an obstacle is taken at every position of the travel. From one position to the next it cannot fall faster than
the body's farthest corner moves, which bounds what may lie between. Wherever that could be less than the least gap seen
the body is looked at again in finer steps, so that the number given is both safe and sharp.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from geometry.document.quantity import SidePoint
from geometry.frames import Floats, Points

YOKE_SHARE = 1.4
"""Swing of the yokes over the tube's diameter where the build does not give it: common practice, no source."""
SHARP_MM = 0.04
"""How much of a gap may be given away for safety, where the body's way from one position to the next allows it."""
_MOST_BODIES = 96
"""How many bodies are looked at between positions, shared out over the steps in doubt."""
_FROM_LAST = np.array((0.0,) * 3 + (1.0,) * 6 + (0.0,) * 3)
"""Which of an outline's corners are told from the last joint rather than from the first."""


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
    x, y = first[:, view[0], None], first[:, view[1], None]
    along_x, along_y = last[:, view[0], None] - x, last[:, view[1], None] - y
    reach = np.sqrt(along_x * along_x + along_y * along_y)
    size = np.where(reach > 0.0, reach, 1.0)
    along_x, along_y = along_x / size, along_y / size
    half_yoke, half_tube = swing_mm / 2.0, min(tube_mm, swing_mm) / 2.0
    # Distance along the section from each joint, and half width there; short sections let the two yokes meet.
    stations, widths = swing_mm * np.array((-0.5, 0.6, 1.0)), np.array((half_yoke, half_yoke, half_tube))
    at = np.concatenate((stations, -stations[::-1], -stations, stations[::-1])) + reach * _FROM_LAST
    wide = np.concatenate((widths, widths[::-1], -widths, -widths[::-1]))
    corners = np.empty((len(x), len(wide), 2))
    corners[..., 0] = x + along_x * at - along_y * wide
    corners[..., 1] = y + along_y * at + along_x * wide
    return corners


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
        return self.corners_mm[1:] - self.corners_mm[:-1]

    @cached_property
    def steps(self) -> Floats:
        """How far the farthest corner moves to the next position, (n-1,)."""
        return _farthest(self.moves)

    @cached_property
    def bow(self) -> float:
        """How far a corner's path bows from its chord at the most: an eighth of its second difference."""
        return float(_farthest(self.moves[1:] - self.moves[:-1]).max(initial=0.0)) / 8.0


def least_gap(body: Body, obstacle: tuple[SidePoint, ...]) -> Gap:
    """Least gap between a moving outline and a fixed one over the travel, safe to what lies between positions.

    Between two positions every corner is taken along its chord; how far its true path bows from the chord is taken
    off the gap, as is what may lie between two fine steps; with two positions alone there is no telling the bow.
    `obstacle` holds the corners of the fixed outline, in the same view.
    """
    fixed, travel_mm = _fixed(obstacle), body.travel_mm
    gaps = _distances(body.shapes, fixed)
    if len(travel_mm) == 1:
        return Gap(float(gaps[0]), float(travel_mm[0]), gaps)
    steps, bow = body.steps, body.bow
    # On the way from one gap to the next each can fall by a millimetre for every one that the body moves.
    between = (gaps[:-1] + gaps[1:] - steps) / 2.0 - bow
    # Only where the bound falls below the least gap seen can a lesser one hide; those are looked into all at once.
    doubtful = np.flatnonzero(between < gaps.min())
    if not len(doubtful):  # it does not move
        return Gap(float(gaps.min()), float(travel_mm[np.argmin(gaps)]), gaps)
    cuts = min(int(np.ceil(steps[doubtful].max() / (2.0 * SHARP_MM))), max(_MOST_BODIES // len(doubtful), 1))
    near = np.empty((len(doubtful), cuts + 1))
    near[:, 0], near[:, -1] = gaps[doubtful], gaps[doubtful + 1]
    if cuts > 1:
        shares = np.arange(1, cuts)[:, None, None] / cuts
        fine = body.corners_mm[doubtful][:, None] + shares * body.moves[doubtful][:, None]
        near[:, 1:-1] = _distances(_polygons(fine.reshape(-1, *fine.shape[2:])), fixed).reshape(len(doubtful), -1)
    safe = (near[:, :-1] + near[:, 1:] - steps[doubtful, None] / cuts) / 2.0 - bow
    row, cut = divmod(int(np.argmin(safe)), cuts)
    index = doubtful[row]
    where = travel_mm[index] + cut / cuts * (travel_mm[index + 1] - travel_mm[index])
    return Gap(float(safe[row, cut]), float(where), gaps)


@lru_cache(maxsize=64)  # what is in the way stays as it is from edit to edit
def _fixed(corners_mm: tuple[SidePoint, ...]) -> object:
    """A fixed outline; one that crosses itself is taken apart."""
    import shapely

    outline = shapely.polygons(np.array(corners_mm))
    return outline if shapely.is_valid(outline) else shapely.make_valid(outline)


def _farthest(ways: Floats) -> Floats:
    """Length of the longest of the c ways in each row, (n, c, 2) -> (n,)."""
    farthest: Floats = np.sqrt((ways[..., 0] ** 2 + ways[..., 1] ** 2).max(axis=1))
    return farthest


def _polygons(corners: Floats) -> NDArray[np.object_]:
    import shapely

    shapes: NDArray[np.object_] = shapely.polygons(corners)
    return shapes


def _distances(shapes: NDArray[np.object_], fixed: object) -> Floats:
    import shapely

    # Outlines whose corners fall together divide by nought inside, and still come out right.
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(shapely.distance(shapes, fixed), np.float64)
