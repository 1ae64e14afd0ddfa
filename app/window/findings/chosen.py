"""The chosen finding in full: sentence, its value against its lines, the way out and what that does to the whole."""

from __future__ import annotations

import re
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.amounts import amount
from app.drawing.palette import LIGHT, VERDICT_SIGNS, VERDICT_WORDS, Theme
from app.window.findings.bar import ValueBar
from app.window.findings.rows import counts, part_words
from app.window.plain import Label, set_tip
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, Remedy, Solution

_WISH: Final = re.compile(r"; at (?:most|least) [^;:]*(?:is wanted|is the most|is the least)\.")
_OTHER_UNIT: Final = re.compile(
    r" \((?:≈ )?[−\d][\d,./ ]*(?:mm|in|kg|lb|N·m|lb·ft|km/h|mph|km|miles|N/mm|lb/in|MPa|psi)\)"
)


def own_unit(text: str) -> str:
    """A sentence with the person's own unit alone: both belong on paper.

    >>> own_unit("At 2.10 in (53 mm) of bump it touches (by 3 teeth).")
    'At 2.10 in of bump it touches (by 3 teeth).'
    """
    return _OTHER_UNIT.sub("", text)


def _without_wish(text: str) -> str:
    """A sentence without the lines that the bar under it shows.

    >>> _without_wish("The joints do not cancel; at most 300 rad/s² is wanted.")
    'The joints do not cancel.'
    """
    return _WISH.sub(".", text)


