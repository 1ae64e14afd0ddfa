"""One of two builds: its name and verdict over its drawing."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.drawing.items import Page
from app.drawing.painter import paint
from app.drawing.palette import VERDICT_WORDS, Theme
from app.window.findings.rows import counts
from app.window.painted import Painted, elided, write
from app.window.plain import Label, set_tip
from app.window.ranges.judged import Filling
from app.window.shapes import paint_verdict
from app.window.theme import sized, words_wide
from geometry.words.solution import Solution

HEAD: Final = 62
_NAME_PT, _LEAST_PT = 13, 9
_WORDS: Final = {"hold": "hold", "caution": "caution", "unknown": "not judged", "clear": "clear"}
_FEWEST_LETTERS: Final = 60.0
_SIGN: Final = 40.0
"""What a choice takes beside its words."""


class Drawn(Filling):
    """A drawing that is put up as it was made, for looking at; it is asked for anew where its size is another one."""

    resized = Signal()

    def __init__(self, letter: str) -> None:
        super().__init__()
        self._page: Page | None = None
        self.setMinimumHeight(180)
        self.setAccessibleName(f"Drawing of {letter}")

    def show_page(self, page: Page | None, says: str = "") -> None:
        """Show another one."""
        self._page = page
        self.setAccessibleDescription(says)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for it anew."""
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(self._theme.paper))
            if self._page is not None:
                paint(painter, self._page)


class Verdicts(Painted):
    """A verdict's shape and word with its counts, on one line."""

    def __init__(self) -> None:
        super().__init__()
        self._solution: Solution | None = None
        self.setFixedHeight(26)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_solution(self, solution: Solution) -> None:
        """Show another answer."""
        self._solution = solution
        said = ", ".join(f"{count} {_WORDS[verdict]}" for verdict, count in counts(solution.findings))
        self.setAccessibleName(f"Verdict: {VERDICT_WORDS[solution.verdict]}. {said}")
        set_tip(self, solution.says)
        self.updateGeometry()
        self.update()

    def minimumSizeHint(self) -> QSize:
        """Room for all of it in small letters."""
        return QSize(round(self._wide(9)), 26)

    def _wide(self, points: int) -> float:
        solution = self._solution
        if solution is None:
            return 0.0
        told = [f"{count} {_WORDS[verdict]}" for verdict, count in counts(solution.findings)]
        word = 23.0 + words_wide(VERDICT_WORDS[solution.verdict], points + 3, bold=True) + 14.0
        return word + sum(16.0 + words_wide(text, points) for text in told) + 10.0 * (len(told) - 1) + 2.0

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        solution, theme = self._solution, self._theme
        if solution is None:
            return
        points = 10 if self._wide(10) <= self.width() else 9
        with QPainter(self) as painter:
            colour = theme.colour(solution.verdict)
            paint_verdict(painter, QRectF(0.0, 5.0, 16.0, 16.0), solution.verdict, colour)
            word = VERDICT_WORDS[solution.verdict]
            x = 23.0 + write(painter, 23.0, 18.5, word, colour, points + 3, bold=True) + 14.0
            for verdict, count in counts(solution.findings):
                paint_verdict(painter, QRectF(x, 7.5, 11.0, 11.0), verdict, theme.colour(verdict))
                x += 16.0
                x += write(painter, x, 18.0, f"{count} {_WORDS[verdict]}", theme.ink, points) + 10.0


