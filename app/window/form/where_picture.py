"""A picture of where the gauge or the tape goes for an entry, with its positive sense by an arrow."""

from __future__ import annotations

import math
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.palette import mixed
from app.window.painted import Painted
from app.window.theme import sized

Picture = Literal["pinion", "output", "stick", "length", "point", "radius", "level", "none"]
HEIGHT: Final = 60
_PICTURES: Final[dict[str, Picture]] = {
    "powertrain.slope_deg": "output",
    "plan.powertrain_slope_deg": "output",
    "axle.pinion_slope_deg": "pinion",
    "plan.pinion_slope_deg": "pinion",
    "readings.seat_slope_deg": "pinion",
    "readings.shaft_slope_deg": "stick",
    "readings.shaft_length_mm": "length",
    "vehicle.frame_slope_deg": "level",
    "vehicle.front_tyre_radius_mm": "radius",
    "vehicle.rear_tyre_radius_mm": "radius",
}
_SENSES: Final[dict[Picture, str]] = {
    "pinion": "nose\nup is +",
    "output": "tail\ndown is +",
    "stick": "down to the\nrear is +",
    "level": "rear\nlower is +",
}


def picture_of(path: str, kind: str) -> Picture:
    """Which picture goes with an entry."""
    if path in _PICTURES:
        return _PICTURES[path]
    if kind == "point":
        return "point"
    return "none"


