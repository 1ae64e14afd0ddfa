"""Rows in which something is chosen from a short list of words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent, QPalette, QPolygonF, QWheelEvent
from PySide6.QtWidgets import QComboBox, QWidget

from app.window.entries import Entry, choice_words
from app.window.rows import CHOICE_WIDTH, EntryRow, Hands, step_text
from geometry.document import Build, value_at


class Chooser(QComboBox):
    """A box of words that a turning wheel does not change by chance."""

    def __init__(self, on_focus: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._on_focus = on_focus
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.setMinimumHeight(28)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box and its small triangle, which a style sheet cannot draw."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.palette().color(QPalette.ColorRole.Dark))
        x, y = self.width() - 12, self.height() / 2
        painter.drawPolygon(QPolygonF([QPointF(x - 5, y - 2.5), QPointF(x + 5, y - 2.5), QPointF(x, y + 3.5)]))
        painter.end()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page."""
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the cursor entered."""
        super().focusInEvent(event)
        self._on_focus()


class ChoiceRow(EntryRow):
    """One word of a few."""

    def __init__(self, entry: Entry, hands: Hands, parent: QWidget | None = None) -> None:
        super().__init__(entry, hands, parent)
        self.box = Chooser(lambda: hands.focused(entry))
        self.box.setAccessibleName(entry.title)
        for choice in entry.choices:
            self.box.addItem(choice_words(choice), choice)
        self.box.activated.connect(self._chosen)
        self.box.setFixedWidth(CHOICE_WIDTH)
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(self.box, 0, 1)
        self.grid.addWidget(self.complaint, 1, 0, 1, 2)
        self.title.setBuddy(self.box)

    def editors(self) -> list[QWidget]:
        """Return the box."""
        return [self.box]

    def show_build(self, build: Build) -> None:
        """Show the choice; where the section is not there yet, what it would begin with, which is the first word."""
        value = value_at(build, self.entry.path)
        self.box.setCurrentIndex(max(0, self.box.findData(value)))

    def _chosen(self, index: int) -> None:
        choice = self.box.itemData(index)
        sentence = self._hands.take({self.entry.path: choice}, step_text(self.entry.title, choice_words(choice)))
        self.complain(sentence or "")


class KindRow(EntryRow):
    """What kind a section is of: leaf springs or links, one piece or two. Changing it is one step of the history."""

    def __init__(
        self,
        entry: Entry,
        kinds: Mapping[str, str],
        hands: Hands,
        change: Callable[[str], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(entry, hands, parent)
        self._change = change
        self.box = Chooser(lambda: hands.focused(entry))
        self.box.setAccessibleName(entry.title)
        for kind, words in kinds.items():
            self.box.addItem(words, kind)
        self.box.activated.connect(lambda index: self._change(str(self.box.itemData(index))))
        self.box.setFixedWidth(CHOICE_WIDTH)
        self.grid.addWidget(self.title, 0, 0)
        self.grid.addWidget(self.box, 0, 1)
        self.grid.addWidget(self.complaint, 1, 0, 1, 2)
        self.title.setBuddy(self.box)

    def editors(self) -> list[QWidget]:
        """Return the box."""
        return [self.box]

    def show_build(self, build: Build) -> None:
        """Show the kind; the first one where the section is not there yet."""
        value = value_at(build, self.entry.path)
        self.box.setCurrentIndex(max(0, self.box.findData(value)))
