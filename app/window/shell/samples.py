"""The sample builds on the start page: each as a silhouette with its verdict, worked out after the page is painted."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QTimer, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QPushButton, QSizePolicy, QWidget

from app.drawing.drawing import silhouette
from app.drawing.items import Page
from app.drawing.painter import paint
from app.drawing.palette import LIGHT, Theme, mixed
from app.drawing.subject import Subject
from app.files import FileTrouble, read_build
from app.window.keeping.filing import samples
from app.window.painted import elided, frame, write
from app.window.shapes import paint_verdict
from app.window.theme import sized, words_wide
from geometry.words.both import solve_whole
from geometry.words.solution import Solution
from geometry.words.wording import capital

_ACROSS: Final = 2
_WORDS_PX: Final = 58
_EDGE, _MARK = 6.0, 20.0


class SampleCard(QPushButton):
    """One sample: pressed, it opens."""

    def __init__(self, path: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.path = path
        self._theme: Theme = LIGHT
        self._answer: tuple[Subject, Solution] | None = None
        self._page: Page | None = None
        self.name, self.what = capital(path.stem.replace("_", " ")), ""
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
        worse = solve_whole(build).worse  # of two shafts the one that decides
        solution = worse.solution
        self._answer = (Subject(worse.build, solution, solution), solution)
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
        theme = self._theme
        with QPainter(self) as painter:
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
                frame(painter, QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0), theme)

    def _words(self, painter: QPainter, top: int) -> None:
        """Shape, name and verdict on one line, under it what it is; the verdict goes down where the name is long."""
        theme, left, right = self._theme, _EDGE, self.width() - _EDGE
        name, points, down = self._name_font(right - left - _MARK)
        if self._answer is not None:
            verdict = self._answer[1].verdict
            paint_verdict(painter, QRectF(left, top + 6.0, 14.0, 14.0), verdict, theme.colour(verdict))
            base = top + (36.0 if down else 18.0)
            write(painter, right, base, verdict, theme.colour(verdict), 10, bold=True, right=True)
        write(painter, left + _MARK, top + 18.0, name, theme.ink, points, bold=True)
        for place, line in enumerate(self.lines_of_what()):
            write(painter, left, top + 36.0 + 14.0 * place, line, theme.muted, 9)

    def _name_font(self, room: float) -> tuple[str, int, bool]:
        """The name, the size in which it is whole, and whether the verdict stands under it."""
        verdict = "" if self._answer is None else self._answer[1].verdict
        beside = room - words_wide(verdict, 10, bold=True) - 8.0
        for down, most in ((False, beside), (True, room)):
            name, points = elided(self.name, most, 11, bold=True, least=9)
            if name == self.name:
                return name, points, down
        return name, points, True

    def lines_of_what(self) -> list[str]:
        """What the sample is, on two lines at most."""
        metrics = QFontMetricsF(sized(9))
        room, words = self.width() - 2.0 * _EDGE, self.what.split()
        first = len(words)
        while first > 1 and metrics.horizontalAdvance(" ".join(words[:first])) > room:
            first -= 1
        rest, _ = elided(" ".join(words[first:]), room, 9)
        return [line for line in (" ".join(words[:first]), rest) if line]

    def told(self) -> str:
        """All that stands on the card, as it stands there."""
        name, _, _ = self._name_font(self.width() - 2.0 * _EDGE - _MARK)
        return " ".join([name, *self.lines_of_what()])


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
