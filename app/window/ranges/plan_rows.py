"""Parts of the page that finds a plan: an entry to mark, with its range; a plan, with the press that takes it."""

from __future__ import annotations

from typing import Any, Final

from pydantic import ValidationError
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLineEdit, QPushButton, QWidget

from app.complaints import first_complaint
from app.drawing.palette import LIGHT, VERDICT_SIGNS, VERDICT_WORDS, Theme
from app.naming import other_words
from app.plans import change_words, edge_words, left_words, room_words, tally
from app.reading import ReadingError, parse
from app.units import edit_text, shown_unit
from app.window.findings.chosen import own_unit
from app.window.plain import Label
from app.window.ranges.changeable import Changeable
from app.window.theme import sized, wear, words_wide
from geometry import Build, edited
from geometry.mechanics.vectors import Floats
from geometry.words.plans import PlanFound, started
from geometry.words.wording import capital

_HIGH: Final = 28
_FIELD: Final = 42
_NAME: Final = 180.0
"""Width that a name always has; a longer one is told in smaller letters, on two lines where it has two parts."""
_TICKED, _BARE = "☑", "☐"
_LEFT: Final = (4, 2)
"""Findings left open that are named: of the best plan, of the others."""


class Mark(QWidget):
    """One entry that may be changed: a press marks it, then its range stands beside it."""

    turned = Signal(str, bool)
    ranged = Signal(str, float, float)
    refused = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._one: Changeable | None = None
        self._build = Build()
        self._ends = (0.0, 0.0)
        self.press = QPushButton()
        self.press.setObjectName("mark")
        self.press.setCheckable(True)
        self.press.setFixedHeight(_HIGH)
        self.press.clicked.connect(self._turn)
        self.first, self.last = self._field("From"), self._field("To")
        self.to, self.unit = Label("–"), Label()
        self.unit.setFont(sized(10))
        self.unit.setFixedWidth(27)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(3)
        row.addWidget(self.press, 1)
        for one in (self.first, self.to, self.last, self.unit):
            keeps = one.sizePolicy()
            keeps.setRetainSizeWhenHidden(True)
            one.setSizePolicy(keeps)
            row.addWidget(one)

    def _field(self, name: str) -> QLineEdit:
        field = QLineEdit()
        field.setObjectName(name)
        field.setFixedSize(_FIELD, _HIGH - 2)
        field.setAlignment(Qt.AlignmentFlag.AlignRight)
        field.editingFinished.connect(self._typed)
        return field

    @property
    def path(self) -> str:
        """The entry."""
        return "" if self._one is None else self._one.path

    @property
    def on(self) -> bool:
        """Whether it may be changed."""
        return self.press.isChecked()

    @property
    def values(self) -> Floats:
        """What it may be changed to."""
        assert self._one is not None  # noqa: S101  asked of what is shown
        return self._one.values(*self._ends)

    @property
    def others(self) -> tuple[Any, ...]:
        """What it may be instead, where it is no number."""
        return () if self._one is None else self._one.others

    def show_entry(self, one: Changeable, build: Build, kept: tuple[float, float] | None, *, on: bool) -> None:
        """Show an entry with the range that was typed for it, else its usual one; what is being typed stays."""
        self._one, self._build, self._ends = one, build, kept or (one.first, one.last)
        self.press.setChecked(on)
        words = f"{_TICKED if on else _BARE} {one.name}"
        small = words_wide(words, 10) > _NAME
        wear(self.press, f"font-size: {9 if small else 10}pt")
        self.press.setText(words.replace(": ", ":\n") if small else words)
        self.press.setAccessibleName(one.name)
        unit = shown_unit(one.kind, build.display).symbol
        self.unit.setText(unit)
        for field, value in zip((self.first, self.last), self._ends, strict=True):
            field.setAccessibleName(f"{field.objectName()}, {one.name}")
            if not field.isModified():
                field.setText(edit_text(value, one.kind, build.display))
                field.setCursorPosition(0)
        for widget in (self.first, self.to, self.last, self.unit):
            widget.setVisible(on and not one.others)

    def _turn(self) -> None:
        self.turned.emit(self.path, self.on)

    def _typed(self) -> None:
        """Take another range, or say what is wrong with it."""
        one = self._one
        if one is None or not (self.first.isModified() or self.last.isModified()):
            return
        try:
            first, last = (parse(field.text(), one.kind, self._build.display) for field in (self.first, self.last))
            for end in (first, last):
                edited(self._build, started(self._build, {one.path: end}))
        except ReadingError as error:
            self.refused.emit(str(error))
            return
        except ValidationError as error:
            self.refused.emit(first_complaint(error, self._build.display).sentence)
            return
        if first >= last:
            self.refused.emit(f"{one.name}: the range must go from a lower to a higher value.")
            return
        self.first.setModified(False)
        self.last.setModified(False)
        self.ranged.emit(one.path, first, last)


