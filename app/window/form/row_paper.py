"""The rows of an open section: as many whole ones as there is room for, scrolled row by row."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRect, QSignalBlocker, QSize, Qt
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QLayoutItem, QScrollBar, QSizePolicy, QWidget

_BAR_PX: Final = 10
_LEAST_PX: Final = 34
_ABOVE: Final = 2
"""A row that is brought forward stands with so many above it, so that one sees where one comes from."""


class RowPaper(QWidget):
    """Shows a page of rows, none of them cut.

    Its own size never hangs on its rows, and the room for the bar is always kept: so laying it out once is enough. The
    row that was brought forward stays in sight while rows above it grow, until the person scrolls.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._clip = QWidget(self)
        self._page: QWidget | None = None
        self._lead: QWidget | None = None
        self._kept: QWidget | None = None
        self._at_work = False
        self.bar = QScrollBar(Qt.Orientation.Vertical, self)
        self.bar.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.bar.valueChanged.connect(self._scrolled)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        """Whatever there is."""
        return QSize(240, 4 * _LEAST_PX)

    def minimumSizeHint(self) -> QSize:
        """One row."""
        return QSize(120, _LEAST_PX)

    def set_page(self, page: QWidget, lead: QWidget | None) -> None:
        """Show other rows; `lead` is a sentence above them, which yields where it would take a row's room."""
        if self._page is not None:
            self._page.removeEventFilter(self)
            self._page.hide()
            self._page.deleteLater()
        self._page, self._lead, self._kept = page, lead, None
        page.setParent(self._clip)
        page.installEventFilter(self)
        page.show()
        self._arrange()

    def bring(self, widget: QWidget) -> None:
        """Bring a row, or what is in one, wholly into sight, and keep it there."""
        self._kept = widget
        self._arrange()

    def shows_whole(self, widget: QWidget) -> bool:
        """Whether the row of a widget is wholly in sight."""
        place = self._place_of(widget)
        first, last = self._in_sight()
        return place is not None and first <= place <= last

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many rows as fit now."""
        super().resizeEvent(event)
        self._arrange()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel scrolls by whole rows, wherever it turns."""
        QCoreApplication.sendEvent(self.bar, event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A row that grew or went asks for a new layout."""
        done = super().eventFilter(watched, event)
        if watched is self._page and event.type() == QEvent.Type.LayoutRequest:
            self._arrange()
            return True
        return done

    # ---- where the rows are

    def _items(self) -> list[QLayoutItem]:
        """What stands on the page, from top to bottom, but for what is hidden or empty."""
        layout = None if self._page is None else self._page.layout()
        if layout is None:
            return []
        found = (layout.itemAt(place) for place in range(layout.count()))
        return [one for one in found if one is not None and not one.isEmpty()]

    def _place_of(self, widget: QWidget) -> int | None:
        for place, item in enumerate(self._items()):
            own, inner = item.widget(), item.layout()
            if own is not None and (own is widget or own.isAncestorOf(widget)):
                return place
            if inner is not None and inner.indexOf(widget) >= 0:
                return place
        return None

    def _in_sight(self) -> tuple[int, int]:
        """First and last row that are wholly in sight."""
        boxes = [item.geometry() for item in self._items()]
        if not boxes:
            return 0, -1
        first = min(self.bar.value(), len(boxes) - 1)
        return first, _last_from(boxes, first, self.height())

    def _arrange(self) -> None:
        page = self._page
        layout = None if page is None else page.layout()
        if page is None or layout is None or self._at_work:
            return
        self._at_work = True
        wide = max(self.width() - _BAR_PX, 1)
        self._yield_lead(page, wide)
        high = _height(page, wide)
        page.resize(wide, high)
        layout.setGeometry(QRect(0, 0, wide, high))
        boxes = [item.geometry() for item in self._items()]
        with QSignalBlocker(self.bar):
            self.bar.setRange(0, _latest_first(boxes, self.height()))
            place = None if self._kept is None else self._place_of(self._kept)
            if place is not None:
                self._keep(boxes, place)
            first, last = self._in_sight()
            self.bar.setPageStep(max(last - first + 1, 1))
        self._show_from()
        self._at_work = False

    def _yield_lead(self, page: QWidget, wide: int) -> None:
        """Show the sentence above the rows where all fit with it; what it says of that never hangs on itself."""
        lead, layout = self._lead, page.layout()
        if lead is None or layout is None:
            return
        more = lead.heightForWidth(wide - layout.contentsMargins().left() - layout.contentsMargins().right())
        rows = _height(page, wide) - (0 if lead.isHidden() else more + layout.spacing())
        if lead.isHidden() is not (rows + more + layout.spacing() > self.height()):
            lead.setVisible(lead.isHidden())

    def _keep(self, boxes: list[QRect], place: int) -> None:
        first = self.bar.value()
        if first <= place <= _last_from(boxes, first, self.height()):
            return
        first = max(place - _ABOVE, 0)
        while first < place and _last_from(boxes, first, self.height()) < place:
            first += 1
        self.bar.setMaximum(max(self.bar.maximum(), first))
        self.bar.setValue(first)

    def _scrolled(self) -> None:
        self._kept = None
        self._show_from()

    def _show_from(self) -> None:
        """Let the page begin at the first row and end with the last that is whole, but with no heading alone."""
        items, (first, last) = self._items(), self._in_sight()
        boxes = [item.geometry() for item in items]
        if self._page is None or not boxes:
            return
        kept = None if self._kept is None else self._place_of(self._kept)
        if first < last < len(items) - 1 and last != kept and _is_heading(items[last]):
            last -= 1
        top = 0 if first == 0 else boxes[first].top()
        bottom = self._page.height() if last == len(boxes) - 1 else boxes[last].bottom() + 1
        high = min(max(bottom - top, 0), self.height())
        self._clip.setGeometry(0, 0, self.width() - _BAR_PX, high)
        self._page.move(0, -top)
        self.bar.setGeometry(self.width() - _BAR_PX, 0, _BAR_PX, high)
        self.bar.setVisible(self.bar.maximum() > 0)


def _is_heading(item: QLayoutItem) -> bool:
    """Whether a line of the page is a heading of rows behind it, with or without a button; a thing's own is a row."""
    line = item.layout()
    first = None if line is None else line.itemAt(0)
    widget = None if first is None else first.widget()
    return widget is not None and widget.property("leads") is True


def _height(page: QWidget, wide: int) -> int:
    layout = page.layout()
    assert layout is not None  # noqa: S101
    return layout.totalHeightForWidth(wide) if layout.hasHeightForWidth() else layout.totalSizeHint().height()


def _last_from(boxes: list[QRect], first: int, room: int) -> int:
    """Last row that is whole when the page begins with `first`; that one itself where it alone is too high."""
    top = 0 if first == 0 else boxes[first].top()
    last = first
    while last + 1 < len(boxes) and boxes[last + 1].bottom() < top + room:
        last += 1
    return last


def _latest_first(boxes: list[QRect], room: int) -> int:
    """First row of the last view: everything after it is in sight."""
    return next((first for first in range(len(boxes)) if _last_from(boxes, first, room) == len(boxes) - 1), 0)
