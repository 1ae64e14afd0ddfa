"""A row for several lines of text: notes, or the corners of an outline."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from app.measuring.entries import Entry
from app.reading import ReadingError, parse
from app.units import MINUS, DisplayChoice, shown_unit
from app.window.form.field_text import typing_text
from app.window.form.rows import STAYING, Hands, is_history
from app.window.form.written_row import WrittenRow

Pair = tuple[float, float]
_PAGE_PX: Final = 64
"""Three lines: with all headings over and under it, the whole page is in sight in the smallest window."""


class PageRow(WrittenRow):
    """Several lines of text: notes, or the corners of an outline, one on each line."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.page = QPlainTextEdit()
        self.page.setAccessibleName(entry.title)
        self.page.setTabChangesFocus(True)
        self.page.setFixedHeight(_PAGE_PX)
        self.page.installEventFilter(self)
        self.page.textChanged.connect(self._edited)
        if entry.kind == "outline":
            self.page.setPlaceholderText("one corner on each line:\nrearward, then up")
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(self.page, 1, 0)
        self.grid.addWidget(self.complaint, 2, 0)
        self.title.setBuddy(self.page)

    def editors(self) -> list[QWidget]:
        """Return the page."""
        return [self.page]

    @property
    def pending(self) -> bool:
        """Whether the page holds typing that the build does not."""
        return self.page.document().isModified()

    def show_units(self, display: DisplayChoice) -> None:
        """Name the unit of an outline behind its title."""
        if self.entry.kind == "outline":
            self.title.setText(f"{self.entry.title} ({shown_unit('mm', display).symbol})")

    def typed(self) -> str:
        """The page as typed."""
        return self.page.toPlainText()

    def words(self, value: object) -> str:
        """That it is another one; it would be too long to say which."""
        del value
        return "changed"

    def put_value(self) -> None:
        """Show the text or the corners."""
        with QSignalBlocker(self.page):  # it is not typed
            self.page.setPlainText(self._text())
        self.page.document().setModified(False)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell when the cursor enters, hand in when it leaves; Escape gives up; undo is the history's, as in a line."""
        if event.type() == QEvent.Type.FocusIn:
            self._hands.focused(self.entry)
        elif isinstance(event, QFocusEvent) and event.type() == QEvent.Type.FocusOut:
            if event.reason() not in STAYING:
                self.commit()
        elif isinstance(event, QKeyEvent) and self._takes(event):
            return True
        return super().eventFilter(watched, event)

    def _takes(self, event: QKeyEvent) -> bool:
        """Whether a key is not the page's own."""
        if event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Escape and self.pending:
            self.forget()
            return True
        if event.type() == QEvent.Type.ShortcutOverride and not self.pending and is_history(event):
            event.ignore()
            return True
        return False

    def _edited(self) -> None:
        if self.entry.kind == "outline" and self.pending:  # what is noted changes no picture
            self.try_typed()

    def _text(self) -> str:
        if self.entry.kind == "outline" and isinstance(self._value, tuple):
            return "\n".join(self._corner_text(corner) for corner in self._value)
        return "" if self._value is None else str(self._value)

    def _corner_text(self, corner: tuple[float, float]) -> str:
        return ", ".join(self._number_text(one) for one in corner)

    def _number_text(self, one: float) -> str:
        return typing_text(float(one), "mm", self._display)

    def read_typed(self) -> object:
        """The text, or the corners, one on each line."""
        text = self.page.toPlainText()
        if self.entry.kind != "outline":
            return text
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        held = self._value if isinstance(self._value, tuple) else ()
        beside = held if len(held) == len(lines) else (None,) * len(lines)
        known = {self._corner_text(corner): corner for corner in held}
        corners = [self._corner(line, known, corner) for line, corner in zip(lines, beside, strict=True)]
        if len(corners) < 3:
            raise ReadingError("An outline has at least three corners, one on each line.")
        return tuple(corners)

    def _corner(self, line: str, known: Mapping[str, Pair], was: Pair | None) -> Pair:
        """One corner; it, or the number of it, that is left as it is shown stays exactly as it is."""
        if was is not None and line == self._corner_text(was):
            return was
        if line in known:
            return known[line]
        parts = [part for part in re.split(";" if ";" in line else r",\s*|\s{2,}", line.replace(MINUS, "-")) if part]
        if len(parts) != 2:
            raise ReadingError(f"“{line[:40]}” is not one corner; type two numbers with a comma between.")
        x, z = (
            was[axis] if was is not None and part.strip() == self._number_text(was[axis]) else self._parsed(part)
            for axis, part in enumerate(parts)
        )
        return x, z

    def _parsed(self, part: str) -> float:
        return parse(part, "mm", self._display)