class _Way(QWidget):
    """One way out: what to do, a button, and beside it what it comes to."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.says = _label("small")
        self.button = QPushButton("Apply")
        set_tip(self.button, "Put it into the plan; undo takes it back.")
        self.then = _label("axis")
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.then, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.says)
        column.addLayout(row)


class ChosenFinding(QWidget):
    """The chosen finding; `applied` hands on the remedy whose button was pressed, `asked` the entry to go to."""

    applied = Signal(object)
    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self._remedies: list[Remedy] = []
        self._finding: Finding | None = None
        self.head = _label("says")
        self.more = _label("axis")
        self.more.setWordWrap(False)
        self.more.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.sentence = _label("small")
        self.bar = ValueBar()
        self.ways: list[_Way] = []
        self.basis = _label("axis")
        self.go = QPushButton()
        self.go.setObjectName("quiet")
        self.go.clicked.connect(lambda: self._finding is not None and self.asked.emit(self._finding.entry))
        top = QHBoxLayout()
        top.setContentsMargins(14, 6, 12, 0)
        top.addWidget(self.head, 1)
        top.addWidget(self.more)
        holder = QWidget()
        self._column = QVBoxLayout(holder)
        self._column.setContentsMargins(14, 2, 12, 6)
        self._column.setSpacing(4)
        self._column.addWidget(self.sentence)
        self._place = self._column.count()
        self._column.addWidget(self.go, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self.basis)
        self._column.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setMinimumHeight(16)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(holder)
        self._scroll.verticalScrollBar().valueChanged.connect(lambda _: self._say_below())
        self._scroll.verticalScrollBar().rangeChanged.connect(lambda *_: self._say_below())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(self._scroll, 1)
        self._first = QVBoxLayout()  # never out of sight: the bar, and the first way out with what it does
        self._first.setContentsMargins(14, 0, 12, 6)
        self._first.setSpacing(4)
        self._first.addWidget(self.bar)
        column.addLayout(self._first)

    @property
    def buttons(self) -> list[QPushButton]:
        """Buttons that apply a way out, first to last."""
        return [way.button for way in self.ways if way.button.isVisibleTo(self)]

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.bar.show_theme(theme)
        if self._finding is not None:
            self._head_colour(self._finding)

    def show_finding(self, finding: Finding | None, solution: Solution, display: Display) -> None:
        """Show another finding, or what the list is for where there is none."""
        before, now = (None if one is None else (one.id, one.part) for one in (self._finding, finding))
        self._finding = finding
        self._remedies = [] if finding is None or finding.remedy is None else [finding.remedy, *finding.alternatives]
        for widget in (self.head, self.more, self.bar, self.go, self.basis):
            widget.setVisible(finding is not None)
        self._show_ways(finding, solution, display)
        if finding is None:
            self.sentence.setText("Choose a finding to read it in full.")
            set_tip(self.sentence, "")
            return
        self.head.setText(
            f"{VERDICT_SIGNS[finding.verdict]} {VERDICT_WORDS[finding.verdict]} · {part_words(finding.part)}"
        )
        self._head_colour(finding)
        self.bar.show_finding(finding, display)
        says = own_unit(finding.says)
        self.sentence.setText(says if self.bar.isHidden() else _without_wish(says))
        set_tip(self.sentence, says)
        self.go.setText("Go to its measurement" if finding.verdict != "unknown" else "Go and enter it")
        self.go.setVisible(bool(finding.entry))
        self.basis.setText(finding.basis)
        if before != now:
            self._scroll.verticalScrollBar().setValue(0)
        self._say_below()

    def _head_colour(self, finding: Finding) -> None:
        self.head.setStyleSheet(f"color: {self._theme.colour(finding.verdict)}; font-weight: bold; font-size: 10pt")

    def _show_ways(self, finding: Finding | None, solution: Solution, display: Display) -> None:
        while len(self.ways) < len(self._remedies):
            way = _Way()
            place = len(self.ways)
            way.button.clicked.connect(lambda _=False, place=place: self.applied.emit(self._remedies[place]))
            if place == 0:
                self._first.addWidget(way)
            else:
                self._column.insertWidget(self._place + place - 1, way)
            self.ways.append(way)
        for place, way in enumerate(self.ways):
            way.setVisible(place < len(self._remedies))
            if place >= len(self._remedies) or finding is None:
                continue
            remedy = self._remedies[place]
            first = place == 0
            says = own_unit(remedy.says.partition(": ")[0] if remedy.changes else remedy.says).rstrip(".")
            way.says.setText(f"{says}." if first else f"Or: {says[:1].lower()}{says[1:]}.")
            way.says.setStyleSheet("font-weight: bold" if first else "")
            way.button.setVisible(bool(remedy.changes))
            way.then.setVisible(bool(remedy.changes))
            way.button.setObjectName("apply" if first and remedy.after_verdict == "clear" else "other")
            way.button.style().polish(way.button)
            way.button.setAccessibleName(f"Apply: {remedy.says}")
            way.then.setText(then_words(finding, remedy, solution, display))

    def _say_below(self) -> None:
        """Name at the head what lies under the fold."""
        view = self._scroll.viewport().height() + self._scroll.verticalScrollBar().value()
        ways = sum(way.y() + 30 > view for way in self.ways[1 : len(self._remedies)] if way.isVisibleTo(self))
        words = ""
        if self._finding is not None and self.sentence.geometry().bottom() > view:
            words = "more below"
        elif ways:
            words = f"{ways} other way{'s' if ways > 1 else ''} below"
        elif self._finding is not None and self.basis.y() + 12 > view:
            words = "limit's source below"
        self.more.setText(words)


def then_words(finding: Finding, remedy: Remedy, solution: Solution, display: Display) -> str:
    """What a way out does to its finding, and to the whole."""
    lines = []
    if remedy.after is not None:
        was = "" if finding.value is None else f" was {amount(finding.value, finding.unit, display)}"
        now = amount(remedy.after, finding.unit, display)
        lines.append(f"{VERDICT_SIGNS[remedy.after_verdict]} {now}{was}")
    else:
        lines.append(f"{VERDICT_SIGNS[remedy.after_verdict]} this finding then {remedy.after_verdict}")
    before = dict(counts(solution.findings))
    worse = f"{len(remedy.worse)} worse" if remedy.worse else "none worse"
    held = before.get("hold", 0)
    was = f", now {held} hold" if held and remedy.verdict != "hold" else ""
    lines.append(f"{VERDICT_SIGNS[remedy.verdict]} whole build then {remedy.verdict}{was}, {worse}")
    return "\n".join(lines)


def _label(name: str) -> QLabel:
    label = Label()
    label.setObjectName(name)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
