"""The answer in words: the verdict over all, the findings worst first, the one selected in full, the set-points."""

from __future__ import annotations

from pydantic import ValidationError
from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from app.sketch.palette import LIGHT, VERDICT_WORDS, Theme
from app.window.document import Document
from app.window.field_sentence import sentence_for
from app.window.finding_detail import FindingDetail
from app.window.finding_list import FindingList
from app.window.plain import Label
from app.window.selection import Selection
from app.window.setpoint_table import SetpointTable
from app.window.shapes import VerdictMark
from app.window.theme import HEADLINE_PT, sized
from geometry.words.solution import Remedy


class FindingsPane(QWidget):
    """Verdict, findings, detail, set-points.

    `going` asks to go to an entry, `told` hands on a sentence for the foot.
    """

    going = Signal(str)
    told = Signal(str)

    def __init__(self, document: Document, selection: Selection, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._theme = LIGHT
        self._quiet = False
        self._verdict_shown: tuple[str, str] | None = None
        self.mark = VerdictMark(26)
        self.word = Label()
        self.word.setFont(sized(self.font(), HEADLINE_PT, bold=True))
        self.says = Label()
        self.says.setWordWrap(True)
        self.says.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.list = FindingList()
        self.list.selectionModel().currentChanged.connect(self._chosen)
        self.list.activated.connect(self._go)
        self.detail = FindingDetail()
        self.detail.applied.connect(self.apply)
        self.detail.asked.connect(self.going)
        self.setpoints = SetpointTable()
        self._lay_out()
        document.changed.connect(self._show)
        document.opened.connect(self._forget)
        selection.changed.connect(self._follow)
        self._show()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(self.mark)
        head.addWidget(self.word, 1)
        top = QVBoxLayout()
        top.setContentsMargins(14, 12, 12, 12)
        top.setSpacing(4)
        top.addLayout(head)
        top.addWidget(self.says)
        self._halves = QSplitter(Qt.Orientation.Vertical)
        self._halves.setChildrenCollapsible(False)
        self._halves.setHandleWidth(1)
        self._halves.addWidget(self.list)
        self._halves.addWidget(self.detail)
        self.list.setMinimumHeight(96)
        self.detail.setMinimumHeight(110)
        self._halves.setStretchFactor(0, 1)
        self._halves.setStretchFactor(1, 1)
        self._halves.setSizes([380, 620])
        line = QFrame()
        line.setObjectName("line")
        above = QFrame()
        above.setObjectName("line")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(above)
        column.addWidget(self._halves, 1)
        column.addWidget(line)
        column.addWidget(self.setpoints)

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self._theme = theme
        self.list.painter_of_rows.theme = theme
        self.list.viewport().update()
        self._show_verdict()

    def apply(self, remedy: Remedy) -> None:
        """Put all that a remedy changes into the build as one step of the history; a complaint where it cannot be."""
        words = remedy.says.rstrip(".")
        short = words if len(words) <= 60 else f"{words[:59].rstrip()}…"
        focused = self.detail.focusWidget() if self.isActiveWindow() else None
        held = focused is not None and focused.hasFocus()
        try:
            self._document.apply(remedy.changes, f"“{short}”")
        except ValidationError as error:
            sentence = sentence_for(error, self._document.build.display)
            self.told.emit(f"Not applied: {sentence.removesuffix('Correct it or empty the field.').rstrip()}")
        if held:  # the button that was pressed may be gone; the next one along would be far off
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Control and Enter press the first Apply button."""
        enter = event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier and self.detail.buttons:
            self.detail.buttons[0].click()
            return
        super().keyPressEvent(event)

    def _forget(self) -> None:
        """Begin with the worst finding of a build that was just opened."""
        self._selection.choose(None)
        self._show()

    def _show(self) -> None:
        display = self._document.build.display
        shown = self._document.shown
        wanted = self._selection.finding
        self._quiet = True
        self.list.findings.show_findings(shown.solution.findings, display)
        if self.list.findings.row_of(wanted) < 0 and shown.solution.findings:
            first = shown.solution.findings[0]
            wanted = (first.id, first.part)
        self.list.choose(wanted)
        self._quiet = False
        self.detail.show_finding(self.list.chosen, display)
        self.setpoints.show_points(shown.build, shown.solution)
        self._show_verdict()

    def _show_verdict(self) -> None:
        solution = self._document.shown.solution
        shown = (solution.verdict, self._theme.name)
        if shown != self._verdict_shown:
            self._verdict_shown = shown
            self.mark.show_verdict(solution.verdict, self._theme)
            self.word.setText(VERDICT_WORDS[solution.verdict])
            colour = self._theme.colour(solution.verdict)
            self.word.setStyleSheet(f"color: {colour}; font-size: {HEADLINE_PT}pt; font-weight: bold")
        if self.says.text() != solution.says:
            self.says.setText(solution.says)
            self.word.setAccessibleName(f"Verdict: {VERDICT_WORDS[solution.verdict]}. {solution.says}")

    def _chosen(self, index: QModelIndex) -> None:
        del index
        finding = self.list.chosen
        if self._quiet or finding is None:
            return
        self.detail.show_finding(finding, self._document.build.display)
        self._selection.choose(self, part=finding.part, finding=(finding.id, finding.part), entry=finding.entry or None)

    def _go(self, index: QModelIndex) -> None:
        del index
        finding = self.list.chosen
        if finding is not None and finding.entry:
            self.going.emit(finding.entry)

    def _follow(self, origin: object) -> None:
        if origin is self or self._selection.finding is None:
            return
        self._quiet = True
        self.list.choose(self._selection.finding)
        self._quiet = False
        self.detail.show_finding(self.list.chosen, self._document.build.display)
