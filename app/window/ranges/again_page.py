"""The page that holds what was measured again against what was to be set, and says whether the work may go on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.again import COLUMNS, cells, check_words, heading, sets_of
from app.drawing.palette import VERDICT_SIGNS, Theme
from app.window.document import Document
from app.window.plain import Label
from app.window.ranges.judged import JudgedPage
from app.window.theme import sized
from geometry.words.again import SetAgain
from geometry.words.names import of_shaft, whole_name

_REST_MS: Final = 60
_NONE: Final = (
    "Nothing has been measured again yet. Once it is tacked and stands on its tyres, read it again and enter it here."
)
_ROW = tuple[str, ...]


class AgainPage(JudgedPage):
    """The last set as a table with what it comes to, those before it in a line each; shown in place of the drawing."""

    going = Signal(str)
    """The person wants to enter a set, or to look at one."""
    vibrates = Signal()
    """The person felt something on the drive."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, _REST_MS, parent)
        self.found: tuple[SetAgain, ...] = ()
        """What is found by now."""
        self.sentence = _label(13, bold=True)
        self.of = _label(10)
        self.of.setObjectName("muted")
        self.table = QGridLayout()
        self.table.setHorizontalSpacing(24)
        self.table.setVerticalSpacing(3)
        self.table.setColumnStretch(len(COLUMNS), 1)
        self.before = _label(10)
        self.enter = QPushButton("Enter what was read ▸")
        self.enter.clicked.connect(self._enter)
        self.shakes = QPushButton("Something shakes on the drive ▸")
        self.shakes.clicked.connect(self.vibrates)
        self.shakes.hide()
        foot = QHBoxLayout()
        foot.addWidget(self.enter)
        foot.addWidget(self.shakes)
        foot.addStretch(1)
        page = QVBoxLayout(self)
        page.setContentsMargins(14, 10, 12, 8)
        page.setSpacing(8)
        page.addWidget(self.sentence)
        page.addWidget(self.of)
        page.addLayout(self.table)
        page.addWidget(self.before)
        page.addLayout(foot)
        page.addStretch(1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Measured again")

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours: its labels have the window's own."""

    def focus(self) -> None:
        """Put the keyboard on the button."""
        self.enter.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def rows(self) -> list[_ROW]:
        """What the table says, row by row, its head first."""
        rows = []
        for row in range(self.table.rowCount()):
            items = [self.table.itemAtPosition(row, column) for column in range(len(COLUMNS))]
            texts = [item.widget().text() for item in items if item is not None]  # type: ignore[union-attr]
            if texts:
                rows.append(tuple(texts))
        return rows

    def _enter(self) -> None:
        last = len(self._document.build.measured_again) - 1
        self.going.emit("measured_again" if last < 0 else f"measured_again.{last}.stage")

    def _working(self) -> Iterator[tuple[SetAgain, ...]]:
        shown = self._document.shown
        yield sets_of(shown.build, shown.solution)

    def _show_found(self, found: tuple[SetAgain, ...]) -> None:
        build = self._document.shown.build
        self.found, display = found, build.display
        self.shakes.setVisible(bool(found) and found[-1].stage == "driven")
        while (item := self.table.takeAt(0)) is not None:
            item.widget().deleteLater()  # type: ignore[union-attr]
        if not found:
            self.sentence.setText(of_shaft(build, _NONE))
            self.of.clear()
            self.before.clear()
            return
        *earlier, last = found
        self.sentence.setText(f"{VERDICT_SIGNS[last.verdict]} {of_shaft(build, last.says)}")
        whole = "" if last.whole is None else f" · the {whole_name(build)} with these lines: {last.whole}"
        self.of.setText(f"{heading(last, display)}{whole}")
        lines: list[_ROW] = [COLUMNS] if last.numbers else []
        lines += [(f"{VERDICT_SIGNS[row.verdict]} {row.title}", *cells(row, build)) for row in last.numbers]
        lines += [(f"{VERDICT_SIGNS[one.verdict]} {one.title}", check_words(one)) for one in last.checks]
        for row, words in enumerate(lines):
            for column, text in enumerate(words):
                self.table.addWidget(_label(10, text, bold=words == COLUMNS), row, column)
        self.before.setText(
            "\n".join(f"{heading(one, display)}: {VERDICT_SIGNS[one.verdict]} {one.says}" for one in reversed(earlier))
        )


def _label(size: int, text: str = "", *, bold: bool = False) -> Label:
    made = Label(text)
    made.setFont(sized(size, bold=bold))
    made.setWordWrap(not text)
    return made
