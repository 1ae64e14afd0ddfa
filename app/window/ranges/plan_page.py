"""The page that finds a plan: what may be changed is marked, the best ways to do so are told, and a press takes one."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from pydantic import ValidationError
from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.complaints import first_complaint
from app.drawing.palette import LIGHT, VERDICT_SIGNS, Theme
from app.measuring.wanted import next_words
from app.plans import change_name, change_words, looked_words, tally
from app.study import unjudged_words
from app.window.document import Document
from app.window.findings.chosen import own_unit
from app.window.plain import Label
from app.window.ranges.changeable import Changeable, changeable
from app.window.ranges.judged import JudgedPage
from app.window.ranges.plan_rows import Mark, PlanRow
from app.window.theme import sized, wear
from geometry.mechanics.vectors import Floats
from geometry.words.names import of_shaft
from geometry.words.plans import PLANS, Looked, PlanFound, plans_in_turns, started
from geometry.words.wording import small

_REST_MS: Final = 60
_MOST: Final = 20_000
"""Combinations judged at the most: some ten seconds of a large build."""
_COLUMNS: Final = 2


class PlanPage(JudgedPage):
    """What may be changed, and the best plans over it; judging only while it is in sight."""

    told = Signal(str)
    """A sentence for the foot of the window."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self._theme: Theme = LIGHT
        self._wanted: dict[str, bool] = {}
        self._kept: dict[str, tuple[float, float]] = {}
        self._values: dict[str, Floats] = {}
        self._stale = True
        self._late: Looked | None = None
        self.marks: list[Mark] = []
        """What may be changed, each to be marked."""
        self.found: Looked | None = None
        """What is found by now."""
        lead = Label("Mark what may be changed; a plan changes at most three of them.")
        lead.setFont(sized(11, bold=True))
        self._marks = QGridLayout()
        self._marks.setHorizontalSpacing(10)
        self._marks.setVerticalSpacing(2)
        self.sentence = self._words(13, bold=True)
        self.wants = self._words(10)
        self.rows = [PlanRow() for _ in range(PLANS)]
        for row in self.rows:
            row.taken.connect(self.take)
            row.press.released.connect(lambda: QTimer.singleShot(0, self, self._show_late))
            row.hide()
        self.looked = self._words(9)
        self.looked.setObjectName("muted")
        document.opened.connect(self._forget)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 10, 12, 8)
        page.setSpacing(6)
        page.addWidget(lead)
        page.addLayout(self._marks)
        for one in (self.sentence, self.wants, *self.rows, self.looked):
            page.addWidget(one)
        page.addStretch(1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Find a plan")

    @staticmethod
    def _words(points: int, *, bold: bool = False) -> Label:
        label = Label()
        label.setFont(sized(points, bold=bold))
        label.setWordWrap(True)
        return label

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        wear(
            self,
            "QPushButton { outline: none; } QPushButton#mark { text-align: left; padding: 0 4px; }"
            f"QPushButton#mark:checked {{ border: 2px solid {theme.accent}; padding: 0 3px; }}"
            "QLineEdit { font-size: 10pt; padding: 1px; }",
        )
        for row in self.rows:
            row.show_theme(theme)

    def focus(self) -> None:
        """Put the keyboard on the best plan, else on what may be changed."""
        first = self.rows[0].press
        where = first if first.isVisibleTo(self) and first.isEnabled() else self.marks[0].press if self.marks else self
        where.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _forget(self) -> None:
        """What was marked and typed was for another vehicle."""
        self._wanted.clear()
        self._kept.clear()

    def mark(self, path: str, *, on: bool) -> None:
        """Let an entry be changed, or leave it as it is."""
        self._wanted[path] = on
        self._anew()

    def keep(self, path: str, first: float, last: float) -> None:
        """Look at an entry over another range."""
        self._kept[path] = first, last
        self._anew()

    def take(self, plan: PlanFound) -> None:
        """Make the build one with a plan: one step, which undo takes back."""
        build = self._document.shown.build
        said = own_unit("; ".join(change_words(build, plan.changes)))
        names = ", ".join(small(change_name(build, path)) for path in plan.changes)
        self.setFocus(Qt.FocusReason.OtherFocusReason)  # the row that was pressed may go
        try:
            done = self._document.apply(started(build, plan.changes), f"plan: {names}")
        except ValidationError as error:
            self.told.emit(first_complaint(error, self._document.build.display).sentence)
            return
        self.told.emit(f"Planned: {said}." if done else f"It is so already: {said}.")

    # ---- working it out

    def _anew(self) -> None:
        self._stale = True
        self._follow()

    def _follow(self) -> None:
        """No plan of the build as it was can be taken."""
        super()._follow()
        if self.isVisible():
            self._stale = True
            for row in self.rows:
                row.press.setEnabled(False)

    def _working(self) -> Iterator[Looked] | None:
        build = self._document.shown.build
        self._list(changeable(build, self._document.shown.solution))
        marked = [one for one in self.marks if one.on]
        self._values = {one.path: one.values for one in marked if not one.others}
        if marked:
            choices = {one.path: one.others for one in marked if one.others}
            return plans_in_turns(build, self._values, choices=choices, most=_MOST)
        self.found = None
        self.sentence.setText("Mark what may be changed.")
        for one in (self.wants, *self.rows, self.looked):
            one.hide()
        return None

    def _list(self, some: tuple[Changeable, ...]) -> None:
        """Something to mark for each entry; made anew only where there are others."""
        if [one.path for one in self.marks] != [one.path for one in some]:
            for old in self.marks:
                self._marks.removeWidget(old)
                old.hide()
                old.deleteLater()
            self.marks = [Mark() for _ in some]
            high = -(-len(some) // _COLUMNS)
            for place, mark in enumerate(self.marks):
                mark.turned.connect(lambda path, on: self.mark(path, on=on))
                mark.ranged.connect(self.keep)
                mark.refused.connect(self.told)
                self._marks.addWidget(mark, place % high, place // high)
            stops = [stop for mark in self.marks for stop in (mark.press, mark.first, mark.last)]
            for before, after in pairwise([self, *stops, *(row.press for row in self.rows)]):
                QWidget.setTabOrder(before, after)
        build = self._document.shown.build
        for mark, one in zip(self.marks, some, strict=True):
            mark.show_entry(one, build, self._kept.get(one.path), on=self._wanted.get(one.path, one.usual))

    def _show_found(self, found: Looked) -> None:
        self._late = None
        if any(row.press.isDown() for row in self.rows):
            self._late = found  # nothing changes under a finger
            return
        same = self.found is not None and not self._stale and found.plans == self.found.plans
        self.found = found
        self.looked.setText(looked_words(found))
        if same:
            return
        self._stale = False
        build = self._document.shown.build
        best, now = found.plans[0], found.as_it_is
        as_it_is = f"As it is {VERDICT_SIGNS[now.verdict]} {tally(now)}"
        if best.changes:
            says = f"{as_it_is}; with the best plan {VERDICT_SIGNS[best.verdict]} {tally(best)}."
        elif now.verdict == "clear":
            says = "As it is nothing is against it."
        elif not now.known:
            says = f"{as_it_is}: measure more before a plan can be found."
        else:
            says = f"{as_it_is}; nothing within these ranges is better."
        self.sentence.setText(of_shaft(build, says))
        for number, row in enumerate(self.rows):
            row.show_plan(found.plans[number] if number < len(found.plans) else None, number, build)
        self._say_wants()
        self._share_out()

    def _show_late(self) -> None:
        """Show what was found while a finger was down."""
        if self._late is not None and not self._stale:
            self._show_found(self._late)
            self._say_wants()

    def _ended(self) -> None:
        self._say_wants()
        self._share_out()
        if self.hasFocus():  # nothing was to be had there yet
            self.focus()

    def _say_wants(self) -> None:
        """What is not judged, and what to measure for it."""
        found, shown = self.found, self._document.shown
        if found is None:
            return
        lines = []
        if found.as_it_is.unknown:
            wanted = next_words(shown.build, shown.solution)
            lines.append(f"{found.as_it_is.unknown} not judged{f'; measure next: {wanted}' if wanted else ''}.")
        for path in found.unjudged if found.ended else ():
            values = self._values[path]
            lines.append(unjudged_words(shown.build, path, float(values[-1] or values[0])))
        self.wants.setText(" ".join(lines))
        self.wants.setVisible(bool(lines))

    # ---- room

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many plans as have room."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Show whole plans, the best first, as far as there is room, and say how many more there are."""
        found = self.found
        if found is None:
            return
        self.looked.setVisible(True)
        for row in self.rows:
            row.setVisible(row.plan is not None)
        shown = [row for row in self.rows if row.plan is not None]
        layout = self.layout()
        hidden = 0
        while len(shown) > 1 and layout is not None and layout.totalHeightForWidth(self.width()) > self.height():
            shown.pop().hide()
            hidden += 1
        more = "" if not hidden else f" {hidden} more {'plan has' if hidden == 1 else 'plans have'} no room here."
        self.looked.setText(f"{looked_words(found)}{more}")
