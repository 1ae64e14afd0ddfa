"""Words of which only whole lines are ever shown: what has no room waits below and is scrolled to line by line."""

from __future__ import annotations

from typing import Final, NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QTextLayout,
    QTextOption,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.window.painted import Painted, frame
from app.window.theme import sized

_APART: Final = 4.0
INSET: Final = 4
"""Room at both sides for the frame of the focus; over and under the lines there is half of it."""
_OVER: Final = INSET / 2.0
_NOTCH: Final = 120


class Paragraph(NamedTuple):
    """Words of one size."""

    text: str
    points: int
    muted: bool = False


class _Line(NamedTuple):
    paragraph: Paragraph
    text: str
    above: float
    high: float


def lines_of(text: str, points: int, wide: float, *, bold: bool = False) -> list[tuple[str, float]]:
    """A text broken into lines of a width as a widget would write it, each with its height."""
    told: list[tuple[str, float]] = []
    for part in text.split("\n"):
        layout = QTextLayout(part, sized(points, bold=bold))
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout.setTextOption(option)
        layout.beginLayout()
        while (line := layout.createLine()).isValid():
            line.setLineWidth(max(wide, 1.0))
            told.append((part[line.textStart() : line.textStart() + line.textLength()].rstrip(), line.height()))
        layout.endLayout()
    return told


def _high(lines: list[_Line]) -> int:
    return round(lines[-1].above + lines[-1].high + 2.0 * _OVER) + 1 if lines else 0


class WholeLines(Painted):
    """Paragraphs, cut between lines alone; arrows and the wheel go on where some are below, and `moved` says so."""

    moved = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._paragraphs: list[Paragraph] = []
        self._lines: list[_Line] = []
        self._first = 0
        self._turned = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def text(self) -> str:
        """Its first paragraph."""
        return self._paragraphs[0].text if self._paragraphs else ""

    def texts(self) -> list[str]:
        """All its paragraphs."""
        return [one.text for one in self._paragraphs]

    def show_paragraphs(self, paragraphs: list[Paragraph], *, anew: bool) -> None:
        """Show other words, from their start where they are about something else."""
        self._paragraphs = [one for one in paragraphs if one.text]
        self.setAccessibleName("\n".join(self.texts()))
        if anew:
            self._first = 0
        self._break()

    def height_of(self, count: int, wide: float) -> int:
        """Room for the first so many paragraphs at a width."""
        return _high(self._broken(self._paragraphs[:count], wide))

    def least(self, lines: int, wide: float) -> int:
        """Room for so many of its first lines at a width."""
        return _high(self._broken(self._paragraphs, wide)[:lines])

    @property
    def below(self) -> list[Paragraph]:
        """Paragraphs of which something lies under the last line in sight."""
        return list(dict.fromkeys(one.paragraph for one in self._lines[self._first + len(self.seen) :]))

    @property
    def above(self) -> bool:
        """Whether it was scrolled."""
        return self._first > 0

    @property
    def seen(self) -> list[_Line]:
        """Lines that are shown, all of them whole."""
        if not self._lines:
            return []
        top = self._lines[self._first].above
        return [one for one in self._lines[self._first :] if one.above + one.high - top <= self.height() - 2.0 * _OVER]

    def sizeHint(self) -> QSize:
        """Room for all of it."""
        return QSize(240, self.height_of(len(self._paragraphs), self.width()))

    def minimumSizeHint(self) -> QSize:
        """It yields to all the rest."""
        return QSize(0, 0)

    def scroll_lines(self, lines: int) -> None:
        """Go down by so many lines, or up; down only while something is below."""
        first = self._first
        for _ in range(abs(lines)):
            if lines > 0 and not self.below:
                break
            self._first = max(self._first + (1 if lines > 0 else -1), 0)
        if self._first != first:
            self.update()
            self.moved.emit()

    def page(self) -> None:
        """Go on by what is in sight; from the end back to the start."""
        if self.below:
            self.scroll_lines(max(len(self.seen), 1))
        else:
            self.scroll_lines(-len(self._lines))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Go by whole lines."""
        self._turned += event.angleDelta().y()
        notches = int(self._turned / _NOTCH)
        self._turned -= notches * _NOTCH
        self.scroll_lines(-2 * notches)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go by lines."""
        ways = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
        if event.key() in ways:
            self.scroll_lines(ways[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break them anew."""
        super().resizeEvent(event)
        self._break()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is seen."""
        del event
        seen = self.seen
        with QPainter(self) as painter:
            for line in seen:
                painter.setFont(sized(line.paragraph.points))
                painter.setPen(QColor(self._theme.muted if line.paragraph.muted else self._theme.ink))
                base = _OVER + line.above - seen[0].above + painter.fontMetrics().ascent()
                painter.drawText(QPointF(INSET, base), line.text)
            if self.hasFocus():
                frame(painter, QRectF(self.rect()).adjusted(1, 1, -1, -1), self._theme)

    def _break(self) -> None:
        self._lines = self._broken(self._paragraphs, self.width())
        self._first = min(self._first, max(len(self._lines) - 1, 0))
        while self._first and self._end() - self._lines[self._first - 1].above <= self.height() - 2.0 * _OVER:
            self._first -= 1
        self.update()
        self.moved.emit()

    def _end(self) -> float:
        return self._lines[-1].above + self._lines[-1].high

    def _broken(self, paragraphs: list[Paragraph], wide: float) -> list[_Line]:
        lines: list[_Line] = []
        above = 0.0
        for one in paragraphs:
            if lines:
                above += _APART
            for text, high in lines_of(one.text, one.points, wide - 2.0 * INSET):
                lines.append(_Line(one, text, above, high))
                above += high
        return lines
