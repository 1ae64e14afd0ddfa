"""The chosen finding in full: sentence, its value against its lines, one way out at a time and what that does."""

from __future__ import annotations

import re
from typing import Final

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.amounts import as_read
from app.drawing.palette import LIGHT, VERDICT_SIGNS, VERDICT_WORDS, Theme
from app.naming import part_words
from app.setpoints import recommended
from app.window.findings.bar import HEIGHT as BAR_HEIGHT
from app.window.findings.bar import ValueBar
from app.window.findings.effect import effect_words
from app.window.findings.lines import Paragraph, WholeLines
from app.window.findings.press import Press
from app.window.plain import Label, set_tip
from app.window.theme import sized, wear
from geometry.document import Build
from geometry.words.solution import Finding, Remedy, Solution

_WISH: Final = re.compile(r"; at (?:most|least) [^;:]*(?:is wanted|is the most|is the least)(?! where)[a-z, ]*\.")
_OTHER_UNIT: Final = re.compile(
    r" \((?:≈ )?[−\d][\d,./ ]*(?:mm|in|kg|lb|N·m|lb·ft|km/h|mph|km|miles|N/mm|lb/in|MPa|psi)\)"
)
_LEFT, _RIGHT = 10, 10
_HEAD, _PRESS = 24, 24
_GAP: Final = 1
_EDGE: Final = 2
_LONG: Final = 3
"""A way out of more lines is told in smaller letters, in a low pane one of more than one."""
_LEAST_LINES: Final = 2
_LONG_WAY: Final = 110
"""Letters of a way out that the set-points tell as well: in a low pane they alone do."""
AS_SET: Final = "Set all as shown under Set-points."


def own_unit(text: str) -> str:
    """A sentence with the person's own unit alone: both belong on paper.

    >>> own_unit("At 2.10 in (53 mm) of bump it touches (by 3 teeth).")
    'At 2.10 in of bump it touches (by 3 teeth).'
    """
    return _OTHER_UNIT.sub("", text)


def without_wish(text: str) -> str:
    """A sentence without the lines that the bar under it shows.

    >>> without_wish("The joints do not cancel; at most 300 rad/s² is wanted.")
    'The joints do not cancel.'
    >>> without_wish("It may pull out; at least 2.06 in is wanted, and 1.37 in is the least, one and a half diameters.")
    'It may pull out.'
    """
    return _WISH.sub(".", text)


def way_words(remedy: Remedy) -> str:
    """What to do, without what comes of it: that stands beside Apply."""
    return own_unit(remedy.says.partition(": ")[0] if remedy.changes else remedy.says).rstrip(".") + "."


