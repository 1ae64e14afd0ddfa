"""Rows in which something is typed: numbers, points, lists of ratios, outlines, names and notes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from app.reading import ReadingError, parse
from app.units import INCHES, MINUS, DisplayChoice, Kind, edit_text, show, shown_unit
from app.window.entries import Entry
from app.window.rows import EntryRow, Hands, LineEdit, step_text
from app.window.theme import NUMBER_PT, sized
from geometry.document import Build, value_at

_EXACT_PLACES = 4  # a sixteenth of an inch has four decimals


def field_text(value: float, kind: Kind, display: DisplayChoice) -> str:
    """Text of a value in a field that nobody types in: as exact as it was typed, where that is short, without its unit.

    >>> field_text(88.9, "mm", INCHES), field_text(-1.25, "deg", INCHES), field_text(1290.0, "mm", INCHES)
    ('3.50', '−1.25', '50.79')
    """
    exact = edit_text(value, kind, display)
    typed = len(exact.partition(".")[2])
    shown = show(value, kind, display)
    symbol = shown_unit(kind, display).symbol
    usual = len(shown.removesuffix(symbol).strip().partition(".")[2])
    if usual < typed <= _EXACT_PLACES:
        shown = show(value, kind, display, places=typed)
    return shown.removesuffix(symbol).strip()


class TypedRow(EntryRow):
    """A row of one or more lines that together make one value."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.edits: list[LineEdit] = []
        self._value: object = None
        self._display: DisplayChoice = INCHES
        self._shown = False

    def add_edit(self, name: str) -> LineEdit:
        """Make one of the row's lines."""
        edit = LineEdit()
        edit.setAccessibleName(name)
        edit.entered.connect(lambda: self._enter(edit))
        edit.left.connect(lambda: self._leave(edit))
        edit.given_up.connect(self.forget)
        edit.done.connect(self._done)
        self.edits.append(edit)
        return edit

    def editors(self) -> list[QWidget]:
        """Return the lines."""
        return list(self.edits)

    @property
    def pending(self) -> bool:
        """Whether a line holds typing that the build does not."""
        return any(edit.isModified() for edit in self.edits)

    def show_build(self, build: Build) -> None:
        """Show the value; typing that was refused stays while the value stays."""
        value = value_at(build, self.entry.path)
        changed, units = value != self._value, build.display != self._display
        if self._shown and not changed and not units:
            return
        keep = self._shown and not changed and self.pending
        self._shown, self._value, self._display = True, value, build.display
        self.show_units(build.display)
        if not keep:
            self._reset()

    def commit(self) -> None:
        """Read what was typed and hand it in; a sentence under the entry says why not."""
        if not self.pending:
            return
        texts = [edit.text().strip() for edit in self.edits]
        try:
            value = None if not any(texts) else self.read(texts)
        except ReadingError as refusal:
            self.complain(str(refusal), gently=isinstance(refusal, Unfinished))
            return
        if value == self._value:
            self._reset()
            return
        shown = "" if value is None else self.words(value)
        sentence = self._hands.take({self.entry.path: value}, step_text(self.entry.title, shown))
        if sentence is None:
            self._reset()
        else:
            self.complain(sentence)

    def forget(self) -> None:
        """Show what the build has."""
        self._reset()

    def read(self, texts: Sequence[str]) -> object:
        """Value of the typed texts; raises ReadingError."""
        raise NotImplementedError

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """Texts of a value, one a line; `exact` for the line that is being typed in."""
        raise NotImplementedError

    def words(self, value: object) -> str:
        """Value in words, for the history."""
        return ", ".join(self.texts(value, exact=False))

    def show_units(self, display: DisplayChoice) -> None:
        """Name the units beside the lines."""

    def _reset(self) -> None:
        value = self._value
        for number, edit in enumerate(self.edits):
            text = "" if value is None else self.texts(value, exact=edit.hasFocus())[number]
            if edit.text() != text or edit.isModified():
                edit.setText(text)
                edit.setModified(False)
                if edit.hasFocus():
                    edit.selectAll()
                else:
                    edit.setCursorPosition(0)
        self.complain("")

    def _enter(self, edit: LineEdit) -> None:
        if not edit.isModified() and self._value is not None:
            edit.setText(self.texts(self._value, exact=True)[self.edits.index(edit)])
            edit.setModified(False)
        edit.selectAll()
        self._hands.focused(self.entry)

    def _leave(self, edit: LineEdit) -> None:
        if self.pending:
            self.commit()
        elif self._value is not None:
            edit.setText(self.texts(self._value, exact=False)[self.edits.index(edit)])
            edit.setModified(False)
            edit.setCursorPosition(0)

    def _done(self) -> None:
        self.commit()
        if not self.pending or self.complaint.objectName() == "note":
            self.settled.emit()


class Unfinished(ReadingError):
    """Not wrong, only not all there yet."""


