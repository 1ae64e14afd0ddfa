"""The strokes of the drawing as an image: empty page, what seldom changes, what moves, each over the last."""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage

from app.sketch.artists import Strokes, Window

if TYPE_CHECKING:
    from collections.abc import Mapping

    from app.sketch.camera import Camera
    from app.sketch.grid import Grid
    from app.sketch.palette import Theme
    from app.sketch.primitives import Floats, Scene, Stroke, View

_INCH_PX = 96.0
_HALF_PEN_PX = 8.0  # the widest pen reaches no farther from its line
_SWAPPED: Final = sys.byteorder == "little"
"""Whether red and blue change places on the way through the renderer.

It writes red, green, blue, nothing; Qt keeps its windows in whole words, which on such a machine are blue, green, red,
nothing. Drawn with the two colours changed over, the image is copied to the screen instead of converted.
"""
_FORMAT: Final = QImage.Format.Format_RGB32 if _SWAPPED else QImage.Format.Format_RGBX8888


@dataclass(frozen=True, slots=True)
class _Still:
    """The page with what seldom changes on it."""

    strokes: tuple[Stroke, ...]
    pixels: Any


class Stage:
    """matplotlib's figure and artists, made once; its image is what the screen shows under the words."""

    def __init__(self, theme: Theme) -> None:
        self.figure = Figure(dpi=_INCH_PX)
        self.strokes = Strokes(self.figure, theme, blitted=True)
        self.image = QImage()
        self._agg: Any = FigureCanvasAgg(self.figure)  # matplotlib types few of its canvas methods
        self._camera: Camera | None = None
        self._ratio = 1.0
        self._pixels: Any = None
        self._empty: Any = None
        self._plain: _Still | None = None
        self._still: _Still | None = None

    def draw_page(self, camera: Camera, grid: Grid, theme: Theme, ratio: float) -> None:
        """Draw the empty page; `ratio` is how many device pixels a page pixel has."""
        inks = _swapped(theme) if _SWAPPED else theme
        self._camera, self._ratio = camera, ratio
        self.figure.set_dpi(_INCH_PX * ratio)
        self.figure.set_size_inches(camera.width / _INCH_PX, camera.height / _INCH_PX)
        self.figure.set_facecolor(inks.paper)
        self.strokes.paint(inks)
        self.strokes.look(camera)
        self.strokes.show(grid.strokes, ("static",))
        self._agg.draw()
        self.strokes.draw(self._agg.get_renderer(), "static")
        # Pixels and image share the renderer's memory, so what is drawn there later is in them.
        buffer = self._agg.buffer_rgba()
        self._pixels = np.asarray(buffer)
        self._empty = self._pixels.copy()
        self._plain = self._still = None
        tall, broad = buffer.shape[:2]
        self.image = QImage(buffer, broad, tall, 4 * broad, _FORMAT)
        self.image.setDevicePixelRatio(ratio)

    def draw_scene(self, scene: Scene) -> tuple[QRect, ...] | None:
        """Draw a scene over the empty page; what seldom changes is drawn only when it did, and of what moves only
        where it changed.

        Returns the boxes of the page that look different, page pixels; None where it may be all of it.
        """
        renderer = self._agg.get_renderer()
        strokes = tuple(one for one in scene.strokes if one.layer == "static")
        still = self._still
        if still is not None and _same(strokes, still.strokes):
            windows = self._windows(self.strokes.show(scene.strokes, ("moving",)))
            for window in windows.values():
                part = self._slices(window)
                self._pixels[part] = still.pixels[part]
            self.strokes.draw(renderer, "moving", windows)
            return tuple(self._box(window) for window in windows.values())
        self._take_still(strokes)
        self.strokes.show(scene.strokes, ("moving",))
        self.strokes.draw(renderer, "moving")
        return None

    def _take_still(self, strokes: tuple[Stroke, ...]) -> None:
        """Put what seldom changes on the page, and over it the ends of the travel, which come and go."""
        renderer = self._agg.get_renderer()
        lasting = tuple(one for one in strokes if one.role != "ghost")
        self.strokes.show(strokes, ("static",))
        if self._plain is None or not _same(lasting, self._plain.strokes):
            self._pixels[:] = self._empty
            self.strokes.draw(renderer, "static", but=("ghost",))
            self._plain = _Still(lasting, self._pixels.copy())
        else:
            self._pixels[:] = self._plain.pixels
        self._still = self._plain
        if len(lasting) < len(strokes):
            self.strokes.draw(renderer, "static", only=("ghost",))
            self._still = _Still(strokes, self._pixels.copy())

    def _windows(self, changed: Mapping[View, list[Floats]]) -> dict[View, Window]:
        """The part of each view in which something is another than before, in whole device pixels."""
        found: dict[View, Window] = {}
        camera, ratio, tall = self._camera, self._ratio, self._pixels.shape[0]
        for view, parts in changed.items():
            frame = None if camera is None else camera.box(view)
            if camera is None or frame is None:
                continue
            points = np.concatenate(parts)
            (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
            left, top = camera.point_px(view, x0, y1)
            right, bottom = camera.point_px(view, x1, y0)
            left, top = max(left - _HALF_PEN_PX, frame.left), max(top - _HALF_PEN_PX, frame.top)
            right, bottom = min(right + _HALF_PEN_PX, frame.right), min(bottom + _HALF_PEN_PX, frame.bottom)
            if left >= right or top >= bottom:
                continue
            a, b = math.floor(left * ratio), math.ceil(right * ratio)
            c, d = math.floor(top * ratio), math.ceil(bottom * ratio)
            far = 2.0 * _HALF_PEN_PX / camera.scale
            found[view] = Window(Bbox(((a, tall - d), (b, tall - c))), (x0 - far, y0 - far, x1 + far, y1 + far))
        return found

    def _slices(self, window: Window) -> tuple[slice, slice]:
        (left, low), (right, high) = window.clip.get_points().astype(int).tolist()
        tall = self._pixels.shape[0]
        return slice(max(tall - high, 0), max(tall - low, 0)), slice(max(left, 0), right)

    def _box(self, window: Window) -> QRect:
        """Page pixels round a window."""
        rows, columns = self._slices(window)
        left, top = math.floor(columns.start / self._ratio), math.floor(rows.start / self._ratio)
        right, bottom = math.ceil(columns.stop / self._ratio), math.ceil(rows.stop / self._ratio)
        return QRect(left, top, right - left, bottom - top)


def _swapped(theme: Theme) -> Theme:
    """A theme with red and blue changed over in every colour."""
    colours = {
        one.name: f"#{value[5:7]}{value[3:5]}{value[1:3]}"
        for one in fields(theme)
        if isinstance(value := getattr(theme, one.name), str) and value.startswith("#")
    }
    return replace(theme, **colours)  # type: ignore[arg-type]  # its colours are its only such words


def _same(one: tuple[Stroke, ...], other: tuple[Stroke, ...]) -> bool:
    """Whether two lists of strokes look the same."""
    if len(one) != len(other):
        return False
    return all(
        a.key == b.key and a.role == b.role and a.points.shape == b.points.shape and bool((a.points == b.points).all())
        for a, b in zip(one, other, strict=True)
    )
