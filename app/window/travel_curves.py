"""The pane with the curves over the travel: lines by matplotlib, words and the cursor by Qt over them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.sketch.grid import Words
from app.sketch.palette import LIGHT, Theme

if TYPE_CHECKING:
    from app.travel_plots.cell import Plot
    from app.travel_plots.layout import CurvePage
    from app.window.canvas_words import WordPainter
    from app.window.document import Document
    from app.window.travel_state import TravelState

_INCH_PX = 96.0


class CurvesPane(QWidget):
    """Curves of the document's solution; the cursor is the slider's, and dragging in a plot moves the axle.

    `full_draws` counts drawings of the curves; the cursor costs none.
    """

    def __init__(self, document: Document, state: TravelState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.full_draws = 0
        self._document = document
        self._state = state
        self._theme: Theme = LIGHT
        self._page: CurvePage | None = None
        self._words: WordPainter | None = None
        self._stage: _Stage | None = None
        self._stale = True
        self._held: Plot | None = None
        self.setAccessibleName("Curves over the axle's travel")
        self.setMinimumHeight(190)
        self.setMinimumWidth(300)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        state.moved.connect(self.update)
        state.rebuilt.connect(self._rebuild)

    @property
    def page(self) -> CurvePage | None:
        """The page as last drawn."""
        return self._page

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self._rebuild()

    def sizeHint(self) -> QSize:
        """Room for two rows of small plots."""
        return QSize(760, 290)

    def cursor_x(self, plot: Plot) -> float | None:
        """Pixel of the cursor in a plot."""
        return None if self._page is None else self._page.x_of(plot, self._state.travel_mm)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Put curves, words and cursor on the screen."""
        if self._stale:
            self._draw()
        painter = QPainter(self)
        page = self._page
        if page is None or self._stage is None or self._words is None:
            painter.fillRect(event.rect(), QColor(self._theme.paper))
            painter.end()
            return
        painter.drawImage(QPointF(0.0, 0.0), self._stage.image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._words.rows(painter, page.words, self._theme)
        self._words.rows(painter, page.values(self._state.travel_mm), self._theme)
        if self._state.torque != "none":
            px = page.letter_px
            note = Words(page.width - 1.2 * px, page.height - 0.4 * px, "curves without torque", px, align="right")
            self._words.rows(painter, [note], self._theme)
        painter.setPen(QPen(QColor(self._theme.accent), 1.4))
        for plot in page.plots:
            x = page.x_of(plot, self._state.travel_mm)
            painter.drawLine(QPointF(x, plot.box.top - 2.0), QPointF(x, plot.box.bottom + 3.0))
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the plots out anew."""
        super().resizeEvent(event)
        if self._page is None or (self._page.width, self._page.height) != (self.width(), self.height()):
            self._stale = True

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
        if self._page is None:
            return None
        return next((plot for plot in self._page.plots if plot.box.inset(-8.0).holds(x, y)), None)

    def _drag(self, x: float) -> None:
        if self._held is not None and self._page is not None:
            snapped = abs(x - self._page.x_of(self._held, 0.0)) <= 4.0
            self._state.go(0.0 if snapped else self._page.travel_in(self._held, x))

    def _rebuild(self) -> None:
        self._stale = True
        self._held = None
        self.update()

    def _draw(self) -> None:
        from app.travel_plots.curves import curves_of
        from app.travel_plots.layout import laid_out
        from app.window.canvas_words import WordPainter

        self._stale = False
        curves = curves_of(self._document.shown.build, self._document.shown.solution)
        if curves is None:
            self._page = None
            return
        if self._words is None:
            self._words = WordPainter()
        self._page = laid_out(curves, max(self.width(), 2), max(self.height(), 2), self._words.measure, top=4.0)
        if self._stage is None:
            self._stage = _Stage(self._theme)
        self._stage.draw(self._page, self._theme, self.devicePixelRatioF())
        says = [f"{one.title} {one.text}" for one in self._worst()]
        self.setAccessibleDescription("Worst over the travel: " + "; ".join(says) + ".")
        self.full_draws += 1

    def _worst(self) -> list[_Said]:
        from app.travel_plots.curves import worst_of
        from app.units import show

        page = self._page
        if page is None:
            return []
        found = []
        for panel in page.curves.panels:
            for one in panel.series:
                worst = worst_of(page.curves, one)
                if worst is not None:
                    title = f"{panel.title} {one.name}".rstrip()
                    found.append(_Said(title, show(worst[1], panel.kind, page.curves.display)))
        return found


class _Said:
    def __init__(self, title: str, text: str) -> None:
        self.title, self.text = title, text


class _Stage:
    """matplotlib's figure and artists, made once."""

    def __init__(self, theme: Theme) -> None:
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        from app.travel_plots.artists import CurveArtists

        self.figure = Figure(dpi=_INCH_PX)
        self.artists = CurveArtists(self.figure, theme, blitted=True)
        self.image = QImage()
        self._agg: Any = FigureCanvasAgg(self.figure)
        self._drawn: object = None
        self._empty: Any = None

    def draw(self, page: CurvePage, theme: Theme, ratio: float) -> None:
        """Draw the curves of a page; the empty paper only where size or colours are other ones."""
        shape = (page.width, page.height, theme.name, ratio)
        if shape != self._drawn:
            self.figure.set_dpi(_INCH_PX * ratio)
            self.figure.set_size_inches(page.width / _INCH_PX, page.height / _INCH_PX)
            self.figure.set_facecolor(theme.paper)
            self.artists.paint(theme)
            self._agg.draw()
            self._empty = self._agg.copy_from_bbox(self.figure.bbox)
            buffer = self._agg.buffer_rgba()
            tall, broad = buffer.shape[:2]
            self.image = QImage(buffer, broad, tall, 4 * broad, QImage.Format.Format_RGBX8888)
            self.image.setDevicePixelRatio(ratio)
            self._drawn = shape
        self._agg.restore_region(self._empty)
        self.artists.show(page)
        self.artists.draw(self._agg.get_renderer())
