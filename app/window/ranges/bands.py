"""Bands over a range: the whole build on top, then every finding that turns or is bad, with a line at the value chosen.

Clear is hollow, caution hatched, hold tinted with a solid edge; solid hold is kept for the whole and what decides it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.drawing.palette import Theme, mixed
from app.drawing.wording import told_apart
from app.units import scale, show, shown_unit
from app.window.painted import write_in
from app.window.ranges.judged import Sliding
from app.window.ranges.varied import Varied
from app.window.shapes import paint_verdict
from app.window.theme import sized, words_wide
from geometry.document.vehicle import Display
from geometry.words.solution import Verdict
from geometry.words.study import Band, Range, Stretch

ROWS: Final = (15.0, 26.0)
"""Heights that a row may have: what stands on the least is still read at arm's length."""
TOP, AXIS = 10.0, 46.0
_APART: Final = 0.4
"""How much of a row the whole build's stands apart."""
_NAMES, _VALUES = 176.0, 178.0
_LOW_ROW: Final = 20.0
Told = Mapping[tuple[str, str], tuple[Verdict, str]]
"""Of each finding and part: its verdict and its value in words, at the value chosen."""


class Bands(Sliding):
    """The bands; `moved` asks for another value, `chosen` takes the present one, `left` goes back to the drawing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._range: Range | None = None
        self._varied: Varied | None = None
        self._display = Display()
        self._at, self._told = 0.0, dict[tuple[str, str], tuple[Verdict, str]]()
        self._whole: Verdict = "unknown"
        self._of = ""
        self.setAccessibleName("Verdicts over the range")

    # ---- what others tell it

    def show_range(self, found: Range, over: Varied, display: Display, of: str) -> None:
        """Show a build over a range, as far as it is judged by now; `of` names the row of all findings together."""
        self._range, self._varied, self._display, self._of = found, over, display, of
        self.setMaximumHeight(self.sizeHint().height())
        self.update()

    def show_value(self, value: float, whole: Verdict, told: Told) -> None:
        """Put the line where a value is, and say what the build is there."""
        self._at, self._whole, self._told = value, whole, dict(told)
        if self._varied is not None:
            said = self._varied.said(value, self._display)
            self.setAccessibleDescription(f"{self._varied.name} {said}: {whole}")
        self.update()

    @property
    def names(self) -> tuple[str, ...]:
        """What the rows are called, top down, but for the whole."""
        return () if self._range is None else tuple(told_apart(self._range.bands))

    @property
    def hidden(self) -> int:
        """How many rows have no room; they are those with the least trouble."""
        return 0 if self._range is None else len(self._range.bands) - len(self._rows())

    def _rows(self) -> tuple[Band, ...]:
        """The findings that have room."""
        bands = () if self._range is None else self._range.bands
        return bands[: max(int((self.height() - TOP - AXIS) / ROWS[0] - 1.0 - _APART), 0)]

    @property
    def _row(self) -> float:
        """Height of a row: all rows as high as there is room."""
        room = (self.height() - TOP - AXIS) / (1.0 + _APART + len(self._rows()))
        return min(max(room, ROWS[0]), ROWS[1])

    def sizeHint(self) -> QSize:
        """Room for all rows and the scale."""
        rows = 0 if self._range is None else len(self._range.bands)
        return QSize(640, round(TOP + ROWS[1] * (1.0 + _APART + rows) + AXIS))

    # ---- where things are

    def _ends(self) -> tuple[float, float]:
        return _NAMES, self.width() - _VALUES

    def x_of(self, value: float) -> float:
        """Pixel of a value."""
        left, right = self._ends()
        over = self._varied
        if over is None:
            return left
        return left + min(max((value - over.first) / (over.last - over.first), 0.0), 1.0) * (right - left)

    def _value_at(self, x: float) -> float:
        left, right = self._ends()
        over = self._varied
        assert over is not None  # noqa: S101  asked once there are bands
        return over.first + min(max((x - left) / (right - left), 0.0), 1.0) * (over.last - over.first)

    def _y_of(self, row: int) -> float:
        """Top of a row; row 0 is the whole build's, which stands apart."""
        return TOP + self._row * (row + (_APART if row else 0.0))

    def _way(self) -> tuple[float, float, float, float] | None:
        over = self._varied
        return None if over is None else (self._at, over.step(self._display), over.first, over.last)

    # ---- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            if self._range is not None and self._varied is not None:
                self._paint(painter, self._range, self._varied)

    def _paint(self, painter: QPainter, found: Range, over: Varied) -> None:
        theme, values, high = self._theme, self.width() - _VALUES + 12.0, self._row
        decides = {one.decides for one in found.whole if one.verdict == "hold"}
        self._words(painter, 0.0, 0, self._of, _NAMES - 10.0, bold=True)
        self._words(painter, values, 0, f"at {over.said(self._at, self._display)}", _VALUES, bold=True)
        self._bar(painter, 0, found.whole, solid=True)
        bands = self._rows()
        for row, (band, name) in enumerate(zip(bands, self.names, strict=False), start=1):
            first = band.title in decides
            self._words(painter, 0.0, row, name, _NAMES - 10.0, bold=first)
            self._bar(painter, row, band.stretches, solid=first)
            told = self._told.get((band.id, band.part))
            if told is not None:
                mark = QRectF(values, self._y_of(row) + (high - 11.0) / 2.0, 11.0, 11.0)
                paint_verdict(painter, mark, told[0], theme.colour(told[0]))
                self._words(painter, values + 16.0, row, told[1], _VALUES - 28.0)
        bottom = self._y_of(len(bands)) + high + 4.0
        self._scale(painter, over, bottom)
        self._line(painter, over, bottom)

    def _words(self, painter: QPainter, x: float, row: int, text: str, wide: float, *, bold: bool = False) -> None:
        """Words on a row; where they would run over, what stands behind the comma goes first."""
        points = 10 if self._row >= _LOW_ROW else 9
        if words_wide(text, 8, bold=bold) > wide:
            text = text.rpartition(", ")[0] or text
        write_in(painter, QRectF(x, self._y_of(row), wide + 2.0, self._row), text, self._theme.ink, points, bold=bold)

    def _bar(self, painter: QPainter, row: int, stretches: tuple[Stretch, ...], *, solid: bool) -> None:
        theme, thick = self._theme, min(0.62 * self._row, 15.0)
        y = self._y_of(row) + (self._row - thick) / 2.0
        for one in stretches:
            if one.verdict is None:
                continue
            left, right = self.x_of(one.first), self.x_of(one.last)
            box = QRectF(left, y, max(right - left, 1.0), thick)
            colour = QColor(theme.colour(one.verdict))
            painter.setPen(
                QPen(colour, 1.0, Qt.PenStyle.DotLine if one.verdict == "unknown" else Qt.PenStyle.SolidLine)
            )
            painter.setBrush(brush(one.verdict, theme, solid=solid))
            painter.drawRect(box)
            if one.verdict == "hold" and not solid:
                painter.fillRect(QRectF(left, y, 3.0, thick), colour)
            self._verdict_word(painter, one.verdict, box, solid=solid)

    def _verdict_word(self, painter: QPainter, verdict: Verdict, box: QRectF, *, solid: bool) -> None:
        """A stretch's verdict in it where there is room; of what is clear nothing is said."""
        font = sized(9, bold=True)
        wide = QFontMetricsF(font).horizontalAdvance(verdict)
        if verdict == "clear" or self._row < _LOW_ROW or box.width() < wide + 16.0:
            return
        painter.setFont(font)
        place = QRectF(box.left() + 6.0, box.top(), wide + 6.0, box.height())
        line = self.x_of(self._at)
        if place.left() - 4.0 < line < place.right() + 4.0 and box.right() - line > wide + 16.0:
            place.moveLeft(line + 6.0)
        full = solid and verdict == "hold"
        if not full:
            back = QColor(mixed(self._theme.hold, self._theme.paper, 0.28) if verdict == "hold" else self._theme.paper)
            painter.fillRect(place.adjusted(0.0, 1.0, 0.0, -1.0), back)
        painter.setPen(QColor(self._theme.paper if full else self._theme.ink))
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, verdict)

    def _scale(self, painter: QPainter, over: Varied, y: float) -> None:
        """The scale under the bands, in whole units of the person's."""
        theme = self._theme
        left, right = self._ends()
        painter.setPen(QPen(QColor(theme.ink), 1.0))
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        painter.setFont(sized(9))
        for value, text in marks(over, self._display, (right - left) / 70.0):
            x = self.x_of(value)
            painter.drawLine(QPointF(x, y), QPointF(x, y + 5.0))
            painter.drawText(QRectF(x - 40.0, y + 6.0, 80.0, 16.0), Qt.AlignmentFlag.AlignHCenter, text)
        font = sized(9, bold=True)
        painter.setFont(font)
        name = axis_words(over, self._display, QFontMetricsF(font), _NAMES - 46.0)
        painter.drawText(QRectF(0.0, y + 6.0, _NAMES - 40.0, 16.0), LEFT, name)
        if over.first <= over.now <= over.last:
            x = self.x_of(over.now)
            painter.setPen(QPen(QColor(theme.ink), 1.0, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, TOP), QPointF(x, y))

    def _line(self, painter: QPainter, over: Varied, bottom: float) -> None:
        """The line at the value chosen, with the value in a box under the scale."""
        theme, x = self._theme, self.x_of(self._at)
        accent = QColor(theme.accent)
        painter.setPen(QPen(accent, 2.0))
        painter.drawLine(QPointF(x, TOP - 8.0), QPointF(x, bottom + 22.0))
        font = sized(10, bold=True)
        text = over.said(self._at, self._display)
        wide = QFontMetricsF(font).horizontalAdvance(text) + 14.0
        left = min(max(x - wide / 2.0, 16.0), self.width() - wide - 16.0)
        box = QRectF(left, bottom + 22.0, wide, 20.0)
        painter.fillRect(box, accent)
        painter.setFont(font)
        painter.setPen(QColor(theme.paper))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(accent)
        for side in (-1.0, 1.0):
            tip = box.left() - 10.0 if side < 0.0 else box.right() + 10.0
            base, y = tip - side * 6.0, box.center().y()
            painter.drawPolygon(QPolygonF([QPointF(tip, y), QPointF(base, y - 5.0), QPointF(base, y + 5.0)]))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(accent, 2.0))
            painter.drawRect(box.adjusted(-3.0, -3.0, 3.0, 3.0))


