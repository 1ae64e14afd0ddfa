"""Words on the screen that are shown as they stand: Qt takes a text with "<" in it for HTML wherever it may guess.

Every label, box and tip of the window is made here; `tests/app/test_plain_words.py` keeps it so.
"""

from __future__ import annotations

import re
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtGui import Qt as Rich  # only this one knows how Qt guesses
from PySide6.QtWidgets import QLabel, QMessageBox, QWidget

from app.complaints import one_line

_LOOSE: Final = re.compile(
    r"(?<=\d) (?=rad/s²|rpm\b|mm\b|in\b|N·m|lb·ft|lb/in|N/mm)|(?<=rad/)(?=s²)|(?<=lb/)(?=in\b)|(?<=N/)(?=mm\b)"
)
_JOINED: Final = {" ": "\u00a0", "": "\u2060"}


def joined(text: str) -> str:
    """Words in which no line ends within an amount: 484 rad/s² stays on one."""
    return _LOOSE.sub(lambda gap: _JOINED[gap[0]], text)


class Label(QLabel):
    """A label whose words are never read as rich text, and whose amounts stay on one line."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(text)

    def setText(self, text: str) -> None:
        """Show some words."""
        self._text = text
        super().setText(joined(text))

    def clear(self) -> None:
        """Show no words."""
        self.setText("")

    def text(self) -> str:
        """The words as they were given."""
        return self._text


class Box(QMessageBox):
    """A question or a warning whose words are never read as rich text."""

    def exec(self) -> int:
        """Show it and wait; by now all its labels are there."""
        self.be_plain()
        return super().exec()

    def be_plain(self) -> None:
        """Take the words as they stand, those of the second line too, which has no setting of its own."""
        self.setTextFormat(Qt.TextFormat.PlainText)
        for label in self.findChildren(QLabel):
            label.setTextFormat(Qt.TextFormat.PlainText)


def tip(text: str) -> str:
    """Text for a tip, which Qt may only guess at: escaped where it would be taken for HTML."""
    return Rich.convertFromPlainText(text, Qt.WhiteSpaceMode.WhiteSpaceNormal) if Rich.mightBeRichText(text) else text


def set_tip(thing: QWidget | QAction, text: str) -> None:
    """Say something where the mouse rests."""
    thing.setToolTip(tip(text))


def menu_words(text: str) -> str:
    """Words of a menu on one line, in which no "&" names a key."""
    return one_line(text).replace("&", "&&")
