"""The line at the foot: the first caution, always in sight, the rest one press away; and what was just done."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.cautions import CAUTIONS, SHORTEST
from app.complaints import one_line
from app.window.plain import Label, set_tip

_TOLD_MS = 6_000


class Foot(QWidget):
    """One calm line."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.caution = Label(CAUTIONS[0])
        self.caution.setObjectName("muted")
        self.caution.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        set_tip(self.caution, CAUTIONS[0])
        self.warned = Label()
        self.warned.setObjectName("note")
        self.warned.hide()
        self.told = Label()
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
        row.addWidget(self.warned)
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
        self._said.append(one_line(text))
        self._turn.start()
        self.told.setText("  ".join(self._said))
        self._fit()
        self._timer.start()

    def warn(self, text: str) -> None:
        """Say what is wrong for as long as it is; an empty text when it no longer is."""
        self.warned.setText(one_line(text))
        self.warned.setVisible(bool(text))
        self._fit()

    def _rest(self) -> None:
        self.told.clear()
        self._fit()

    def _fit(self) -> None:
        """The caution is whole, whatever is said beside it."""
        self.caution.setText(SHORTEST if self.told.text() or self.warned.text() else CAUTIONS[0])
