"""The pane with the curves over the travel: small panels in one row, with the slider's place in each."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.curves.curves import Curves, curves_of, worst_of
from app.curves.panels import Panels, Plot, backdrop, panels
from app.drawing.painter import paint
from app.drawing.palette import LIGHT, Theme
from app.units import show

if TYPE_CHECKING:
    from app.window.document import Document
    from app.window.travel.state import TravelState
    from geometry.document import Build
    from geometry.words.solution import Solution

_LEAST_PX, _USUAL_PX = 104, 130


class CurvesPane(QWidget):
    """Curves of the document's solution; the cursor is the slider's, and dragging in a panel moves the axle."""

    def __init__(self, document: Document, state: TravelState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._state = state
        self._theme: Theme = LIGHT
        self._curves: Curves | None = None
        self._behind: Panels | None = None
        self._picture = QPixmap()
        """What stands still behind the slider, painted once."""
        self._page: Panels | None = None
        self._stale = True
        self._bare: tuple[Build, Solution] | None = None
        self._held: Plot | None = None
        self.setAccessibleName("Curves over the axle's travel")
        self.setMinimumHeight(_LEAST_PX)
        self.setMinimumWidth(300)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        state.moved.connect(self._move)
        state.rebuilt.connect(self._rebuild)

    @property
    def page(self) -> Panels | None:
        """The panels as they stand; None where the travel is not known."""
        if self._stale:
            self._stale = False
            shown = self._document.shown
            self._curves = curves_of(*(self._bare or (shown.build, shown.solution)))
            self.setAccessibleDescription(self._says())
        if self._page is None and self._curves is not None:
            size = (max(self.width(), 2), max(self.height(), 2))
            bare, state = self._bare is not None, self._state
            loaded, place = state.torque != "none" and not bare, 0.0 if bare else state.travel_mm + state.up_mm
            if self._behind is None:
                self._behind = backdrop(self._curves, size, self._theme)
                self._picture = QPixmap()
            self._page = panels(self._curves, size, self._theme, place, loaded=loaded, behind=self._behind)
        return self._page

    def show_bare(self, bare: tuple[Build, Solution] | None) -> None:
        """Show the vehicle as measured, at ride height, as the drawing over it does; None shows the document again."""
        self._bare = bare
        self._rebuild()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self._renew()

    def sizeHint(self) -> QSize:
        """Room for one row of small panels."""
        return QSize(760, _USUAL_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Put the panels on the screen."""
        with QPainter(self) as painter:
            page = self.page
            if page is None:
                painter.fillRect(event.rect(), QColor(self._theme.paper))
            else:
                if self._picture.isNull():
                    ratio = self.devicePixelRatioF()
                    self._picture = QPixmap(round(self.width() * ratio), round(self.height() * ratio))
                    self._picture.setDevicePixelRatio(ratio)
                    with QPainter(self._picture) as still:
                        paint(still, replace(page, layers=page.layers[:1]))
                painter.drawPixmap(QPointF(0.0, 0.0), self._picture)
                paint(painter, replace(page, layers=page.layers[1:]), paper=False)

    def resizeEvent(self, event: object) -> None:
        """Lay the panels out anew."""
        del event
        self._renew()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the cursor."""
        at = event.position()
        self._held = self._plot_at(at.x(), at.y()) if event.button() == Qt.MouseButton.LeftButton else None
        self._drag(at.x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the axle with the cursor."""
        at = event.position()
        self._drag(at.x())
        over = self._held is not None or self._plot_at(at.x(), at.y()) is not None
        self.setCursor(Qt.CursorShape.SplitHCursor if over else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of the cursor."""
        del event
        self._held = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave keys to the slider."""
        event.ignore()

    def _plot_at(self, x: float, y: float) -> Plot | None:
        page = self.page
        if page is None:
            return None
        for plot in page.plots:
            left, top, right, bottom = plot.box
            if left - 8.0 <= x <= right + 8.0 and top - 8.0 <= y <= bottom + 8.0:
                return plot
        return None

    def _drag(self, x: float) -> None:
        page = self.page
        if self._held is not None and page is not None:
            up_mm = self._state.up_mm
            snapped = abs(x - page.x_of(self._held, up_mm)) <= 4.0
            self._state.go(0.0 if snapped else page.travel_in(self._held, x) - up_mm)

    def _move(self) -> None:
        self._page = None
        self.update()

    def _rebuild(self) -> None:
        self._stale = True
        self._held = None
        self._renew()

    def _renew(self) -> None:
        self._behind = None
        self._move()

    def _says(self) -> str:
        """The worst of each curve, for a person who does not see it."""
        curves = self._curves
        if curves is None:
            return "The travel is not known."
        said = []
        for panel in curves.panels:
            for one in panel.series:
                worst = worst_of(curves, one)
                if worst is not None:
                    title = f"{panel.title} {one.name}".rstrip()
                    said.append(f"{title} {show(worst[1], panel.kind, curves.display)}")
        return f"Worst over the travel: {'; '.join(said)}."
