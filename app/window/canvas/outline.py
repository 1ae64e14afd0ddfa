"""Drawing an obstacle's outline in the sketch: corner after corner in one view, snapped to the tape's own units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.drawing.fonts import width
from app.drawing.items import Words
from app.drawing.painter import paint_items
from app.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.drawing.items import ViewName
    from app.drawing.palette import Theme
    from app.drawing.places import View
    from app.window.canvas.canvas import Canvas
    from geometry.document.vehicle import Display
    from geometry.words.picture import Floor

Corner = tuple[float, float]
_STEP_MM = {"inch": 25.4, "millimetre": 10.0}  # an inch, or a centimetre: what a tape's long marks show
_LEAST_CORNERS = 3
_WORDS_PT = 10.5
_HANDLE_PX = 3.5
HINT = "Press the corners of what is in the way, in either view. Enter closes, Backspace takes one back, Esc gives up."


@dataclass(slots=True)
class OutlineTool:
    """The outline under the person's hand: its view, its corners in mm, and where the next corner would be.

    The view is that of the first corner. Corners and `near`, (station, height) or (station, distance right), are as
    they would be measured before the plan's lift, which the drawing shows; `floor` takes the one to the other.
    """

    display: Display
    floor: Floor
    view: ViewName = "side"
    corners: tuple[Corner, ...] = ()
    near: Corner | None = None

    def aim(self, canvas: Canvas, x: float, y: float, *, half: bool = False) -> None:
        """Put the next corner under a page pixel, snapped to whole units, or to half ones."""
        if not self.corners:
            self.view = canvas.view_at(x, y) or self.view
        view = canvas.view(self.view)
        if view is not None:
            self.near = self._snapped(self._measured(view.mm((x, y))), half=half)

    def _measured(self, at: Corner) -> Corner:
        return self.floor.side_in_frame((at,))[0] if self.view == "side" else at

    def _shown(self, corners: Sequence[Corner]) -> Sequence[Corner]:
        return self.floor.side(corners) if self.view == "side" and corners else corners

    def nudge(self, along: int, up: int, *, half: bool = False) -> None:
        """Move the next corner by whole or half units; `along` rearward, `up` up or to the right."""
        step = self._step(half=half)
        x, y = self.near or (0.0, 0.0)
        self.near = self._snapped((x + along * step, y + up * step), half=half)

    def put(self) -> None:
        """Set the corner; one on the corner before is not set twice."""
        if self.near is not None and (not self.corners or self.corners[-1] != self.near):
            self.corners = (*self.corners, self.near)

    def take_back(self) -> None:
        """Take the last corner away."""
        self.corners = self.corners[:-1]

    @property
    def outline(self) -> tuple[Corner, ...]:
        """Corners without a last one that lies on the first."""
        if len(self.corners) > 1 and self.corners[-1] == self.corners[0]:
            return self.corners[:-1]
        return self.corners

    @property
    def whole(self) -> bool:
        """Whether the corners bound something: three of them, not in one line."""
        if len(self.outline) < _LEAST_CORNERS:
            return False
        points = np.array(self.outline)
        x, y = points.T
        area = 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))
        return area > 1.0

    def words(self) -> str:
        """Where the next corner would be, as a tape reads."""
        if self.near is None:
            return ""
        places = 0 if self.display.length == "millimetre" else None  # as fine as the corners are set
        x, y = (show(one, "mm", self.display, places=places) for one in self.near)
        where = f"back {x}, {'up' if self.view == 'side' else 'right'} {y}"
        lifted = self.view == "side" and (self.floor.tilt_deg or self.floor.raised_mm)
        return f"{where}, as measured before the lift" if lifted else where

    def paint(self, painter: QPainter, view: View, theme: Theme, wide: float) -> None:
        """Paint the outline so far, its corners, and the next one with its words, on a page so wide."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        accent = QColor(theme.accent)
        corners = [QPointF(*at) for at in view.all_px(self._shown(self.corners))]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(accent, 2.0))
        painter.drawPolyline(QPolygonF(corners))
        if self.near is not None:
            at = QPointF(*view.px(self._shown((self.near,))[0]))
            painter.setPen(QPen(accent, 1.2, Qt.PenStyle.DashLine))
            if corners:
                painter.drawLine(corners[-1], at)
            if len(corners) >= _LEAST_CORNERS - 1:
                painter.drawLine(at, corners[0])
            painter.setPen(QPen(accent, 1.2))
            painter.drawLine(at - QPointF(7.0, 0.0), at + QPointF(7.0, 0.0))
            painter.drawLine(at - QPointF(0.0, 7.0), at + QPointF(0.0, 7.0))
            self._tell(painter, at, theme, wide)
        painter.setPen(QPen(accent, 1.5))
        painter.setBrush(QColor(theme.paper))
        for corner in corners:
            painter.drawEllipse(corner, _HANDLE_PX, _HANDLE_PX)

    def paint_hint(self, painter: QPainter, theme: Theme, wide: float) -> None:
        """Say over the drawing's head what to do."""
        painter.fillRect(QRectF(0.0, 0.0, wide, 28.0), QColor(theme.paper))
        room = wide - 24.0
        points = min(_WORDS_PT, _WORDS_PT * room / max(width(HINT, _WORDS_PT, bold=True), 1.0))
        paint_items(painter, (Words(12.0, 22.0, HINT, max(points, 9.0), theme.accent, bold=True),))

    def _tell(self, painter: QPainter, at: QPointF, theme: Theme, page: float) -> None:
        text = self.words()
        wide = width(text, _WORDS_PT)
        left = at.x() + 12.0 if at.x() + 24.0 + wide < page else at.x() - 12.0 - wide
        top = at.y() - 28.0 if at.y() > 40.0 else at.y() + 12.0
        painter.fillRect(QRectF(left - 3.0, top, wide + 6.0, 20.0), QColor(theme.paper))
        paint_items(painter, (Words(left, top + 15.0, text, _WORDS_PT, theme.ink),))

    def _step(self, *, half: bool) -> float:
        return _STEP_MM[self.display.length] * (0.5 if half else 1.0)

    def _snapped(self, at: Corner, *, half: bool) -> Corner:
        step = self._step(half=half)
        x, y = (round(round(one / step) * step, 6) + 0.0 for one in at)
        return x, y
