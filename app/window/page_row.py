"""A row for several lines of text: notes, or the corners of an outline."""

from __future__ import annotations

import re

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from app.reading import ReadingError, parse
from app.units import INCHES, MINUS, DisplayChoice, shown_unit
from app.window.entries import Entry
from app.window.field_text import typing_text
from app.window.rows import EntryRow, Hands, step_text
from geometry.document import Build, value_at


class PageRow(EntryRow):
    """Several lines of text: notes, or the corners of an outline, one on each line."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self._value: object = None
        self._display: DisplayChoice = INCHES
        self._shown = False
        self.page = QPlainTextEdit()
        self.page.setAccessibleName(entry.title)
        self.page.setTabChangesFocus(True)
        self.page.setMinimumHeight(96)
        self.page.setMaximumHeight(140)
        self.page.installEventFilter(self)
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

    def show_build(self, build: Build) -> None:
        """Show the text; typing that was refused stays while the value stays."""
        value = value_at(build, self.entry.path)
        changed, units = value != self._value, build.display != self._display
        if self._shown and not changed and not units:
            return
        keep = self._shown and not changed and self.pending
        self._shown, self._value, self._display = True, value, build.display
        if self.entry.kind == "outline":
            self.title.setText(f"{self.entry.title}, {shown_unit('mm', build.display).symbol}")
        if not keep:
            self._reset()

    def commit(self) -> None:
        """Hand in the text."""
        if not self.pending:
            return
        try:
            value = self._read()
        except ReadingError as refusal:
            self.complain(str(refusal))
            return
        if value == self._value:
            self._reset()
            return
        sentence = self._hands.take({self.entry.path: value}, step_text(self.entry.title, "changed"))
        if sentence is None:
            self._reset()
        else:
            self.complain(sentence)

    def forget(self) -> None:
        """Show what the build has."""
        self._reset()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell when the cursor enters, hand in when it leaves."""
        if event.type() == QEvent.Type.FocusIn:
            self._hands.focused(self.entry)
        elif event.type() == QEvent.Type.FocusOut:
            self.commit()
        return super().eventFilter(watched, event)

    def _reset(self) -> None:
        self.page.setPlainText(self._text())
        self.page.document().setModified(False)
        self.complain("")

    def _text(self) -> str:
        if self.entry.kind == "outline" and isinstance(self._value, tuple):
            return "\n".join(self._corner_text(corner) for corner in self._value)
        return "" if self._value is None else str(self._value)

    def _corner_text(self, corner: tuple[float, float]) -> str:
        return ", ".join(typing_text(float(one), "mm", self._display) for one in corner)

    def _read(self) -> object:
        text = self.page.toPlainText()
        if self.entry.kind != "outline":
            return text
        # A corner that is left as it is shown stays exactly as it is.
        known = {self._corner_text(corner): corner for corner in self._value} if isinstance(self._value, tuple) else {}
        corners = []
        for line in filter(str.strip, text.splitlines()):
            if line.strip() in known:
                corners.append(known[line.strip()])
                continue
            parts = [
                part for part in re.split(";" if ";" in line else r",\s*|\s{2,}", line.replace(MINUS, "-")) if part
            ]
            if len(parts) != 2:
                raise ReadingError(f"“{line.strip()[:40]}” is not one corner; type two numbers with a comma between.")
            corners.append(tuple(parse(part, "mm", self._display) for part in parts))
        if len(corners) < 3:
            raise ReadingError("An outline has at least three corners, one on each line.")
        return tuple(corners)
