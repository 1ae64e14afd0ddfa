"""Under the drawing, in one row: where the axle is in its travel, under which torque, and whether its ends show."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme, mixed
from app.drawing.subject import Torque
from app.window.document import Document
from app.window.form.choice_rows import Chooser
from app.window.plain import Label, set_tip
from app.window.settings import remember, word
from app.window.theme import sized
from app.window.travel.scale import TravelScale
from app.window.travel.state import TORQUES, TravelState
from geometry.words.wording import small

HEIGHT = 50
_STATE_PX = 92
"""Least width of the states to choose from."""
_SCALE_PX, _BESIDE_STATES_PX = 190, 120
"""Least width of the slider, by itself and beside them."""


class TravelBar(QWidget):
    """Slider and torque, or one line on what to measure before there is a travel to show."""

    ends_wanted = Signal(bool)

    def __init__(self, document: Document, state: TravelState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._state = state
        self._theme: Theme = LIGHT
        self.setObjectName("travelbar")
        self.setFixedHeight(HEIGHT)
        self.scale = TravelScale()
        self.hint = Label()
        self.hint.setObjectName("axis")
        self.hint.setWordWrap(True)
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.torques: dict[Torque, QPushButton] = {}
        self._torque = self._segments()
        self.states = Chooser(lambda: None)
        self.states.setAccessibleName("State that is shown")
        set_tip(self.states, "The state that the drawing shows, of those that the vehicle is used in")
        self.states.activated.connect(lambda place: state.use(self.states.itemData(place)))
        self.ends = QPushButton("both ends")
        self.ends.setObjectName("segment")
        self.ends.setCheckable(True)
        self._keep_whole(self.ends)
        set_tip(self.ends, "Axle, shaft and wheel outlined faintly at full bump and full droop")
        self.ends.setChecked(word("travel_ends", "no") == "yes")
        self.ends.toggled.connect(self._choose_ends)
        row = QHBoxLayout()
        row.setContentsMargins(12, 0, 12, 0)
        row.setSpacing(14)
        row.addWidget(self.scale, 1)
        row.addWidget(self.hint, 1)
        row.addWidget(self.states)
        row.addWidget(self._torque)
        row.addWidget(self.ends)
        line = QFrame()
        line.setObjectName("line")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(line)
        column.addLayout(row, 1)
        self.scale.moved.connect(state.go)
        state.moved.connect(self._show)
        state.rebuilt.connect(self._show)
        self._show()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.scale.show_theme(theme)
        tint = mixed(theme.accent, theme.paper, 0.14)
        self.setStyleSheet(
            f"QPushButton#segment {{ border: 1px solid {theme.muted}; padding: 3px 9px; font-size: 10pt; }}"
            f"QPushButton#segment:checked {{ background: {tint}; color: {theme.ink}; font-weight: bold;"
            f" border: 1px solid {theme.accent}; }}"
            f"QPushButton#segment:focus {{ border: 2px solid {theme.accent}; padding: 2px 8px; }}"
            f"QPushButton#segment:disabled {{ color: {theme.muted}; border-color: {theme.band}; }}"
        )

    def _segments(self) -> QWidget:
        """The torques side by side, of which one holds."""
        made = QWidget()
        row = QHBoxLayout(made)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        caption = Label("torque")
        caption.setObjectName("axis")
        caption.setContentsMargins(0, 0, 8, 0)
        row.addWidget(caption)
        group = QButtonGroup(self)
        for name in TORQUES:
            button = QPushButton(name)
            button.setObjectName("segment")
            button.setCheckable(True)
            self._keep_whole(button)
            button.setAccessibleName(f"Torque: {name}")
            button.clicked.connect(lambda _=False, name=name: self._state.load(name))
            group.addButton(button)
            row.addWidget(button)
            self.torques[name] = button
        return made

    def _show_states(self) -> None:
        """The states to choose from, where there are several; what is not known how far it moves cannot be shown."""
        states, known = self._state.states, self._state.range_mm is not None
        self.states.setVisible(bool(states) and known)
        self.scale.setMinimumWidth(_BESIDE_STATES_PX if states and known else _SCALE_PX)
        names = [one.name for one in states if one.driven_mm is not None]
        if [self.states.itemText(place) for place in range(self.states.count())] != names:
            self.states.clear()
            for number, one in enumerate(states):
                if one.driven_mm is not None:
                    self.states.addItem(one.name, number)
            if names:
                # Its list shows them whole; the bar must fit the smallest screen.
                self.states.setMinimumWidth(min(self.states.wanted_width(), _STATE_PX))
                self.states.setMaximumWidth(self.states.wanted_width())
        used = self._state.used
        self.states.setCurrentIndex(names.index(used.name) if used is not None else 0 if names else -1)

    def _keep_whole(self, button: QPushButton) -> None:
        """Leave room for its words as they are while it is on: bold."""
        wide = QFontMetrics(sized(10, bold=True)).horizontalAdvance(button.text())
        button.setMinimumWidth(wide + 22)

    def _show(self) -> None:
        ends = self._state.range_mm
        known = ends is not None
        for widget in (self.scale, self._torque, self.ends):
            widget.setVisible(known)
        self.hint.setVisible(not known)
        self._show_states()
        if ends is None:
            self.hint.setText(f"Travel from bump to droop: {self._travel_wanted()}")
            return
        self.scale.show_range(ends, self._document.build.display)
        self.scale.show_travel(self._state.travel_mm)
        for name, button in self.torques.items():
            able = self._state.torque_known(name)
            button.setEnabled(able)
            button.setChecked(name == self._state.torque)
            set_tip(button, "" if able else self._wanted(f"windup_{name}"))

    def _travel_wanted(self) -> str:
        """What is missing for the slider."""
        if self._document.shown.build.suspension is None:
            return "measure or enter the springs or links."
        return self._wanted("travel_reach", "joint_bind", "slip_left")

    def _wanted(self, *findings: str) -> str:
        """What the first finding of these names says is missing."""
        for one in self._document.shown.solution.findings:
            if one.id.startswith(findings) and one.verdict != "clear":
                says = one.says.removeprefix("Not judged: ")
                return small(says)
        return "not known from what is entered."

    def _choose_ends(self, on: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        remember("travel_ends", "yes" if on else "no")
        self.ends_wanted.emit(on)
