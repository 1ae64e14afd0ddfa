"""The rings round handles: small ones on the selected part, a full one under the pointer or in the hand, its words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QRegion

from app.sketch.palette import THEMES

if TYPE_CHECKING:
    from app.sketch.camera import Rect
    from app.sketch.primitives import Floats
    from app.window.canvas import SketchCanvas
    from app.window.drag import DragTool

_RING_PX: Final = 9.0
_SMALL_PX: Final = 4.0
_WORDS_PX: Final = 15.0
_AIR_PX: Final = 6.0
_ASIDE_PX: Final = 18.0
_UP_PX: Final = (-42.0, 20.0, -76.0, 54.0, -120.0, 98.0, -170.0, 150.0)
"""How far above or below the hand its words may stand, best first."""


class Rings:
    """Paints over the drawing; calm, in the accent alone."""

    def __init__(self, tool: DragTool, canvas: SketchCanvas) -> None:
        self._tool = tool
        self._canvas = canvas
        self._stood = 0
        self._painted = QRegion()
        self._found: tuple[object, QRectF | None] = (None, None)

    def paint(self, painter: QPainter) -> None:
        """Paint what is selected, hovered or held."""
        self._painted = self._reach()
        page, tool = self._canvas.page, self._tool
        held = tool.held
        if page is None or (held is None and tool.part is None):
            return
        theme = THEMES[self._canvas.theme]
        accent, paper = QColor(theme.accent), QColor(theme.paper)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        painter.setPen(QPen(accent, 1.4))
        painter.setBrush(paper)
        for at in self._shown():
            painter.drawEllipse(at, _SMALL_PX, _SMALL_PX)
        if held is None:
            return
        middle = QPointF(*page.camera.point_px(held.view, *held.at))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(paper, 4.5))
        painter.drawEllipse(middle, _RING_PX, _RING_PX)
        painter.setPen(QPen(accent, 2.0))
        painter.drawEllipse(middle, _RING_PX, _RING_PX)
        if held == tool.chosen or tool.dragging:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(accent)
            painter.drawEllipse(middle, 3.0, 3.0)
        box = self._words_box(middle, tool.says)
        fonts = self._canvas.words
        if box is not None and fonts is not None:
            painter.fillRect(box, paper)
            fonts.write(painter, tool.says, box.left() + 4.0, box.top() + 1.05 * _WORDS_PX, _WORDS_PX, accent)

    def stale(self) -> QRegion:
        """What was painted last and would be painted now."""
        return self._painted + self._reach()

    def _reach(self) -> QRegion:
        page, tool = self._canvas.page, self._tool
        held = tool.held
        region = QRegion()
        if page is None or (held is None and tool.part is None):
            return region
        for at in self._shown():
            region += _square(at, _SMALL_PX + 2.0)
        if held is not None:
            middle = QPointF(*page.camera.point_px(held.view, *held.at))
            region += _square(middle, _RING_PX + 4.0)
            box = self._words_box(middle, tool.says)
            if box is not None:
                region += box.toAlignedRect()
        return region

    def _shown(self) -> list[QPointF]:
        """Middles of the small rings on the selected part, page pixels."""
        page, tool = self._canvas.page, self._tool
        part = tool.part
        if page is None or part is None or tool.dragging:
            return []
        found = []
        for one in tool.handles:
            box = page.camera.box(one.view)
            at = page.camera.point_px(one.view, *one.at)
            if one.part == part and box is not None and box.holds(*at):
                found.append(QPointF(*at))
        return found

    def _words_box(self, at: QPointF, text: str) -> QRectF | None:
        """Room beside the hand for what it sets, where no other words stand; where it stood last, if that serves."""
        fonts, page = self._canvas.words, self._canvas.page
        if not text or fonts is None or page is None:
            return None
        if self._found[0] == (page, at, text):
            return self._found[1]
        wide, high = fonts.measure(text, _WORDS_PX, bold=False) + 8.0, 1.4 * _WORDS_PX
        places = [(x, y) for y in _UP_PX for x in (_ASIDE_PX, -_ASIDE_PX - wide, -0.5 * wide)]
        order = sorted(range(len(places)), key=lambda one: (one != self._stood, one))
        boxes = [callout.box for callout in page.callouts]
        shaft = self._shaft_px()
        spot = None
        for number in order:
            left, top = at.x() + places[number][0], at.y() + places[number][1]
            if not (4.0 <= left <= page.camera.width - wide - 4.0 and 4.0 <= top <= page.camera.height - high - 4.0):
                continue
            spot = spot or (number, left, top)
            over = (left - _AIR_PX < shaft[:, 0]) & (shaft[:, 0] < left + wide + _AIR_PX)
            over &= (top - _AIR_PX < shaft[:, 1]) & (shaft[:, 1] < top + high + _AIR_PX)
            if not over.any() and all(_apart(one, left, top, wide, high) for one in boxes):
                spot = (number, left, top)
                break
        room = None
        if spot is not None:
            self._stood, left, top = spot
            room = QRectF(left, top, wide, high)
        self._found = ((page, at, text), room)
        return room

    def _shaft_px(self) -> Floats:
        """Points along the shaft's lines in both views, page pixels."""
        scene, page = self._canvas.scene, self._canvas.page
        if scene is None or page is None:
            return np.empty((0, 2))
        lines = [page.camera.to_px(one.view, one.points) for one in scene.strokes if one.role == "shaft"]
        share = np.linspace(0.0, 1.0, 16)[:, None, None]
        parts = [(line[:-1] + share * (line[1:] - line[:-1])).reshape(-1, 2) for line in lines]
        return np.concatenate(parts) if parts else np.empty((0, 2))


def _square(middle: QPointF, half: float) -> QRect:
    return QRectF(middle.x() - half, middle.y() - half, 2.0 * half, 2.0 * half).toAlignedRect()


def _apart(box: Rect, left: float, top: float, wide: float, high: float) -> bool:
    return box.right < left or box.left > left + wide or box.bottom < top or box.top > top + high
