"""Which of two drivelines is shown, and what both come to: a choice over the verdict; nothing of one alone."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QPainter, QPixmap, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QSizePolicy, QWidget

from app.drawing.palette import LIGHT, Theme, mixed
from app.window.plain import set_tip
from app.window.shapes import paint_verdict
from app.window.theme import sized, wear, words_wide
from geometry.document.sides import End, other_end
from geometry.words.finding import WORST_FIRST
from geometry.words.solution import Solution
from geometry.words.wording import capital

HEIGHT: Final = 38
KEY: Final = "F8"
_SHAPE: Final = 14


class DrivelineChoice(QWidget):
    """Both shafts of a vehicle, each with its verdict by shape and word; the one that is shown is pressed.

    `turned` asks for the other one.
    """

    turned = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self._shown: list[tuple[End, Solution]] = []
        self._end: End = "rear"
        self._group = QButtonGroup(self)
        self.buttons = (QPushButton(), QPushButton())
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 12, 2)
        row.setSpacing(0)
        for button in self.buttons:
            button.setObjectName("shaft")
            button.setCheckable(True)
            button.setFixedHeight(28)
            button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)  # both get the same half
            button.setIconSize(QSize(_SHAPE, _SHAPE))
            button.clicked.connect(lambda _=False, one=button: self._press(one))
            self._group.addButton(button)
            row.addWidget(button, 1)
        self.setFixedHeight(HEIGHT)
        self.hide()

    def show_both(self, end: End, solution: Solution, beside: Solution | None) -> None:
        """Show the driveline that is in sight and the other one; `beside` is None where there is no other."""
        self.setVisible(beside is not None)
        if beside is not None:
            self._shown = sorted([(end, solution), (other_end(end), beside)], key=lambda one: one[0])
            self._end = end
            self._say()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        if self._shown:
            self._say()

    def _dress(self) -> None:
        theme = self._theme
        tint = mixed(theme.accent, theme.paper, 0.14)
        wear(
            self,
            f"QPushButton#shaft {{ border: 1px solid {theme.muted}; padding: 0 3px; }}"
            f"QPushButton#shaft:checked {{ background: {tint}; border-color: {theme.accent}; }}"
            f"QPushButton#shaft:focus {{ border: 2px solid {theme.accent}; padding: 0 2px; }}",
        )

    def _say(self) -> None:
        """Both in words that have room, the same for both."""
        shown = next(solution for end, solution in self._shown if end == self._end)
        room = (self.width() - 26) / 2.0 - _SHAPE - 20.0
        said = {
            shaft: [f" {capital(one)}{shaft}: {solution.verdict}" for one, solution in self._shown]
            for shaft in (" shaft", "")
        }
        forms = [(texts, points) for texts in said.values() for points in (10, 9)]
        fitting = (one for one in forms if all(words_wide(text, one[1], bold=True) <= room for text in one[0]))
        texts, points = next(fitting, forms[-1])
        self._dress()
        for button, words, (one, solution) in zip(self.buttons, texts, self._shown, strict=True):
            word = solution.verdict
            button.setText(words)
            button.setChecked(one == self._end)
            worse = solution is not shown and WORST_FIRST.index(solution.verdict) < WORST_FIRST.index(shown.verdict)
            colour, focus = self._theme.colour(solution.verdict), self._theme.accent
            sheet = f"QPushButton#shaft {{ border: 2px solid {colour}; }}"
            sheet += f"QPushButton#shaft:focus {{ border: 2px solid {focus}; }}"
            wear(button, sheet if worse else "")
            button.setFont(sized(points, bold=worse or one == self._end))  # a sheet's own bold is laid out as if thin
            button.setAccessibleName(f"{capital(one)} shaft, {word}{', shown' if one == self._end else ''}")
            set_tip(button, f"{capital(one)} shaft: {solution.says} {KEY} shows the other one.")
        self._icons()

    def _icons(self) -> None:
        ratio = self.devicePixelRatioF()
        for button, (_, solution) in zip(self.buttons, self._shown, strict=False):
            image = QPixmap(round(_SHAPE * ratio), round(_SHAPE * ratio))
            image.setDevicePixelRatio(ratio)
            image.fill(Qt.GlobalColor.transparent)
            with QPainter(image) as painter:
                colour = self._theme.colour(solution.verdict)
                paint_verdict(painter, QRectF(0.0, 0.0, _SHAPE, _SHAPE), solution.verdict, colour)
            button.setIcon(QIcon(image))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say as much as fits."""
        super().resizeEvent(event)
        if self._shown:
            self._say()

    def _press(self, button: QPushButton) -> None:
        """Turn to the other one; the one that is shown stays."""
        if self._shown[self.buttons.index(button)][0] != self._end:
            self.turned.emit()