class NumberRow(TypedRow):
    """One number with its unit; big for the few that make a verdict in a hurry."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None, *, big: bool = False) -> None:
        super().__init__(entry, hands, parent)
        edit = self.add_edit(entry.title)
        edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        if big:
            edit.setFont(sized(edit.font(), NUMBER_PT))
            edit.setStyleSheet(f"font-size: {NUMBER_PT}pt")
        edit.setFixedWidth(112 if big else 92)
        edit.setMinimumHeight(38 if big else 28)
        self.unit = QLabel()
        self.unit.setObjectName("muted")
        self.unit.setFixedWidth(QFontMetrics(self.unit.font()).horizontalAdvance("km/h  "))
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(edit, 0, 1)
        self.grid.addWidget(self.unit, 0, 2)
        self.grid.addWidget(self.complaint, 1, 0, 1, 3)
        self.title.setBuddy(edit)

    def show_units(self, display: DisplayChoice) -> None:
        """Name the unit behind the line."""
        self.unit.setText(shown_unit(self.entry.unit, display).symbol)

    def read(self, texts: Sequence[str]) -> object:
        """One quantity."""
        return parse(texts[0], self.entry.unit, self._display)

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """One number."""
        assert isinstance(value, float | int)  # noqa: S101  the document's own field
        wording = edit_text if exact else field_text
        return [wording(float(value), self.entry.unit, self._display)]

    def words(self, value: object) -> str:
        """Number and unit."""
        assert isinstance(value, float)  # noqa: S101
        symbol = shown_unit(self.entry.unit, self._display).symbol
        number = field_text(value, self.entry.unit, self._display)
        return f"{number}{'' if symbol in {'', '°'} else ' '}{symbol}"


class PointRow(TypedRow):
    """The two or three numbers of a measuring point, each under the word for its direction."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.grid.addWidget(self.title, 0, 0)
        self.unit = QLabel()
        self.unit.setObjectName("muted")
        self.grid.addWidget(self.unit, 0, 1)
        cells = QHBoxLayout()
        cells.setSpacing(10)
        for axis in entry.axes:
            cell = QVBoxLayout()
            cell.setSpacing(0)
            edit = self.add_edit(f"{entry.title}, {axis}")
            edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            edit.setMinimumHeight(28)
            edit.setMinimumWidth(56)
            edit.setMaximumWidth(130)
            caption = QLabel(axis)
            caption.setObjectName("axis")
            caption.setAlignment(Qt.AlignmentFlag.AlignRight)
            cell.addWidget(edit)
            cell.addWidget(caption)
            cells.addLayout(cell)
        if len(entry.axes) < 3:
            cells.addStretch(1)
        self.grid.addLayout(cells, 1, 0, 1, 2)
        self.grid.addWidget(self.complaint, 2, 0, 1, 2)

    def show_units(self, display: DisplayChoice) -> None:
        """Name the unit of all its numbers."""
        self.unit.setText(shown_unit(self.entry.unit, display).symbol)

    def read(self, texts: Sequence[str]) -> object:
        """All numbers of the point, or word which are still missing."""
        missing = [axis for axis, text in zip(self.entry.axes, texts, strict=True) if not text]
        values = tuple(parse(text, self.entry.unit, self._display) for text in texts if text)
        if missing:
            raise Unfinished(f"Still missing: {' and '.join(missing)}; a point is taken once all are typed.")
        return values

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """One number a direction."""
        assert isinstance(value, tuple)  # noqa: S101
        wording = edit_text if exact else field_text
        return [wording(float(one), self.entry.unit, self._display) for one in value]


class RatiosRow(TypedRow):
    """Ratios on one line with commas between them."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        edit = self.add_edit(entry.title)
        edit.setMinimumHeight(28)
        edit.setPlaceholderText("4.8, 2.6, 1.5, 1.0")
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(edit, 1, 0)
        self.grid.addWidget(self.complaint, 2, 0)
        self.title.setBuddy(edit)

    def read(self, texts: Sequence[str]) -> object:
        """All ratios; separated by commas, by semicolons where the comma is the decimal sign, or by blanks."""
        text = texts[0]
        parts = re.split(r";", text) if ";" in text else re.split(r",\s*|\s+", text)
        return tuple(parse(part, "ratio", self._display) for part in parts if part.strip())

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """All ratios on one line."""
        del exact
        assert isinstance(value, tuple)  # noqa: S101
        return [", ".join(_at_least_one_place(edit_text(float(one), "ratio", self._display)) for one in value)]


def _at_least_one_place(text: str) -> str:
    return text if "." in text else f"{text}.0"


class TextRow(TypedRow):
    """A name or a title."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        edit = self.add_edit(entry.title)
        edit.setMinimumHeight(28)
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(edit, 1, 0)
        self.grid.addWidget(self.complaint, 2, 0)
        self.title.setBuddy(edit)

    def commit(self) -> None:
        """Hand in the text as typed; an empty one is a text too."""
        if not self.pending:
            return
        value = self.edits[0].text().strip()
        if value == self._value:
            self._reset()
            return
        sentence = self._hands.take({self.entry.path: value}, step_text(self.entry.title, f"“{value}”" if value else ""))
        if sentence is None:
            self._reset()
        else:
            self.complain(sentence)

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """The text."""
        del exact
        return [str(value)]


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
            return "\n".join(
                ", ".join(edit_text(float(one), "mm", self._display) for one in corner) for corner in self._value
            )
        return "" if self._value is None else str(self._value)

    def _read(self) -> object:
        text = self.page.toPlainText()
        if self.entry.kind != "outline":
            return text
        corners = []
        for line in filter(str.strip, text.splitlines()):
            parts = [part for part in re.split(";" if ";" in line else r",\s*|\s{2,}", line.replace(MINUS, "-")) if part]
            if len(parts) != 2:
                raise ReadingError(f"“{line.strip()[:40]}” is not one corner; type two numbers with a comma between.")
            corners.append(tuple(parse(part, "mm", self._display) for part in parts))
        if len(corners) < 3:
            raise ReadingError("An outline has at least three corners, one on each line.")
        return tuple(corners)
