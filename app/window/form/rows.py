"""One row of the form: title, entry, unit, and under it the one sentence on what is wrong, if anything is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QGridLayout, QLineEdit, QWidget

from app.measuring.entries import Entry
from app.window.painted import Painted
from app.window.plain import Label, set_tip
from app.window.shapes import paint_verdict
from app.window.theme import words_wide
from geometry.document import Build
from geometry.words.wording import small

GUTTER = 18
"""Width of the margin in which the ring stands that marks a wanted entry."""
ENTRY_WIDTH, UNIT_WIDTH = 74, 40
CHOICE_WIDTH = ENTRY_WIDTH + UNIT_WIDTH + 6
"""One column for all that is typed or chosen, so that a section reads like a form."""
_AROUND_TEXT = 14
_LEAST_PT = 8
STAYING = frozenset({Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason})
"""A menu or another window over a field is not leaving it."""


class Taker(Protocol):
    """What a row needs to hand in an edit: returns the sentence against it, or None when it was taken."""

    def __call__(self, changes: Mapping[str, object], text: str) -> str | None:
        """Hand in edits at dotted paths; `text` names the step in the history."""


@dataclass(frozen=True, slots=True)
class Hands:
    """Whom a row tells.

    `take` gets its edits, `focused` its entry when the cursor enters it, `preview` the edits that what is being typed
    comes to, or None where it is given up, `told` a sentence on typing that was dropped; `hand_in` asks all rows for
    what is typed in them.
    """

    take: Taker
    focused: Callable[[Entry], None]
    preview: Callable[[Mapping[str, object] | None], None] = lambda _changes: None
    told: Callable[[str], None] = lambda _sentence: None
    hand_in: Callable[[], None] = lambda: None


class LineEdit(QLineEdit):
    """A line that tells when the cursor enters and leaves, drops typing on Escape, and leaves undo to the history."""

    entered = Signal()
    left = Signal()
    given_up = Signal()
    done = Signal()
    _points: int | None = None
    _set_points: int | None = None

    def keep_whole(self, points: int) -> None:
        """Write at a size, and smaller where the text would be cut: half a number is another number."""
        self._points = points
        self.textChanged.connect(self._fit)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the text fit the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        if self._points is None:
            return
        wide = words_wide(self.text(), self._points)
        room = self.width() - _AROUND_TEXT
        fitting = self._points if wide <= room else max(_LEAST_PT, int(self._points * room / wide))
        if fitting != self._set_points:
            self._set_points = fitting
            self.setStyleSheet(f"font-size: {fitting}pt")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the cursor entered."""
        super().focusInEvent(event)
        self.entered.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the cursor left; a menu or another window over it is not leaving."""
        super().focusOutEvent(event)
        if event.reason() not in STAYING:
            self.left.emit()

    def event(self, event: QEvent) -> bool:
        """Undo typing only while there is typing; else the keys are the history's."""
        if event.type() == QEvent.Type.ShortcutOverride and not self.isModified() and is_history(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape gives up what was typed, Enter hands it in."""
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.given_up.emit()
            return
        super().keyPressEvent(event)
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            event.accept()  # the cursor may be elsewhere by now, where Enter would press
            self.done.emit()


class EntryRow(Painted):
    """One entry of the build as a person reads and types it.

    `show_build` brings it up to date; `commit` hands in what was typed; `pending` says whether there is typing that
    the build does not hold. `settled` says that Enter was pressed and taken, `complained` that a sentence came under
    the entry.
    """

    settled = Signal()
    complained = Signal()
    group = ""
    """Title of the group that it stands in, such as one joint's; nothing where it stands in none."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.entry = entry
        self._hands = hands
        self._ring = ""
        self.grid = QGridLayout(self)
        self.grid.setContentsMargins(GUTTER, 1, 0, 1)
        self.grid.setHorizontalSpacing(6)
        self.grid.setVerticalSpacing(0)
        self.grid.setColumnStretch(0, 1)
        self.title = Label(entry.title)
        self.title.setObjectName("small")
        self.title.setWordWrap(True)
        set_tip(self.title, entry.help)
        self.complaint = Label()
        self.complaint.setObjectName("complaint")
        self.complaint.setWordWrap(True)
        self.complaint.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.complaint.hide()

    @property
    def pending(self) -> bool:
        """Whether something was typed that the build does not hold."""
        return False

    def editors(self) -> list[QWidget]:
        """Widgets that take the cursor, in order."""
        raise NotImplementedError

    def show_build(self, build: Build) -> None:
        """Show the entry as the build has it."""
        raise NotImplementedError

    def commit(self) -> None:
        """Hand in what was typed, if anything was."""

    def forget(self) -> None:
        """Give up what was typed."""

    def drop(self) -> None:
        """Forget typing that was not taken, and say so, if there is any."""

    def focus_first(self) -> None:
        """Put the cursor into the entry."""
        self.editors()[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def show_wanted(self, by: str) -> None:
        """Mark the entry as wanted by the findings that `by` names, or not, where it names none."""
        if by != self._ring:
            self._ring = by
            self.describe()
            self.update()

    def describe(self) -> None:
        """Say to a screen reader what the eye sees beside the entry."""
        said = [self.entry.help]
        if self._ring:
            said.append(f"Wanted by: {self._ring}.")
        if not self.complaint.isHidden():
            said.append(self.complaint.text())
        for editor in self.editors():
            editor.setAccessibleDescription(" ".join(part for part in said if part))
            set_tip(editor, " ".join(part for part in said[:2] if part))

    def complain(self, sentence: str, *, gently: bool = False) -> None:
        """Show a sentence under the entry, or none; `gently` where the entry is only unfinished."""
        wanted = "note" if gently else "complaint"
        if self.complaint.objectName() != wanted:
            self.complaint.setObjectName(wanted)
            self.complaint.style().polish(self.complaint)
        self.complaint.setText(sentence)
        self.complaint.setVisible(bool(sentence))
        for editor in self.editors():
            refused = bool(sentence) and not gently
            if bool(editor.property("refused")) != refused:
                editor.setProperty("refused", refused)
                editor.style().polish(editor)
        self.describe()
        if sentence:
            self.complained.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ring of a wanted entry into the margin."""
        super().paintEvent(event)
        if not self._ring:
            return
        with QPainter(self) as painter:
            high = self.title.heightForWidth(self.title.width()) if self.title.wordWrap() else self.title.height()
            middle = self.title.geometry().center().y() - (high - self.title.fontMetrics().height()) / 2 + 1
            paint_verdict(painter, QRectF(2, middle - 6, 12, 12), "unknown", QColor(self._theme.accent).name())


def is_history(event: QEvent) -> bool:
    """Whether an event is the key of undo or redo."""
    return isinstance(event, QKeyEvent) and (
        event.matches(QKeySequence.StandardKey.Undo) or event.matches(QKeySequence.StandardKey.Redo)
    )


def step_text(title: str, shown: str) -> str:
    """Name of a step in the history: what was set, and to what."""
    name = small(title)
    return f"{name} {shown}" if shown else f"clearing {name}"
