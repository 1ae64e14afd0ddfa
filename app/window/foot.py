"""The line at the foot: the first caution, always in sight, the rest one press away; and what was just done."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.cautions import CAUTIONS, SHORTEST

_TOLD_MS = 6_000


class Foot(QWidget):
    """One calm line."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.caution = QLabel(CAUTIONS[0])
        self.caution.setObjectName("muted")
        self.caution.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.caution.setToolTip(CAUTIONS[0])
        self.told = QLabel()
        self.told.setObjectName("told")
        button = QPushButton("All cautions")
        button.setObjectName("quiet")
        button.clicked.connect(self.asked)
        line = QFrame()
        line.setObjectName("line")
        row = QHBoxLayout()
        row.setContentsMargins(26, 3, 8, 3)
        row.setSpacing(10)
        row.addWidget(self.caution, 1)
        row.addWidget(self.told)
        row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(line)
        column.addLayout(row)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_TOLD_MS)
        self._timer.timeout.connect(self._rest)
        self._said: list[str] = []
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.setInterval(0)
        self._turn.timeout.connect(self._said.clear)

    def tell(self, text: str) -> None:
        """Say what was just done, with what else one press did; it goes away by itself."""
        self._said.append(text)
        self._turn.start()
        self.told.setText("  ".join(self._said))
        self.caution.setText(SHORTEST)  # whole, whatever is said beside it
        self._timer.start()

    def _rest(self) -> None:
        self.told.clear()
        self.caution.setText(CAUTIONS[0])
