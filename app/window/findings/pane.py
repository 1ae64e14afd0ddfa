"""The right column: verdict, list, chosen finding, set-points; the zones hang on the window's height alone."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.drawing.palette import LIGHT, Theme
from app.measuring.wanted import next_entry, next_words
from app.window.document import Document
from app.window.findings.chosen import ChosenFinding
from app.window.findings.drivelines import DrivelineChoice
from app.window.findings.head import HEIGHT, VerdictHead
from app.window.findings.listing import LEAST_LIST, FindingList
from app.window.findings.rows import counts
from app.window.findings.setpoints import SetpointTable
from app.window.form.field_sentence import against
from app.window.selection import Selection
from geometry.document.sides import end_of
from geometry.words.both import says_beside
from geometry.words.solution import Remedy

_LOW, _MIDDLE, _HIGH = 620, 760, 900


class FindingsPane(QWidget):
    """Verdict, findings, the chosen one, set-points.

    `going` asks to go to an entry, `told` hands on a sentence for the foot.
    """

    going = Signal(str)
    told = Signal(str)

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme = LIGHT
        self.drivelines = DrivelineChoice()
        self.drivelines.turned.connect(document.turn)
        self.head = VerdictHead()
        self.list = FindingList()
        self.list.chosen_changed.connect(self._chosen)
        self.list.entered.connect(self._enter)
        self.detail = ChosenFinding()
        self.list.going_right.connect(self.detail.focus_way)
        self.detail.applied.connect(self.apply)
        self.detail.asked.connect(self.going)
        self.detail.left.connect(lambda: self.list.setFocus(Qt.FocusReason.OtherFocusReason))
        self.detail.needs_changed.connect(self._zones)
        self.setpoints = SetpointTable()
        self.list.wanting.connect(self._measure_next)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.drivelines)
        for widget in (self.head, _line(), self.list, _line(), self.detail, _line(), self.setpoints):
            column.addWidget(widget, 1 if widget is self.list else 0)
        for one, after in pairwise(
            (*self.drivelines.buttons, self.head, self.list.view, self.list.below, self.detail.more)
        ):
            QWidget.setTabOrder(one, after)
        QWidget.setTabOrder(self.detail.button, self.setpoints)
        document.changed.connect(self._show)
        for shown_anew in (document.opened, document.turned):
            shown_anew.connect(self._forget)
        selection.changed.connect(self._follow)
        self._show()

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        for one in (self.drivelines, self.head, self.list, self.detail, self.setpoints):
            one.show_theme(theme)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Set the zones' heights."""
        super().resizeEvent(event)
        self._zones()

    def _zones(self) -> None:
        """Heights that hang on the window's alone, but where words that never yield need more: then the list gives."""
        body = self.height() - HEIGHT - 3 - (0 if self.drivelines.isHidden() else self.drivelines.height())
        self.detail.show_low(low=body < _MIDDLE)
        base = 163 if body < _LOW else 191 if body < _HIGH else 247
        whole, least = (self.detail.needs(self.width(), whole=one) for one in (True, False))
        rows = max(self.list.needs(), LEAST_LIST)
        tight = max(base, self.setpoints.needs()) + least + rows > body
        points = max(base, self.setpoints.needs(least=tight))
        base = 242 if body < _LOW else 262 if body < _MIDDLE else 310
        most = body - points - rows
        self.setpoints.setFixedHeight(points)
        self.detail.setFixedHeight(max(min(max(base, whole), most), least))

    def apply(self, remedy: Remedy) -> None:
        """Put all that a remedy changes into the build as one step of the history; a complaint where it cannot be."""
        words = remedy.says.rstrip(".")
        short = words if len(words) <= 60 else f"{words[:59].rstrip()}…"
        focused = self.detail.focusWidget() if self.isActiveWindow() else None
        held = focused is not None and focused.hasFocus()
        sentence = against(self._document, remedy.changes, f"“{short}”")
        if sentence:
            self.told.emit(f"Not applied: {sentence.removesuffix('Correct it or empty the field.').rstrip()}")
        if held:  # the button that was pressed may be gone; the next one along would be far off
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Control and Enter press Apply; arrows go through the ways out."""
        held, key = self.focusWidget(), event.key()
        ways = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
        enter = key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._press_apply()
        elif key in ways and held is not None and self.detail.isAncestorOf(held):
            self.detail.arrow(ways[Qt.Key(key)])
        else:
            super().keyPressEvent(event)

    def _press_apply(self) -> bool:
        buttons = self.detail.buttons
        if buttons:
            buttons[0].click()
        return bool(buttons)

    def _enter(self) -> None:
        """Enter in the list applies the way out that is shown, or goes to the entry where there is none."""
        chosen = self.list.chosen
        if not self._press_apply() and chosen is not None and chosen.entry:
            self.going.emit(chosen.entry)

    def _measure_next(self) -> None:
        """Go to what is to be measured next."""
        entry = next_entry(self._document.shown.build, self._document.shown.solution)
        if entry is not None:
            self.going.emit(entry.path)

    def _forget(self) -> None:
        """Begin with the worst finding of a build that was just opened."""
        self._selection.choose(None)
        self._show()

    def _show(self) -> None:
        shown = self._document.shown
        solution = shown.solution
        self.drivelines.show_both(end_of(shown.build), solution, self._document.beside)
        self.list.show_solution(shown.build, solution, next_words(shown.build, solution))
        wanted = self._selection.finding
        if self.list.model.row_of(wanted) < 0 and solution.findings:
            wanted = (solution.findings[0].id, solution.findings[0].part)
        self.list.choose(wanted)
        self.setpoints.show_points(shown.build, solution)
        self.detail.show_finding(self.list.chosen, solution, shown.build)
        self._compare()

    def _compare(self) -> None:
        """Say the verdict, and beside it what it was as measured, where the plan changes the counts."""
        measured, beside = self._document.measured, self._document.beside
        build, solution = self._document.shown.build, self._document.shown.solution
        same = measured is None or counts(measured.findings) == counts(solution.findings)
        says = says_beside(end_of(build), solution, None if beside is None else beside.verdict)
        self.head.show_solution(solution, None if same else measured, says)

    def _chosen(self) -> None:
        finding = self.list.chosen
        self.detail.show_finding(finding, self._document.shown.solution, self._document.shown.build)
        if finding is None:
            return
        self._selection.choose(self, part=finding.part, finding=(finding.id, finding.part), entry=finding.entry or None)

    def _follow(self, origin: object) -> None:
        if origin is self or self._selection.finding is None:
            return
        self.list.choose(self._selection.finding)
        self.detail.show_finding(self.list.chosen, self._document.shown.solution, self._document.shown.build)


def _line() -> QFrame:
    line = QFrame()
    line.setObjectName("line")
    return line