LEFT: Final = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def least_high(rows: int) -> float:
    """Height that so many findings take at least, with the whole and the scale."""
    return TOP + AXIS + ROWS[0] * (1.0 + _APART + rows)


def brush(verdict: Verdict, theme: Theme, *, solid: bool) -> QBrush:
    """What a stretch of a verdict is filled with; `solid` of the hold that decides."""
    if verdict == "caution":
        return QBrush(QColor(theme.caution), Qt.BrushStyle.BDiagPattern)
    if verdict == "hold":
        return QBrush(QColor(theme.hold if solid else mixed(theme.hold, theme.paper, 0.28)))
    return QBrush(Qt.BrushStyle.NoBrush)


def marks(over: Varied, display: Display, most: float) -> list[tuple[float, str]]:
    """Round values of an entry's range, at most so many or so, each with its number in the person's unit."""
    size, sign = scale(over.kind, display), shown_unit(over.kind, display).symbol
    return [
        (value / size, show(value / size, over.kind, display, places=places).removesuffix(sign).rstrip())
        for value, places in ticks(over.first * size, over.last * size, most)
    ]


def axis_words(over: Varied, display: Display, metrics: QFontMetricsF, room: float) -> str:
    """What a scale is of, and in which unit its numbers are; where that has no room, the name yields."""
    sign = shown_unit(over.kind, display).symbol
    unit = f" ({sign})" if sign else ""
    left = room - metrics.horizontalAdvance(unit)
    return f"{metrics.elidedText(over.name, Qt.TextElideMode.ElideRight, left)}{unit}"


def ticks(low: float, high: float, most: float) -> list[tuple[float, int]]:
    """Round values from one to the other, at most so many or so, each with the decimals that tell them apart.

    >>> ticks(0.0, 6.0, 4.0)
    [(0.0, 0), (2.0, 0), (4.0, 0), (6.0, 0)]
    """
    step = _tick(high - low, most)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [(number * step, places) for number in range(first, last + 1)]


def _tick(span: float, most: float) -> float:
    """A round step that cuts a span into at most so many.

    >>> _tick(6.0, 7.0), _tick(150.0, 6.0), _tick(1.2, 6.0)
    (1.0, 50.0, 0.2)
    """
    least = span / max(most, 1.0)
    power = 10.0 ** math.floor(math.log10(least))
    return next(one * power for one in (1.0, 2.0, 5.0, 10.0) if one * power >= least * (1.0 - 1e-9))
