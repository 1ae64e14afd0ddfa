"""Rows in which something is typed on a line: numbers, points, lists of ratios, names."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.measuring.entries import Entry
from app.reading import parse
from app.units import DisplayChoice, edit_text, shown_unit
from app.window.form.field_text import field_text, typing_text
from app.window.form.rows import ENTRY_WIDTH, UNIT_WIDTH, Hands, LineEdit
from app.window.form.written_row import UnfinishedError, WrittenRow
from app.window.plain import Label

ENTRY_PT, ENTRY_HIGH = 11, 26


class TypedRow(WrittenRow):
    """A row of one or more lines that together make one value."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.edits: list[LineEdit] = []
        self._typing_from: dict[LineEdit, str] = {}

    def add_edit(self, name: str) -> LineEdit:
        """Make one of the row's lines."""
        edit = LineEdit()
        edit.setAccessibleName(name)
        edit.entered.connect(lambda: self._enter(edit))
        edit.left.connect(lambda: self._leave(edit))
        edit.textEdited.connect(self.try_typed)
        edit.given_up.connect(self.forget)
        edit.done.connect(self._done)
        self.edits.append(edit)
        return edit

    def editors(self) -> list[QWidget]:
        """Return the lines."""
        return list(self.edits)

    def focus_first(self) -> None:
        """Put the cursor into the first line, whose text is typed over."""
        super().focus_first()
        self.edits[0].selectAll()

    @property
    def pending(self) -> bool:
        """Whether a line holds typing that the build does not."""
        return not all(self.untouched(edit) for edit in self.edits)

    def untouched(self, edit: LineEdit) -> bool:
        """Whether a line is as the row has put it."""
        return not edit.isModified() or edit.text() == self._typing_from.get(edit)

    def typed(self) -> str:
        """What stands in the lines that are not empty."""
        return ", ".join(filter(None, self._stripped()))

    def read_typed(self) -> object:
        """Value of the lines together; None where all are empty."""
        texts = self._stripped()
        return self.read(texts) if any(texts) else None

    def read(self, texts: Sequence[str]) -> object:
        """Value of the typed texts; raises ReadingError."""
        raise NotImplementedError

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """Texts of a value, one a line; `exact` for the line that is being typed in."""
        raise NotImplementedError

    def words(self, value: object) -> str:
        """Value in words, for the history."""
        return "" if value is None else ", ".join(self.texts(value, exact=False))

    def put_value(self) -> None:
        """Show the value, exactly in the line that has the cursor."""
        for edit in self.edits:
            self._put(edit, exact=edit.hasFocus())

    def _stripped(self) -> list[str]:
        return [edit.text().strip() for edit in self.edits]

    def _enter(self, edit: LineEdit) -> None:
        if not self.pending:
            self._put(edit, exact=True)
        edit.selectAll()
        self._hands.focused(self.entry)

    def _leave(self, edit: LineEdit) -> None:
        if self.pending:
            self.commit()
        else:
            self._put(edit, exact=False)

    def _put(self, edit: LineEdit, *, exact: bool) -> None:
        """Show in a line what the build holds."""
        text = "" if self._value is None else self.texts(self._value, exact=exact)[self.edits.index(edit)]
        self._typing_from[edit] = text
        if edit.text() == text and not edit.isModified():
            return
        edit.setText(text)
        edit.setModified(False)
        if edit.hasFocus():
            edit.selectAll()
        else:
            edit.setCursorPosition(0)

    def _done(self) -> None:
        self.commit()
        if not self.pending or self.unfinished:
            self.settled.emit()


class NumberRow(TypedRow):
    """One number with its unit."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        edit = self.add_edit(entry.title)
        edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        edit.keep_whole(ENTRY_PT)
        edit.setFixedWidth(ENTRY_WIDTH)
        edit.setMinimumHeight(ENTRY_HIGH)
        self.unit = Label()
        self.unit.setObjectName("axis")
        self.unit.setFixedWidth(UNIT_WIDTH)
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
        wording = typing_text if exact else field_text
        return [wording(float(value), self.entry.unit, self._display)]

    def words(self, value: object) -> str:
        """Number and unit."""
        if value is None:
            return ""
        assert isinstance(value, float)  # noqa: S101
        symbol = shown_unit(self.entry.unit, self._display).symbol
        number = field_text(value, self.entry.unit, self._display)
        return f"{number}{'' if symbol in {'', '°'} else ' '}{symbol}"


class PointRow(TypedRow):
    """The two or three numbers of a measuring point, each under the word for its direction."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.unit = Label()
        self.unit.setObjectName("axis")
        head = QHBoxLayout()
        head.setSpacing(6)
        head.addWidget(self.title, 1)
        head.addWidget(self.unit)
        self.grid.addLayout(head, 0, 0)
        cells = QHBoxLayout()
        cells.setSpacing(8)
        for axis in entry.axes:
            cell = QVBoxLayout()
            cell.setSpacing(0)
            edit = self.add_edit(f"{entry.title}, {axis}")
            edit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            edit.keep_whole(ENTRY_PT)
            edit.setMinimumHeight(ENTRY_HIGH)
            edit.setMinimumWidth(52)
            edit.setMaximumWidth(100)
            caption = Label(axis)
            caption.setObjectName("axis")
            caption.setAlignment(Qt.AlignmentFlag.AlignRight)
            cell.addWidget(edit)
            cell.addWidget(caption)
            cells.addLayout(cell)
        cells.addStretch(1)
        self.grid.addLayout(cells, 1, 0)
        self.grid.addWidget(self.complaint, 2, 0)

    def show_units(self, display: DisplayChoice) -> None:
        """Name the unit of all its numbers."""
        self.unit.setText(shown_unit(self.entry.unit, display).symbol)

    def read(self, texts: Sequence[str]) -> object:
        """All numbers of the point, or word which are still missing."""
        missing = [axis for axis, text in zip(self.entry.axes, texts, strict=True) if not text]
        values = tuple(self._number(number, text) for number, text in enumerate(texts) if text)
        if missing:
            raise UnfinishedError(f"Still missing: {' and '.join(missing)}; a point is taken once all are typed.")
        return values

    def _number(self, number: int, text: str) -> float:
        """One number of the point; what is left as it is shown stays exactly as it is."""
        if isinstance(self._value, tuple) and self.untouched(self.edits[number]):
            return float(self._value[number])
        return parse(text, self.entry.unit, self._display)

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """One number a direction."""
        assert isinstance(value, tuple)  # noqa: S101
        wording = typing_text if exact else field_text
        return [wording(float(one), self.entry.unit, self._display) for one in value]


class RatiosRow(TypedRow):
    """Ratios on one line with commas between them."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        edit = self.add_edit(entry.title)
        edit.setMinimumHeight(ENTRY_HIGH)
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
        edit.setMinimumHeight(ENTRY_HIGH)
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(edit, 1, 0)
        self.grid.addWidget(self.complaint, 2, 0)
        self.title.setBuddy(edit)

    def read_typed(self) -> object:
        """The text as typed; an empty one is a text too."""
        return self.edits[0].text().strip()

    def words(self, value: object) -> str:
        """The text in quotation marks."""
        return f"“{value}”" if value else ""

    def texts(self, value: object, *, exact: bool) -> list[str]:
        """The text."""
        del exact
        return [str(value)]
