"""The numbers to set by gauge and tape before tacking."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.units import show, show_tape
from geometry.solution import SetPoints
from geometry.vehicle import Display

_ACROSS: Final = 2


def setpoint_rows(points: SetPoints, display: Display) -> list[tuple[str, str]]:
    """What to set and to what, in the order of the work; only what is known.

    Slopes are what a gauge reads with the vehicle on its tyres, lengths what a tape reads.
    """
    rows: list[tuple[str, str | None]] = [
        ("output", _degrees(points.output_slope_deg, display)),
        ("pinion, best", _degrees(points.pinion_slope_deg, display)),
        ("wedge at the perches", _wedge(points.axle_shim_deg, display)),
        ("rear mount shim", _shim(points.mount_shim_mm, display)),
        ("spring seat to pinion", _degrees(points.perch_to_pinion_deg, display)),
        ("shaft", _degrees(points.shaft_slope_deg, display)),
        ("joint to joint", None if points.shaft_length_mm is None else show(points.shaft_length_mm, "mm", display)),
        ("slip engaged", None if points.slip_engaged_mm is None else show_tape(points.slip_engaged_mm, display)),
    ]
    return [(name, value) for name, value in rows if value is not None]


def _degrees(value: float | None, display: Display) -> str | None:
    return None if value is None else show(value, "deg", display)


def _wedge(value: float | None, display: Display) -> str | None:
    if value is None:
        return None
    if value == 0.0:
        return "none"
    return f"{show(abs(value), 'deg', display)} nose {'up' if value > 0.0 else 'down'}"


def _shim(value: float | None, display: Display) -> str | None:
    if value is None:
        return None
    return "none" if value == 0.0 else show_tape(value, display)


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
        self._heading = QLabel("Set before tacking")
        self._heading.setObjectName("heading")
        self._grid.addWidget(self._heading, 0, 0, 1, _ACROSS)
        self._empty = QLabel("The numbers appear once the slopes of output, shaft and pinion are in.")
        self._empty.setObjectName("muted")
        self._empty.setWordWrap(True)
        self._grid.addWidget(self._empty, 1, 0, 1, _ACROSS)
        self._cells: list[tuple[QLabel, QLabel]] = []
        self.rows: list[tuple[str, str]] = []

    def show_points(self, points: SetPoints, display: Display) -> None:
        """Show other set-points."""
        before, self.rows = self.rows, setpoint_rows(points, display) if points.pinion_slope_deg is not None else []
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
        name, value = QLabel(), QLabel()
        name.setObjectName("under")
        name.setIndent(0)
        value.setObjectName("number")
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._grid.addWidget(value, 2 + 2 * line, column)
        self._grid.addWidget(name, 3 + 2 * line, column)
        return name, value
