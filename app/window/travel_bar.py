"""Under the drawing: where the axle is in its travel, under which torque, and what to show of it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QButtonGroup,
    QCheckBox,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.sketch.palette import LIGHT, Theme, mixed
from app.sketch.scene import to_scale
from app.sketch.words import Torque, place_words
from app.window.document import Document
from app.window.plain import Label, set_tip
from app.window.settings import remember, word
from app.window.theme import LABEL_PT, NUMBER_PT, sized
from app.window.travel_scale import TravelScale
from app.window.travel_state import TORQUES, TravelState

_LEAST_PX = 420
_AROUND_PX = 78  # margins, and room between the widgets of one row


class TravelBar(QWidget):
    """Slider and torque, or one line on what to measure before there is a travel to show."""

    ends_wanted = Signal(bool)
    curves_wanted = Signal(bool)
    obstacle_wanted = Signal()

    def __init__(self, document: Document, state: TravelState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._state = state
        self._theme: Theme = LIGHT
        self.setObjectName("travelbar")
        self.place = Label()
        self.place.setFont(sized(self.font(), NUMBER_PT))
        self.place.setMinimumWidth(158)
        self.scale = TravelScale()
        self.hint = Label()
        self.hint.setObjectName("muted")
        self.hint.setWordWrap(True)
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.torques: dict[Torque, QPushButton] = {}
        self._lay_out()
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
            f"QPushButton#segment {{ border: 1px solid {theme.muted}; padding: 3px 0; }}"
            f"QPushButton#segment:checked {{ background: {tint}; color: {theme.ink}; font-weight: bold;"
            f" border: 1px solid {theme.accent}; }}"
            f"QPushButton#segment:focus {{ border: 2px solid {theme.accent}; padding: 2px 0; }}"
            f"QPushButton#segment:disabled {{ color: {theme.muted}; border-color: {theme.band}; }}"
            f"QCheckBox {{ spacing: 7px; padding: 2px 4px; border: 2px solid transparent; }}"
            f"QCheckBox:focus {{ border: 2px solid {theme.accent}; }}"
            f"QCheckBox::indicator {{ width: 11px; height: 11px; border: 2px solid {theme.muted}; }}"
            f"QCheckBox::indicator:checked {{ background: {theme.accent}; border: 2px solid {theme.accent}; }}"
        )

    def _lay_out(self) -> None:
        self._upper = QWidget()
        upper = QHBoxLayout(self._upper)
        upper.setContentsMargins(0, 0, 0, 0)
        upper.setSpacing(12)
        upper.addWidget(self.place)
        upper.addWidget(self.scale, 1)
        self._torque = self._segments()
        self.ends = _box("both ends", "Axle, shaft and wheel outlined faintly at full bump and full droop")
        self.ends.setChecked(word("travel_ends", "yes") != "no")
        self.ends.toggled.connect(self._choose_ends)
        self.curves = _box("curves", "Joint angles, uneven running, slip and gap over the travel")
        self.curves.setChecked(word("travel_curves", "no") == "yes")
        self.curves.toggled.connect(self._choose_curves)
        self.draw = QPushButton("Draw obstacle")
        self.draw.setObjectName("quiet")
        set_tip(self.draw, "Click its corners in either view; double-click or Enter closes it, Esc gives up")
        self.draw.clicked.connect(self.obstacle_wanted)
        tools = QHBoxLayout()
        tools.setSpacing(14)
        tools.addWidget(self.ends)
        tools.addWidget(self.curves)
        tools.addStretch(1)
        tools.addWidget(self.draw)
        self._lower = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._lower.setSpacing(4)
        self._lower.addWidget(self._torque)
        self._lower.addSpacing(10)
        self._lower.addLayout(tools, 1)
        line = QFrame()
        line.setObjectName("line")
        column = QVBoxLayout()
        column.setContentsMargins(26, 8, 12, 6)
        column.setSpacing(4)
        column.addWidget(self._upper)
        column.addWidget(self.hint)
        column.addLayout(self._lower)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(line)
        outer.addLayout(column)

    def _segments(self) -> QWidget:
        """The torques side by side, of which one holds."""
        made = QWidget()
        row = QHBoxLayout(made)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        caption = Label("torque")
        caption.setObjectName("muted")
        caption.setContentsMargins(0, 0, 8, 0)
        row.addWidget(caption)
        group = QButtonGroup(self)
        for name in TORQUES:
            button = QPushButton(name)
            button.setObjectName("segment")
            button.setCheckable(True)
            button.setMinimumWidth(QFontMetrics(sized(self.font(), LABEL_PT, bold=True)).horizontalAdvance(name) + 18)
            button.setAccessibleName(f"Torque: {name}")
            button.clicked.connect(lambda _=False, name=name: self._state.load(name))
            group.addButton(button)
            row.addWidget(button)
            self.torques[name] = button
        row.addStretch(1)
        return made

    def minimumSizeHint(self) -> QSize:
        """As narrow as the drawing may become: the rows below the slider then stand under each other."""
        return QSize(_LEAST_PX, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand in two rows or in three."""
        super().resizeEvent(event)
        side = QBoxLayout.Direction.LeftToRight
        row = (self._torque, self.ends, self.curves, self.draw)
        needed = sum(one.sizeHint().width() for one in row) + _AROUND_PX
        wanted = side if self.width() >= needed else QBoxLayout.Direction.TopToBottom
        if self._lower.direction() != wanted:
            self._lower.setDirection(wanted)

    def _show(self) -> None:
        ends = self._state.range_mm
        known = ends is not None
        for widget in (self._upper, self._torque, self.ends, self.curves):
            widget.setVisible(known)
        self.hint.setVisible(not known)
        self.draw.setVisible(to_scale(self._document.shown.solution.picture))
        if ends is None:
            self.hint.setText(f"Travel from bump to droop: {self._travel_wanted()}")
            return
        display = self._document.build.display
        self.scale.show_range(ends, display)
        self.scale.show_travel(self._state.travel_mm)
        self.place.setText(place_words(self._state.travel_mm, display))
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
                return says[:1].lower() + says[1:]
        return "not known from what is entered."

    def _choose_ends(self, on: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        remember("travel_ends", "yes" if on else "no")
        self.ends_wanted.emit(on)

    def _choose_curves(self, on: bool) -> None:  # noqa: FBT001  (Qt's own signal)
        remember("travel_curves", "yes" if on else "no")
        self.curves_wanted.emit(on)


def _box(words: str, tip: str) -> QCheckBox:
    made = QCheckBox(words)
    set_tip(made, tip)
    return made
