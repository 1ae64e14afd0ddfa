"""The verdicts' shapes, painted: square for hold, triangle for caution, ring for unknown, disc for clear."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.drawing.palette import Theme, verdict_shape
from geometry.words.solution import Verdict


def paint_verdict(painter: QPainter, box: QRectF, verdict: Verdict, colour: str) -> None:
    """Paint a verdict's shape into a box."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    shape = verdict_shape(verdict)
    half = min(box.width(), box.height()) / 2.2
    if verdict == "unknown":
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(colour), max(1.6, half * 0.28)))
        painter.drawEllipse(box.center(), half * 0.78, half * 0.78)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colour))
        if shape:
            centre = box.center()
            painter.drawPolygon(QPolygonF([QPointF(centre.x() + x * half, centre.y() + y * half) for x, y in shape]))
        else:
            painter.drawEllipse(box.center(), half * 0.92, half * 0.92)
    painter.restore()


class VerdictMark(QWidget):
    """A verdict's shape as a small widget; the words beside it say the same."""

    def __init__(self, size: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._size = size
        self._verdict: Verdict = "unknown"
        self._colour = "#808080"
        self.setFixedSize(size, size)

    def show_verdict(self, verdict: Verdict, theme: Theme) -> None:
        """Show another verdict, or the same in another theme."""
        self._verdict, self._colour = verdict, theme.colour(verdict)
        self.update()

    def sizeHint(self) -> QSize:
        """Its one size."""
        return QSize(self._size, self._size)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the shape."""
        del event
        with QPainter(self) as painter:
            paint_verdict(painter, QRectF(self.rect()), self._verdict, self._colour)
