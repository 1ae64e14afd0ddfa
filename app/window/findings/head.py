"""The verdict, large, with its counts: the legend of the list's shapes; and what the vehicle was as measured."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.palette import VERDICT_WORDS
from app.window.findings.rows import counts
from app.window.painted import Painted, frame, write
from app.window.plain import set_tip
from app.window.shapes import paint_verdict
from app.window.theme import words_wide
from geometry.words.solution import BAD, Solution, Verdict

HEIGHT: Final = 78
_WORD = {"hold": "hold", "caution": "caution", "unknown": "not judged", "clear": "clear"}

_MEASURED: Final = "as measured"


def _told(measured: Solution | None) -> list[tuple[Verdict, int]]:
    """What the vehicle as measured is told by: its holds and cautions, or what it has where it has neither."""
    told = [] if measured is None else counts(measured.findings)
    return [one for one in told if one[0] in BAD] or told[-1:]


class VerdictHead(Painted):
    """The verdict's shape and word over how many findings hold, caution, wait and are clear."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._solution: Solution | None = None
        self._measured: Solution | None = None
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def show_solution(self, solution: Solution, measured: Solution | None, says: str) -> None:
        """Show another answer; `measured` is that without the plan, where the plan changes the counts."""
        self._solution, self._measured = solution, measured
        said = ", ".join(f"{count} {_WORD[verdict]}" for verdict, count in counts(solution.findings))
        before = ", ".join(f"{count} {_WORD[verdict]}" for verdict, count in _told(measured))
        as_measured = f"; {_MEASURED} {before}" if before else ""
        self.setAccessibleName(f"Verdict: {VERDICT_WORDS[solution.verdict]}. {says} {said}{as_measured}")
        set_tip(self, says)
        self.update()

    def sizeHint(self) -> QSize:
        """Its one height."""
        return QSize(260, HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        solution, theme = self._solution, self._theme
        if solution is None:
            return
        with QPainter(self) as painter:
            colour = theme.colour(solution.verdict)
            paint_verdict(painter, QRectF(14.0, 12.0, 24.0, 24.0), solution.verdict, colour)
            told = _told(self._measured)
            room = self.width() - 46.0 - 12.0 - (self._measured_wide(told) + 10.0 if told else 0.0)
            word = VERDICT_WORDS[solution.verdict]
            size = next((one for one in range(20, 14, -1) if words_wide(word, one, bold=True) <= room), 14)
            write(painter, 46.0, 34.0, word, colour, size, bold=True)
            self._counts(painter, counts(solution.findings))
            if told:
                self._as_measured(painter, told)
            if self.hasFocus():
                frame(painter, QRectF(self.rect()).adjusted(2, 2, -2, -2), theme)

    def _counts(self, painter: QPainter, told: list[tuple[Verdict, int]]) -> None:
        """The legend: on one line where it fits, else with smaller letters, else on two."""
        theme, room = self._theme, self.width() - 14.0 - 12.0
        points, apart = next((one for one in ((10, 12.0), (9, 8.0)) if self._counts_wide(told, *one) <= room), (9, 8.0))
        lines = [told] if self._counts_wide(told, points, apart) <= room else [told[:2], told[2:]]
        base = 63.5 if len(lines) == 1 else 57.0
        for line in lines:
            x = 14.0
            for verdict, count in line:
                paint_verdict(painter, QRectF(x, base - 10.5, 12.0, 12.0), verdict, theme.colour(verdict))
                bold = verdict in BAD
                words = f"{count} {_WORD[verdict]}"
                x += 17.0 + write(painter, x + 17.0, base, words, theme.ink, points, bold=bold) + apart
            base += 16.0

    def _counts_wide(self, told: list[tuple[Verdict, int]], points: int, apart: float) -> float:
        words = sum(words_wide(f"{count} {_WORD[verdict]}", points, bold=verdict in BAD) for verdict, count in told)
        return words + 17.0 * len(told) + apart * (len(told) - 1)

    def _measured_wide(self, told: list[tuple[Verdict, int]]) -> float:
        shapes = sum(13.0 + words_wide(str(count), 9) for _, count in told) + 8.0 * (len(told) - 1)
        return max(words_wide(_MEASURED, 9), shapes)

    def _as_measured(self, painter: QPainter, told: list[tuple[Verdict, int]]) -> None:
        """At the right, in two lines: how many findings were not clear without the plan."""
        theme, left = self._theme, self.width() - 12.0 - self._measured_wide(told)
        write(painter, left, 22.0, _MEASURED, theme.muted, 9)
        for verdict, count in told:
            paint_verdict(painter, QRectF(left, 29.0, 10.0, 10.0), verdict, theme.colour(verdict))
            left += 13.0
            left += write(painter, left, 38.0, str(count), theme.ink, 9) + 8.0
