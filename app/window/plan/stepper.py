"""A value between minus and plus: pressed, typed, or stepped with the arrows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from app.window.form.rows import is_history

HIGH = 26
_COARSE = 4


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
    """`stepped` asks for so many steps up or down, `typed` hands on what was typed."""

    stepped = Signal(int)
    typed = Signal(str)
    focused = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = ""
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

    def show_value(self, text: str, *, planned: bool, able: bool, name: str) -> None:
        """Show another value; bold where it is planned, off where it cannot be set yet."""
        self._text = text
        if not (self.field.hasFocus() and self.field.isModified()):
            self.field.setText(text)
        font = self.field.font()
        font.setBold(planned)
        self.field.setFont(font)
        for widget in (self.field, self.less, self.more):
            widget.setEnabled(able)
        self.field.setAccessibleName(name)
        self.less.setAccessibleName(f"{name}: less")
        self.more.setAccessibleName(f"{name}: more")

    def _restore(self) -> None:
        self.field.setText(self._text)
        self.field.setModified(False)
        self.field.selectAll()

    def hand_in(self) -> None:
        """Hand on what was typed, if anything was."""
        if self.field.isModified():
            self.field.setModified(False)
            text = self.field.text().strip()
            if text != self._text:
                self.typed.emit(text)
            self.field.setText(self._text)
            self.field.selectAll()
