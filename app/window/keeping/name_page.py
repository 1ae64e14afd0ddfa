"""A question for a name: the present one stands in its field, Enter takes what is typed, Escape keeps it."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.window.keeping.choice_page import plain_label

_LONGEST = 80


class NamePage(QDialog):
    """One field and two buttons; without a letter in it nothing can be taken."""

    def __init__(self, parent: QWidget, title: str, text: str, now: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.field = QLineEdit(now)
        self.field.setMaxLength(_LONGEST)
        self.field.setAccessibleName(text)
        self.field.selectAll()
        self.take = QPushButton("&Take this name")
        self.take.setDefault(True)
        self.take.clicked.connect(self.accept)
        leave = QPushButton("&Cancel")
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.field.textChanged.connect(lambda: self.take.setEnabled(bool(self.field.text().strip())))
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(leave)
        row.addWidget(self.take)
        column = QVBoxLayout(self)
        column.setContentsMargins(22, 18, 22, 18)
        column.setSpacing(10)
        column.addWidget(plain_label(text, 420))
        column.addWidget(self.field)
        column.addLayout(row)

    def ask(self) -> str | None:
        """Show the question and return the name, or None where none was taken."""
        self.field.setFocus()
        taken = self.exec() == QDialog.DialogCode.Accepted
        self.deleteLater()
        return self.field.text().strip() if taken else None
