"""Rows in which something is chosen from a short list of words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QPolygonF, QWheelEvent
from PySide6.QtWidgets import QComboBox, QWidget

from app.measuring.entries import Choice, Entry, choice_words
from app.window.form.rows import CHOICE_WIDTH, EntryRow, Hands, step_text
from app.window.theme import sized
from geometry.document import Build, value_at

_WORDS_PT: Final = 10
_BESIDE_PX: Final = 30  # the frame, the room around the word, and the triangle


class Chooser(QComboBox):
    """A box of words that a turning wheel does not change by chance; Enter opens it, as Space does.

    `done` says that a word was chosen after that.
    """

    done = Signal()

    def __init__(self, on_focus: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._on_focus = on_focus
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.setMinimumHeight(28)
        self.setStyleSheet(f"font-size: {_WORDS_PT}pt")
        self._by_key = False
        self.activated.connect(self._tell_done, Qt.ConnectionType.QueuedConnection)  # once it is taken

    def wanted_width(self) -> int:
        """Width in which each of its words is whole."""
        metrics = QFontMetrics(sized(_WORDS_PT))
        return max(metrics.horizontalAdvance(self.itemText(place)) for place in range(self.count())) + _BESIDE_PX

    def showPopup(self) -> None:
        """Show all words, each whole."""
        self.view().setMinimumWidth(max(self.width(), self.wanted_width()))
        super().showPopup()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens the words. A digit is meant for a field: it chooses none of them while they are shut."""
        self._by_key = event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.showPopup()
        elif event.text().isdigit():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _tell_done(self) -> None:
        if self._by_key:
            self._by_key = False
            self.done.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box and its small triangle, which a style sheet cannot draw."""
        super().paintEvent(event)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self.palette().color(QPalette.ColorRole.Dark))
            x, y = self.width() - 12, self.height() / 2
            painter.drawPolygon(QPolygonF([QPointF(x - 5, y - 2.5), QPointF(x + 5, y - 2.5), QPointF(x, y + 3.5)]))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page."""
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the cursor entered."""
        super().focusInEvent(event)
        self._on_focus()


class _BoxRow(EntryRow):
    """An entry with a box of words beside its title."""

    def __init__(
        self, entry: Entry, words: Sequence[tuple[Choice, str]], hands: Hands, parent: QWidget | None = None
    ) -> None:
        super().__init__(entry, hands, parent)
        self._held = 0
        self.box = Chooser(lambda: hands.focused(entry))
        self.box.setAccessibleName(entry.title)
        for value, text in words:
            self.box.addItem(text, value)
        self.box.activated.connect(lambda index: self._chosen(self.box.itemData(index)))
        self.box.done.connect(self.settled)
        self.box.setFixedWidth(max(CHOICE_WIDTH, self.box.wanted_width()))
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(self.box, 0, 1)
        self.grid.addWidget(self.complaint, 1, 0, 1, 2)
        self.title.setBuddy(self.box)

    def editors(self) -> list[QWidget]:
        """Return the box."""
        return [self.box]

    def show_build(self, build: Build) -> None:
        """Show the choice; where the section is not there yet, what it would begin with, which is the first word."""
        self._held = max(0, self.box.findData(value_at(build, self.entry.path)))
        self.box.setCurrentIndex(self._held)
        if not self.complaint.isHidden():
            self.complain("")

    def _chosen(self, value: Choice) -> None:
        raise NotImplementedError


class ChoiceRow(_BoxRow):
    """One word of a few."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, [(choice, choice_words(choice)) for choice in entry.choices], hands, parent)

    def _chosen(self, value: Choice) -> None:
        shown = "" if value is None else choice_words(value)
        sentence = self._hands.take({self.entry.path: value}, step_text(self.entry.title, shown))
        if sentence is not None:  # as no typing is lost, the box goes back to what holds
            self.box.setCurrentIndex(self._held)
        self.complain(sentence or "")


class KindRow(_BoxRow):
    """What kind a section is of: leaf springs or links, one piece or two. Changing it is one step of the history."""

    def __init__(
        self,
        entry: Entry,
        kinds: Mapping[str, str],
        hands: Hands,
        change: Callable[[str], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(entry, list(kinds.items()), hands, parent)
        self._change = change

    def _chosen(self, value: Choice) -> None:
        self._change(str(value))
