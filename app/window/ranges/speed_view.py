"""Curves over road speed, one over the other on one scale, with the whole on top and the gears below."""

from __future__ import annotations

from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.drawing.palette import mixed
from app.speeds import SpeedRow, gear_words, rows_of
from app.units import scale, show
from app.window.painted import write_in
from app.window.ranges.bands import brush, ticks
from app.window.ranges.judged import Sliding
from app.window.shapes import paint_verdict
from app.window.theme import sized
from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS
from geometry.mechanics.vectors import Floats
from geometry.words.solution import Verdict
from geometry.words.speeds import Gear, OverSpeed

_NAMES, _VALUES = 176.0, 178.0
_TOP, _WHOLE, _GEAR, _AXIS = 12.0, 24.0, 19.0, 54.0
_GAP: Final = 10.0
_PANEL: Final = (58.0, 170.0)
"""Heights that a panel of curves may have."""
_REACH: Final = 2.2
"""The line that holds lies in the panel where it is so many times as far off as the curves go, or nearer."""
_DASHES: Final = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine)


class SpeedView(Sliding):
    """The curves; `moved` asks for another speed, km/h, `chosen` takes the present one, `left` goes back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: OverSpeed | None = None
        self._rows: tuple[SpeedRow, ...] = ()
        self._display = Display()
        self._at = 0.0
        self.setAccessibleName("Curves over road speed")

    def show_found(self, found: OverSpeed, display: Display) -> None:
        """Show a build over speed."""
        self._found, self._rows, self._display = found, rows_of(found), display
        self.setMinimumHeight(round(self._rest() + (_PANEL[0] + _GAP) * len(self._rows)))
        self.setMaximumHeight(self.sizeHint().height())
        self.update()

    def show_speed(self, at_kmh: float) -> None:
        """Put the line at a speed."""
        self._at = at_kmh
        if self._found is not None:
            speeds = self._found.speeds_kmh
            said = [
                f"{row.title} {row.value_words(speeds, at_kmh, self._display)}, {row.verdict(speeds, at_kmh)}"
                for row in self._rows
            ]
            self.setAccessibleDescription(f"At {self._said(at_kmh)}: {'; '.join(said)}")
        self.update()

    def sizeHint(self) -> QSize:
        """Room for all panels at their best."""
        return QSize(640, round(self._rest() + (_PANEL[1] + _GAP) * max(len(self._rows), 1)))

    # ---- where things are

    def _rest(self) -> float:
        gears = 0 if self._found is None else len(self._found.gears)
        return _TOP + _WHOLE + _GEAR * gears + _AXIS + _GAP

    @property
    def _panel(self) -> float:
        room = (self.height() - self._rest()) / max(len(self._rows), 1) - _GAP
        return min(max(room, _PANEL[0]), _PANEL[1])

    @property
    def _most(self) -> float:
        return 1.0 if self._found is None else float(self._found.speeds_kmh[-1])

    def x_of(self, speed_kmh: float) -> float:
        """Pixel of a speed."""
        return _NAMES + min(max(speed_kmh / self._most, 0.0), 1.0) * (self.width() - _VALUES - _NAMES)

    def panel_of(self, number: int) -> QRectF:
        """Where a panel's curves are."""
        top = _TOP + _WHOLE + _GAP + number * (self._panel + _GAP)
        return QRectF(_NAMES, top, self.width() - _VALUES - _NAMES, self._panel)

    def _said(self, speed_kmh: float) -> str:
        return show(speed_kmh, "km/h", self._display, places=0)

    def _way(self) -> tuple[float, float, float, float] | None:
        return None if self._found is None else (self._at, 1.0 / scale("km/h", self._display), 0.0, self._most)

    def _value_at(self, x: float) -> float:
        return (x - _NAMES) / max(self.width() - _VALUES - _NAMES, 1.0) * self._most

    # ---- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            if self._found is not None:
                self._paint(painter, self._found)

    def _paint(self, painter: QPainter, found: OverSpeed) -> None:
        values = self.width() - _VALUES + 12.0
        self._words(painter, QRectF(0.0, _TOP, _NAMES - 10.0, _WHOLE), "Runs smooth", bold=True)
        self._words(painter, QRectF(values, _TOP, _VALUES - 14.0, _WHOLE), f"at {self._said(self._at)}", bold=True)
        for one in found.whole:
            left, right = self.x_of(0.0 if one is found.whole[0] else one.first), self.x_of(one.last)
            self._stretch(painter, QRectF(left, _TOP + 4.0, max(right - left, 1.0), _WHOLE - 8.0), one.verdict)
        for number, row in enumerate(self._rows):
            self._curves(painter, found, row, self.panel_of(number))
        bottom = self.panel_of(len(self._rows)).top()
        for number, gear in enumerate(found.gears):
            self._gear(painter, found, gear, bottom + number * _GEAR)
        bottom += len(found.gears) * _GEAR + 2.0
        self._scale(painter, bottom)
        self._cursor(painter, found, bottom)

    def _stretch(self, painter: QPainter, box: QRectF, verdict: Verdict | None) -> None:
        word = verdict or "unknown"
        style = Qt.PenStyle.DotLine if word == "unknown" else Qt.PenStyle.SolidLine
        painter.setPen(QPen(QColor(self._theme.colour(word)), 1.0, style))
        painter.setBrush(brush(word, self._theme, solid=True))
        painter.drawRect(box)

    def _curves(self, painter: QPainter, found: OverSpeed, row: SpeedRow, box: QRectF) -> None:
        theme, speeds, display = self._theme, found.speeds_kmh, self._display
        name = QRectF(0.0, box.top(), _NAMES - 10.0, 18.0)
        self._words(painter, name, row.title if self._fits(row.title, name.width()) else row.short, bold=True)
        lines = row.lines_words(speeds, self._at, display)
        self._words(painter, name.adjusted(0.0, 18.0, 6.0, 18.0), lines, muted=True)
        verdict = row.verdict(speeds, self._at)
        at = self.width() - _VALUES + 12.0
        paint_verdict(painter, QRectF(at, box.top() + 3.0, 11.0, 11.0), verdict, theme.colour(verdict))
        value = QRectF(at + 16.0, box.top(), _VALUES - 42.0, 18.0)
        self._words(painter, value, row.value_words(speeds, self._at, display))
        known = [one[np.isfinite(one)] for one in row.curves]
        most = max((float(one.max()) for one in known if one.size), default=0.0)
        drawn = [
            (line, word)
            for line, word in ((row.clear, "caution"), (row.hold, "hold"))
            if line is not None and (word == "caution" or np.nanmin(line) <= _REACH * max(most, 1e-9))
        ]
        top = max(most, *(float(np.nanmin(line)) for line, _ in drawn), 1e-9) * 1.08
        self._tints(painter, found, row, box)
        painter.save()
        painter.setClipRect(box.adjusted(0.0, 0.0, 1.0, 1.0))
        for line, word in drawn:
            dash = Qt.PenStyle.SolidLine if word == "hold" else Qt.PenStyle.DashLine
            self._line(painter, speeds, line, (box, top), QPen(QColor(theme.colour(word)), 1.0, dash))  # type: ignore[arg-type]
        for place, curve in enumerate(row.curves):
            pen = QPen(QColor(theme.accent), 2.0, _DASHES[min(place, len(_DASHES) - 1)])
            self._line(painter, np.append(0.0, speeds), np.append(curve[0], curve), (box, top), pen)
        painter.restore()
        if row.title == "Shaft speed":
            self._halves(painter, box, [one / top for one in found.half_critical_rpm if one <= top])
        painter.setPen(QPen(QColor(theme.muted), 1.0))
        painter.drawLine(box.bottomLeft(), box.bottomRight())

    def _tints(self, painter: QPainter, found: OverSpeed, row: SpeedRow, box: QRectF) -> None:
        """Where it is not clear the panel is tinted, caution hatched."""
        speeds, codes = found.speeds_kmh, row.codes
        borders = np.flatnonzero(codes[1:] != codes[:-1])
        edges = [0.0, *((speeds[borders] + speeds[borders + 1]) / 2.0).tolist(), float(speeds[-1])]
        words = [WORDS[code] for code in codes[[0, *(borders + 1)]]]
        for first, last, word in zip(edges, edges[1:], words, strict=False):
            if word not in {"caution", "hold"}:
                continue
            colour = QColor(self._theme.colour(word))  # type: ignore[arg-type]
            area = QRectF(self.x_of(first), box.top(), self.x_of(last) - self.x_of(first), box.height())
            painter.fillRect(area, QColor(mixed(colour.name(), self._theme.paper, 0.13)))
            if word == "caution":
                colour.setAlphaF(0.35)
                painter.fillRect(area, QBrush(colour, Qt.BrushStyle.BDiagPattern))

    def _line(self, painter: QPainter, speeds: Floats, values: Floats, within: tuple[QRectF, float], pen: QPen) -> None:
        box, top = within
        points = [
            QPointF(self.x_of(speed), box.bottom() - value / top * box.height())
            for speed, value in zip(speeds.tolist(), values.tolist(), strict=True)
            if value == value  # noqa: PLR0124  nan is no place
        ]
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(points))

    def _halves(self, painter: QPainter, box: QRectF, heights: list[float]) -> None:
        """Half the critical speed of each section; the lowest is named, under its line where another follows."""
        painter.setPen(QPen(QColor(self._theme.ink), 1.0, Qt.PenStyle.DotLine))
        lines = [box.bottom() - height * box.height() for height in heights]
        for y in lines:
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
        for y in lines[:1]:
            under = len(lines) > 1 or y < box.top() + 18.0
            words = QRectF(box.left() + 4.0, y + (1.0 if under else -17.0), 180.0, 16.0)
            self._words(painter, words, "half the critical speed", muted=True)

    def _gear(self, painter: QPainter, found: OverSpeed, gear: Gear, y: float) -> None:
        """How far a gear goes, and how fast the engine turns in it at the speed chosen."""
        theme = self._theme
        self._words(painter, QRectF(0.0, y, _NAMES - 10.0, _GEAR), gear_words(gear, self._display).partition(":")[0])
        if gear.redline_kmh is None:
            return
        end = min(gear.redline_kmh, self._most)
        box = QRectF(self.x_of(0.0), y + 5.0, self.x_of(end) - self.x_of(0.0), _GEAR - 10.0)
        painter.setPen(QPen(QColor(theme.muted), 1.0))
        painter.setBrush(QColor(mixed(theme.ink, theme.paper, 0.10)))
        painter.drawRect(box)
        if gear.redline_kmh <= self._most:
            painter.fillRect(QRectF(box.right() - 2.0, y + 2.0, 3.0, _GEAR - 4.0), QColor(theme.ink))
        rpm = float(np.interp(self._at, found.speeds_kmh, found.shaft_rpm)) * gear.ratio
        over = self._at > gear.redline_kmh * (1.0 + 1e-9)
        said = "beyond the redline" if over else f"engine {show(rpm, 'rpm', self._display)}"
        at = QRectF(self.width() - _VALUES + 28.0, y, _VALUES - 42.0, _GEAR)
        self._words(painter, at, said, muted=over)

    def _scale(self, painter: QPainter, y: float) -> None:
        """The scale under it all, in whole units of the person's."""
        left, right = self.x_of(0.0), self.x_of(self._most)
        size = scale("km/h", self._display)
        painter.setPen(QPen(QColor(self._theme.ink), 1.0))
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        painter.setFont(sized(9))
        for value, places in ticks(0.0, self._most * size, (right - left) / 70.0):
            x = self.x_of(value / size)
            painter.drawLine(QPointF(x, y), QPointF(x, y + 5.0))
            text = show(value / size, "km/h", self._display, places=places).rsplit(" ", 1)[0]
            painter.drawText(QRectF(x - 40.0, y + 6.0, 80.0, 16.0), Qt.AlignmentFlag.AlignHCenter, text)
        unit = self._said(0.0).rsplit(" ", 1)[-1]
        self._words(painter, QRectF(0.0, y + 6.0, _NAMES - 14.0, 16.0), f"Road speed ({unit})", bold=True)

    def _cursor(self, painter: QPainter, found: OverSpeed, bottom: float) -> None:
        """The line at the speed chosen, with the speed in a box under the scale; dashed where it cruises."""
        theme, accent = self._theme, QColor(self._theme.accent)
        if found.cruise_kmh is not None and found.cruise_kmh <= self._most:
            x = self.x_of(found.cruise_kmh)
            painter.setPen(QPen(QColor(theme.ink), 1.0, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, _TOP), QPointF(x, bottom))
        x = self.x_of(self._at)
        painter.setPen(QPen(accent, 2.0))
        painter.drawLine(QPointF(x, _TOP - 8.0), QPointF(x, bottom + 22.0))
        font = sized(10, bold=True)
        text = f"{self._said(self._at)}{', cruise' if self._at == found.cruise_kmh else ''}"
        wide = QFontMetricsF(font).horizontalAdvance(text) + 14.0
        box = QRectF(min(max(x - wide / 2.0, 16.0), self.width() - wide - 16.0), bottom + 22.0, wide, 20.0)
        painter.fillRect(box, accent)
        painter.setFont(font)
        painter.setPen(QColor(theme.paper))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(accent, 2.0))
            painter.drawRect(box.adjusted(-3.0, -3.0, 3.0, 3.0))

    def _fits(self, text: str, wide: float) -> bool:
        return QFontMetricsF(sized(10, bold=True)).horizontalAdvance(text) <= wide

    def _words(self, painter: QPainter, box: QRectF, text: str, *, bold: bool = False, muted: bool = False) -> None:
        colour = self._theme.muted if muted else self._theme.ink
        write_in(painter, box, text, colour, 9 if muted else 10, bold=bold)
