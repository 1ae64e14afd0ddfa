"""Words to place, where they stand, and their leaders, in page pixels, y down."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from app.sketch.camera import Rect
from app.sketch.crossings import cuts_box, line_crosses
from app.sketch.primitives import Floats

GAP_PX = 5.0
"""Between two boxes."""
LEAST_LEADER_PX = 9.0
"""A shorter leader says nothing."""
_LEADER_GAP_PX = 2.5  # between words and their leader


@dataclass(frozen=True, slots=True)
class Item:
    """Words to place: box sizes from full length to shortest, anchors of which any serves, and where they would lie.

    `edges` are the widths of the first and the last row in each size, where these differ from the box's: a leader from
    above or below ends at the words. Sizes before `only` are not to be used, the last `spare` ones only where nothing
    else helps.
    """

    key: str
    sizes: tuple[tuple[float, float], ...]
    anchors: tuple[tuple[float, float], ...]
    towards: tuple[tuple[float, float], ...]
    rank: int
    kept: bool = False
    leader: bool = True
    only: int = 0
    edges: tuple[tuple[float, float], ...] = ()
    spare: int = 0

    def widths(self, size: int) -> tuple[float, float]:
        """Widths of the first and the last row."""
        wide = self.sizes[size][0]
        return self.edges[size] if self.edges else (wide, wide)


@dataclass(frozen=True, slots=True)
class Placed:
    """Where words stand: the box, which of their sizes it is, and the leader from the anchor to the box, if any.

    One that is not `clear` covers what it should not: there was no other room.
    """

    key: str
    left: float
    top: float
    width: float
    height: float
    size: int
    leader: tuple[float, float, float, float] | None
    first_length: float
    covers: int = 0
    anchor: int = 0
    clear: bool = True

    @property
    def box(self) -> Rect:
        """Box of the words."""
        return Rect(self.left, self.top, self.left + self.width, self.top + self.height)


def leader_ends(
    anchors: Floats, left: Floats, top: Floats, width: float, height: float, edges: tuple[float, float]
) -> Floats:
    """Nearest point of each box to its anchor, kept off the corners along the words."""
    ax, ay = anchors.T
    above, below = ay <= top, ay >= top + height
    wide = np.where(above, edges[0], np.where(below, edges[1], width))
    margin = np.where(above | below, np.minimum(12.0, 0.5 * wide), -_LEADER_GAP_PX)
    x = np.clip(ax, left + margin, left + wide - margin)
    y = np.clip(ay, top - _LEADER_GAP_PX, top + height + _LEADER_GAP_PX)
    return np.column_stack((x, y))


def placed_at(item: Item, size: int, anchor: int, left: float, top: float, first_length: float, covers: int) -> Placed:
    """Put words at a place, with the leader from their anchor."""
    width, height = item.sizes[size]
    leader = None
    if item.leader:
        x0, y0 = item.anchors[anchor]
        x, y = _leader_end(x0, y0, left, top, width, height, item.widths(size))
        if math.hypot(x - x0, y - y0) > LEAST_LEADER_PX:
            leader = (x0, y0, x, y)
    return Placed(item.key, left, top, width, height, size, leader, first_length, covers, anchor)


def _leader_end(
    ax: float, ay: float, left: float, top: float, width: float, height: float, edges: tuple[float, float]
) -> tuple[float, float]:
    """As `leader_ends`, for one box."""
    wide, margin = width, -_LEADER_GAP_PX
    if not top < ay < top + height:
        wide = edges[0] if ay <= top else edges[1]
        margin = min(12.0, 0.5 * wide)
    x = min(max(ax, left + margin), left + wide - margin)
    return x, min(max(ay, top - _LEADER_GAP_PX), top + height + _LEADER_GAP_PX)


def leader_length(placed: Placed) -> float:
    """Length of the leader, nil without one."""
    if placed.leader is None:
        return 0.0
    x0, y0, x1, y1 = placed.leader
    return math.hypot(x1 - x0, y1 - y0)


def fits(made: Placed, placed: Mapping[str, Placed]) -> bool:
    """Whether words and leader keep clear of all words and leaders that are placed already."""
    g = GAP_PX
    left, top, right, bottom = made.left - g, made.top - g, made.left + made.width + g, made.top + made.height + g
    leader = made.leader
    for other in placed.values():
        o_right, o_bottom = other.left + other.width, other.top + other.height
        if left < o_right and right > other.left and top < o_bottom and bottom > other.top:
            return False
        theirs = other.leader
        if theirs is not None and cuts_box(theirs, left, top, right, bottom):
            return False
        if leader is not None:
            if cuts_box(leader, other.left - g, other.top - g, o_right + g, o_bottom + g):
                return False
            if theirs is not None and line_crosses(leader, theirs):
                return False
    return True
