"""Whether straight lines cut each other or upright boxes: one at a time, and many at once with the same answer.

A line is (x0, y0, x1, y1), a box (left, top, right, bottom); a touch counts.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.sketch.primitives import Floats

Line = tuple[float, float, float, float]
Mask = NDArray[np.bool_]


def line_crosses(one: Line, other: Line) -> bool:
    """Whether two straight lines cut or touch each other."""
    ax, ay, bx, by = one
    cx, cy, dx, dy = other
    if max(ax, bx) < min(cx, dx) or max(cx, dx) < min(ax, bx) or max(ay, by) < min(cy, dy) or max(cy, dy) < min(ay, by):
        return False
    d1 = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    d2 = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    d3 = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    d4 = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    return d1 * d2 <= 0.0 and d3 * d4 <= 0.0


def cuts_box(line: Line, left: float, top: float, right: float, bottom: float) -> bool:
    """Whether a straight line runs through an upright box (Liang and Barsky's slabs)."""
    x0, y0, x1, y1 = line
    if max(x0, x1) < left or min(x0, x1) > right or max(y0, y1) < top or min(y0, y1) > bottom:
        return False
    enter, leave = 0.0, 1.0
    for start, way, low, high in ((x0, x1 - x0, left, right), (y0, y1 - y0, top, bottom)):
        if way == 0.0:
            if not low <= start <= high:
                return False
            continue
        one, other = (low - start) / way, (high - start) / way
        enter, leave = max(enter, min(one, other)), min(leave, max(one, other))
    return enter <= leave


def lines_cross(one: Floats, other: Floats) -> Mask:
    """As `line_crosses`, for arrays (…, 4) and (…, 4) that fit each other."""
    ax, ay, bx, by = (one[..., i] for i in range(4))
    cx, cy, dx, dy = (other[..., i] for i in range(4))
    d1 = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    d2 = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    d3 = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    d4 = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    meet: Mask = _meet(one, other, 0) & _meet(one, other, 1) & (d1 * d2 <= 0.0) & (d3 * d4 <= 0.0)
    return meet


def cut_boxes(lines: Floats, boxes: Floats) -> Mask:
    """As `cuts_box`, for arrays (…, 4) and (…, 4) that fit each other."""
    enters, leaves = [], []
    for axis in (0, 1):
        start, way = lines[..., axis], lines[..., 2 + axis] - lines[..., axis]
        still = way == 0.0  # beside the box or along it for good, which `_meet` sees
        way = np.where(still, 1.0, way)
        one, other = (boxes[..., axis] - start) / way, (boxes[..., 2 + axis] - start) / way
        enters.append(np.where(still, -np.inf, np.minimum(one, other)))
        leaves.append(np.where(still, np.inf, np.maximum(one, other)))
    through = np.maximum(np.maximum(*enters), 0.0) <= np.minimum(np.minimum(*leaves), 1.0)
    cut: Mask = through & _meet(lines, boxes, 0) & _meet(lines, boxes, 1)
    return cut


def _meet(one: Floats, other: Floats, axis: int) -> Mask:
    """Whether what two lines, or a line and a box, take of an axis overlaps."""
    a, b, c, d = one[..., axis], one[..., 2 + axis], other[..., axis], other[..., 2 + axis]
    meet: Mask = (np.maximum(a, b) >= np.minimum(c, d)) & (np.maximum(c, d) >= np.minimum(a, b))
    return meet
