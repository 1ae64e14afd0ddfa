"""Which parts of a page are taken: a coarse raster of the drawing, asked for many boxes and leaders at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.sketch.camera import Rect
from app.sketch.primitives import Floats

CELL_PX = 6.0
_HALF_STROKE_PX = np.array((0.0, 4.0))
Cells = NDArray[np.int32]


class Occupancy:
    """Raster of one view's box: cells that words must not cover (hard), and cells that they had better not (soft)."""

    def __init__(self, frame: Rect) -> None:
        self.frame = frame
        self._columns = max(int(np.ceil(frame.width / CELL_PX)), 1)
        self._rows = max(int(np.ceil(frame.height / CELL_PX)), 1)
        self._hard = np.zeros((self._rows, self._columns), np.bool_)
        self._soft = np.zeros((self._rows, self._columns), np.int8)
        self._sums: tuple[Cells, Cells] | None = None

    def add_segments(self, starts: Floats, ends: Floats, *, weight: int) -> None:
        """Mark the cells that straight segments run through, (n, 2) to (n, 2) in page pixels; weight 0 is hard."""
        starts, ends = self._clipped(starts, ends)
        counts = (np.abs(ends - starts).max(axis=1, initial=0.0) / (0.8 * CELL_PX)).astype(np.int64) + 2
        total = int(counts.sum())
        if not total:
            return
        which = np.repeat(np.arange(len(counts)), counts)
        first = np.repeat(np.cumsum(counts) - counts, counts)
        share = (np.arange(total) - first) / (counts[which] - 1)
        points = starts[which] + share[:, None] * (ends - starts)[which]
        if not weight:  # a heavy line is wider than the cells that its middle runs through
            points = np.concatenate((points, points + _HALF_STROKE_PX, points - _HALF_STROKE_PX))
        self._mark(points, weight)

    def add_polygon(self, outline: Floats) -> None:
        """Mark the cells inside a closed outline as hard."""
        low = np.maximum(outline.min(axis=0), (self.frame.left, self.frame.top))
        high = np.minimum(outline.max(axis=0), (self.frame.right, self.frame.bottom))
        if (high <= low).any():
            return
        xs = np.arange(low[0] + 0.25 * CELL_PX, high[0] + CELL_PX, CELL_PX)
        ys = np.arange(low[1] + 0.25 * CELL_PX, high[1] + CELL_PX, CELL_PX)
        ax, ay = outline.T
        bx, by = np.roll(outline, -1, axis=0).T
        spans = (ay > ys[:, None]) != (by > ys[:, None])
        rise = np.where(by == ay, 1.0, by - ay)
        cuts = np.where(spans, ax + (ys[:, None] - ay) * (bx - ax) / rise, np.inf)
        inside = ((xs[None, :, None] < cuts[:, None, :]).sum(axis=2) - (np.isinf(cuts).sum(axis=1))[:, None]) % 2 == 1
        rows, columns = np.nonzero(inside)
        if rows.size:
            self._mark(np.column_stack((xs[columns], ys[rows])), 0)

    def add_box(self, box: Rect) -> None:
        """Mark an upright box as hard."""
        left, right = (self._index(x - self.frame.left, self._columns) for x in (box.left, box.right))
        top, bottom = (self._index(y - self.frame.top, self._rows) for y in (box.top, box.bottom))
        outside = box.right < self.frame.left or box.left > self.frame.right
        if not outside and box.bottom >= self.frame.top and box.top <= self.frame.bottom:
            self._hard[top : bottom + 1, left : right + 1] = True
            self._sums = None

    def covered(self, left: Floats, top: Floats, width: float | Floats, height: float | Floats) -> tuple[Cells, Cells]:
        """Hard cells, and soft ones by their weight, under boxes of one size or of a size each, (n,) each."""
        if self._sums is None:
            self._sums = (_integral(self._hard), _integral(self._soft))
        x0 = np.clip(((left - self.frame.left) / CELL_PX).astype(np.int64), 0, self._columns)
        y0 = np.clip(((top - self.frame.top) / CELL_PX).astype(np.int64), 0, self._rows)
        x1 = np.clip(((left + width - self.frame.left) / CELL_PX).astype(np.int64) + 1, 0, self._columns)
        y1 = np.clip(((top + height - self.frame.top) / CELL_PX).astype(np.int64) + 1, 0, self._rows)
        hard, soft = (s[y1, x1] - s[y0, x1] - s[y1, x0] + s[y0, x0] for s in self._sums)
        return hard, soft

    def crossed(self, starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
        """Share of each leader's way over hard and soft cells, from (n, 2) to (n, 2), each (n,)."""
        share = np.linspace(0.08, 1.0, 14)[:, None, None]
        points = starts + share * (ends - starts)
        columns = np.clip(((points[..., 0] - self.frame.left) / CELL_PX).astype(np.int64), 0, self._columns - 1)
        rows = np.clip(((points[..., 1] - self.frame.top) / CELL_PX).astype(np.int64), 0, self._rows - 1)
        hard, soft = self._hard[rows, columns].mean(axis=0), (self._soft[rows, columns] > 0).mean(axis=0)
        return hard, soft

    def _mark(self, points: Floats, weight: int) -> None:
        columns = ((points[:, 0] - self.frame.left) / CELL_PX).astype(np.int64)
        rows = ((points[:, 1] - self.frame.top) / CELL_PX).astype(np.int64)
        inside = (columns >= 0) & (columns < self._columns) & (rows >= 0) & (rows < self._rows)
        rows, columns = rows[inside], columns[inside]
        if weight:
            self._soft[rows, columns] = weight
        else:
            self._hard[rows, columns] = True
        self._sums = None

    @staticmethod
    def _index(distance: float, count: int) -> int:
        return min(max(int(distance / CELL_PX), 0), count - 1)

    def _clipped(self, starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
        """Segments cut to the frame (Liang and Barsky's slabs), those outside left out."""
        low, high = np.array((self.frame.left, self.frame.top)), np.array((self.frame.right, self.frame.bottom))
        way = ends - starts
        safe = np.where(way == 0.0, 1e-12, way)
        one, other = (low - starts) / safe, (high - starts) / safe
        enter = np.maximum(np.minimum(one, other).max(axis=1), 0.0)
        leave = np.minimum(np.maximum(one, other).min(axis=1), 1.0)
        kept = enter <= leave
        start, run = starts[kept], way[kept]
        return start + enter[kept, None] * run, start + leave[kept, None] * run


def _integral(cells: NDArray[np.bool_] | NDArray[np.int8]) -> Cells:
    sums = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), np.int32)
    np.cumsum(cells.cumsum(axis=0, dtype=np.int32), axis=1, out=sums[1:, 1:])
    return sums
