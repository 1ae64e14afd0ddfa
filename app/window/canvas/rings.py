"""The rings round handles: small where they can be taken, a full one under the pointer or in the hand, its words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.drawing.board import overlaps
from app.drawing.fonts import width
from app.drawing.items import Box, Words
from app.drawing.painter import paint_items

if TYPE_CHECKING:
    from app.drawing.drawing import Drawing
    from app.window.canvas.canvas import Canvas
    from app.window.canvas.drag import DragTool

_RING_PX: Final = 9.0
FRAME_PX: Final = 13.0
"""Half of the frame round the handle that the arrows move."""
_SMALL_PX: Final = 4.0
_WORDS_PT: Final = 11.0
_HIGH_PX: Final = 21.0
_AIR_PX: Final = 6.0
_ASIDE_PX: Final = 18.0
_UP_PX: Final = (
    -42.0, 20.0, -76.0, 54.0, -120.0, 98.0, -170.0, 150.0, -58.0, 37.0, -98.0, 76.0, -145.0, 124.0, -195.0, 175.0,
)  # fmt: skip
"""How far above or below the hand its words may stand, best first."""


class Rings:
    """Paints over the drawing; calm, in the accent alone."""

    def __init__(self, tool: DragTool, canvas: Canvas) -> None:
        self._tool = tool
        self._canvas = canvas
        self._stood = 0

    def paint(self, painter: QPainter) -> None:
        """Paint what can be taken, what is hovered or held, and where the keyboard is."""
        made, tool = self._canvas.drawing, self._tool
        held = tool.held
        theme = self._canvas.theme
        if self._canvas.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.accent), 2.0))
            painter.drawRect(self._canvas.rect().adjusted(1, 1, -1, -1))
        if made is None:
            return
        accent, paper = QColor(theme.accent), QColor(theme.paper)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        painter.setPen(QPen(accent, 1.4))
        painter.setBrush(paper)
        for at in self._shown():
            painter.drawEllipse(at, _SMALL_PX, _SMALL_PX)
        view = None if held is None else self._canvas.view(held.view)
        if held is None or view is None:
            return
        middle = QPointF(*view.px(held.at))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(paper, 4.5))
        painter.drawEllipse(middle, _RING_PX, _RING_PX)
        painter.setPen(QPen(accent, 2.0))
        painter.drawEllipse(middle, _RING_PX, _RING_PX)
        if held == tool.chosen and not tool.dragging:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(middle.x() - FRAME_PX, middle.y() - FRAME_PX, 2.0 * FRAME_PX, 2.0 * FRAME_PX))
        if held == tool.chosen or tool.dragging:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(accent)
            painter.drawEllipse(middle, 3.0, 3.0)
        box = self._words_box(made, middle, tool.says)
        if box is not None:
            painter.fillRect(QRectF(box[0], box[1], box[2] - box[0], box[3] - box[1]), paper)
            words = Words(box[0] + 4.0, box[3] - 5.5, tool.says, _WORDS_PT, theme.accent, bold=True)
            paint_items(painter, (words,))

    def _shown(self) -> list[QPointF]:
        """Middles of the small rings, page pixels."""
        found = []
        for one in self._tool.offered():
            view = self._canvas.view(one.view)
            if view is not None:
                found.append(QPointF(*view.px(one.at)))
        return found

    def _words_box(self, made: Drawing, at: QPointF, text: str) -> Box | None:
        """Room beside the hand for what it sets, where no other words stand; where it stood last, if that serves."""
        if not text:
            return None
        wide = width(text, _WORDS_PT, bold=True) + 8.0
        places = [(x, y) for y in _UP_PX for x in (_ASIDE_PX, -_ASIDE_PX - wide, -0.5 * wide)]
        order = sorted(range(len(places)), key=lambda one: (one != self._stood, one))
        spot: tuple[int, Box] | None = None
        for number in order:
            left, top = at.x() + places[number][0], at.y() + places[number][1]
            box = (left, top, left + wide, top + _HIGH_PX)
            if not (left >= 4.0 and box[2] <= made.width - 4.0 and top >= 4.0 and box[3] <= made.height - 4.0):
                continue
            spot = spot or (number, box)
            padded = (box[0] - _AIR_PX, box[1] - _AIR_PX, box[2] + _AIR_PX, box[3] + _AIR_PX)
            clear = all(_apart(one, box) for one, _ in made.words)
            if clear and not any(overlaps(body, padded) for body in made.bodies):
                spot = (number, box)
                break
        if spot is None:
            return None
        self._stood = spot[0]
        return spot[1]


def _apart(one: Box, other: Box) -> bool:
    return one[2] < other[0] or one[0] > other[2] or one[3] < other[1] or one[1] > other[3]
