"""The page over road speed: from where to where the shaft runs smooth, shown in place of the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.drawing.palette import Theme
from app.speeds import sentence, wants_of
from app.units import scale, show
from app.window.document import Document
from app.window.plain import Label
from app.window.ranges.judged import JudgedPage
from app.window.ranges.speed_view import SpeedView
from app.window.theme import sized
from geometry.words.names import of_shaft
from geometry.words.speeds import OverSpeed, over_speed

_REST_MS: Final = 60
_CRUISE: Final = "vehicle.cruise_speed_kmh"


class SpeedPage(JudgedPage):
    """Over speed; the line starts at the cruising speed, and a press makes where it stands the cruising speed."""

    told = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self.found: OverSpeed | None = None
        """What is found by now."""
        self._at: float | None = None
        self.sentence = Label()
        self.sentence.setFont(sized(13, bold=True))
        self.sentence.setWordWrap(True)
        self.wants = Label()
        self.wants.setFont(sized(10))
        self.wants.setWordWrap(True)
        self.view = SpeedView()
        self.view.moved.connect(self.go_to)
        self.view.chosen.connect(self.set_cruise)
        self.view.left.connect(self.left)
        self.press = QPushButton()
        self.press.clicked.connect(self.set_cruise)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.press)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 10, 12, 8)
        page.setSpacing(8)
        page.addWidget(self.sentence)
        page.addWidget(self.wants)
        page.addWidget(self.view, 20)
        page.addLayout(foot)
        page.addStretch(1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Over speed")

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self.view.show_theme(theme)

    def focus(self) -> None:
        """Put the keyboard on the curves."""
        self.view.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to(self, speed_kmh: float) -> None:
        """Look at another speed, as near as a whole one of the person's unit; the cruising speed is taken as it is."""
        found = self.found
        if found is None:
            return
        size = scale("km/h", self._document.shown.build.display)
        speed = min(max(round(speed_kmh * size), 1.0), float(found.speeds_kmh[-1] * size)) / size
        cruise = found.cruise_kmh
        self._at = cruise if cruise is not None and abs(speed - cruise) < 0.5 / size else speed
        self._show_here()

    def set_cruise(self) -> None:
        """Make the speed that is looked at the cruising speed: one step, which undo takes back."""
        if self._at is None or self.found is None:
            return
        said = f"cruising speed {self._said(self._at)}"
        done = self._document.apply({_CRUISE: self._at}, said)
        self.told.emit(f"Set: {said}." if done else f"It is so already: {said}.")

    def _said(self, speed_kmh: float) -> str:
        return show(speed_kmh, "km/h", self._document.shown.build.display, places=0)

    def _working(self) -> Iterator[OverSpeed]:
        return iter((over_speed(self._document.shown.build),))

    def _show_found(self, found: OverSpeed) -> None:
        before = None if self.found is None else self.found.cruise_kmh
        if self._at is None or self._at == before:
            self._at = found.cruise_kmh
        self.found, build = found, self._document.shown.build
        most = float(found.speeds_kmh[-1])
        self._at = most / 2.0 if self._at is None else min(self._at, most)
        self.sentence.setText(of_shaft(build, sentence(found, build.display)))
        wants = wants_of(build, found)
        self.wants.setText("\n".join(wants))
        self.wants.setVisible(bool(wants))
        self.view.show_found(found, build.display)
        self._show_here()

    def _show_here(self) -> None:
        if self._at is None:
            return
        self.view.show_speed(self._at)
        self.press.setEnabled(self.found is not None and self._at != self.found.cruise_kmh)
        self.press.setText(f"Set the cruising speed to {self._said(self._at)}")
