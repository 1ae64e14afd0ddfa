"""The findings as a list, worst first: shape, word, title, value, and the part that each is about."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.amounts import amount, limit_words, telling_places
from app.sketch.palette import LIGHT, VERDICT_WORDS, Theme, mixed
from app.window.plain import tip
from app.window.shapes import paint_verdict
from app.window.theme import LABEL_PT, sized
from geometry.document.vehicle import Display
from geometry.words.solution import Finding

_Index = QModelIndex | QPersistentModelIndex
_NOWHERE: Final = QModelIndex()
FINDING: Final = int(Qt.ItemDataRole.UserRole)
_PART_WORDS: Final = {"torque_bars": "torque bars", "lateral_link": "lateral link", "suspension": "springs or links"}


def part_words(part: str) -> str:
    """Part of the drawing in words."""
    return _PART_WORDS.get(part, part.replace("_", " "))


def value_words(finding: Finding, display: Display) -> str:
    """Value of a finding with its unit, or nothing where it has none."""
    if finding.value is None:
        return ""
    return amount(finding.value, finding.unit, display, telling_places(finding, display))


def line_words(finding: Finding, display: Display) -> tuple[str, ...]:
    """Second line of a finding, longest first: its verdict's word, its part, and its limit where that is passed."""
    words = f"{VERDICT_WORDS[finding.verdict]} · {part_words(finding.part)}"
    limit = limit_words(finding, display, bare=True) if finding.verdict in {"hold", "caution"} else ""
    return (f"{words} · {limit}", words) if limit else (words,)


class FindingModel(QAbstractListModel):
    """Findings of the solution that is shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._findings: tuple[Finding, ...] = ()
        self._display = Display()

    @property
    def display(self) -> Display:
        """Units that the values are worded in."""
        return self._display

    def show_findings(self, findings: tuple[Finding, ...], display: Display) -> None:
        """Show other findings; where they are the same ones with other values, only the rows that changed."""
        before = self._findings
        if [(one.id, one.part) for one in before] != [(one.id, one.part) for one in findings]:
            self.beginResetModel()
            self._findings, self._display = findings, display
            self.endResetModel()
            return
        anew = display != self._display
        self._findings, self._display = findings, display
        for row, (old, new) in enumerate(zip(before, findings, strict=True)):
            if anew or old != new:
                self.dataChanged.emit(self.index(row), self.index(row))

    def row_of(self, key: tuple[str, str] | None) -> int:
        """Row of a finding by (id, part), or −1."""
        return next((row for row, one in enumerate(self._findings) if (one.id, one.part) == key), -1)

    def rowCount(self, parent: _Index = _NOWHERE) -> int:
        """How many there are."""
        return 0 if parent.isValid() else len(self._findings)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Finding, its title, or the whole line for a screen reader."""
        if not index.isValid() or index.row() >= len(self._findings):
            return None
        finding = self._findings[index.row()]
        if role == FINDING:
            return finding
        if role == Qt.ItemDataRole.DisplayRole:
            return finding.title
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(finding.says)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            words = [VERDICT_WORDS[finding.verdict], finding.title, part_words(finding.part)]
            if finding.value is not None:
                words += [value_words(finding, self._display), limit_words(finding, self._display)]
            return ", ".join(part for part in words if part)
        return None


class FindingDelegate(QStyledItemDelegate):
    """Paints one finding on two lines."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme: Theme = LIGHT

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """Two lines and air."""
        del index
        return QSize(120, 2 * option.fontMetrics.height() + 12)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint shape, title, value and second line."""
        finding = index.data(FINDING)
        model = index.model()
        if not isinstance(finding, Finding) or not isinstance(model, FindingModel):
            return
        theme = self.theme
        box = QRectF(option.rect)
        state = option.state
        painter.save()
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(box, QColor(mixed(theme.accent, theme.paper, 0.13)))
            painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), QColor(theme.accent))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(box, QColor(theme.grid))
        colour = theme.colour(finding.verdict)
        loud = finding.verdict in {"hold", "caution"}
        paint_verdict(painter, QRectF(box.left() + 12, box.center().y() - 7.5, 15, 15), finding.verdict, colour)
        base = option.font
        left, right = box.left() + 38, box.right() - 10
        half = box.height() / 2
        low, high = Qt.AlignmentFlag.AlignBottom, Qt.AlignmentFlag.AlignTop
        painter.setFont(sized(base, LABEL_PT, bold=loud))
        painter.setPen(QColor(theme.ink))
        title = painter.fontMetrics().elidedText(finding.title, Qt.TextElideMode.ElideRight, int(right - left))
        painter.drawText(QRectF(left, box.top(), right - left, half), low, title)
        painter.setFont(sized(base, LABEL_PT, bold=loud))
        value = value_words(finding, model.display)
        wide = painter.fontMetrics().horizontalAdvance(value)
        painter.setPen(QColor(colour if loud else theme.ink))
        painter.drawText(QRectF(right - wide, box.top() + half, wide + 1, half), high, value)
        painter.setFont(sized(base, LABEL_PT - 1))
        painter.setPen(QColor(theme.muted))
        room = right - wide - 8 - left
        metrics, lines = painter.fontMetrics(), line_words(finding, model.display)
        words = next((one for one in lines if metrics.horizontalAdvance(one) < int(room)), lines[-1])
        words = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, int(room))
        painter.drawText(QRectF(left, box.top() + half, room, half), high, words)
        if chosen and option.widget is not None and option.widget.hasFocus():
            painter.setPen(QPen(QColor(theme.accent), 2))
            painter.drawRect(box.adjusted(1, 1, -1, -1))
        painter.restore()


class FindingList(QListView):
    """The list; arrow keys go through it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.findings = FindingModel(self)
        self.painter_of_rows = FindingDelegate(self)
        self.setModel(self.findings)
        self.setItemDelegate(self.painter_of_rows)
        self.setMouseTracking(True)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QListView.SelectionMode.SingleSelection)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setAccessibleName("Findings, worst first")

    @property
    def chosen(self) -> Finding | None:
        """The finding that is selected."""
        finding = self.currentIndex().data(FINDING)
        return finding if isinstance(finding, Finding) else None

    def choose(self, key: tuple[str, str] | None) -> None:
        """Select a finding by (id, part)."""
        row = self.findings.row_of(key)
        if row != self.currentIndex().row():
            self.setCurrentIndex(self.findings.index(row) if row >= 0 else QModelIndex())