class ChosenFinding(QWidget):
    """The chosen finding; `applied` hands on the remedy whose button was pressed, `asked` the entry to go to, `left`
    says that the arrow wants back to the list, `needs_changed` that it may need another height.
    """

    applied = Signal(object)
    asked = Signal(str)
    left = Signal()
    needs_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme: Theme = LIGHT
        self._finding: Finding | None = None
        self._solution: Solution | None = None
        self._build = Build()
        self.remedies: list[Remedy] = []
        self._heights: dict[int, tuple[int, int, int]] = {}
        """What `_reserved` found for what is shown, by the width."""
        self.place = 0
        self._low = False
        self.head = Label()
        self.head.setFixedHeight(_HEAD)  # the same with and without something to press behind it
        self.sentence = WholeLines()
        self.more = _quiet("")
        self.more.clicked.connect(self.sentence.page)
        self.sentence.moved.connect(self._say_below)
        self.bar = ValueBar()
        self.says = _words("small")
        self.button = Press("Apply")
        self.button.setFixedHeight(_PRESS)
        set_tip(self.button, "Put it into the plan; undo takes it back.")
        self.button.clicked.connect(lambda: self.applied.emit(self.remedies[self.place]))
        self.go = _quiet("")
        self.go.clicked.connect(lambda: self._finding is not None and self.asked.emit(self._finding.entry))
        self.count = Label()
        self.count.setObjectName("axis")
        self.back, self.on = self._turn("◂", -1), self._turn("▸", 1)
        self.back.setAccessibleName("Way out before this")
        self.on.setAccessibleName("Next way out")
        self.then = _words("effect")
        self._lay_out()
        for one, after in ((self.more, self.sentence), (self.sentence, self.go), (self.go, self.back),
                           (self.back, self.on), (self.on, self.button)):  # fmt: skip
            QWidget.setTabOrder(one, after)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setContentsMargins(4, 0, 2, 0)
        top.addWidget(self.head, 1)
        top.addWidget(self.more)
        press = QHBoxLayout()
        press.setContentsMargins(4, 0, 2, 0)
        press.setSpacing(8)
        press.addWidget(self.button)
        press.addWidget(self.go)
        press.addStretch(1)
        press.addWidget(self.back)
        press.addWidget(self.count)
        press.addWidget(self.on)
        inner = QVBoxLayout()
        inner.setContentsMargins(4, 0, 2, 0)
        inner.setSpacing(_GAP)
        inner.addWidget(self.bar)
        inner.addWidget(self.says)
        column = QVBoxLayout(self)
        column.setContentsMargins(_LEFT, _EDGE, _RIGHT, _EDGE)
        column.setSpacing(_GAP)
        column.addLayout(top)
        column.addWidget(self.sentence, 1)
        column.addLayout(inner)
        column.addLayout(press)
        below = QVBoxLayout()
        below.setContentsMargins(4, 0, 2, 0)
        below.addWidget(self.then)
        column.addLayout(below)

    def _turn(self, sign: str, way: int) -> QPushButton:
        button = Press(sign)
        button.setObjectName("turn")
        button.setFixedSize(_PRESS, _PRESS)
        button.clicked.connect(lambda: self.turn(way))
        return button

    @property
    def remedy(self) -> Remedy | None:
        """The way out that is shown."""
        return self.remedies[self.place] if self.remedies else None

    @property
    def buttons(self) -> list[QPushButton]:
        """The button that applies the way out that is shown, where it can be applied."""
        return [self.button] if self.button.isVisibleTo(self) else []

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.bar.show_theme(theme)
        self.sentence.show_theme(theme)
        self.setStyleSheet(
            f"QPushButton#turn {{ padding: 0; font-size: 10pt; color: {theme.accent}; }}"
            f"QPushButton#turn:focus {{ border: 2px solid {theme.accent}; }}"
            f"QLabel#effect {{ font-size: 9pt; }}"
            f"QPushButton#apply, QPushButton#other {{ padding: 0 12px; }}"
        )
        if self._finding is not None:
            self._head_colour(self._finding)

    def show_finding(self, finding: Finding | None, solution: Solution, build: Build) -> None:
        """Show another finding, or what the list is for where there is none."""
        before, now = (None if one is None else (one.id, one.part) for one in (self._finding, finding))
        ways = [] if finding is None or finding.remedy is None else [finding.remedy, *finding.alternatives]
        if before != now or [one.changes for one in ways] != [one.changes for one in self.remedies]:
            self.place = 0
        self._finding, self._solution, self._build, self.remedies = finding, solution, build, ways
        self._heights.clear()
        for widget in (self.head, self.bar, self.go):
            widget.setVisible(finding is not None)
        if finding is None:
            self.sentence.show_paragraphs([Paragraph("Choose a finding to read it in full.", 10)], anew=True)
            self._show_way()
            return
        self.head.setText(
            f"{VERDICT_SIGNS[finding.verdict]} {VERDICT_WORDS[finding.verdict]} · {part_words(finding.part)}"
        )
        self._head_colour(finding)
        self.bar.show_finding(as_read(finding, build), build.display)
        says = own_unit(finding.says)
        said = says if self.bar.isHidden() else without_wish(says)
        paragraphs = [Paragraph(said, 10), Paragraph(finding.basis, 9, muted=True)]
        self.sentence.show_paragraphs(paragraphs, anew=before != now)
        set_tip(self.sentence, says)
        unknown = finding.verdict == "unknown"
        self.go.setText("enter it ▸" if unknown else "its entry ▸")
        self.go.setAccessibleName("Go and enter it" if unknown else "Go to its measurement")
        set_tip(self.go, self.go.accessibleName())
        self.go.setVisible(bool(finding.entry))
        self._show_way()

    def show_low(self, *, low: bool) -> None:
        """Whether there is little height."""
        if low != self._low:
            self._low = low
            self._heights.clear()
            self._show_way()

    def _way(self, remedy: Remedy) -> str:
        """What to do."""
        words = way_words(remedy)
        if self._low and len(words) > _LONG_WAY and self._solution is not None:
            first = recommended(self._build, self._solution)
            if first is not None and first.changes == remedy.changes:
                return AS_SET
        return words

    def turn(self, way: int) -> None:
        """Show the next way out, or the one before; the ends do not meet."""
        place = min(max(self.place + way, 0), max(len(self.remedies) - 1, 0))
        if place == self.place:
            return
        self.place = place
        held = self.focusWidget()
        self._show_way()
        if held in {self.back, self.on} and not held.isEnabled():  # at an end the keyboard stays in the pair
            (self.on if held is self.back else self.back).setFocus()

    def needs(self, wide: int, *, whole: bool) -> int:
        """Height that the finding needs: with its sentence whole, or with its first lines."""
        room = wide - _LEFT - _RIGHT
        words = self.sentence.height_of(1, room) if whole else self.sentence.least(_LEAST_LINES, room)
        bar = 0 if self.bar.isHidden() else BAR_HEIGHT + _GAP
        says, then, _ = self._reserved(wide)
        press = _PRESS + _GAP if any(one.isVisibleTo(self) for one in (self.button, self.go, self.on)) else 0
        return 2 * _EDGE + _HEAD + words + 3 * _GAP + bar + (says + _GAP if says else 0) + press + then

    def focus_way(self) -> None:
        """Put the keyboard on Apply, or on the way out's neighbours where it cannot be applied."""
        for one in (self.button, self.on, self.back, self.go):
            if one.isVisibleTo(self) and one.isEnabled():
                one.setFocus(Qt.FocusReason.OtherFocusReason)
                return

    def arrow(self, way: int) -> None:
        """What the arrows do within the ways: the next one, or the one before; before the first is the list."""
        if way < 0 and self.place == 0:
            self.left.emit()
        else:
            self.turn(way)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep room for the longest way, so that nothing moves while they are gone through."""
        super().resizeEvent(event)
        self._reserve()

    def _head_colour(self, finding: Finding) -> None:
        wear(self.head, f"color: {self._theme.colour(finding.verdict)}; font-weight: bold; font-size: 10pt")

    def _show_way(self) -> None:
        remedy, finding, solution = self.remedy, self._finding, self._solution
        many = len(self.remedies) > 1
        self.says.setVisible(remedy is not None)
        able = remedy is not None and bool(remedy.changes)
        self.button.setVisible(able)
        self.then.setVisible(any(one.changes for one in self.remedies))
        for widget in (self.back, self.count, self.on):
            widget.setVisible(many)
        if remedy is not None and finding is not None and solution is not None:
            self.says.setText(self._way(remedy))
            set_tip(self.says, way_words(remedy))
            name = "apply" if remedy.after_verdict == "clear" else "other"
            if self.button.objectName() != name:
                self.button.setObjectName(name)
                self.button.style().unpolish(self.button)
                self.button.style().polish(self.button)
            self.button.setAccessibleName(f"Apply: {way_words(remedy)}")
            words = effect_words(finding, remedy, solution, self._build) if able else []
            self.then.setText("\n".join(words))
            self.button.setAccessibleDescription("; ".join(words))
            self.count.setText(f"{self.place + 1} of {len(self.remedies)}")
            self.back.setEnabled(self.place > 0)
            self.on.setEnabled(self.place < len(self.remedies) - 1)
        self._reserve()
        self.needs_changed.emit()
        self._say_below()

    def _reserved(self, wide: int) -> tuple[int, int, int]:
        """Heights of the longest way out's words, and of what the ways come to; the size of the words."""
        finding, solution = self._finding, self._solution
        if finding is None or solution is None or not self.remedies:
            return 0, 0, 10
        if wide in self._heights:
            return self._heights[wide]
        room = wide - _LEFT - _RIGHT - 6
        long = QFontMetrics(sized(10, bold=True)).lineSpacing() * ((1 if self._low else _LONG) + 0.5)
        for size in (10, 9):
            says = max(_high(self._way(one), size, room, bold=True) for one in self.remedies)
            if says <= long:
                break
        then = [
            _high("\n".join(effect_words(finding, one, solution, self._build)), 9, room)
            for one in self.remedies
            if one.changes
        ]
        self._heights[wide] = says, max(then, default=0), size
        return self._heights[wide]

    def _reserve(self) -> None:
        says, then, size = self._reserved(self.width())
        wear(self.says, f"font-weight: bold; font-size: {size}pt")
        self.says.setFixedHeight(says)
        self.then.setFixedHeight(then)

    def _say_below(self) -> None:
        """Name at the head what lies under the last line in sight."""
        below = self.sentence.below
        more = "" if not below else "source ▾" if all(one.muted for one in below) else "more ▾"
        words = more or ("start ▴" if self.sentence.above else "")
        self.more.setText(words)
        self.more.setVisible(bool(words) and self._finding is not None)
        names = {"source ▾": "Where the limit is from", "more ▾": "Read on", "start ▴": "Back to the start"}
        self.more.setAccessibleName(names.get(words, ""))
        self.sentence.setFocusPolicy(Qt.FocusPolicy.TabFocus if words else Qt.FocusPolicy.NoFocus)


def _high(text: str, points: int, wide: int, *, bold: bool = False) -> int:
    """Height that a label takes for a text."""
    metrics = QFontMetrics(sized(points, bold=bold))
    return metrics.boundingRect(QRect(0, 0, wide, 9999), int(Qt.TextFlag.TextWordWrap), text).height() + 1


def _quiet(text: str) -> Press:
    button = Press(text)
    button.setObjectName("quiet")
    button.setFixedHeight(_HEAD)
    button.setStyleSheet("font-size: 9pt")
    return button


def _words(name: str) -> QLabel:
    label = Label()
    label.setObjectName(name)
    label.setWordWrap(True)
    label.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
    return label
