"""The head of the measurements: what is measured, how much of it, and how finely gauge and tape read."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.measuring.sections import HEADINGS, contents, flat
from app.units import show
from app.window.document import Document
from app.window.painted import Painted, elided, write
from app.window.plain import set_tip
from geometry.document import Build, value_at
from geometry.document.sides import end_of
from geometry.words.wording import capital

HEIGHT: Final = 78
_COUNTED = frozenset({"number", "point", "ratios"})


def entered(build: Build) -> tuple[int, int]:
    """How many measurements are entered, and how many there are for the kinds of this build."""
    paths = {
        entry.path
        for heading in HEADINGS
        if heading.key != "plan"
        for entry in flat(contents(build, heading.key))
        if entry.optional and entry.kind in _COUNTED
    }
    return sum(value_at(build, path) is not None for path in paths), len(paths)


class MeasuredHead(Painted):
    """Name, entries, gauge and tape."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        document.changed.connect(self._say)
        document.renamed.connect(self._say)
        self._say()

    def sizeHint(self) -> QSize:
        """Its one height."""
        return QSize(240, HEIGHT)

    def _say(self) -> None:
        build = self._document.shown.build
        filled, count = entered(build)
        name = build.title.partition(":")[0].strip() or self._document.name
        gauge = value_at(build, "gauge.angle_uncertainty_deg")
        tape = value_at(build, "gauge.tape_uncertainty_mm")
        parts = [] if gauge is None else [f"gauge ± {show(gauge, 'deg', build.display)}"]
        parts += [] if tape is None else [f"tape ± {show(tape, 'mm', build.display)}"]
        self.lines = f"{filled} of {count} entries", name, " · ".join(parts) or "gauge and tape not stated"
        """How much is entered, the build's name, and the gauge's and tape's uncertainty."""
        self.heading = f"{capital(end_of(build))} shaft" if build.drivelines else "Measured"
        """What is measured: with two drivelines which of them."""
        self.setAccessibleName(f"{self.heading}: {', '.join(self.lines)}")
        set_tip(self, name)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            entries, name, fine = self.lines
            right = self.width() - 12
            write(painter, 14.0, 21.0, self.heading, theme.muted, 9)
            write(painter, right, 21.0, entries, theme.muted, 9, right=True)
            fine, points = elided(fine, right - 14.0, 9, least=8)
            write(painter, 14.0, 63.0, fine, theme.muted, points)
            name, points = elided(name, right - 14.0, 12, bold=True, least=9)
            write(painter, 14.0, 43.0, name, theme.ink, points, bold=True)
