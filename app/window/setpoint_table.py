"""The numbers to set by gauge and tape before tacking."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.setpoints import set_points, variant_words
from app.window.plain import Label
from geometry.document import Build
from geometry.words.solution import Solution

_ACROSS: Final = 2


def setpoint_rows(build: Build, solution: Solution) -> list[tuple[str, str]]:
    """What to set, which way, and to what, as on the sheet and in the order of the work; only what is known."""
    rows = []
    for one in set_points(build, solution):
        if one.value and not one.spare:
            label = one.label.removesuffix(" slope")
            way = one.note.rpartition(") ")[2]  # the other unit stands in brackets: the sheet has room for it
            rows.append((f"{label}, {way}" if way and not way.startswith("(") else label, one.value))
    return rows


class SetpointTable(QWidget):
    """Set-points, the number large and its name under it, two in a line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(14, 10, 12, 12)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(0)
        for column in range(_ACROSS):
            self._grid.setColumnStretch(column, 1)
        self._heading = Label("Set before tacking")
        self._heading.setObjectName("heading")
        self._heading.setContentsMargins(0, 0, 0, 4)
        self._grid.addWidget(self._heading, 0, 0, 1, _ACROSS)
        self._empty = Label("The numbers appear once the slopes of output, shaft and pinion are in.")
        self._empty.setObjectName("muted")
        self._empty.setWordWrap(True)
        self._grid.addWidget(self._empty, 1, 0, 1, _ACROSS)
        self._variant = Label()
        self._variant.setObjectName("muted")
        self._variant.setWordWrap(True)
        self._variant.hide()
        self._grid.addWidget(self._variant, 2, 0, 1, _ACROSS)
        self._cells: list[tuple[QLabel, QLabel]] = []
        self.rows: list[tuple[str, str]] = []

    def show_points(self, build: Build, solution: Solution) -> None:
        """Show other set-points."""
        points = solution.setpoints
        known = points.pinion_slope_deg is not None or points.axle_shim_deg is not None
        before, self.rows = self.rows, setpoint_rows(build, solution) if known else []
        variant = variant_words(build, solution) if known else ""
        self._variant.setVisible(bool(variant))
        self._variant.setText(variant)
        if self.rows == before:
            return
        self._empty.setVisible(not self.rows)
        while len(self._cells) < len(self.rows):
            self._cells.append(self._cell(len(self._cells)))
        for number, (name, value) in enumerate(self._cells):
            known = number < len(self.rows)
            if known and number < len(before) and self.rows[number] == before[number]:
                continue
            name.setVisible(known)
            value.setVisible(known)
            if known:
                name.setText(self.rows[number][0])
                value.setText(self.rows[number][1])
                value.setAccessibleName(": ".join(self.rows[number]))

    def _cell(self, number: int) -> tuple[QLabel, QLabel]:
        line, column = divmod(number, _ACROSS)
        name, value = Label(), Label()
        name.setObjectName("under")
        name.setIndent(0)
        name.setWordWrap(True)
        name.setAlignment(Qt.AlignmentFlag.AlignTop)
        value.setObjectName("number")
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._grid.addWidget(value, 3 + 2 * line, column)
        self._grid.addWidget(name, 4 + 2 * line, column)
        return name, value
