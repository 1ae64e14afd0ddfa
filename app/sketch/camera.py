"""Where the two views lie on a page, and between millimetres and the page's own pixels (y down, 96 to the inch).

Both views share one scale and one station axis, so a length is the same length wherever it is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from app.sketch.primitives import Extents, Floats, Scene, View

POINT_PX = 96.0 / 72.0
SIZES_PT = {"big": 15.0, "label": 11.0, "axis": 9.0}


@dataclass(frozen=True, slots=True)
class Rect:
    """Upright box in page pixels, y down."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Extent along the page."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent down the page."""
        return self.bottom - self.top

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in it."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom

    def inset(self, by: float) -> Rect:
        """Return the box drawn in on all sides."""
        return Rect(self.left + by, self.top + by, self.right - by, self.bottom - by)


@dataclass(frozen=True, slots=True)
class Camera:
    """One page: its size, the boxes of both views, the scale in px/mm, and the mm at each box's left and middle.

    `station_mm` stands at the left edge of both boxes, `height_mm` at the middle of the side view's and `side_mm` at
    the middle of the top view's. `words` scales all letters.
    """

    width: float
    height: float
    side: Rect
    top: Rect | None
    scale: float
    station_mm: float
    height_mm: float
    side_mm: float
    words: float = 1.0
    numbered: bool = True

    def box(self, view: View) -> Rect | None:
        """Box of a view, None where the page has none."""
        return self.side if view == "side" else self.top

    def centre_mm(self, view: View) -> float:
        """Height or side at the middle of a view's box."""
        return self.height_mm if view == "side" else self.side_mm

    def to_px(self, view: View, points: Floats) -> Floats:
        """Points in mm to page pixels, (n, 2) -> (n, 2)."""
        box = self.box(view) or self.side
        middle = 0.5 * (box.top + box.bottom)
        shift = np.array((box.left - self.scale * self.station_mm, middle + self.scale * self.centre_mm(view)))
        pixels: Floats = points * np.array((self.scale, -self.scale)) + shift
        return pixels

    def point_px(self, view: View, x: float, y: float) -> tuple[float, float]:
        """One point in mm to its page pixel."""
        box = self.box(view) or self.side
        middle = 0.5 * (box.top + box.bottom)
        return box.left + (x - self.station_mm) * self.scale, middle - (y - self.centre_mm(view)) * self.scale

    def to_mm(self, view: View, x: float, y: float) -> tuple[float, float]:
        """Page pixel to mm in a view."""
        box = self.box(view) or self.side
        middle = 0.5 * (box.top + box.bottom)
        return self.station_mm + (x - box.left) / self.scale, self.centre_mm(view) - (y - middle) / self.scale

    def limits(self, view: View) -> tuple[float, float, float, float]:
        """Stations from and to, heights or sides from and to, that a view's box shows, mm."""
        box = self.box(view) or self.side
        half = 0.5 * box.height / self.scale
        middle = self.centre_mm(view)
        return self.station_mm, self.station_mm + box.width / self.scale, middle - half, middle + half

    def view_at(self, x: float, y: float) -> View | None:
        """View under a pixel."""
        if self.side.holds(x, y):
            return "side"
        return "top" if self.top is not None and self.top.holds(x, y) else None

    def zoomed(self, factor: float, x: float, y: float) -> Camera:
        """Return the page magnified about a pixel, which keeps its place; the other view about its own middle."""
        scale = min(max(self.scale * factor, 0.02), 20.0)
        view = self.view_at(x, y) or "side"
        station, across = self.to_mm(view, x, y)
        box = self.box(view) or self.side
        middle = across + (y - 0.5 * (box.top + box.bottom)) / scale
        moved = replace(self, scale=scale, station_mm=station - (x - box.left) / scale)
        return replace(moved, height_mm=middle) if view == "side" else replace(moved, side_mm=middle)

    def panned(self, dx: float, dy: float, view: View) -> Camera:
        """Return the page with its content moved by pixels; up and down moves the one view alone."""
        moved = replace(self, station_mm=self.station_mm - dx / self.scale)
        up = dy / self.scale
        if view == "side":
            return replace(moved, height_mm=self.height_mm + up)
        return replace(moved, side_mm=self.side_mm + up)

    def shows(self, subject: tuple[float, float, float, float, float, float]) -> bool:
        """Whether the whole subject lies inside both views."""
        x0, x1, z0, z1, y0, y1 = subject
        left, right, low, high = self.limits("side")
        inside = left <= x0 and x1 <= right and low <= z0 and z1 <= high
        if self.top is not None:
            _, _, low, high = self.limits("top")
            inside = inside and low <= y0 and y1 <= high
        return inside


