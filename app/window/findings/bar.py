"""A value against its lines, as a bar: clear hollow, caution hatched, hold solid, the value over it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.amounts import amount, telling_places
from app.window.painted import Painted, write
from app.window.theme import words_wide
from geometry.document.vehicle import Display
from geometry.words.solution import Finding

HEIGHT: Final = 41
_TOP, _THICK = 17.0, 8.0
_MOST: Final = 1e6


class ValueBar(Painted):
    """Where a finding's value lies among its lines; nothing for a finding without value or line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._finding: Finding | None = None
        self._display = Display()
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_finding(self, finding: Finding, display: Display) -> None:
        """Show another finding."""
        self._finding, self._display = finding, display
        self.setVisible(finding.value is not None and finding.limit is not None and _ends(finding) is not None)
        self.update()

    def sizeHint(self) -> QSize:
        """Room for value, bar and the words of its lines."""
        return QSize(240, HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        finding = self._finding
        ends = None if finding is None else _ends(finding)
        if finding is None or finding.value is None or finding.limit is None or ends is None:
            return
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            low, high = ends
            wide = self.width() - 2.0

            def x(value: float) -> float:
                return 1.0 + min(max((value - low) / (high - low), 0.0), 1.0) * wide

            most = finding.sense == "at most"
            clear, hold = x(finding.limit), None if finding.hold_limit is None else x(finding.hold_limit)
            end = (wide + 1.0) if most else 1.0
            stretches = [
                ("clear", 1.0 if most else wide + 1.0, clear),
                ("caution", clear, end if hold is None else hold),
            ]
            if hold is not None:
                stretches.append(("hold", hold, end))
            for verdict, one, two in stretches:
                left, right = sorted((one, two))
                box = QRectF(left, _TOP, right - left, _THICK)
                colour = QColor(theme.colour(verdict))  # type: ignore[arg-type]
                painter.setPen(QPen(colour, 1.2))
                brush = QBrush(Qt.BrushStyle.NoBrush)
                if verdict == "caution":
                    brush = QBrush(colour, Qt.BrushStyle.BDiagPattern)
                elif verdict == "hold":
                    brush = QBrush(colour)
                painter.setBrush(brush)
                painter.drawRect(box)
            self._pointer(painter, x(finding.value), finding)
            self._lines(painter, clear, hold, finding)

    def _pointer(self, painter: QPainter, at: float, finding: Finding) -> None:
        theme = self._theme
        value = amount(finding.value or 0.0, finding.unit, self._display, telling_places(finding, self._display))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.ink))
        tip = _TOP - 1.0
        painter.drawPolygon(QPolygonF([QPointF(at, tip), QPointF(at - 5.0, tip - 7.0), QPointF(at + 5.0, tip - 7.0)]))
        wide = words_wide(value, 10, bold=True)
        left = at + 8.0 if at + 8.0 + wide < self.width() else at - 8.0 - wide
        write(painter, max(left, 0.0), tip - 1.0, value, theme.ink, 10, bold=True)

    def _lines(self, painter: QPainter, clear: float, hold: float | None, finding: Finding) -> None:
        """Words under the lines, beside each other."""
        theme, display, most = self._theme, self._display, finding.sense == "at most"
        places = telling_places(finding, display)

        def bare(value: float) -> str:
            words = amount(value, finding.unit, display, places)
            return words if words.endswith("°") else words.rsplit(" ", 1)[0]

        first = f"{'most' if most else 'least'} {bare(finding.limit or 0.0)}"
        told = [(clear, first)]
        if hold is not None and finding.hold_limit is not None and finding.hold_limit != finding.limit:
            told.append((hold, f"hold {'from' if most else 'under'} {bare(finding.hold_limit)}"))
        told.sort()
        boxes = [(at, words_wide(text, 9), text) for at, text in told]
        lefts = [min(max(at - wide / 2.0, 0.0), self.width() - wide) for at, wide, _ in boxes]
        if len(boxes) == 2 and lefts[1] < lefts[0] + boxes[0][1] + 10.0:
            middle = (lefts[0] + lefts[1] + boxes[1][1]) / 2.0
            total = boxes[0][1] + 10.0 + boxes[1][1]
            start = min(max(middle - total / 2.0, 0.0), max(self.width() - total, 0.0))
            lefts = [start, start + boxes[0][1] + 10.0]
        for left, (_, _, text) in zip(lefts, boxes, strict=True):
            write(painter, left, _TOP + _THICK + 13.0, text, theme.ink, 9)


def _ends(finding: Finding) -> tuple[float, float] | None:
    """From where to where the bar runs; None where its numbers cannot be set side by side."""
    known = [one for one in (finding.value, finding.limit, finding.hold_limit) if one is not None]
    if not known or max(map(abs, known)) > _MOST or not any(known):
        return None
    low, high = min(*known, 0.0), max(known)
    room = 0.18 * (high - low)
    return (low - room if low < 0.0 else low), high + room