class _Names(QComboBox):
    """A choice with the sign that it is one: the window's style has none of its own. It never holds its half wide."""

    wide: float = _FEWEST_LETTERS
    """Room that it would like to have."""

    def sizeHint(self) -> QSize:
        """As wide as it would like to be."""
        return QSize(round(self.wide), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Room for a few letters."""
        return QSize(round(_FEWEST_LETTERS), super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the sign over it."""
        super().paintEvent(event)
        with QPainter(self) as painter:
            colour = self.palette().windowText().color().name()
            write(painter, self.width() - 4.0, self.height() / 2.0 + 5.0, "▾", colour, 11, right=True)


class Half(QWidget):
    """One of both: a letter, a name and what it is, its verdict, the button that goes on with it, and its drawing.

    Where there are several of them to choose from, the name is a choice.
    """

    def __init__(self, letter: str, what: str) -> None:
        super().__init__()
        self.letter = letter
        self._full, self._chosen = "", 0
        self._others: tuple[str, ...] = ()
        mark = Label(letter)
        mark.setFont(sized(_NAME_PT + 1, bold=True))
        self.name = Label()
        self.name.setFont(sized(_NAME_PT, bold=True))
        self.names = _Names()
        self.names.setFont(sized(_NAME_PT, bold=True))
        self.names.setAccessibleName("What is kept beside")
        self.names.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.names.hide()
        self.name.setMinimumWidth(round(_FEWEST_LETTERS))  # or a long name would keep its half from getting narrower
        self.what = Label(what)
        self.what.setObjectName("axis")
        self.verdicts = Verdicts()
        self.on = QPushButton(f"Go on with {letter}")
        self.on.setMinimumHeight(32)
        self.drawn = Drawn(letter)
        top = QHBoxLayout()
        top.setSpacing(9)
        for one in (mark, self.name, self.names, self.what):
            top.addWidget(one)
        top.addStretch(1)
        self.under = QHBoxLayout()
        self.under.setSpacing(14)
        self.under.addWidget(self.verdicts, 1)
        rows = QVBoxLayout()
        rows.setSpacing(2)
        rows.addLayout(top)
        rows.addLayout(self.under)
        head = QWidget()
        head.setFixedHeight(HEAD)
        line = QHBoxLayout(head)
        line.setContentsMargins(14, 4, 12, 4)
        line.setSpacing(12)
        line.addLayout(rows, 1)
        line.addWidget(self.on, 0, Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.drawn, 1)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self.drawn.show_theme(theme)
        self.verdicts.show_theme(theme)

    def show_what(self, what: str, other: str) -> None:
        """Show what it is, and of two shafts what the one is that is not drawn."""
        self.what.setText(" · ".join(filter(None, (what, other))))

    def show_name(self, name: str, others: tuple[str, ...] = (), chosen: int = 0) -> None:
        """Show what it is called, or which of several it is."""
        self._full, self._others, self._chosen = name, others, chosen
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the name to what has room."""
        super().resizeEvent(event)
        self._fit()

    def _room(self) -> float:
        """Room that a name has beside the letter, what it is, and the button."""
        taken = 14.0 + 12.0 + 12.0 + 26.0 + 9.0 + words_wide(self.what.text(), 9) + self.on.sizeHint().width()
        return max(self.width() - taken - 24.0, _FEWEST_LETTERS)

    def _fit(self) -> None:
        """Write the name, or all of which one is chosen, as large as it has room."""
        several = len(self._others) > 1
        self.name.setVisible(not several)
        self.names.setVisible(several)
        room = self._room()
        said, points = elided(self._full, room, _NAME_PT, bold=True, least=_LEAST_PT)
        self.name.setFont(sized(points, bold=True))
        self.name.setText(said)
        set_tip(self.name, self._full)
        set_tip(self.names, self._full)
        if not several:
            return
        _, points = elided(self._full, room - _SIGN, _NAME_PT, bold=True, least=_LEAST_PT)
        names = [elided(one, room - _SIGN, points, bold=True)[0] for one in self._others]
        self.names.setFont(sized(points, bold=True))
        if [self.names.itemText(place) for place in range(self.names.count())] != names:
            self.names.clear()
            self.names.addItems(names)
        self.names.setCurrentIndex(self._chosen)
        self.names.wide = words_wide(names[self._chosen], points, bold=True) + _SIGN
        self.names.updateGeometry()
