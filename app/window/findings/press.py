"""A button whose arrows are its pane's: of itself they go to its neighbours."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton

_PANES = frozenset({Qt.Key.Key_Left, Qt.Key.Key_Right})


class Press(QPushButton):
    """Something to press in a pane that says what its keys do."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the pane's keys to the pane."""
        if event.key() in _PANES:
            event.ignore()
        else:
            super().keyPressEvent(event)
