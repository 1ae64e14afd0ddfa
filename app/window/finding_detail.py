"""One finding in full: what it says, value and limit, the way out with its button, and where the limit comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.amounts import hold_words, limit_words
from app.sketch.palette import VERDICT_SIGNS, VERDICT_WORDS
from app.sketch.words import whole_words
from app.window.finding_list import part_words, value_words
from app.window.plain import Label, set_tip
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, Remedy

_KEPT = 3


@dataclass(frozen=True, slots=True)
class _Page:
    """Widgets of one finding: labels from the top down, and the buttons that apply."""

    widget: QWidget
    labels: list[QLabel]
    buttons: list[QPushButton] = field(default_factory=list)


class FindingDetail(QScrollArea):
    """The selected finding; `applied` hands on the remedy whose button was pressed, `asked` the entry to go to.

    A finding that only says other numbers than before gets its words replaced; its widgets stay. The pages of the last
    few findings are kept, as an edit often puts one of two on top of the list.
    """

    applied = Signal(object)
    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._shown: tuple[Finding | None, Display] | None = None
        self._remedies: list[Remedy] = []
        self._pages: dict[object, _Page] = {}
        self._page: _Page | None = None
        holder = QWidget()
        self._column = QVBoxLayout(holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        self.setWidget(holder)

    @property
    def buttons(self) -> list[QPushButton]:
        """Buttons that apply a remedy, first to last."""
        return [] if self._page is None else self._page.buttons

    def show_finding(self, finding: Finding | None, display: Display) -> None:
        """Show another finding, or what the list is for where there is none."""
        if self._shown == (finding, display):
            return
        self._shown = (finding, display)
        self._remedies = [] if finding is None or finding.remedy is None else [finding.remedy, *finding.alternatives]
        words = _sentences(finding, self._remedies, display)
        page = self._turn_to(_shape_of(finding, self._remedies), finding, words)
        for label, text in zip(page.labels, words, strict=True):
            if label.text() != text:
                _say(label, text)
        usable = [one for one in self._remedies if one.changes]
        for button, remedy in zip(page.buttons, usable, strict=True):
            button.setAccessibleName(f"Apply: {remedy.says}")
        if finding is not None and finding.value is not None:
            page.labels[1].setAccessibleName(f"{VERDICT_WORDS[finding.verdict]}: {words[1]}")

    def _turn_to(self, shape: object, finding: Finding | None, words: list[str]) -> _Page:
        """Show the page of that shape, from its top; a new one where none is kept."""
        before, page = self._page, self._pages.pop(shape, None)
        if page is None:
            page = self._make(finding, words)
        self._pages[shape] = self._page = page  # the last in the row is the one that was shown last
        if page is not before:
            if before is not None:
                before.widget.hide()
            page.widget.show()
            self.verticalScrollBar().setValue(0)
        if len(self._pages) > _KEPT:
            oldest = self._pages.pop(next(iter(self._pages)))
            self._column.removeWidget(oldest.widget)
            oldest.widget.deleteLater()
        return page

    def _make(self, finding: Finding | None, words: list[str]) -> _Page:
        names = ["muted"] if finding is None else _names(finding, self._remedies)
        page = _Page(QWidget(), [_words(text, name) for text, name in zip(words, names, strict=True)])
        column = QVBoxLayout(page.widget)
        column.setContentsMargins(14, 10, 12, 12)
        column.setSpacing(8)
        labels = iter(page.labels)
        column.addWidget(next(labels))
        if finding is not None:
            self._fill(column, finding, labels, page.buttons)
        column.addStretch(1)
        self._column.addWidget(page.widget)
        return page

    def _fill(
        self, column: QVBoxLayout, finding: Finding, labels: Iterator[QLabel], buttons: list[QPushButton]
    ) -> None:
        if finding.value is not None:
            line = QHBoxLayout()
            line.addWidget(next(labels))
            line.addWidget(next(labels), 1)
            column.addLayout(line)
        for number, remedy in enumerate(self._remedies):
            column.addWidget(next(labels))
            if remedy.changes:
                buttons.append(self._add_button(column, number, next(labels)))
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

    def _add_button(self, column: QVBoxLayout, number: int, then: QLabel) -> QPushButton:
        first = number == 0
        button = QPushButton("&Apply" if first else "Apply this one")
        cures = self._remedies[number].after_verdict == "clear"
        button.setObjectName("apply" if first and cures else "other")
        set_tip(button, "Put it into the plan; undo takes it back.")
        button.clicked.connect(lambda: self.applied.emit(self._remedies[number]))
        line = QHBoxLayout()
        line.addWidget(button)
        line.addWidget(then, 1)
        column.addLayout(line)
        return button


def _shape_of(finding: Finding | None, remedies: list[Remedy]) -> object:
    """What decides which widgets there are."""
    if finding is None:
        return None
    buttons = tuple((bool(one.changes), one.after_verdict == "clear") for one in remedies)
    return finding.id, finding.part, finding.entry, finding.verdict == "unknown", finding.value is None, buttons


def _sentences(finding: Finding | None, remedies: list[Remedy], display: Display) -> list[str]:
    """Words of all labels, from the top down."""
    if finding is None:
        return ["Select a finding to see what it rests on and the way out."]
    said = [finding.says]
    if finding.value is not None:
        limits = (limit_words(finding, display, bare=True), hold_words(finding, display, bare=True))
        said += [value_words(finding, display), "\n".join(part for part in limits if part)]
    for number, remedy in enumerate(remedies):
        said.append(remedy.says if number == 0 else f"Or: {remedy.says[:1].lower()}{remedy.says[1:]}")
        if remedy.changes:
            said.append(_then(remedy))
    return [*said, f"Basis: {finding.basis}.  Part: {part_words(finding.part)}."]


def _then(remedy: Remedy) -> str:
    """What its finding and the whole build then are; a remedy's own sentence says what gets worse."""
    if remedy.after_verdict == remedy.verdict:
        return whole_words(remedy)
    return f"this then: {VERDICT_SIGNS[remedy.after_verdict]} {remedy.after_verdict}, {whole_words(remedy)}"


def _names(finding: Finding, remedies: list[Remedy]) -> list[str]:
    """Names of the same labels, which decide how they look."""
    names = ["says", *([] if finding.value is None else ["number", "muted"])]
    for remedy in remedies:
        names += ["says", "muted"] if remedy.changes else ["says"]
    return [*names, "muted"]


def _words(text: str, name: str) -> QLabel:
    label = Label()
    label.setObjectName(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    _say(label, text)
    return label


def _say(label: QLabel, text: str) -> None:
    label.setText(text)
    label.setWordWrap(label.objectName() != "number")
