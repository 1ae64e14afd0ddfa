"""Which tube: every one that can be had in one piece and in two, each judged whole, in a table that sorts."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.amounts import amount
from app.drawing.palette import Theme
from app.units import show
from app.window.document import Document
from app.window.plain import Label
from app.window.shapes import paint_verdict
from geometry.document.vehicle import Display
from geometry.words.solution import Verdict
from geometry.words.tubes import TubeOption, tube_options

HEADS: Final = (
    "Whole build", "Tube", "Pieces", "Of critical", "Shear", "Mass", "Least gap", "Widest Ø", "Least angle",
)  # fmt: skip
_MARK_PX: Final = 14
_SIZE: Final = (1160, 600)
_UNKNOWN: Final = "not known"
_RANKS: Final[dict[Verdict | None, int]] = {"hold": 3, "caution": 2, "unknown": 1, "clear": 0, None: 0}


class _Cell(QTableWidgetItem):
    """A cell that sorts by a number, not by its words; what is not known comes last."""

    def __init__(self, words: str, order: float | None) -> None:
        super().__init__(words)
        self.order = float("inf") if order is None else order

    def __lt__(self, other: QTableWidgetItem) -> bool:
        return isinstance(other, _Cell) and self.order < other.order


class TubeChoice(QDialog):
    """The table; the row that is chosen is told in words below it, and made the build's by a press.

    `own_wanted` is true once it was closed for the person's own list.
    """

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._theme = document, theme
        self.own_wanted = False
        self.setWindowTitle("Choose a tube")
        self.resize(*_SIZE)
        self.options = tube_options(document.build)
        lead = Label(
            "Each tube is judged with the whole build that has it: best first, and sorted anew by a press on a heading."
        )
        lead.setObjectName("muted")
        lead.setWordWrap(True)
        self.table = self._table()
        self.says = Label()
        self.says.setWordWrap(True)
        self.says.setMinimumHeight(54)
        self.apply = QPushButton("Make the shaft so")
        self.apply.setObjectName("apply")
        self.apply.clicked.connect(self._take)
        own = QPushButton("Enter the tubes that you can get")
        own.setObjectName("quiet")
        own.clicked.connect(self._go_to_own)
        close = QPushButton("Close")
        close.clicked.connect(self.reject)
        line = QHBoxLayout()
        line.addWidget(own)
        line.addStretch(1)
        line.addWidget(close)
        line.addWidget(self.apply)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 14)
        column.setSpacing(10)
        column.addWidget(lead)
        column.addWidget(self.table, 1)
        column.addWidget(self.says)
        column.addLayout(line)
        self.table.itemSelectionChanged.connect(self._told)
        self.table.selectRow(0)
        self.table.setFocus()

    @property
    def chosen(self) -> TubeOption:
        """The tube whose row is selected."""
        row = self.table.model().index(max(self.table.currentRow(), 0), 0)
        option: TubeOption = self.options[int(row.data(Qt.ItemDataRole.UserRole))]
        return option

    def _table(self) -> QTableWidget:
        table = QTableWidget(len(self.options), len(HEADS))
        table.setHorizontalHeaderLabels(list(HEADS))
        table.verticalHeader().hide()
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setTabKeyNavigation(False)
        table.setShowGrid(False)
        table.setIconSize(QSize(_MARK_PX, _MARK_PX))
        table.setAccessibleName("Tubes, best first")
        for row, option in enumerate(self.options):
            for column, (words, order, verdict) in enumerate(self._cells(row, option)):
                cell = _Cell(words, order)
                if verdict is not None:
                    cell.setIcon(self._mark(verdict))
                if column == 0:
                    cell.setData(Qt.ItemDataRole.UserRole, row)
                if option.present:
                    font = cell.font()
                    font.setBold(True)
                    cell.setFont(font)
                table.setItem(row, column, cell)
        table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        table.resizeColumnsToContents()
        table.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        table.setSortingEnabled(True)
        return table

    def _cells(self, row: int, option: TubeOption) -> tuple[tuple[str, float | None, Verdict | None], ...]:
        """Words, what they sort by, and the verdict's shape beside them."""
        display = self._document.build.display
        name = f"{option.name}{', as entered' if option.present else ''}"
        share, critical = option.share, option.critical_verdict
        used = _UNKNOWN if share is None else show(share, "ratio", display)
        gap = _length(option.gap_mm, display) if option.gap_verdict else "no obstacle"
        return (
            (_held(option), row, option.verdict),
            (name, option.outer_mm, None),
            (str(option.pieces), option.pieces, None),
            (used, share, critical),
            (_amount(option.shear_mpa, "MPa", display), option.shear_mpa, option.shear_verdict),
            (_amount(option.mass_kg, "kg", display), option.mass_kg, None),
            (gap, option.gap_mm, option.gap_verdict),
            (_length(option.swing_mm, display), option.swing_mm, None),
            (_amount(option.least_angle_deg, "deg", display), option.least_angle_deg, None),
        )

    def _mark(self, verdict: Verdict) -> QIcon:
        picture = QPixmap(_MARK_PX, _MARK_PX)
        picture.fill(Qt.GlobalColor.transparent)
        with QPainter(picture) as painter:
            paint_verdict(painter, QRectF(picture.rect()), verdict, self._theme.colour(verdict))
        return QIcon(picture)

    def _told(self) -> None:
        self.says.setText(self.chosen.says)
        self.apply.setEnabled(not self.chosen.present)

    def _take(self) -> None:
        pieces = "one piece" if self.chosen.pieces == 1 else "two pieces"
        self._document.apply(dict(self.chosen.changes), f"a shaft of {self.chosen.name} in {pieces}")
        self.accept()

    def _go_to_own(self) -> None:
        self.own_wanted = True
        self.reject()


def _held(option: TubeOption) -> str:
    """What holds and what warns, in a few letters."""
    held = [f"{count} {word}" for count, word in ((option.holds, "hold"), (option.cautions, "warn")) if count]
    return ", ".join(held) or option.verdict


def _amount(value: float | None, unit: str, display: Display) -> str:
    return _UNKNOWN if value is None else amount(value, unit, display)


def _length(value: float | None, display: Display) -> str:
    return _UNKNOWN if value is None else show(value, "mm", display)
