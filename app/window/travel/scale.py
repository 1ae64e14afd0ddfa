"""The slider for the axle's travel: a scale from droop to bump in the person's units, ride height marked."""

from __future__ import annotations

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QSlider, QWidget

from app.drawing.palette import LIGHT, Theme
from app.drawing.wording import place_words
from app.units import scale
from app.window.painted import frame, write
from app.window.theme import words_wide
from geometry.document.vehicle import Display

_A_MM: Final = 100  # slider steps in one millimetre
_MARGIN_PX = 12.0
_LINE_Y = 14.0
_SNAP_PX = 6.0
_FINE_MM: Final = {"inch": 25.4 / 16.0, "millimetre": 1.0}
_COARSE_MM: Final = {"inch": 12.7, "millimetre": 10.0}
_WORDS_PT = 9


class TravelScale(QSlider):
    """Arrows move by a sixteenth of an inch or a millimetre, page keys by half an inch or a centimetre, Home goes to
    ride height, End to full bump. Under the pointer it snaps to ride height.
    """

    moved = Signal(float)
    """The person wants the axle here, mm from ride height."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._display = Display()
        self._theme = LIGHT
        self._ends = (0.0, 0.0)
        self._told = 0.0
        self.setAccessibleName("Travel of the axle")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(190)
        self.setMouseTracking(True)
        self.valueChanged.connect(self._tell)

    def show_range(self, ends: tuple[float, float], display: Display) -> None:
        """Take full droop (negative) and full bump, mm, and the units of the scale."""
        if (ends, display) == (self._ends, self._display):
            return
        self._ends, self._display = ends, display
        with QSignalBlocker(self):
            self.setRange(round(ends[0] * _A_MM), round(ends[1] * _A_MM))
            self.setSingleStep(round(_FINE_MM[display.length] * _A_MM))
            self.setPageStep(round(_COARSE_MM[display.length] * _A_MM))
        self.update()

    def show_travel(self, travel_mm: float) -> None:
        """Put the handle where the axle is."""
        with QSignalBlocker(self):
            self.setValue(round(travel_mm * _A_MM))
        self.setAccessibleDescription(place_words(travel_mm, self._display))
        if travel_mm != self._told:
            self._told = travel_mm
            self.update()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the line, the handle and one row of words."""
        return QSize(360, 44)

    def minimumSizeHint(self) -> QSize:
        """As high as it wants to be, and as short as its words allow."""
        return QSize(190, 44)

    def x_of(self, travel_mm: float) -> float:
        """Pixel of a place of the travel."""
        low, high = self._ends
        share = (travel_mm - low) / (high - low) if high > low else 0.5
        return _MARGIN_PX + share * (self.width() - 2.0 * _MARGIN_PX)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step on whole steps counted from ride height, so that it is always met."""
        key = event.key()
        fine, coarse = _FINE_MM[self._display.length], _COARSE_MM[self._display.length]
        steps = {
            Qt.Key.Key_Right: fine,
            Qt.Key.Key_Up: fine,
            Qt.Key.Key_Left: -fine,
            Qt.Key.Key_Down: -fine,
            Qt.Key.Key_PageUp: coarse,
            Qt.Key.Key_PageDown: -coarse,
        }
        if key == Qt.Key.Key_Home:
            self._want(0.0)
        elif key == Qt.Key.Key_End:
            self._want(self._ends[1])
        elif key in steps:
            self._want(_stepped(self._told, steps[Qt.Key(key)]))
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go where the pointer is."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self._follow(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._follow(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stay there."""
        del event

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint scale, words and handle."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            muted, ink = QColor(self._theme.muted), QColor(self._theme.ink)
            low, high = self._ends
            painter.setPen(QPen(muted, 1.4))
            painter.drawLine(QPointF(self.x_of(low), _LINE_Y), QPointF(self.x_of(high), _LINE_Y))
            unit = scale("mm", self._display)
            painter.setPen(QPen(muted, 1.0))
            room = max((self.width() - 2.0 * _MARGIN_PX) / 9.0, 2.0)
            for one in ticks(low * unit, high * unit, nice_step(max((high - low) * unit / room, 1e-6))):
                x = self.x_of(one / unit)
                painter.drawLine(QPointF(x, _LINE_Y), QPointF(x, _LINE_Y + 4.0))
            painter.setPen(QPen(ink, 1.6))
            for place in (low, 0.0, high):
                painter.drawLine(QPointF(self.x_of(place), _LINE_Y - 7.0), QPointF(self.x_of(place), _LINE_Y + 7.0))
            self._words(painter)
            self._handle(painter)

    def _words(self, painter: QPainter) -> None:
        low, high = self._ends
        taken: list[tuple[float, float]] = []
        for place in (low, high, 0.0):
            text = "ride height" if place == 0.0 else place_words(place, self._display)
            wide = words_wide(text, _WORDS_PT)
            left = min(max(self.x_of(place) - 0.5 * wide, 0.0), self.width() - wide)
            if all(left > end + 8.0 or left + wide < start - 8.0 for start, end in taken):
                write(painter, left, self.height() - 4.0, text, self._theme.muted, _WORDS_PT)
                taken.append((left, left + wide))

    def _handle(self, painter: QPainter) -> None:
        accent = QColor(self._theme.accent)
        box = QRectF(self.x_of(self._told) - 5.0, _LINE_Y - 11.0, 10.0, 22.0)
        if self.hasFocus():
            frame(painter, box.adjusted(-3.0, -2.0, 3.0, 2.0), self._theme)
        painter.setPen(QPen(QColor(self._theme.paper), 1.0))
        painter.setBrush(accent)
        painter.drawRect(box)

    def _follow(self, x: float) -> None:
        low, high = self._ends
        broad = max(self.width() - 2.0 * _MARGIN_PX, 1.0)
        travel = low + (x - _MARGIN_PX) / broad * (high - low)
        self._want(0.0 if abs(x - self.x_of(0.0)) <= _SNAP_PX else travel)

    def _tell(self, value: int) -> None:
        """What assistive technology sets."""
        self._want(value / _A_MM)

    def _want(self, travel_mm: float) -> None:
        travel_mm = min(max(travel_mm, self._ends[0]), self._ends[1])
        if travel_mm != self._told:
            self.moved.emit(travel_mm)


def _stepped(travel_mm: float, step_mm: float) -> float:
    """Next whole number of steps from ride height, in the step's way."""
    size = abs(step_mm)
    here = travel_mm / size
    nearest = round(here)
    if abs(here - nearest) > 1e-6:  # between two steps: the next of them in that way
        nearest = int(here // 1.0) + (0 if step_mm > 0.0 else 1)
    return (nearest + (1 if step_mm > 0.0 else -1)) * size


def nice_step(least: float) -> float:
    """Smallest of 1, 2, 5 times a power of ten that is not less than `least`.

    >>> nice_step(3.1), nice_step(0.09)
    (5.0, 0.1)
    """
    power = 10.0 ** math.floor(math.log10(least))
    return next((factor * power for factor in (1.0, 2.0, 5.0) if factor * power >= least * (1 - 1e-9)), 10.0 * power)


def ticks(low: float, high: float, step: float) -> list[float]:
    """Multiples of a step between two values."""
    return [i * step for i in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]
