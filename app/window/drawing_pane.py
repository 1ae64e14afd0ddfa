"""The middle of the window: the drawing, brought in after the window has been painted once, as it is slow to import."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.sketch.palette import LIGHT, Theme
from app.window.document import Document
from app.window.selection import Selection

if TYPE_CHECKING:
    from app.window.canvas import SketchCanvas


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

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme: Theme = LIGHT
        self.canvas: SketchCanvas | None = None
        self._paper = _Paper()
        self._loading = QTimer(self)
        self._loading.setSingleShot(True)
        self._loading.setInterval(0)
        self._loading.timeout.connect(self.load)
        self._paper.painted.connect(self._loading.start)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._paper)
        document.changed.connect(self._show)
        document.opened.connect(self.fit)
        selection.changed.connect(self._follow)

    def load(self) -> None:
        """Import the drawing and put it in place of the paper; once."""
        if self.canvas is not None:
            return
        from app.window.canvas import SketchCanvas

        canvas = SketchCanvas()
        canvas.set_theme(self._theme.name)
        canvas.part_clicked.connect(self._part_clicked)
        canvas.flag_clicked.connect(self._flag_clicked)
        self.canvas = canvas
        self._column.replaceWidget(self._paper, canvas)
        self._paper.hide()
        self._paper.deleteLater()
        self._show()
        self.ready.emit()

    def fit(self) -> None:
        """Show the whole drawing."""
        if self.canvas is not None:
            self.canvas.fit()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        if self.canvas is not None:
            self.canvas.set_theme(theme.name)
        else:
            self._paper.theme = theme
            self._paper.update()

    def focus(self) -> None:
        """Put the keyboard into the drawing."""
        if self.canvas is not None:
            self.canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _show(self) -> None:
        if self.canvas is not None:
            self.canvas.show_solution(self._document.build, self._document.solution)

    def _follow(self, origin: object) -> None:
        del origin  # the drawing shows its own selection too
        if self.canvas is not None:
            steps = (self._selection.entry or "").split(".")
            number = int(steps[1]) if steps[0] == "obstacles" and len(steps) > 1 else None
            self.canvas.select_part(self._selection.part, number)  # type: ignore[arg-type]

    def _part_clicked(self, part: str) -> None:
        self._selection.choose(self, part=part)

    def _flag_clicked(self, finding: str, part: str) -> None:
        findings = self._document.solution.findings
        entry = next((one.entry for one in findings if (one.id, one.part) == (finding, part)), "")
        self._selection.choose(self, part=part, finding=(finding, part), entry=entry or None)
