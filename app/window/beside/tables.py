"""Tables that are mirrored about the names in their middle: the first build's values at the left of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.beside import FoundRow, Pair, turn_words
from app.window.painted import elided, frame, write
from app.window.ranges.judged import Filling
from app.window.shapes import paint_verdict
from app.window.theme import words_wide

Row = Pair | FoundRow | str
"""A row; words alone stand in the middle, quietly."""
HEAD: Final = 28.0
ROWS: Final = ((10, 21.0), (11, 25.0))
"""Size of the letters and height of a row, in a small window and from `_ROOMY` on."""
_ROOMY: Final = 900
_APART: Final = 16.0
_MARK: Final = 12.0
_EDGE: Final = 14.0


class Mirrored(Filling):
    """One table. Whole rows alone are shown; what has no room is counted at the foot, and the keyboard, the wheel or a
    press on that line brings it up.
    """

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = title
        self._rows: tuple[Row, ...] = ()
        self._first = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(round(HEAD + 4 * ROWS[0][1]))
        self.setAccessibleName(title)

    # ---- what others tell it, and ask

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show other rows."""
        self._rows = tuple(rows)
        self._go_to(self._first)
        self.setAccessibleDescription("; ".join(map(_said, self._rows)))
        self.update()

    @property
    def shown(self) -> tuple[Row, ...]:
        """The rows in sight, top down."""
        return self._rows[self._first : self._first + self._room()]

    @property
    def hidden(self) -> tuple[int, int]:
        """How many rows are above those in sight, and below."""
        return self._first, len(self._rows) - self._first - len(self.shown)

    def _size(self) -> tuple[int, float]:
        """Of the letters, and of a row."""
        return ROWS[self.window().height() >= _ROOMY]

    def _room(self) -> int:
        """How many rows have room; where not all have, one is left to say so."""
        room = max(int((self.height() - HEAD) / self._size()[1]), 1)
        return room if len(self._rows) <= room else max(room - 1, 1)

    # ---- moving about

    def _go_to(self, first: int) -> None:
        self._first = min(max(first, 0), max(len(self._rows) - self._room(), 0))
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Go up or down by rows."""
        self._go_to(self._first - round(event.angleDelta().y() / 60.0))
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go by a row, the page keys by what is in sight, Home and End to the ends."""
        moves: dict[int, int] = {
            Qt.Key.Key_Up: self._first - 1,
            Qt.Key.Key_Down: self._first + 1,
            Qt.Key.Key_PageUp: self._first - self._room(),
            Qt.Key.Key_PageDown: self._first + self._room(),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(self._rows),
        }
        if event.key() in moves:
            self._go_to(moves[event.key()])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """On the line that counts what is below go on to it, and from the end back to the top."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        above, below = self.hidden
        if (above or below) and event.position().y() > HEAD + self._room() * self._size()[1]:
            self._go_to(self._first + self._room() if below else 0)

    def resizeEvent(self, event: object) -> None:
        """Keep to whole rows."""
        del event
        self._go_to(self._first)

    # ---- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(theme.paper))
            points, high = self._size()
            wide = self._names_wide(points)
            middle = self._middle(wide, points)
            heads = (("A", middle - wide / 2.0 - _APART, True), ("B", middle + wide / 2.0 + _APART, False))
            for letter, x, right in heads if any(not isinstance(row, str) for row in self._rows) else ():
                write(painter, x, 19.0, letter, theme.ink, 11, bold=True, right=right)
            title = words_wide(self._title, 11, bold=True)
            write(painter, middle - title / 2.0, 19.0, self._title, theme.ink, 11, bold=True)
            y = HEAD
            for row in self.shown:
                self._row(painter, row, QRectF(middle - wide / 2.0, y, wide, high), points)
                y += high
            self._foot(painter, middle, y + 0.7 * high)
            if self.hasFocus():
                frame(painter, QRectF(self.rect()).adjusted(3, 2, -3, -2), theme)

    def _names_wide(self, points: int) -> float:
        """Width of the names in the middle: the same for all rows, of which each side takes its share of the rest."""
        names = [words_wide(row.name, points) for row in self._rows if not isinstance(row, str)]
        title = words_wide(self._title, 11, bold=True)
        most = self.width() - 2.0 * _EDGE - sum(self._sides_wide(points)) - 2.0 * _APART
        return min(max(title, *names, 0.0), max(most, 0.24 * self.width()))

    def _sides_wide(self, points: int) -> tuple[float, float]:
        """Width that the values want at either side."""
        rows = [row for row in self._rows if not isinstance(row, str)]
        return (
            max((_side_wide(row, points, second=False) for row in rows), default=0.0),
            max((_side_wide(row, points, second=True) for row in rows), default=0.0),
        )

    def _middle(self, wide: float, points: int) -> float:
        """Where the names stand: in the middle, as far as both sides have room."""
        left, right = (side + wide / 2.0 + _APART + _EDGE for side in self._sides_wide(points))
        return min(max(self.width() / 2.0, left), max(self.width() - right, self.width() / 2.0 - wide / 2.0))

    def _row(self, painter: QPainter, row: Row, box: QRectF, points: int) -> None:
        theme, base = self._theme, box.top() + 0.7 * box.height()
        if isinstance(row, str):
            room = self.width() - 2.0 * _EDGE
            said, points = elided(row, room, 9, least=8, middle=True)
            left = max(box.center().x() - words_wide(said, points) / 2.0, _EDGE)
            write(painter, left, base, said, theme.muted, points)
            return
        name, size = elided(row.name, box.width() + 1.0, points, least=8, middle=True)
        write(painter, box.center().x() - words_wide(name, size) / 2.0, base, name, theme.ink, size)
        left, right = box.left() - _APART, box.right() + _APART
        if isinstance(row, Pair):
            self._value(painter, row.first, left, box, points, chosen=row.chosen, to_left=True)
            self._value(painter, row.second, right, box, points, chosen=row.chosen, to_left=False)
            return
        for side, x, way in ((row.first, left, -1.0), (row.second, right, 1.0)):
            if side.verdict is not None:
                mark = QRectF(min(x, x + way * _MARK), box.center().y() - _MARK / 2.0, _MARK, _MARK)
                paint_verdict(painter, mark, side.verdict, theme.colour(side.verdict))
            at, second = x + way * (_MARK + 6.0), way > 0.0
            bold = second and row.tells
            words = turn_words(row) if second else side.word
            if side.value:
                at += way * (write(painter, at, base, side.value, theme.ink, points, bold=bold, right=not second) + 8.0)
            loud = bold or not side.value
            write(painter, at, base, words, theme.ink if loud else theme.muted, 9, bold=bold, right=not second)

    def _value(
        self, painter: QPainter, text: str, x: float, box: QRectF, points: int, *, chosen: bool, to_left: bool
    ) -> None:
        """A value; one that is chosen stands in a box, as in the plan, and none is quiet."""
        wide = words_wide(text, points, bold=True)
        left = x - wide if to_left else x
        quiet = text == "none"
        base = box.top() + 0.7 * box.height()
        write(painter, left, base, text, self._theme.muted if quiet else self._theme.ink, points, bold=not quiet)
        if chosen:
            painter.setPen(QPen(QColor(self._theme.muted), 1.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(left - 6.0, box.top() + 1.5, wide + 12.0, box.height() - 3.0))

    def _foot(self, painter: QPainter, middle: float, base: float) -> None:
        """What is not in sight, in one line."""
        above, below = self.hidden
        told = [f"{count} {where}" for count, where in ((above, "above"), (below, "below")) if count]
        words = f"{' · '.join(told)} {'▾' if below else '▴'}" if told else ""
        write(painter, middle - words_wide(words, 10) / 2.0, base, words, self._theme.accent, 10)


def _side_wide(row: Pair | FoundRow, points: int, *, second: bool) -> float:
    """Width of what a row says at one side."""
    if isinstance(row, Pair):
        return words_wide(row.second if second else row.first, points, bold=True) + 6.0
    side = row.second if second else row.first
    bold = second and row.tells
    value = words_wide(side.value, points, bold=bold) + 8.0 if side.value else 0.0
    return _MARK + 6.0 + value + words_wide(turn_words(row) if second else side.word, 9, bold=bold)


def _said(row: Row) -> str:
    """A row for a person who does not see it."""
    if isinstance(row, str):
        return row
    if isinstance(row, Pair):
        return f"{row.name}: A {row.first}, B {row.second}"
    first, second = (
        " ".join(part for part in (side.value, word) if part)
        for side, word in ((row.first, row.first.word), (row.second, turn_words(row)))
    )
    return f"{row.name}: A {first}, B {second}"
