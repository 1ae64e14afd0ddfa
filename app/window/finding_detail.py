"""One finding in full: what it says, value and limit, the way out with its button, and where the limit comes from."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.sketch.palette import VERDICT_WORDS
from app.sketch.words import amount
from app.window.finding_list import part_words, value_words
from geometry.solution import Finding, Remedy
from geometry.vehicle import Display


class FindingDetail(QScrollArea):
    """The selected finding; `applied` hands on the remedy whose button was pressed, `asked` the entry to go to."""

    applied = Signal(object)
    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.buttons: list[QPushButton] = []
        self._shown: tuple[Finding | None, Display] | None = None

    def show_finding(self, finding: Finding | None, display: Display) -> None:
        """Show another finding, or what the list is for where there is none."""
        if self._shown == (finding, display):
            return
        self._shown = (finding, display)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 10, 12, 12)
        column.setSpacing(8)
        self.buttons = []
        if finding is None:
            column.addWidget(_words("Select a finding to see what it rests on and the way out.", "muted"))
        else:
            self._fill(column, finding, display)
        column.addStretch(1)
        self.setWidget(page)

    def _fill(self, column: QVBoxLayout, finding: Finding, display: Display) -> None:
        column.addWidget(_words(finding.says, "says"))
        value = value_words(finding, display)
        if value:
            limit = "" if finding.limit is None else f"limit {amount(finding.limit, finding.unit, display)}"
            line = QHBoxLayout()
            number = QLabel(value)
            number.setObjectName("number")
            number.setAccessibleName(f"{VERDICT_WORDS[finding.verdict]}: {value}")
            line.addWidget(number)
            line.addWidget(_words(limit, "muted"), 1)
            column.addLayout(line)
        for remedy in [] if finding.remedy is None else [finding.remedy, *finding.alternatives]:
            self._add_remedy(column, remedy, first=remedy is finding.remedy)
        if finding.entry:
            go = QPushButton("Go to its measurement" if finding.verdict != "unknown" else "Go and enter it")
            go.setObjectName("quiet")
            go.clicked.connect(lambda: self.asked.emit(finding.entry))
            line = QHBoxLayout()
            line.setContentsMargins(0, 0, 0, 0)
            line.addWidget(go)
            line.addStretch(1)
            column.addLayout(line)
        column.addWidget(_words(f"Basis: {finding.basis}.  Part: {part_words(finding.part)}.", "muted"))

    def _add_remedy(self, column: QVBoxLayout, remedy: Remedy, *, first: bool) -> None:
        words = _words(remedy.says if first else f"Or: {remedy.says[:1].lower()}{remedy.says[1:]}", "says")
        column.addWidget(words)
        if not remedy.changes:
            return
        button = QPushButton("&Apply" if first else "Apply this one")
        button.setObjectName("apply" if first else "other")
        button.setAccessibleName(f"Apply: {remedy.says}")
        button.setToolTip("Put it into the plan; undo takes it back.")
        button.clicked.connect(lambda: self.applied.emit(remedy))
        self.buttons.append(button)
        line = QHBoxLayout()
        line.addWidget(button)
        line.addWidget(_words(f"then {VERDICT_WORDS[remedy.after_verdict]}", "muted"))
        line.addStretch(1)
        column.addLayout(line)


def _words(text: str, name: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName(name)
    label.setWordWrap(len(text) > 24)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
