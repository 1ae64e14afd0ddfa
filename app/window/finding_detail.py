"""One finding in full: what it says, value and limit, the way out with its button, and where the limit comes from."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.sketch.palette import VERDICT_WORDS
from app.sketch.words import amount
from app.window.finding_list import part_words, value_words
from geometry.solution import Finding, Remedy
from geometry.vehicle import Display


class FindingDetail(QScrollArea):
    """The selected finding; `applied` hands on the remedy whose button was pressed, `asked` the entry to go to.

    A finding that only says other numbers than before gets its words replaced; its widgets stay.
    """

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
        self._shape: object = None
        self._labels: list[QLabel] = []
        self._remedies: list[Remedy] = []

    def show_finding(self, finding: Finding | None, display: Display) -> None:
        """Show another finding, or what the list is for where there is none."""
        if self._shown == (finding, display):
            return
        self._shown = (finding, display)
        self._remedies = [] if finding is None or finding.remedy is None else [finding.remedy, *finding.alternatives]
        words = _sentences(finding, self._remedies, display)
        shape = _shape_of(finding, self._remedies)
        if shape != self._shape:
            self._shape = shape
            self._make(finding, words)
        for label, text in zip(self._labels, words, strict=True):
            if label.text() != text:
                _say(label, text)
        usable = [one for one in self._remedies if one.changes]
        for button, remedy in zip(self.buttons, usable, strict=True):
            button.setAccessibleName(f"Apply: {remedy.says}")
        if finding is not None and finding.value is not None:
            self._labels[1].setAccessibleName(f"{VERDICT_WORDS[finding.verdict]}: {words[1]}")

    def _make(self, finding: Finding | None, words: list[str]) -> None:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 10, 12, 12)
        column.setSpacing(8)
        self.buttons = []
        names = ["muted"] if finding is None else _names(finding, self._remedies)
        self._labels = [_words(text, name) for text, name in zip(words, names, strict=True)]
        labels = iter(self._labels)
        column.addWidget(next(labels))
        if finding is not None:
            self._fill(column, finding, labels)
        column.addStretch(1)
        self.setWidget(page)

    def _fill(self, column: QVBoxLayout, finding: Finding, labels: Iterator[QLabel]) -> None:
        if finding.value is not None:
            line = QHBoxLayout()
            line.addWidget(next(labels))
            line.addWidget(next(labels), 1)
            column.addLayout(line)
        for number, remedy in enumerate(self._remedies):
            column.addWidget(next(labels))
            if remedy.changes:
                self._add_button(column, number, next(labels))
        if finding.entry:
            go = QPushButton("Go to its measurement" if finding.verdict != "unknown" else "Go and enter it")
            go.setObjectName("quiet")
            go.clicked.connect(lambda: self.asked.emit(finding.entry))
            line = QHBoxLayout()
            line.setContentsMargins(0, 0, 0, 0)
            line.addWidget(go)
            line.addStretch(1)
            column.addLayout(line)
        column.addWidget(next(labels))

    def _add_button(self, column: QVBoxLayout, number: int, then: QLabel) -> None:
        first = number == 0
        button = QPushButton("&Apply" if first else "Apply this one")
        button.setObjectName("apply" if first else "other")
        button.setToolTip("Put it into the plan; undo takes it back.")
        button.clicked.connect(lambda: self.applied.emit(self._remedies[number]))
        self.buttons.append(button)
        line = QHBoxLayout()
        line.addWidget(button)
        line.addWidget(then)
        line.addStretch(1)
        column.addLayout(line)


def _shape_of(finding: Finding | None, remedies: list[Remedy]) -> object:
    """What decides which widgets there are."""
    if finding is None:
        return None
    buttons = tuple(bool(one.changes) for one in remedies)
    return finding.id, finding.part, finding.entry, finding.verdict == "unknown", finding.value is None, buttons


def _sentences(finding: Finding | None, remedies: list[Remedy], display: Display) -> list[str]:
    """Words of all labels, from the top down."""
    if finding is None:
        return ["Select a finding to see what it rests on and the way out."]
    said = [finding.says]
    if finding.value is not None:
        limit = "" if finding.limit is None else f"limit {amount(finding.limit, finding.unit, display)}"
        said += [value_words(finding, display), limit]
    for number, remedy in enumerate(remedies):
        said.append(remedy.says if number == 0 else f"Or: {remedy.says[:1].lower()}{remedy.says[1:]}")
        if remedy.changes:
            said.append(f"then {VERDICT_WORDS[remedy.after_verdict]}")
    return [*said, f"Basis: {finding.basis}.  Part: {part_words(finding.part)}."]


def _names(finding: Finding, remedies: list[Remedy]) -> list[str]:
    """Names of the same labels, which decide how they look."""
    names = ["says", *([] if finding.value is None else ["number", "muted"])]
    for remedy in remedies:
        names += ["says", "muted"] if remedy.changes else ["says"]
    return [*names, "muted"]


def _words(text: str, name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    _say(label, text)
    return label


def _say(label: QLabel, text: str) -> None:
    label.setText(text)
    label.setWordWrap(len(text) > 24 and label.objectName() != "number")