class PlanRow(QFrame):
    """One plan: what the whole build then is, what to do, what it leaves; `taken` when its button is pressed."""

    taken = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self.plan: PlanFound | None = None
        """The plan that is shown."""
        self.head, self.orders, self.left = Label(), Label(), Label()
        self.head.setFont(sized(12, bold=True))
        self.orders.setFont(sized(11))
        self.left.setFont(sized(10))
        self.left.setObjectName("muted")
        for label in (self.head, self.orders, self.left):
            label.setWordWrap(True)
        self.press = QPushButton("Apply")
        self.press.setObjectName("apply")
        self.press.setMinimumSize(96, 36)
        self.press.clicked.connect(lambda: self.plan is not None and self.taken.emit(self.plan))
        inside = QGridLayout(self)
        inside.setContentsMargins(0, 4, 0, 4)
        inside.setHorizontalSpacing(12)
        inside.setVerticalSpacing(2)
        inside.addWidget(self.head, 0, 0)
        inside.addWidget(self.orders, 1, 0)
        inside.addWidget(self.left, 2, 0, 1, 2)
        inside.addWidget(self.press, 0, 1, 2, 1, Qt.AlignmentFlag.AlignTop)
        inside.setColumnStretch(0, 1)
        self.setObjectName("plan")

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        wear(self, f"QFrame#plan {{ border: none; border-top: 1px solid {theme.band}; }}")
        self._colour()

    def _colour(self) -> None:
        if self.plan is not None:
            wear(self.head, f"color: {self._theme.colour(self.plan.verdict)}; border: none;")

    def show_plan(self, plan: PlanFound | None, number: int, build: Build) -> None:
        """Show a plan, the best one with more of what it leaves, or none."""
        self.plan = plan
        if plan is None:
            return
        room = room_words(plan)
        word = f"{VERDICT_SIGNS[plan.verdict]} {VERDICT_WORDS[plan.verdict]}"
        self.head.setText(f"{number + 1}  {word} · {tally(plan)}{f' · {room}' if room else ''}")
        stays = "leave it as it is" if plan.known else "not known yet"
        orders = own_unit("; ".join(change_words(build, plan.changes)) or stays)
        self.orders.setText(f"{capital(orders)}.")
        most = _LEFT[0] if not number else _LEFT[1]
        said = [left_words(one, build) for one in plan.left[:most]]
        more = len(plan.left) - len(said)
        lines = [f"Remains: {'; '.join(said)}{f'; and {more} more' if more else ''}."] if said else []
        edge = edge_words(build, plan)
        lines += [f"{capital(edge)}."] if edge else []
        other = other_words(build, plan.changes)
        lines += [f"{capital(other)}."] if other else []
        self.left.setText("\n".join(lines))
        self.left.setVisible(bool(lines))
        self.press.setVisible(bool(plan.changes))
        self.press.setEnabled(True)
        self.press.setAccessibleName(f"Apply plan {number + 1}: {orders}")
        self._colour()
