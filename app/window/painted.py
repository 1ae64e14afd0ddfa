"""What widgets that paint themselves have in common: the theme that they wear, lines of words, the keyboard's frame."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.drawing.palette import LIGHT, Theme
from app.window.theme import sized, words_wide


class Painted(QWidget):
    """A widget that paints itself in a theme's colours."""

    _theme: Theme = LIGHT

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.update()


def write(
    painter: QPainter, x: float, base: float, text: str, colour: str, points: int, *, bold: bool = False,
    right: bool = False,
) -> float:  # fmt: skip
    """Write one line from `x` on, or up to it from the left; how wide it is."""
    painter.setFont(sized(points, bold=bold))
    painter.setPen(QColor(colour))
    wide = words_wide(text, points, bold=bold)
    painter.drawText(QPointF(x - wide if right else x, base), text)
    return wide


def frame(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Paint the frame of what has the keyboard."""
    painter.setPen(QPen(QColor(theme.accent), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
