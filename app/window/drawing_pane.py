"""The middle of the window: the drawing, brought in after the window has been painted once, as it is slow to import."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from app.sketch.palette import LIGHT, Theme
from app.window.document import Document
from app.window.selection import Selection
from app.window.settings import remember, settings
from app.window.travel_desk import TravelDesk

if TYPE_CHECKING:
    from app.window.canvas import SketchCanvas
    from app.window.drag import DragTool


class _Paper(QWidget):
    """Empty paper until the drawing is there; tells when it has been painted."""

    painted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = LIGHT
        self.setMinimumSize(420, 280)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint paper and one word."""
        del event
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self.theme.paper))
        painter.setPen(QColor(self.theme.muted))
        painter.drawText(QRectF(self.rect()), Qt.AlignmentFlag.AlignCenter, "Drawing …")
        painter.drawPoint(QPointF(0, 0))
        painter.end()
        self.painted.emit()


class DrawingPane(QWidget):
    """Shows the document's solution as a drawing; what is clicked in it becomes the selection."""

    ready = Signal()
    told = Signal(str)
    """A sentence for the foot of the window."""

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme: Theme = LIGHT
        self.canvas: SketchCanvas | None = None
        self.drag: DragTool | None = None
        self._paper = _Paper()
        self._loading = QTimer(self)
        self._loading.setSingleShot(True)
        self._loading.setInterval(0)
        self._loading.timeout.connect(self.load)
        self._paper.painted.connect(self._loading.start)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self.travel = TravelDesk(document, selection, self)
        self._upper = QWidget()
        above = QVBoxLayout(self._upper)
        above.setContentsMargins(0, 0, 0, 0)
        above.setSpacing(0)
        above.addWidget(self._paper, 1)
        above.addWidget(self.travel.bar)
        self.panes = QSplitter(Qt.Orientation.Vertical)
        self.panes.setHandleWidth(1)
        self.panes.setChildrenCollapsible(False)
        self.panes.addWidget(self._upper)
        self.panes.addWidget(self.travel.curves)
        self.panes.setStretchFactor(0, 1)
        self.panes.setStretchFactor(1, 0)
        kept = settings().value("travel_panes")
        if isinstance(kept, QByteArray):
            self.panes.restoreState(kept)
        self.panes.splitterMoved.connect(lambda *_: remember("travel_panes", self.panes.saveState()))
        self._column.addWidget(self.panes)
        document.opened.connect(self.fit)

    def load(self) -> None:
        """Import the drawing and put it in place of the paper; once."""
        if self.canvas is not None:
            return
        from app.window.canvas import SketchCanvas
        from app.window.drag import DragTool

        canvas = SketchCanvas()
        canvas.set_theme(self._theme.name)
        canvas.part_clicked.connect(self._part_clicked)
        canvas.flag_clicked.connect(self._flag_clicked)
        self.canvas = canvas
        above = self._upper.layout()
        assert above is not None  # noqa: S101  it was laid out with the pane
        above.replaceWidget(self._paper, canvas)
        self._paper.hide()
        self._paper.deleteLater()
        self.travel.attach(canvas)
        self.drag = DragTool(self._document, self._selection, self.travel.state, canvas, self)
        self.drag.told.connect(self.told)
        self.ready.emit()

    def fit(self) -> None:
        """Show the whole drawing."""
        if self.canvas is not None:
            self.canvas.fit()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.travel.show_theme(theme)
        if self.canvas is not None:
            self.canvas.set_theme(theme.name)
        else:
            self._paper.theme = theme
            self._paper.update()

    def focus(self) -> None:
        """Put the keyboard into the drawing."""
        if self.canvas is not None:
            self.canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _part_clicked(self, part: str) -> None:
        self._selection.choose(self, part=part)

    def _flag_clicked(self, finding: str, part: str) -> None:
        findings = self._document.shown.solution.findings
        entry = next((one.entry for one in findings if (one.id, one.part) == (finding, part)), "")
        self._selection.choose(self, part=part, finding=(finding, part), entry=entry or None)
