"""The sample builds on the start page: each as a silhouette with its verdict, worked out after the page is painted."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QPushButton, QSizePolicy, QWidget

from app.drawing.drawing import silhouette
from app.drawing.items import Page
from app.drawing.painter import paint
from app.drawing.palette import LIGHT, Theme, mixed
from app.drawing.subject import Subject
from app.files import FileTrouble, read_build
from app.window.keeping.filing import samples
from app.window.shapes import paint_verdict
from app.window.theme import sized
from geometry.words.solution import Solution
from geometry.words.solve import Work, solved

_ACROSS: Final = 2
_WORDS_PX: Final = 44


class SampleCard(QPushButton):
    """One sample: pressed, it opens."""

    def __init__(self, path: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.path = path
        self._theme: Theme = LIGHT
        self._answer: tuple[Subject, Solution] | None = None
        self._page: Page | None = None
        self.name, self.what = path.stem.replace("_", " ").capitalize(), ""
        self.setMinimumSize(180, 120)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.name)

    def work_out(self) -> None:
        """Read and solve the sample."""
        try:
            build = read_build(self.path)
        except FileTrouble:
            self.setEnabled(False)
            return
        name, _, what = build.title.partition(":")
        self.name, self.what = name.strip() or self.name, what.strip()
        work = Work(build)
        solution = solved(work)
        self._answer = (Subject(build, solution, solution), solution)
        self.setAccessibleName(f"Sample: {self.name}, {self.what}, {solution.verdict}")
        self._renew()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self._renew()

    def resizeEvent(self, event: object) -> None:
        """Draw it at another size."""
        del event
        self._renew()

    def sizeHint(self) -> QSize:
        """A card of the usual size."""
        return QSize(290, 176)

    def _renew(self) -> None:
        self._page = None
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint silhouette, name and verdict."""
        del event
        painter, theme = QPainter(self), self._theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.underMouse() or self.isDown():
            painter.fillRect(self.rect(), QColor(theme.grid))
        high = self.height() - _WORDS_PX
        if self._answer is not None and self._page is None:
            self._page = silhouette(self._answer[0], (float(self.width()), float(high)), theme)
        if self._page is not None:
            painter.save()
            paint(painter, self._page, paper=False)
            painter.restore()
        self._words(painter, high)
        painter.setPen(QPen(QColor(mixed(theme.muted, theme.paper, 0.45)), 1.0))
        painter.drawLine(QPointF(0.0, self.height() - 0.5), QPointF(self.width(), self.height() - 0.5))
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.accent), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0))
        painter.end()

    def _words(self, painter: QPainter, top: int) -> None:
        theme, left = self._theme, 6.0
        right = self.width() - 6.0
        painter.setFont(sized(self.font(), 10, bold=True))
        if self._answer is not None:
            verdict = self._answer[1].verdict
            painter.setPen(QColor(theme.colour(verdict)))
            wide = painter.fontMetrics().horizontalAdvance(verdict)
            painter.drawText(QPointF(right - wide, top + 18.0), verdict)
            paint_verdict(painter, QRectF(left, top + 6.0, 14.0, 14.0), verdict, theme.colour(verdict))
            right -= wide + 8.0
        left += 20.0
        painter.setFont(sized(self.font(), 11, bold=True))
        painter.setPen(QColor(theme.ink))
        metrics = painter.fontMetrics()
        name = metrics.elidedText(self.name, Qt.TextElideMode.ElideRight, int(right - left))
        painter.drawText(QPointF(left, top + 18.0), name)
        painter.setFont(sized(self.font(), 9))
        painter.setPen(QColor(theme.muted))
        what = painter.fontMetrics().elidedText(self.what, Qt.TextElideMode.ElideRight, self.width() - 12)
        painter.drawText(QPointF(6.0, top + 36.0), what)


class SampleCards(QWidget):
    """All samples; `chosen` hands on the path of the one that was pressed."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(10)
        self.cards = [SampleCard(path) for path in samples()]
        for place, card in enumerate(self.cards):
            grid.addWidget(card, place // _ACROSS, place % _ACROSS)
            card.clicked.connect(lambda _=False, path=card.path: self.chosen.emit(path))
        self._waiting = list(self.cards)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._work_out)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        for card in self.cards:
            card.show_theme(theme)

    def showEvent(self, event: object) -> None:
        """Work the samples out once the page is seen, one after another."""
        del event
        if self._waiting:
            self._timer.start()

    def _work_out(self) -> None:
        if self._waiting:
            self._waiting.pop(0).work_out()
        if not self._waiting:
            self._timer.stop()
