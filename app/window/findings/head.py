"""The verdict, large, with its counts: the legend of the list's shapes; and what the vehicle was as measured."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.palette import LIGHT, VERDICT_WORDS, Theme
from app.window.findings.rows import counts
from app.window.plain import set_tip
from app.window.shapes import paint_verdict
from app.window.theme import sized
from geometry.words.solution import Solution

HEIGHT: Final = 78
_WORD = {"hold": "hold", "caution": "caution", "unknown": "not judged", "clear": "clear"}


class VerdictHead(QWidget):
    """The verdict's shape and word over how many findings hold, caution, wait and are clear."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self._solution: Solution | None = None
        self._measured: Solution | None = None
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.update()

    def show_solution(self, solution: Solution, measured: Solution | None) -> None:
        """Show another answer; `measured` is that without the plan, where the plan changes the counts."""
        self._solution, self._measured = solution, measured
        said = ", ".join(f"{count} {_WORD[verdict]}" for verdict, count in counts(solution.findings))
        self.setAccessibleName(f"Verdict: {VERDICT_WORDS[solution.verdict]}. {solution.says} {said}")
        set_tip(self, solution.says)
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
        painter = QPainter(self)
        colour = theme.colour(solution.verdict)
        paint_verdict(painter, QRectF(14.0, 12.0, 24.0, 24.0), solution.verdict, colour)
        painter.setFont(sized(self.font(), 20, bold=True))
        painter.setPen(QColor(colour))
        painter.drawText(QPointF(46.0, 34.0), VERDICT_WORDS[solution.verdict])
        end = 46.0 + painter.fontMetrics().horizontalAdvance(VERDICT_WORDS[solution.verdict])
        x = 14.0
        for verdict, count in counts(solution.findings):
            paint_verdict(painter, QRectF(x, 53.0, 12.0, 12.0), verdict, theme.colour(verdict))
            x += 17.0
            strong = verdict in {"hold", "caution"}
            x += self._write(painter, x, 63.5, f"{count} {_WORD[verdict]}", theme.ink, bold=strong) + 12.0
        if self._measured is not None:
            self._as_measured(painter, end, self._measured)
        painter.end()

    def _as_measured(self, painter: QPainter, end: float, measured: Solution) -> None:
        """At the right, in two lines: how many findings were not clear without the plan."""
        theme, right = self._theme, self.width() - 12.0
        painter.setFont(sized(self.font(), 9))
        words = "as measured"
        wide = painter.fontMetrics().horizontalAdvance(words)
        if right - wide < end + 10.0:
            return
        self._write(painter, right - wide, 22.0, words, theme.muted, points=9)
        x = right - wide
        told = counts(measured.findings)
        bad = [one for one in told if one[0] in {"hold", "caution"}]
        for verdict, count in bad or told[-1:]:
            paint_verdict(painter, QRectF(x, 29.0, 10.0, 10.0), verdict, theme.colour(verdict))
            x += 13.0
            x += self._write(painter, x, 38.0, str(count), theme.ink, points=9) + 8.0

    def _write(
        self, painter: QPainter, x: float, base: float, text: str, colour: str, *, points: int = 10, bold: bool = False
    ) -> float:
        painter.setFont(sized(self.font(), points, bold=bold))
        painter.setPen(QColor(colour))
        painter.drawText(QPointF(x, base), text)
        return float(painter.fontMetrics().horizontalAdvance(text))
