"""A question with several ways on, each a button with one line that says what it does; escape does nothing."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.window.plain import Label


class ChoicePage(QDialog):
    """What happened, and what can be done about it; the first way added is the one that Enter takes."""

    def __init__(self, parent: QWidget, title: str, text: str, more: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.buttons: dict[str, QPushButton] = {}
        self._pressed = ""
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(22, 18, 22, 18)
        self._column.setSpacing(4)
        self._column.setSizeConstraint(QVBoxLayout.SizeConstraint.SetFixedSize)
        heading = plain_label(text)
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        self._column.addWidget(heading)
        if more:
            self._column.addWidget(plain_label(more))
        self._column.addSpacing(4)
        self._cancel = QPushButton("&Cancel")
        self._cancel.setAutoDefault(False)
        self._cancel.clicked.connect(self.reject)

    def add(self, key: str, words: str, does: str) -> None:
        """Add a way on."""
        button = QPushButton(words)
        button.setAccessibleDescription(does)
        button.setAutoDefault(False)
        button.setDefault(not self.buttons)
        button.clicked.connect(partial(self._press, key))
        self.buttons[key] = button
        under = plain_label(does)
        under.setObjectName("muted")
        self._column.addSpacing(6)
        self._column.addWidget(button)
        self._column.addWidget(under)

    def ask(self) -> str:
        """Show the question and return the key of what was pressed, or an empty text."""
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self._cancel)
        self._column.addSpacing(6)
        self._column.addLayout(row)
        next(iter(self.buttons.values())).setFocus()
        self.exec()
        self.deleteLater()
        return self._pressed

    def _press(self, key: str) -> None:
        self._pressed = key
        self.accept()


def plain_label(text: str, width: int = 520) -> Label:
    """A label of so many px that breaks its lines and shows its text as it is."""
    label = Label(text)
    label.setWordWrap(True)
    label.setFixedWidth(width)
    return label
