"""The line at the foot: the first caution, always in sight, the rest one press away; what was done; what is open."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.cautions import CAUTIONS, SHORTEST
from app.complaints import one_line
from app.window.plain import Label, set_tip

_TOLD_MS = 6_000
_GAP_PX: Final = 14


class Foot(QWidget):
    """One calm line."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.caution = Label(CAUTIONS[0])
        self.caution.setObjectName("foot")
        self.caution.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        set_tip(self.caution, CAUTIONS[0])
        self.warned = Label()
        self.warned.setObjectName("note")
        self.warned.hide()
        self.told = Label()
        self.told.setObjectName("foot")
        self.state = Label()
        self.state.setObjectName("axis")
        self.all = QPushButton("All cautions")
        self.all.setObjectName("quiet")
        self.all.setStyleSheet("font-size: 9pt")
        self.all.setFixedHeight(24)
        self.all.clicked.connect(self.asked)
        line = QFrame()
        line.setObjectName("line")
        row = QHBoxLayout()
        row.setContentsMargins(14, 1, 12, 1)
        row.setSpacing(_GAP_PX)
        row.addWidget(self.caution, 1)
        for widget in (self.warned, self.told, self.state, self.all):
            row.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(line)
        column.addLayout(row)
        self._told, self._name, self._rest_of_state = "", "", ""
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
        self._told = "  ".join(self._said)
        self._fit()
        self._timer.start()

    def warn(self, text: str) -> None:
        """Say what is wrong for as long as it is; an empty text when it no longer is."""
        self.warned.setText(one_line(text))
        self.warned.setVisible(bool(text))
        self._fit()

    def show_state(self, name: str, rest: str) -> None:
        """Say what is open, nothing where that is new, and after it whether it is saved and in which units."""
        self._name, self._rest_of_state = one_line(name), rest
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say as much as there is room for."""
        super().resizeEvent(event)
        self._fit()

    def _rest(self) -> None:
        self._told = ""
        self._fit()

    def _fit(self) -> None:
        """Nothing is cut: the caution takes its short form where something is said beside it, what is open yields to
        what was just done, and only a long name or a long sentence ends in dots, whole in its tip.
        """
        said = bool(self._told or not self.warned.isHidden())
        self.caution.setText(SHORTEST if said else CAUTIONS[0])
        room = self.width() - 26 - self._wide(self.caution, self.caution.text()) - self.all.sizeHint().width() - _GAP_PX
        room -= 0 if self.warned.isHidden() else self._wide(self.warned, self.warned.text()) + _GAP_PX
        told = self._cut(self.told, self._told, room - _GAP_PX)
        self.told.setText(told)
        self.told.setVisible(bool(told))
        set_tip(self.told, self._told)
        room -= self._wide(self.told, told) + _GAP_PX if told else 0
        whole = " · ".join(filter(None, (self._name, self._rest_of_state)))
        for_name = room - _GAP_PX - self._wide(self.state, f" · {self._rest_of_state}")
        name = self._cut(self.state, self._name, for_name)
        self.state.setText(" · ".join(filter(None, (name, self._rest_of_state))))
        self.state.setAccessibleName(whole)
        set_tip(self.state, whole)
        self.state.setVisible(for_name > (_GAP_PX if self._name else 0))

    @staticmethod
    def _wide(label: Label, text: str) -> int:
        return label.fontMetrics().horizontalAdvance(text) + 2 if text else 0

    @staticmethod
    def _cut(label: Label, text: str, room: int) -> str:
        metrics = label.fontMetrics()
        if metrics.horizontalAdvance(text) + 2 <= room:
            return text
        return metrics.elidedText(text, Qt.TextElideMode.ElideMiddle, max(room - 2, 0))
