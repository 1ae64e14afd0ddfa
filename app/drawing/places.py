"""From millimetres to the page: a view, and what hangs on a line in it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from app.drawing.items import Box, Point

Pair = tuple[float, float]
"""A point in a view, mm, or a direction."""


class View(NamedTuple):
    """Where a view lies on the page: the page point of (left_mm, high_mm) is its box's upper left corner.

    `across` runs rearward; the other way up the page: height in the side view, right side up in the top view.
    """

    box: Box
    scale: float
    left_mm: float
    high_mm: float

    def x(self, across: float) -> float:
        """Page x of a station."""
        return self.box[0] + (across - self.left_mm) * self.scale

    def y(self, up: float) -> float:
        """Page y of a height, or of a distance to the right."""
        return self.box[1] + (self.high_mm - up) * self.scale

    def px(self, point: Pair) -> Point:
        """Page point of one in the view."""
        left, top, _, _ = self.box
        return left + (point[0] - self.left_mm) * self.scale, top + (self.high_mm - point[1]) * self.scale

    def all_px(self, points: Iterable[Pair]) -> tuple[Point, ...]:
        """Page points of several."""
        left, top, _, _ = self.box
        scale, left_mm, high_mm = self.scale, self.left_mm, self.high_mm
        return tuple([(left + (x - left_mm) * scale, top + (high_mm - z) * scale) for x, z in points])

    def mm(self, at: Point) -> Pair:
        """The point in the view that lies at a page point."""
        return self.left_mm + (at[0] - self.box[0]) / self.scale, self.high_mm - (at[1] - self.box[1]) / self.scale

    def holds(self, at: Point) -> bool:
        """Whether a page point lies in the view's box."""
        left, top, right, bottom = self.box
        return left <= at[0] <= right and top <= at[1] <= bottom

    def zoomed(self, at: Point, factor: float) -> View:
        """Enlarged about a page point, which stays where it is."""
        x, z = self.mm(at)
        scale = self.scale * factor
        return View(self.box, scale, x - (at[0] - self.box[0]) / scale, z + (at[1] - self.box[1]) / scale)

    def shifted(self, dx: float, dy: float) -> View:
        """Pulled along the page by so many pixels."""
        return self._replace(left_mm=self.left_mm - dx / self.scale, high_mm=self.high_mm + dy / self.scale)


class Hung(NamedTuple):
    """A frame of its own for a part: an origin, and a unit direction; its other axis points up the page."""

    origin: Pair
    along: Pair

    def at(self, t: float, w: float) -> Pair:
        """The point `t` along and `w` up from the line, mm."""
        (x, z), (ax, az) = self.origin, self.along
        if ax < 0.0:
            return x + ax * t + az * w, z + az * t - ax * w
        return x + ax * t - az * w, z + az * t + ax * w

    def all(self, points: Iterable[Pair]) -> list[Pair]:
        """Several."""
        (x, z), (ax, az) = self.origin, self.along
        ux, uz = (az, -ax) if ax < 0.0 else (-az, ax)
        return [(x + ax * t + ux * w, z + az * t + uz * w) for t, w in points]


def hung_on(one: Pair, two: Pair) -> tuple[Hung, float]:
    """The frame from one point to another, and how far apart they are, mm."""
    size = math.hypot(two[0] - one[0], two[1] - one[1])
    if size == 0.0:
        return Hung(one, (1.0, 0.0)), 0.0
    return Hung(one, ((two[0] - one[0]) / size, (two[1] - one[1]) / size)), size


def level(origin: Pair) -> Hung:
    """A frame that lies level."""
    return Hung(origin, (1.0, 0.0))


def flat(direction: Sequence[float]) -> Pair | None:
    """A direction in space as the side view shows it, a unit one; None for one across the view."""
    x, z = direction[0], direction[2]
    size = math.hypot(x, z)
    return (x / size, z / size) if size > 1e-9 else None


def bar(long: float, half: float, start: float = 0.0) -> list[Pair]:
    """A bar along a line, with ends square to it."""
    return [(start, half), (long, half), (long, -half), (start, -half)]


def boxed(left: float, top: float, right: float, bottom: float) -> list[Pair]:
    """Corners of a box."""
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def arc(radius: float, first_deg: float, last_deg: float, steps: int = 24, *, flatten: float = 1.0) -> list[Pair]:
    """Points on an arc about the origin; `flatten` squeezes its second coordinate."""
    turns = [math.radians(first_deg + (last_deg - first_deg) * step / steps) for step in range(steps + 1)]
    return [(radius * math.cos(turn), radius * flatten * math.sin(turn)) for turn in turns]


def rounded(points: Sequence[Pair], radius: float, steps: int = 4) -> list[Pair]:
    """An outline with its corners rounded, less where a side is too short."""
    made: list[Pair] = []
    for place, (x, y) in enumerate(points):
        (px, py), (nx, ny) = points[place - 1], points[(place + 1) % len(points)]
        before, behind = math.hypot(x - px, y - py), math.hypot(nx - x, ny - y)
        cut = min(radius, before / 2.2, behind / 2.2)
        if cut <= 0.0:
            made.append((x, y))
            continue
        ax, ay = x + (px - x) * cut / before, y + (py - y) * cut / before
        bx, by = x + (nx - x) * cut / behind, y + (ny - y) * cut / behind
        for step in range(steps + 1):
            t = step / steps
            k0, k1, k2 = (1.0 - t) ** 2, 2.0 * t * (1.0 - t), t * t
            made.append((k0 * ax + k1 * x + k2 * bx, k0 * ay + k1 * y + k2 * by))
    return made


def on_polyline(points: Sequence[Pair], share: float) -> tuple[Pair, Pair]:
    """The point that lies a share of the length along a line, and the unit direction there."""
    sizes = [math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points)]
    left = min(max(share, 0.0), 1.0) * sum(sizes)
    for (ax, ay), (bx, by), size in zip(points, points[1:], sizes, strict=False):
        if left <= size and size > 0.0:
            t = left / size
            return (ax + (bx - ax) * t, ay + (by - ay) * t), ((bx - ax) / size, (by - ay) / size)
        left -= size
    (ax, ay), (bx, by) = points[-2], points[-1]
    size = math.hypot(bx - ax, by - ay) or 1.0
    return points[-1], ((bx - ax) / size, (by - ay) / size)


def height_at(points: Sequence[Pair], across: float) -> float:
    """Second coordinate of a line that runs rearward, at a station; its ends' beyond them."""
    before = points[0]
    if across <= before[0]:
        return before[1]
    for here in points[1:]:
        if across <= here[0]:
            share = (across - before[0]) / (here[0] - before[0]) if here[0] > before[0] else 1.0
            return before[1] + (here[1] - before[1]) * share
        before = here
    return points[-1][1]
