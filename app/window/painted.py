"""What widgets that paint themselves have in common: the theme that they wear, lines of words, the keyboard's frame."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
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


def elided(
    text: str, room: float, points: int, *, bold: bool = False, least: int | None = None, middle: bool = False
) -> tuple[str, int]:
    """Words for a room, and the size of letters in which they fit: smaller, down to `least`, before they are cut."""
    for size in range(points, least or points, -1):
        if words_wide(text, size, bold=bold) <= room:
            return text, size
    cut = Qt.TextElideMode.ElideMiddle if middle else Qt.TextElideMode.ElideRight
    size = min(least or points, points)
    return QFontMetricsF(sized(size, bold=bold)).elidedText(text, cut, room), size


def write_in(
    painter: QPainter, box: QRectF, text: str, colour: str, points: int, *, bold: bool = False, least: int = 8
) -> None:
    """Write one line at the left of a box, halfway up: smaller before it is cut."""
    said, size = elided(text, box.width(), points, bold=bold, least=least)
    painter.setFont(sized(size, bold=bold))
    painter.setPen(QColor(colour))
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, said)


def frame(painter: QPainter, box: QRectF, theme: Theme) -> None:
    """Paint the frame of what has the keyboard."""
    painter.setPen(QPen(QColor(theme.accent), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
