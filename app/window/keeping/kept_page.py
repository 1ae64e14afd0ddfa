"""The list of copies of unsaved work that was kept: open one, throw some away, or leave them for later."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRect, QSignalBlocker, QSize, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from app.window.keeping.choice_page import plain_label
from app.window.keeping.recovery import Copy

_WIDTH = 560
_MOST_SHOWN = 5
_AROUND = QSize(48, 16)  # padding, the mark of the chosen row and the scroll bar


class KeptPage(QDialog):
    """All copies with their time, name and what differs; `sure` is asked before one is thrown away."""

    def __init__(self, parent: QWidget, copies: Sequence[Copy], sure: Callable[[Copy], bool]) -> None:
        super().__init__(parent)
        self.setWindowTitle("Unsaved work was kept")
        self._left = list(copies)
        self._sure = sure
        self._chosen: Copy | None = None
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setFixedWidth(_WIDTH)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName("Copies that were kept")
        self.take = QPushButton("&Open the copy")
        self.away = QPushButton("&Throw it away…")
        self.later = QPushButton("&Later")
        self.take.setDefault(True)
        self.take.clicked.connect(self._open)
        self.away.clicked.connect(self._throw_away)
        self.later.clicked.connect(self.reject)
        self.list.itemActivated.connect(self._open)
        self.list.currentRowChanged.connect(self._choose)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.away)
        row.addStretch(1)
        row.addWidget(self.later)
        row.addWidget(self.take)
        column = QVBoxLayout(self)
        column.setContentsMargins(22, 18, 22, 18)
        column.setSpacing(10)
        column.setSizeConstraint(QVBoxLayout.SizeConstraint.SetFixedSize)
        says = "The program ended before this work was saved. A copy of it was kept."
        column.addWidget(plain_label(says, _WIDTH))
        column.addWidget(self.list)
        column.addWidget(plain_label("What is left for later is offered again at the next start.", _WIDTH))
        column.addLayout(row)
        self._fill(0)

    def ask(self) -> Copy | None:
        """Show the list and return the copy to open, or None."""
        self.list.setFocus()
        self.exec()
        self.deleteLater()
        return self._chosen

    def _fill(self, row: int) -> None:
        quiet = QSignalBlocker(self.list)  # rows and copies do not match meanwhile
        self.list.clear()
        heights = []
        self.list.ensurePolished()
        for copy in self._left:
            words = f"{copy.name}, {copy.day}\n{copy.differs}"
            item = QListWidgetItem(words)
            room = QRect(0, 0, _WIDTH - _AROUND.width(), 1_000)
            size = self.list.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, words).size() + _AROUND
            item.setSizeHint(size)  # the list's own guess leaves the padding out
            heights.append(size.height())
            self.list.addItem(item)
        self.list.setCurrentRow(min(row, len(self._left) - 1))
        quiet.unblock()
        self._choose(self.list.currentRow())
        self.list.setFixedHeight(sum(heights[:_MOST_SHOWN]) + 2 * self.list.frameWidth())

    def _choose(self, row: int) -> None:
        copy = self._left[row] if row >= 0 else None
        self.take.setEnabled(copy is not None and copy.build is not None)
        self.away.setEnabled(copy is not None)

    def _open(self) -> None:
        copy = self._left[self.list.currentRow()]
        if copy.build is not None:
            self._chosen = copy
            self.accept()

    def _throw_away(self) -> None:
        row = self.list.currentRow()
        copy = self._left[row]
        if not self._sure(copy):
            return
        copy.throw_away()
        del self._left[row]
        if self._left:
            self._fill(row)
        else:
            self.reject()
