"""A row whose entry is written: what is typed in it belongs to it alone until it is handed in, given up or dropped."""

from __future__ import annotations

from typing import Final

from PySide6.QtWidgets import QApplication, QWidget

from app.measuring.entries import Entry
from app.reading import ReadingError
from app.units import INCHES, DisplayChoice
from app.window.form.rows import EntryRow, Hands, step_text
from geometry.document import Build, value_at

_LONGEST: Final = 40  # of what was dropped, in a sentence


class UnfinishedError(ReadingError):
    """Not wrong, only not all there yet."""


class WrittenRow(EntryRow):
    """An entry that is typed.

    While it is typed, a text that is a whole value is shown in the drawing and the verdict, and nothing of it is kept.
    `commit` makes it a step of the history. Typing that cannot be taken stays, with a sentence under it, for as long as
    its entry, its unit and its row do; what goes with them is said.
    """

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self._value: object = None
        self._display: DisplayChoice = INCHES
        self._shown = False
        self._handing_in = False
        self.unfinished = False
        """Whether what was handed in last was not all there, and not wrong."""

    def typed(self) -> str:
        """What stands in the row, as typed."""
        raise NotImplementedError

    def read_typed(self) -> object:
        """Value of what stands in the row; raises ReadingError."""
        raise NotImplementedError

    def put_value(self) -> None:
        """Let the row's text be what the build has."""
        raise NotImplementedError

    def words(self, value: object) -> str:
        """Value in words, for the history."""
        raise NotImplementedError

    def show_units(self, display: DisplayChoice) -> None:
        """Name the units beside the text."""

    def show_build(self, build: Build) -> None:
        """Show the value; typing stays while value and unit stay."""
        value = value_at(build, self.entry.path)
        if self._shown and value == self._value and build.display == self._display:
            return
        if self._shown and not self._handing_in:
            self.drop()
        self._shown, self._value, self._display = True, value, build.display
        self.show_units(build.display)
        self._reset()

    def holds_cursor(self) -> bool:
        """Whether the cursor is, or is just coming, into one of its lines."""
        return QApplication.focusWidget() in self.editors()

    def commit(self) -> None:
        """Read what was typed and hand it in; a sentence under the entry says why not."""
        if not self.pending or self._handing_in:
            return
        self._handing_in, self.unfinished = True, False
        try:
            self._hand_in()
        finally:
            self._handing_in = False

    def forget(self) -> None:
        """Show what the build has, here and in the drawing."""
        if self.pending:
            self._hands.preview(None)
        self._reset()

    def drop(self) -> None:
        """Forget typing that was not taken, and say so."""
        if self.pending and not self._handing_in:
            text = " ".join(self.typed().split())
            what = f"“{text if len(text) <= _LONGEST else text[: _LONGEST - 1] + '…'}”" if text else "an empty field"
            self.forget()
            self._hands.told(f"{self.entry.title}: {what} could not be taken and is dropped.")

    def try_typed(self) -> None:
        """Show what is typed in the drawing and the verdict, once it is whole; until then they stay as they are."""
        if not self.pending:  # typed back to what the build has
            self._hands.preview(None)
            self.complain("")
        elif self.typed().strip():
            try:
                self._hands.preview({self.entry.path: self.read_typed()})
            except ReadingError:
                return

    def _hand_in(self) -> None:
        try:
            value = self.read_typed()
        except ReadingError as refusal:
            self._hands.preview(None)
            self.unfinished = isinstance(refusal, UnfinishedError)
            if not (self.unfinished and self.holds_cursor()):  # else the rest is still to come
                self.complain(str(refusal), gently=self.unfinished)
            return
        if value == self._value:
            self.forget()
            return
        sentence = self._hands.take({self.entry.path: value}, step_text(self.entry.title, self.words(value)))
        if sentence is None:
            self._reset()
        else:
            self.complain(sentence)

    def _reset(self) -> None:
        self.put_value()
        self.complain("")