_ROOM_ROWS = 6.0  # rows of words over the side view
_FEW_ROWS = 3.5  # the same where there is room at the sides
_WIDE_SHARE = 0.7  # of the page's width; a drawing that takes less leaves room at its sides
_WISH_COST = 0.87  # the part of the scale that may be given up for what is only wished for


def fitted(scene: Scene, width: float, height: float, *, words: float = 1.0) -> Camera:
    """Page of that size in pixels on which the scene's subject is as large as it can be."""
    extents = scene.extents
    axis = SIZES_PT["axis"] * POINT_PX * words
    numbered = scene.kind == "measured"
    left = (3.6 * axis if numbered else 1.2 * axis) + 4.0
    right = 1.2 * axis
    head, gap, foot = 0.6 * axis, 1.3 * axis, (2.4 * axis if numbered else 1.0 * axis)
    broad = max(width - left - right, 40.0)
    if scene.kind != "measured":
        tall = max(height - head - foot, 40.0)
        box = Rect(left, head, left + broad, head + tall)
        scale = min(broad / _span(extents.stations), tall / _span(extents.heights))
        return Camera(
            width, height, box, None, scale, _middle(extents.stations) - 0.5 * broad / scale,
            _middle(extents.heights), 0.0, words, numbered=False,
        )  # fmt: skip
    tall = max(height - head - gap - foot, 60.0)
    row = SIZES_PT["label"] * POINT_PX * words
    # On a low, wide page words find room beside the drawing; only elsewhere do they want much of it above.
    room = _FEW_ROWS * row
    scale, sides = _scale(extents, broad, max(tall - room, 0.5 * tall))
    if _span(extents.stations) * scale > _WIDE_SHARE * broad:
        room = _ROOM_ROWS * row
        scale, sides = _scale(extents, broad, max(tall - room, 0.5 * tall))
    stations = extents.wish_stations if _span(extents.wish_stations) * scale <= broad + 1.0 else extents.stations
    spare = tall - scale * (_span(extents.heights) + _span(sides))
    # Words need the room over the side view more than the top view needs air; both get some.
    side_tall = scale * _span(extents.heights) + min(room, spare) + 0.55 * max(spare - room, 0.0)
    side = Rect(left, head, left + broad, head + side_tall)
    top = Rect(left, side.bottom + gap, left + broad, height - foot)
    floor_mm = extents.heights[0]
    return Camera(
        width, height, side, top, scale, _middle(stations) - 0.5 * broad / scale,
        floor_mm + 0.5 * side_tall / scale, _middle(sides), words, numbered=True,
    )  # fmt: skip


def resized(old: Camera | None, fresh: Camera) -> Camera:
    """Page of a new size that keeps a chosen view: its left edge, middles and scale."""
    if old is None or old.numbered != fresh.numbered:
        return fresh
    return replace(fresh, scale=old.scale, station_mm=old.station_mm, height_mm=old.height_mm, side_mm=old.side_mm)


def _scale(extents: Extents, broad: float, tall: float) -> tuple[float, tuple[float, float]]:
    """Greatest scale that fits, giving up a little of it for the wished-for parts."""
    options = [
        (min(broad / _span(stations), tall / (_span(extents.heights) + _span(sides))), sides)
        for stations in (extents.stations, extents.wish_stations)
        for sides in (extents.sides, *extents.wish_sides)
    ]
    best = max(scale for scale, _ in options)
    return next((scale, sides) for scale, sides in reversed(options) if scale >= _WISH_COST * best)


def _span(pair: tuple[float, float]) -> float:
    return max(pair[1] - pair[0], 1.0)


def _middle(pair: tuple[float, float]) -> float:
    return 0.5 * (pair[0] + pair[1])
