"""The list of findings: whole rows, numbered as in the drawing; what does not fit is counted under them."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPolygonF,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QListView,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.drawing.palette import LIGHT, VERDICT_WORDS, Theme, mixed
from app.naming import part_words
from app.window.findings.press import Press
from app.window.findings.rows import Row, apart, name_of, rows_of, value_of, values_of
from app.window.painted import elided, frame
from app.window.plain import set_tip
from app.window.shapes import paint_verdict
from app.window.theme import sized, words_wide
from geometry.document import Build
from geometry.words.solution import Finding, Solution

_Index = QModelIndex | QPersistentModelIndex
_NOWHERE: Final = QModelIndex()
ROW: Final = int(Qt.ItemDataRole.UserRole)
TWO_LINES, ONE_LINE = 40, 24
_BELOW_PX: Final = 24
LEAST_LIST: Final = 3 * ONE_LINE + _BELOW_PX
"""Height under which the list never goes."""
_NUMBERS_PX: Final = 15.0
CHOSEN: Final = 0.09
"""Share of accent behind the chosen row: more would take the muted words below their contrast."""


class FindingRows(QAbstractListModel):
    """Rows of the solution that is shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[Row] = []
        self.build = Build()
        self.wanted = ""

    def show_rows(self, rows: list[Row]) -> None:
        """Show other rows."""
        if [(one.kind, one.keys) for one in self.rows] != [(one.kind, one.keys) for one in rows]:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        elif rows:
            self.rows = rows
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))

    def row_of(self, key: tuple[str, str] | None) -> int:
        """Row that tells a finding by (id, part), or −1: the row of its own before one that counts it."""
        found = [place for place, row in enumerate(self.rows) if key is not None and key in row.keys]
        return found[-1] if found else -1

    def rowCount(self, parent: _Index = _NOWHERE) -> int:
        """How many there are."""
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The row, its name, or the whole of it for a screen reader."""
        if not index.isValid() or index.row() >= len(self.rows):
            return None
        row = self.rows[index.row()]
        if role == ROW:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return self._name(row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if row.kind in {"unknown", "clear"}:
                return self._name(row)
            first = row.findings[0]
            parts = " and ".join(part_words(one.part) for one in row.findings)
            return f"{VERDICT_WORDS[first.verdict]}, {first.title}, {parts}, {value_of(first, self.build)}"
        return None

    def _name(self, row: Row) -> str:
        if row.kind == "unknown":
            return _counted(row) + (f", measure next: {self.wanted}" if self.wanted else "")
        return _counted(row) if row.kind == "clear" else row.findings[0].title


class RowPainter(QStyledItemDelegate):
    """Paints one row on two lines, or on one where there are many."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = LIGHT
        self.lines = 2
        self.opened = False
        self.tall_unknown = False
        """Whether what is to be measured next needs a line of its own."""

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """As high as its lines; what is clear takes one."""
        del option
        row = index.data(ROW)
        return QSize(120, self.height(row) if isinstance(row, Row) else ONE_LINE)

    def height(self, row: Row) -> int:
        """Height of a row."""
        if row.kind == "unknown" and self.tall_unknown:
            return TWO_LINES
        return TWO_LINES if self.lines == 2 and row.kind in {"finding", "unknown"} else ONE_LINE

    def one_line_wide(self, row: Row, build: Build, wanted: str) -> float:
        """Width that a row needs on one line, at its smaller size where it is a finding's."""
        if row.kind == "unknown":
            words = f"{_counted(row)}  measure next: {wanted}" if wanted else _counted(row)
            return 46.0 + words_wide(words, 10, bold=True)
        numbers = words_wide(" ".join(map(str, row.numbers)), 11, bold=True)
        name = words_wide(name_of(row), 9, bold=True)
        value = words_wide(values_of(row, build)[0], 9)
        return 32.0 + max(numbers, _NUMBERS_PX) + 6.0 + name + 8.0 + value + 12.0

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint shape, numbers, name, value and, on the second line, part and limit."""
        row, model = index.data(ROW), index.model()
        if not isinstance(row, Row) or not isinstance(model, FindingRows):
            return
        theme, box, state = self.theme, QRectF(option.rect), option.state
        if isinstance(option.widget, QListView) and option.rect.bottom() >= option.widget.viewport().height():
            return  # only whole rows are shown; this one is counted as below
        painter.save()
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(box, QColor(mixed(theme.accent, theme.paper, CHOSEN)))
            painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), QColor(theme.accent))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(box, QColor(theme.grid))
        if row.kind in {"finding", "fine"}:
            self._finding(painter, box, row, model)
        else:
            self._group(painter, box, row, model)
        if chosen and option.widget is not None and option.widget.hasFocus():
            frame(painter, box.adjusted(1, 1, -1, -1), theme)
        painter.restore()

    def _finding(self, painter: QPainter, box: QRectF, row: Row, model: FindingRows) -> None:
        theme, two = self.theme, self.height(row) == TWO_LINES
        colour, fine = theme.colour(row.verdict), row.kind == "fine"
        left = box.left() + (30.0 if fine else 12.0)
        size = 9.0 if fine else 13.0
        upper = QRectF(box.left(), box.top(), box.width(), 22.0 if two else box.height())
        paint_verdict(painter, QRectF(left, upper.center().y() - size / 2.0, size, size), row.verdict, colour)
        left += size + 7.0
        if row.numbers:
            numbers = " ".join(str(one) for one in row.numbers)
            wide = self._write(painter, QRectF(left, upper.top(), 60.0, upper.height()), numbers, colour, 11, bold=True)
            left += max(wide, 15.0) + 6.0
        right = box.right() - 12.0
        finding = row.findings[0]
        names = (finding.title, name_of(row)) if two or fine else (name_of(row),)
        if two:
            lower = QRectF(left, box.top() + 20.0, right - left, 18.0)
            told = self._write(painter, lower, value_of(finding, model.build), theme.ink, 10, right=True)
            lower.setWidth(lower.width() - told - 8.0)
            self._write(painter, lower, part_words(finding.part), theme.muted, 9)
            self._name(painter, QRectF(left, upper.top(), right - left, 22.0), names, theme.ink, (11, 10, 9), bold=True)
            return
        room = QRectF(left, upper.top(), right - left, upper.height())
        (value, limit), points = values_of(row, model.build), 10
        wide = words_wide(names[-1], 10, bold=True) + 8.0
        wide += words_wide(value, 10)
        if fine or wide > room.width():
            points = 9
        if wide + words_wide(limit, 9) <= room.width():
            room.setWidth(room.width() - self._write(painter, room, limit, theme.muted, 9, right=True))
        told = self._write(painter, room, value, theme.muted if fine else theme.ink, points, right=True)
        room.setWidth(room.width() - told - 8.0)
        self._name(painter, room, names, theme.ink, (points, 9), bold=not fine)

    def _name(
        self, painter: QPainter, box: QRectF, names: tuple[str, ...], colour: str, points: tuple[int, ...], *,
        bold: bool,
    ) -> None:  # fmt: skip
        """Write the first of some names that fits, in the largest size in which it does."""
        for name in names:
            for size in points:
                wide = words_wide(name, size, bold=bold)
                if wide <= box.width() or (name == names[-1] and size == points[-1]):
                    self._write(painter, box, name, colour, size, bold=bold)
                    return

    def _group(self, painter: QPainter, box: QRectF, row: Row, model: FindingRows) -> None:
        theme, unknown = self.theme, row.kind == "unknown"
        left, right = box.left() + 12.0, box.right() - 12.0
        two = self.height(row) == TWO_LINES
        upper = QRectF(box.left(), box.top(), box.width(), 22.0 if two else box.height())
        middle = upper.center().y()
        if not unknown:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(theme.muted))
            painter.drawPolygon(QPolygonF(_pointer(left + 4.0, middle, down=self.opened)))
            left += 16.0
        paint_verdict(painter, QRectF(left, middle - 6.0, 12.0, 12.0), row.verdict, theme.colour(row.verdict))
        left += 19.0
        words = _counted(row)
        wide = self._write(
            painter, QRectF(left, upper.top(), right - left, upper.height()), words, theme.ink, 10, bold=unknown
        )
        if unknown and model.wanted:
            words = f"measure next: {model.wanted}"
            if two:
                self._write(painter, QRectF(left, box.top() + 20.0, right - left, 18.0), words, theme.muted, 9)
            else:
                left += wide + 8.0
                self._write(painter, QRectF(left, upper.top(), right - left, upper.height()), words, theme.muted, 9)

    def _write(
        self, painter: QPainter, box: QRectF, text: str, colour: str, points: int, *, bold: bool = False,
        right: bool = False,
    ) -> float:  # fmt: skip
        """Write one line into a box, smaller before it is cut with an ellipsis, and return its width."""
        if not text or box.width() <= 4.0:
            return 0.0
        text, points = elided(text, box.width() + 1.0, points, bold=bold, least=min(points, 8))
        painter.setFont(sized(points, bold=bold))
        painter.setPen(QColor(colour))
        across = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        painter.drawText(box, across | Qt.AlignmentFlag.AlignVCenter, text)
        return words_wide(text, points, bold=bold)


def _counted(row: Row) -> str:
    return f"{len(row.findings)} {'not judged yet' if row.kind == 'unknown' else 'clear'}"


def _pointer(x: float, y: float, *, down: bool) -> list[QPointF]:
    if down:
        return [QPointF(x - 4.0, y - 3.0), QPointF(x + 6.0, y - 3.0), QPointF(x + 1.0, y + 4.0)]
    return [QPointF(x - 2.0, y - 5.0), QPointF(x + 5.0, y), QPointF(x - 2.0, y + 5.0)]


class _View(QListView):
    """The rows; arrows go through them. `entered` says that the first way out is wanted, `right` that all ways are,
    `turned` that the row's next finding is.
    """

    entered = Signal()
    right = Signal()
    turned = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._turned = 0

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter applies, right goes into the ways out, space goes on within the row."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Space:
            self.turned.emit()
        elif event.key() == Qt.Key.Key_Right:
            self.right.emit()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Go by whole rows, one a notch."""
        self._turned += event.angleDelta().y()
        notches = int(self._turned / 120)
        self._turned -= notches * 120
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() - notches)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A second press is a press."""
        self.mousePressEvent(event)


class FindingList(QWidget):
    """The list in its zone: as many whole rows as fit, and under them how many more there are."""

    chosen_changed = Signal()
    entered = Signal()
    going_right = Signal()
    wanting = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = FindingRows(self)
        self.row_painter = RowPainter(self)
        self.view = _View()
        self.view.setModel(self.model)
        self.view.setItemDelegate(self.row_painter)
        self.view.setMouseTracking(True)
        self.view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerItem)
        self.view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setSelectionMode(QListView.SelectionMode.SingleSelection)
        self.view.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.view.setAccessibleName("Findings, worst first")
        self.below = Press()
        self.below.setObjectName("quiet")
        self.below.setStyleSheet("font-size: 9pt; text-align: right; padding-right: 10px")
        self.below.setFixedHeight(_BELOW_PX)
        self.below.clicked.connect(self._go_below)
        set_tip(self.below, "Go on in the list")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.view)
        column.addWidget(self.below)
        column.addStretch(1)
        column.setSizeConstraint(
            QVBoxLayout.SizeConstraint.SetNoConstraint
        )  # the zone's height is not the rows' to say
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.setMinimumHeight(2 * ONE_LINE)  # not what its rows take now, or it could never become lower
        self.setFocusProxy(self.view)
        self._solution: Solution | None = None
        self._low: tuple[int, list[Row], bool] | None = None
        """What `_low_rows` found for what is shown, and for which width."""
        self._heights: list[int] = []
        self._opened = False
        self._quiet = False
        self._key: tuple[str, str] | None = None
        self._pressed, self._again = -1, False
        self.view.selectionModel().currentChanged.connect(lambda *_: self._moved())
        self.view.pressed.connect(lambda index: self._press(index.row()))
        self.view.clicked.connect(self._clicked)
        self.view.entered.connect(self._enter)
        self.view.turned.connect(self._turn)
        self.view.right.connect(self.going_right)
        self.view.verticalScrollBar().valueChanged.connect(lambda _: self._fit())

    @property
    def chosen(self) -> Finding | None:
        """The finding that is chosen; where a row was chosen that tells several, the first; of clear ones none."""
        row = self._row
        if row is None:
            return None
        first = None if row.kind == "clear" else row.findings[0]
        return next((one for one in row.findings if (one.id, one.part) == self._key), first)

    @property
    def _row(self) -> Row | None:
        row = self.view.currentIndex().data(ROW)
        return row if isinstance(row, Row) else None

    def show_theme(self, theme: Theme) -> None:
        """Take another theme's colours."""
        self.row_painter.theme = theme
        self.view.viewport().update()

    def show_solution(self, build: Build, solution: Solution, wanted: str) -> None:
        """Show other findings; what is chosen stays chosen."""
        self._solution, self.model.build, self.model.wanted, self._low = solution, build, wanted, None
        self._fill_again()

    def choose(self, key: tuple[str, str] | None) -> None:
        """Choose a finding by (id, part)."""
        row = self.model.row_of(key)
        self._key = key
        self._quiet = True
        if row != self.view.currentIndex().row():
            self.view.setCurrentIndex(self.model.index(row) if row >= 0 else QModelIndex())
        self._quiet = False
        self._into_sight()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many rows as fit."""
        super().resizeEvent(event)
        if self._solution is not None:
            self._fill_again()

    def _fill_again(self) -> None:
        """Fill the list and leave chosen what is: a finding, or the row that counts those of a kind."""
        chosen, row, key = self.chosen, self._row, self._key
        self._fill(None if chosen is None else (chosen.id, chosen.part))
        if row is not None and row.kind in {"clear", "unknown"} and (key is None or chosen is None):
            place = next((at for at, one in enumerate(self.model.rows) if one.kind == row.kind), -1)
            if place >= 0:
                self._quiet = True
                self.view.setCurrentIndex(self.model.index(place))
                self._quiet = False
                self._key = None
                self._into_sight()

    def _fill(self, kept: tuple[str, str] | None) -> None:
        solution = self._solution
        if solution is None:
            return
        self._quiet = True
        rows = rows_of(solution, paired=False, opened=self._opened)
        painter = self.row_painter
        painter.lines, painter.opened, painter.tall_unknown = 2, self._opened, False
        shut = [row for row in rows if row.kind != "fine"]
        if sum(painter.height(row) for row in shut) > self.height():
            painter.lines = 1
            low, painter.tall_unknown = self._low_rows()
            rows = [*low, *(row for row in rows if row.kind == "fine")]
        self.model.show_rows(rows)
        heights = [painter.height(row) for row in rows]
        self.below.setVisible(sum(heights) > self.height())
        if heights != self._heights:
            self._heights = heights
            self.view.scheduleDelayedItemsLayout()
        self._fit()
        self._quiet = False
        self.choose(kept)
        self._fit()

    def _low_rows(self) -> tuple[list[Row], bool]:
        """Rows of one line each, what is clear shut, and whether what is to be measured next needs another line."""
        solution, build, wanted, wide = self._solution, self.model.build, self.model.wanted, self.width()
        if solution is None:
            return [], False
        if self._low is None or self._low[0] != wide:
            rows, tall = [], False
            for row in rows_of(solution, paired=True, opened=False):
                whole = row.kind == "clear" or self.row_painter.one_line_wide(row, build, wanted) <= wide
                rows += [row] if whole or row.kind != "finding" else apart(row)
                tall = tall or (row.kind == "unknown" and not whole)
            self._low = (wide, rows, tall)
        return self._low[1:]

    def needs(self) -> int:
        """Height in which all rows are seen, what is clear shut, each on one line."""
        rows, tall = self._low_rows()
        return ONE_LINE * len(rows) + (TWO_LINES - ONE_LINE) * tall

    def _fit(self) -> None:
        """Make the view as high as the whole rows from the first in sight on, and say how many lie below."""
        rows, painter = self.model.rows, self.row_painter
        room = self.height() - (_BELOW_PX if self.below.isVisibleTo(self) else 0)
        first = self._first()
        used, shown = 0, 0
        for row in rows[first:]:
            if used + painter.height(row) > room:
                break
            used, shown = used + painter.height(row), shown + 1
        if shown == len(rows) - first:  # at the end: what is above fills what is left
            for row in reversed(rows[:first]):
                if used + painter.height(row) > room:
                    break
                used, first = used + painter.height(row), first - 1
        high = max(used, ONE_LINE)
        if self.view.height() != high or self.view.minimumHeight() != high:
            self.view.setFixedHeight(high)
        self._count()

    def _last(self) -> int:
        """The last row that is wholly in sight."""
        used, last = 0, self._first() - 1
        for row in self.model.rows[self._first() :]:
            used += self.row_painter.height(row)
            if used > self.view.height():
                break
            last += 1
        return last

    def _first(self) -> int:
        return min(max(self.view.verticalScrollBar().value(), 0), max(len(self.model.rows) - 1, 0))

    def _count(self) -> None:
        """Say how many rows lie under the last one in sight; at the end, how many lie above."""
        more, first = len(self.model.rows) - 1 - self._last(), self._first()
        clear = len(self.model.rows[-1].findings) if more and self.model.rows[-1].kind == "clear" else 0
        below = f"▾ {more - 1} more, {clear} clear" if clear and more > 1 else f"▾ {more} below"
        words = below if more else f"▴ {first} above" if first else ""
        self.below.setText(words)
        self.below.setAccessibleName(words[2:])

    def _into_sight(self) -> None:
        """Bring the chosen row wholly into sight."""
        index = self.view.currentIndex()
        if index.isValid():
            self.view.scrollTo(index, QListView.ScrollHint.EnsureVisible)

    def _go_below(self) -> None:
        """Choose the first row below, which brings it into sight; from the end go back to the first."""
        last = self._last()
        rows = self.model.rows
        place = last + 1 if last < len(rows) - 1 else 0
        index = self.model.index(place)
        self.view.setCurrentIndex(index)
        self.view.scrollTo(index, QListView.ScrollHint.PositionAtTop)

    def _moved(self) -> None:
        if not self._quiet:
            self._key, self._pressed = None, -1
            self.chosen_changed.emit()

    def _press(self, row: int) -> None:
        """Note whether the row was chosen before the press, which comes after the choice."""
        self._again = row == self._pressed
        self._pressed = row

    def _clicked(self, index: QModelIndex) -> None:
        row = index.data(ROW)
        if isinstance(row, Row) and (row.kind == "clear" or self._again):
            self._turn()

    def _enter(self) -> None:
        """Enter opens or closes what is clear; elsewhere it is for whoever has the ways out."""
        if self._row is not None and self._row.kind == "clear":
            self._turn()
        elif self._row is not None and self._row.kind == "unknown" and self._key is None and self.model.wanted:
            self.wanting.emit()
        else:
            self.entered.emit()

    def _turn(self) -> None:
        """Go on to the row's next finding; what is clear opens or closes."""
        row = self._row
        if row is None:
            return
        if row.kind == "clear":
            self._opened = not self._opened
            self._fill(None)
            self._quiet = True
            self.view.setCurrentIndex(self.model.index([one.kind for one in self.model.rows].index("clear")))
            self._quiet = False
        elif len(row.findings) > 1 and self.chosen is not None:
            after = row.findings[(row.findings.index(self.chosen) + 1) % len(row.findings)]
            self._key = (after.id, after.part)
            self.chosen_changed.emit()
