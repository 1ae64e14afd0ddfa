"""A map of verdicts over two entries: clear hollow, caution hatched, hold filled, with a cross at the pair chosen."""

from __future__ import annotations

import itertools
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.window.ranges.bands import axis_words, brush, marks
from app.window.ranges.judged import COARSE, Chooser
from app.window.ranges.varied import Varied
from app.window.theme import sized
from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS
from geometry.words.study import Map

_LEFT, _RIGHT, _TOP, _BOTTOM = 96.0, 14.0, 14.0, 46.0


class MapView(Chooser):
    """The map; `moved` asks for another pair, `chosen` takes the present one, `left` goes back to the drawing."""

    moved = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._map: Map | None = None
        self._across: Varied | None = None
        self._up: Varied | None = None
        self._at = (0.0, 0.0)
        self._display = Display()
        self.setAccessibleName("Map of verdicts over two entries")

    # ---- what others tell it

    def show_map(self, found: Map, across: Varied, up: Varied, display: Display) -> None:
        """Show a map, as far as it is judged by now."""
        self._map, self._across, self._up, self._display = found, across, up, display
        self.update()

    def show_pair(self, across: float, up: float, whole: str) -> None:
        """Put the cross where a pair is, and say what the build is there."""
        self._at = (across, up)
        if self._across is not None and self._up is not None:
            said = f"{self._across.name} {self._across.said(across, self._display)}"
            self.setAccessibleDescription(f"{said}, {self._up.name} {self._up.said(up, self._display)}: {whole}")
        self.update()

    def decides(self, across: float, up: float) -> str:
        """What decides the verdict at a pair, "" where it is clear."""
        found = self._map
        if found is None:
            return ""
        row, column = (int(np.abs(values - at).argmin()) for values, at in ((found.up, up), (found.across, across)))
        return str(found.decides[row, column])

    # ---- where things are

    @property
    def _box(self) -> QRectF:
        return QRectF(_LEFT, _TOP, max(self.width() - _LEFT - _RIGHT, 1.0), max(self.height() - _TOP - _BOTTOM, 1.0))

    def point_of(self, across: float, up: float) -> QPointF:
        """Pixel of a pair."""
        one, two, box = self._across, self._up, self._box
        if one is None or two is None:
            return box.center()
        x, y = ((at - of.first) / (of.last - of.first) for at, of in ((across, one), (up, two)))
        return QPointF(box.left() + x * box.width(), box.bottom() - y * box.height())

    def _pair_at(self, at: QPointF) -> tuple[float, float]:
        one, two, box = self._across, self._up, self._box
        assert one is not None  # noqa: S101  asked once there is a map
        assert two is not None  # noqa: S101
        x, y = (at.x() - box.left()) / box.width(), (box.bottom() - at.y()) / box.height()
        across, up = (of.first + min(max(share, 0.0), 1.0) * (of.last - of.first) for share, of in ((x, one), (y, two)))
        return across, up

    # ---- hand and keyboard

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go where the pointer is."""
        if event.button() == Qt.MouseButton.LeftButton and self._map is not None:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self.moved.emit(*self._pair_at(event.position()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        if event.buttons() & Qt.MouseButton.LeftButton and self._map is not None:
            self.moved.emit(*self._pair_at(event.position()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows step across and up, with Shift coarsely."""
        one, two, key = self._across, self._up, event.key()
        ways = {
            Qt.Key.Key_Left: (-1.0, 0.0), Qt.Key.Key_Right: (1.0, 0.0), Qt.Key.Key_Down: (0.0, -1.0),
            Qt.Key.Key_Up: (0.0, 1.0),
        }  # fmt: skip
        if one is None or two is None or key not in ways:
            super().keyPressEvent(event)
            return
        by = COARSE if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        x, y = ways[Qt.Key(key)]
        self.moved.emit(self._at[0] + by * x * one.step(self._display), self._at[1] + by * y * two.step(self._display))

    # ---- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            if self._map is not None and self._across is not None and self._up is not None:
                self._cells(painter, self._map)
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                self._scales(painter, self._across, self._up)
                self._cross(painter, self._across, self._up)

    def _cells(self, painter: QPainter, found: Map) -> None:
        """Every row in runs of one verdict, each half a cell beyond its values, but within the box."""
        box, rows, columns = self._box, *found.codes.shape
        high, wide = box.height() / (rows - 1), box.width() / (columns - 1)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setClipRect(box)
        for row in range(rows):
            codes = found.codes[row]
            starts = [0, *(np.nonzero(codes[1:] != codes[:-1])[0] + 1), columns]
            top = round(box.bottom() - (row + 0.5) * high)
            bottom = round(box.bottom() - (row - 0.5) * high)
            for first, last in itertools.pairwise(starts):
                left = round(box.left() + (first - 0.5) * wide)
                right = round(box.left() + (last - 0.5) * wide)
                painter.setBrush(brush(WORDS[codes[first]], self._theme, solid=False))  # type: ignore[arg-type]
                painter.drawRect(left, top, right - left, bottom - top)
        painter.setClipping(False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self._theme.ink), 1.0))
        painter.drawRect(box)

    def _scales(self, painter: QPainter, across: Varied, up: Varied) -> None:
        theme, box, display = self._theme, self._box, self._display
        painter.setFont(sized(9))
        painter.setPen(QPen(QColor(theme.ink), 1.0))
        for value, text in marks(across, display, box.width() / 70.0):
            x = self.point_of(value, up.first).x()
            painter.drawLine(QPointF(x, box.bottom()), QPointF(x, box.bottom() + 4.0))
            painter.drawText(QRectF(x - 40.0, box.bottom() + 5.0, 80.0, 15.0), Qt.AlignmentFlag.AlignHCenter, text)
        for value, text in marks(up, display, box.height() / 34.0):
            y = self.point_of(across.first, value).y()
            painter.drawLine(QPointF(box.left() - 4.0, y), QPointF(box.left(), y))
            painter.drawText(QRectF(0.0, y - 8.0, box.left() - 7.0, 16.0), _AT_RIGHT, text)
        font = sized(9, bold=True)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        name = axis_words(across, display, metrics, box.width())
        painter.drawText(
            QRectF(box.left(), box.bottom() + 22.0, box.width(), 16.0), Qt.AlignmentFlag.AlignHCenter, name
        )
        painter.save()
        painter.translate(12.0, box.center().y())
        painter.rotate(-90.0)
        name = axis_words(up, display, metrics, box.height())
        painter.drawText(QRectF(-box.height() / 2.0, -8.0, box.height(), 16.0), Qt.AlignmentFlag.AlignCenter, name)
        painter.restore()

    def _cross(self, painter: QPainter, across: Varied, up: Varied) -> None:
        """Where it stands now, dashed; the pair chosen in the accent, ringed so that it is seen on any ground."""
        theme, box = self._theme, self._box
        now = self.point_of(across.now, up.now)
        if box.adjusted(-1.0, -1.0, 1.0, 1.0).contains(now):
            painter.setPen(QPen(QColor(theme.ink), 1.0, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(now.x(), box.top()), QPointF(now.x(), box.bottom()))
            painter.drawLine(QPointF(box.left(), now.y()), QPointF(box.right(), now.y()))
        at = self.point_of(*self._at)
        for colour, wide in ((theme.paper, 5.0), (theme.accent, 2.0)):
            painter.setPen(QPen(QColor(colour), wide))
            painter.drawLine(QPointF(at.x(), box.top()), QPointF(at.x(), box.bottom()))
            painter.drawLine(QPointF(box.left(), at.y()), QPointF(box.right(), at.y()))
        painter.setBrush(QColor(theme.paper))
        painter.setPen(QPen(QColor(theme.accent), 2.5))
        painter.drawEllipse(at, 6.0, 6.0)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(at, 11.0, 11.0)


_AT_RIGHT: Final = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
