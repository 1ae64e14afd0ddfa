"""A value between minus and plus: pressed, typed, or stepped with the arrows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from app.window.form.rows import is_history
from app.window.theme import sized, words_wide

HIGH = 26
_COARSE = 4
_INSIDE = 10
"""Of a field, what its frame takes at both sides."""


class _Field(QLineEdit):
    stepped = Signal(int)
    given_up = Signal()
    focused = Signal()

    def event(self, event: QEvent) -> bool:
        """Undo typing only while there is typing; else the keys are the history's."""
        if event.type() == QEvent.Type.ShortcutOverride and not self.isModified() and is_history(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows step, Shift coarsely; Escape gives typing up."""
        ways = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}
        if event.key() in ways:
            coarse = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.stepped.emit(ways[Qt.Key(event.key())] * (_COARSE if coarse else 1))
        elif event.key() == Qt.Key.Key_Escape:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Take the whole text, to be typed over."""
        super().focusInEvent(event)
        self.focused.emit()
        self.selectAll()


class Stepper(QWidget):
    """`stepped` asks for so many steps up or down, `typed` hands on what was typed.

    What is refused stays in the field, marked, until it is mended, given up, or dropped; `complained` hands on the
    sentence, and an empty one when there is none any more.
    """

    stepped = Signal(int)
    typed = Signal(str)
    focused = Signal()
    complained = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text, self._planned, self._handing_in = "", False, False
        self._texts: tuple[str, ...] = ("",)
        self.refused = ""
        """What was typed and cannot be taken."""
        self.field = _Field()
        self.field.setFixedHeight(HIGH)
        self.field.setMinimumWidth(54)
        self.field.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.field.setObjectName("planned")
        self.field.stepped.connect(self.stepped)
        self.field.given_up.connect(self._restore)
        self.field.editingFinished.connect(self.hand_in)
        self.field.focused.connect(self.focused)
        self.less, self.more = self._button("−", -1), self._button("+", 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(3)
        row.addWidget(self.less)
        row.addWidget(self.field, 1)
        row.addWidget(self.more)

    def _button(self, sign: str, way: int) -> QPushButton:
        button = QPushButton(sign)
        button.setObjectName("step")
        button.setFixedSize(HIGH, HIGH)
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        button.setAutoRepeat(True)
        button.clicked.connect(lambda: self.stepped.emit(way))
        return button

    def show_value(self, texts: tuple[str, ...], *, planned: bool, able: bool, name: str) -> None:
        """Show another value, in the first of its wordings that fits; bold where it is planned, off where it waits."""
        self._texts, self._planned = texts, planned
        self._fit()
        for widget in (self.field, self.less, self.more):
            widget.setEnabled(able)
        self.field.setAccessibleName(f"{name}: {texts[0]}")
        self.less.setAccessibleName(f"{name}: less")
        self.more.setAccessibleName(f"{name}: more")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show it whole at any width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        room = self.field.width() - _INSIDE
        sizes = [(text, points) for text in self._texts for points in (11, 10, 9)]
        fits = (one for one in sizes if words_wide(*one, bold=self._planned) <= room)
        self._text, points = next(fits, sizes[-1])
        self.field.setFont(sized(points, bold=self._planned))
        if not self.refused and not self._handing_in and not (self.field.hasFocus() and self.field.isModified()):
            self.field.setText(self._text)
            if self.field.hasFocus():
                self.field.selectAll()  # to be typed over

    def refuse(self, sentence: str) -> None:
        """Mark what stands in the field as not taken."""
        self.refused = self.field.text()
        self._mark()
        self.complained.emit(sentence)

    def drop(self) -> None:
        """Forget typing that was refused."""
        if self.refused:
            self.refused = ""
            self._mark()
            self.complained.emit("")
            self.field.setText(self._text)
            self.field.setModified(False)

    def _restore(self) -> None:
        self.drop()
        self.field.setText(self._text)
        self.field.setModified(False)
        self.field.selectAll()

    def _mark(self) -> None:
        self.field.setProperty("refused", bool(self.refused))
        self.field.style().unpolish(self.field)
        self.field.style().polish(self.field)

    def hand_in(self) -> None:
        """Hand on what was typed, if anything was."""
        if not self.field.isModified():
            return
        typed = self.field.text()
        if typed == self.refused:  # its sentence stands already
            return
        self.field.setModified(False)
        self.refused = ""
        if typed.strip() != self._text:
            self._handing_in = True
            self.typed.emit(typed.strip())  # may refuse it
            self._handing_in = False
        if self.refused:
            self.field.setModified(True)
        else:
            self._mark()
            self.complained.emit("")
            self.field.setText(self._text)
        self.field.selectAll()
