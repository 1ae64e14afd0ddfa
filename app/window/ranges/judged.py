"""What the pages in place of the drawing have in common: they work in turns, only in sight, and follow the build."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.palette import Theme
from app.window.document import Document
from app.window.painted import Painted

COARSE: Final = 8
"""Steps that a coarse key takes at once."""


class JudgedPage(QWidget):
    """A page that is worked out in turns, short enough for a hand to go on, and begun anew where the build rests."""

    left = Signal()
    """The person wants the drawing back."""

    def __init__(self, document: Document, rest_ms: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._turns: Iterator[Any] = iter(())
        self._turning = QTimer(self)
        self._turning.setInterval(0)
        self._turning.timeout.connect(self._turn)
        self._resting = QTimer(self)
        self._resting.setSingleShot(True)
        self._resting.setInterval(rest_ms)
        self._resting.timeout.connect(self.begin)
        document.changed.connect(self._follow)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        raise NotImplementedError

    def focus(self) -> None:
        """Put the keyboard where it is wanted first."""
        raise NotImplementedError

    def _working(self) -> Iterator[Any] | None:
        """What is found, turn by turn, of the build that is shown; None where there is nothing to work out."""
        raise NotImplementedError

    def _show_found(self, found: Any) -> None:
        """Show what is found by now."""
        raise NotImplementedError

    def _ended(self) -> None:
        """Say what is to be said once all is found."""

    @property
    def settled(self) -> bool:
        """Whether nothing is left to be worked out."""
        return not self._turning.isActive() and not self._resting.isActive()

    def begin(self) -> None:
        """Begin with the build that is shown, and show what the first turn finds."""
        turns = self._working()
        if turns is None:
            self._turning.stop()
            return
        self._turns = turns
        self._turning.start()
        self._turn()

    def _turn(self) -> None:
        """Show what one turn more has found."""
        found = next(self._turns, None)
        if found is None:
            self._turning.stop()
            self._ended()
        else:
            self._show_found(found)

    def _follow(self) -> None:
        """Begin anew; while a hand moves, only at its rests."""
        if self.isVisible():
            self._resting.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what has changed while it was out of sight."""
        super().showEvent(event)
        self._follow()

    def hideEvent(self, event: QHideEvent) -> None:
        """Work out nothing that nobody sees."""
        super().hideEvent(event)
        self._turning.stop()
        self._resting.stop()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back to the drawing."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class Filling(Painted):
    """A widget that paints itself and takes the room that there is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)


class Chooser(Filling):
    """One on which a value is chosen: Enter takes the present one, Escape goes back to the drawing."""

    chosen = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys that are the same on all of them."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.chosen.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class Sliding(Chooser):
    """One whose value lies on a scale across it; `moved` asks for another value."""

    moved = Signal(float)

    def _way(self) -> tuple[float, float, float, float] | None:
        """The value, its step, and the scale's ends; None where there is no scale."""
        raise NotImplementedError

    def _value_at(self, x: float) -> float:
        """The value at a pixel."""
        raise NotImplementedError

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go where the pointer is."""
        if event.button() == Qt.MouseButton.LeftButton and self._way() is not None:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self.moved.emit(self._value_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the pointer."""
        if event.buttons() & Qt.MouseButton.LeftButton and self._way() is not None:
            self.moved.emit(self._value_at(event.position().x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows step, page keys coarsely, Home and End go to the ends."""
        moves: dict[int, float] = {}
        if (way := self._way()) is not None:
            at, step, first, last = way
            moves = {
                Qt.Key.Key_Left: at - step,
                Qt.Key.Key_Right: at + step,
                Qt.Key.Key_PageDown: at - COARSE * step,
                Qt.Key.Key_PageUp: at + COARSE * step,
                Qt.Key.Key_Home: first,
                Qt.Key.Key_End: last,
            }
        if event.key() in moves:
            self.moved.emit(moves[event.key()])
        else:
            super().keyPressEvent(event)