class WherePicture(Painted):
    """The picture; nothing where an entry has none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture: Picture = "none"
        self._ahead = False
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_entry(self, path: str, kind: str, *, ahead: bool) -> None:
        """Show where an entry is measured; `ahead` on a front axle, whose pinion points rearward."""
        picture = picture_of(path, kind)
        if (picture, ahead) != (self._picture, self._ahead):
            self._picture, self._ahead = picture, ahead
            self.update()

    def sizeHint(self) -> QSize:
        """Its one height."""
        return QSize(240, HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        if self._picture == "none":
            return
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            sense = _SENSES.get(self._picture, "")
            if self._picture == "pinion" and self._ahead:
                sense = "nose\ndown is +"
            if sense:
                painter.setFont(sized(9))
                painter.setPen(QColor(self._theme.ink))
                painter.drawText(QRectF(10.0, 10.0, 74.0, 40.0), Qt.AlignmentFlag.AlignRight, sense)
            painter.translate(94.0, 0.0)
            getattr(self, f"_{self._picture}")(painter)

    # ---- the parts

    def _ink(self, painter: QPainter, share: float = 0.0) -> None:
        theme = self._theme
        painter.setPen(QPen(QColor(theme.ink), 1.2))
        painter.setBrush(QColor(mixed(theme.ink, theme.paper, share)) if share else Qt.BrushStyle.NoBrush)

    def _gauge(self, painter: QPainter, x: float, y: float) -> None:
        """The angle gauge: a dial with its needle, in the accent."""
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 2.0))
        painter.setBrush(QColor(self._theme.paper))
        painter.drawEllipse(QPointF(x, y), 12.0, 12.0)
        painter.drawLine(QPointF(x, y), QPointF(x, y - 8.0))
        for turn in range(0, 360, 30):
            ux, uy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            painter.drawPoint(QPointF(x + 9.5 * ux, y + 9.5 * uy))

    def _turn(self, painter: QPainter, x: float, y: float, *, up: bool) -> None:
        """An arrow round: the positive sense."""
        painter.setPen(QPen(QColor(self._theme.ink), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(QRectF(x - 14.0, y - 20.0, 28.0, 40.0), 120 * 16, 120 * 16)
        tip = QPointF(x - 7.0, y - 18.0) if up else QPointF(x - 7.0, y + 18.0)
        way = -1.0 if up else 1.0
        painter.setBrush(QColor(self._theme.ink))
        corners = ((4.0, way), (-6.0, -way), (0.0, -8.0 * way))
        painter.drawPolygon(QPolygonF([tip + QPointF(x, y) for x, y in corners]))

    def _pinion(self, painter: QPainter) -> None:
        self._turn(painter, 14.0, 31.0, up=not self._ahead)
        self._ink(painter, 0.16)
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, y)
                    for x, y in (
                        (64, 22),
                        (88, 20),
                        (104, 10),
                        (128, 8),
                        (142, 20),
                        (142, 42),
                        (128, 54),
                        (104, 52),
                        (88, 42),
                        (64, 40),
                    )
                ]
            )
        )
        self._ink(painter, 0.26)
        painter.drawRect(QRectF(58.0, 17.0, 7.0, 28.0))
        painter.drawEllipse(QPointF(122.0, 31.0), 8.0, 8.0)
        self._gauge(painter, 42.0, 31.0)

    def _output(self, painter: QPainter) -> None:
        self._turn(painter, 14.0, 31.0, up=False)
        self._ink(painter, 0.11)
        painter.drawPolygon(
            QPolygonF([QPointF(x, y) for x, y in ((30, 12), (70, 14), (92, 22), (92, 40), (70, 48), (30, 50))])
        )
        self._ink(painter, 0.26)
        painter.drawRect(QRectF(92.0, 19.0, 7.0, 24.0))
        self._gauge(painter, 116.0, 31.0)

    def _stick(self, painter: QPainter) -> None:
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 1.4))
        painter.setBrush(QColor(mixed(self._theme.accent, self._theme.paper, 0.30)))
        painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in ((6, 22), (146, 46), (145, 54), (5, 30))]))
        self._gauge(painter, 74.0, 20.0)

    def _length(self, painter: QPainter) -> None:
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 1.4))
        painter.setBrush(QColor(mixed(self._theme.accent, self._theme.paper, 0.30)))
        painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in ((10, 10), (140, 26), (139, 34), (9, 18))]))
        painter.setBrush(QColor(self._theme.paper))
        for x, y in ((8.0, 14.0), (142.0, 31.0)):
            painter.drawEllipse(QPointF(x, y), 6.0, 6.0)
        self._ink(painter)
        painter.drawLine(QPointF(8.0, 52.0), QPointF(142.0, 52.0))
        for x, top in ((8.0, 22.0), (142.0, 39.0)):
            painter.drawLine(QPointF(x, top), QPointF(x, 56.0))

    def _point(self, painter: QPainter) -> None:
        """Rearward from the front axle, up from the floor: the axes of a point."""
        self._ink(painter)
        painter.drawLine(QPointF(10.0, 54.0), QPointF(150.0, 54.0))
        painter.drawEllipse(QPointF(22.0, 40.0), 13.0, 13.0)
        painter.drawLine(QPointF(22.0, 40.0), QPointF(22.0, 6.0))
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 1.8))
        painter.drawLine(QPointF(22.0, 12.0), QPointF(112.0, 12.0))
        painter.drawLine(QPointF(112.0, 54.0), QPointF(112.0, 18.0))
        painter.setBrush(accent)
        painter.drawPolygon(QPolygonF([QPointF(112.0, 12.0), QPointF(104.0, 9.0), QPointF(104.0, 15.0)]))
        painter.drawPolygon(QPolygonF([QPointF(112.0, 16.0), QPointF(109.0, 24.0), QPointF(115.0, 24.0)]))
        painter.setFont(sized(9))
        painter.setPen(QColor(self._theme.ink))
        painter.drawText(QPointF(42.0, 26.0), "rearward")
        painter.drawText(QPointF(118.0, 40.0), "up")

    def _radius(self, painter: QPainter) -> None:
        self._ink(painter, 0.085)
        painter.drawEllipse(QPointF(74.0, 30.0), 25.0, 25.0)
        painter.drawLine(QPointF(30.0, 54.0), QPointF(120.0, 54.0))
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 1.8))
        painter.drawLine(QPointF(74.0, 30.0), QPointF(74.0, 54.0))
        painter.setBrush(QColor(self._theme.paper))
        painter.drawEllipse(QPointF(74.0, 30.0), 3.0, 3.0)

    def _level(self, painter: QPainter) -> None:
        self._ink(painter, 0.08)
        painter.drawRect(QRectF(4.0, 36.0, 146.0, 14.0))
        self._gauge(painter, 76.0, 22.0)
