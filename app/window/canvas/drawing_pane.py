"""The middle of the window: the drawing, brought in after the window has been painted once, as it is slow to import."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme
from app.window.document import Document
from app.window.selection import Selection
from app.window.travel.desk import TravelDesk

if TYPE_CHECKING:
    from app.drawing.zones import Look
    from app.window.canvas.canvas import Canvas
    from app.window.canvas.drag import DragTool


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
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(self.theme.paper))
            painter.setPen(QColor(self.theme.muted))
            painter.drawText(QRectF(self.rect()), Qt.AlignmentFlag.AlignCenter, "Drawing …")
            painter.drawPoint(QPointF(0, 0))
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
        self.canvas: Canvas | None = None
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
        self._column.setSpacing(0)
        self._column.addWidget(self._paper, 1)
        self._column.addWidget(self.travel.bar)
        self._column.addWidget(self.travel.curves)
        for shown_anew in (document.opened, document.turned):
            shown_anew.connect(self.fit)

    def load(self) -> None:
        """Import the drawing and put it in place of the paper; once."""
        if self.canvas is not None:
            return
        from app.window.canvas.canvas import Canvas
        from app.window.canvas.drag import DragTool

        canvas = Canvas()
        canvas.set_theme(self._theme.name)
        canvas.part_clicked.connect(self._part_clicked)
        canvas.flag_clicked.connect(self._flag_clicked)
        self.canvas = canvas
        self._column.replaceWidget(self._paper, canvas)
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

    def look(self, look: Look) -> None:
        """Show the shaft, the whole vehicle, or the axle with its perches."""
        if self.canvas is not None:
            self.canvas.look(look)

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
