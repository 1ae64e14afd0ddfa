"""The engine's rock on its mounts in side view: how far its outline's corners rise and sink as it rolls, by rows.

A point beside the crankshaft, h above it and w to its right, stands at h cos r - w sin r above it once the engine has
rolled by r, left side up. An outline drawn from the side stands for what reaches from its leftmost to its rightmost
place, so each corner is somewhere between the least and the most of that over w, and over the roll from none to all.
"""

import numpy as np

from geometry.mechanics.clearance import Objects
from geometry.mechanics.vectors import RADIAN, Floats


def rise_mm(above: Floats, left: Floats, right: Floats, rock_deg: Floats) -> tuple[Floats, Floats]:
    """How far a corner sinks and rises at most, mm (the first not above nothing, the second not below it).

    Parameters
    ----------
    above
        How high corners lie over the crankshaft's line, square to it, mm.
    left, right
        How far to the right of that line the body's left and right sides lie, mm.
    rock_deg
        Roll to the right (left side up), degrees, from 0 to less than 90.

    Examples
    --------
    >>> from geometry.mechanics.vectors import number
    >>> level, out, nil = number(0.0), number(200.0), number(0.0)
    >>> [round(float(part) + 0.0, 3) for part in rise_mm(level, nil, out, number(30.0))]  # 200 sin 30° down
    [-100.0, 0.0]
    >>> [round(float(part) + 0.0, 3) for part in rise_mm(number(-300.0), -out, nil, number(10.0))]  # left of it: up
    [0.0, 39.287]

    Source: plane geometry of the circle.
    """
    full = rock_deg * RADIAN
    low = high = 0.0 * (above + left + right + full)
    for beside in (left, right):
        end = above * (np.cos(full) - 1.0) - beside * np.sin(full)
        low, high = np.minimum(low, end), np.maximum(high, end)
        # On the way it is highest, or of what lies lower lowest, straight over or under the crankshaft.
        on_way = np.arctan2(-beside * np.sign(above), np.abs(above))
        passes = (on_way > 0.0) & (on_way < full) & (above != 0.0)
        there = np.sign(above) * np.hypot(above, beside) - above
        low = np.where(passes, np.minimum(low, there), low)
        high = np.where(passes, np.maximum(high, there), high)
    return low, high


def rolled_outlines(corners_mm: Floats, low: Floats, high: Floats) -> Objects:
    """What outlines (n, c, 2) sweep whose corners go anywhere between two places each, (n, c, 2), as shapely takes it.

    Both ends, and what each edge sweeps between its corners' ways: nothing of the way is left out, and nothing is in
    it that no corner or edge could reach. None where a corner is nan.

    >>> corners = np.array([[(0.0, 0.0), (4.0, 0.0), (4.0, 2.0)]])
    >>> round(rolled_outlines(corners, corners, corners + (0.0, 3.0))[0].bounds[3], 9)
    5.0
    """
    import shapely

    rows, count = corners_mm.shape[:2]
    made = np.full(rows, None, np.object_)
    known = np.isfinite(corners_mm + low + high).all(axis=(1, 2))
    some = [part[known] for part in (corners_mm, low, high)]
    if not known.any():
        return made
    size = int(known.sum())
    whole = shapely.polygons(np.stack(some, axis=1))
    low, high = some[1], some[2]
    edges = np.stack((low, np.roll(low, -1, axis=1), np.roll(high, -1, axis=1), high), axis=2)
    parts = np.concatenate((whole, shapely.polygons(edges)), axis=1)
    indices = np.repeat(np.arange(size), count + 3)
    made[known] = shapely.multipolygons(parts.ravel(), indices=indices)
    return made
