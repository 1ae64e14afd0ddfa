"""An obstacle by its size instead of its corners: a crossmember, a pipe or tank, a floor."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QGridLayout, QLineEdit, QVBoxLayout, QWidget

from app.reading import ReadingError, parse
from app.units import DisplayChoice, shown_unit
from app.window.form.choice_rows import Chooser
from app.window.plain import Label

Corner = tuple[float, float]
_SIDES: Final = 16
_REARWARD: Final = "rearward of the front axle"
_FIELDS: Final = {
    "crossmember": (f"Middle, {_REARWARD}", "Underside, up from the floor", "Width along the vehicle", "Height"),
    "pipe": (f"Middle, {_REARWARD}", "Middle, up from the floor", "Diameter"),
    "floor": (f"From, {_REARWARD}", f"To, {_REARWARD}", "Underside, up from the floor", "Thickness"),
}
"""For each kind what is read off, in the order of the fields."""
KINDS: Final = tuple(_FIELDS)


def outline_of(kind: str, sizes: tuple[float, ...]) -> tuple[Corner, ...]:
    """Corners in side view of an obstacle of some kind, mm.

    >>> outline_of("crossmember", (1500.0, 400.0, 60.0, 50.0))
    ((1470.0, 400.0), (1530.0, 400.0), (1530.0, 450.0), (1470.0, 450.0))
    """
    if kind == "pipe":
        x, z, across = sizes
        # Round the circle, so that no part of it is left out.
        radius = across / 2.0 / math.cos(math.pi / _SIDES)
        turns = [2.0 * math.pi * (side + 0.5) / _SIDES for side in range(_SIDES)]
        return tuple((round(x + radius * math.cos(one), 3), round(z + radius * math.sin(one), 3)) for one in turns)
    if kind == "floor":
        first, last, low, thick = sizes
    else:
        middle, low, wide, thick = sizes
        first, last = middle - wide / 2.0, middle + wide / 2.0
    first, last = sorted((first, last))
    return ((first, low), (last, low), (last, low + thick), (first, low + thick))


class BySize(QDialog):
    """Asks for kind and sizes; `made` is the obstacle once it was accepted."""

    def __init__(self, parent: QWidget, display: DisplayChoice) -> None:
        super().__init__(parent)
        self._display = display
        self.made: Mapping[str, object] | None = None
        self.setWindowTitle("Obstacle by its size")
        self.kind = Chooser(lambda: None)
        self.kind.addItems([f"a {kind}" for kind in KINDS])
        self.kind.currentIndexChanged.connect(lambda _: self._show())
        self.labels = [Label() for _ in range(4)]
        self.edits = [QLineEdit() for _ in range(4)]
        self.signs: list[Label] = []
        self.complaint = Label()
        self.complaint.setObjectName("complaint")
        self.complaint.setWordWrap(True)
        grid = QGridLayout()
        grid.addWidget(self.kind, 0, 0, 1, 3)
        unit = shown_unit("mm", display).symbol
        for row, (label, edit) in enumerate(zip(self.labels, self.edits, strict=True), start=1):
            edit.setFixedWidth(90)
            edit.setAlignment(Qt.AlignmentFlag.AlignRight)
            grid.addWidget(label, row, 0)
            grid.addWidget(edit, row, 1)
            sign = Label(unit)
            grid.addWidget(sign, row, 2)
            self.signs.append(sign)
            edit.textEdited.connect(lambda _: self.complaint.clear())
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText("Add it")
        buttons.accepted.connect(self._go_on)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 14)
        column.addLayout(grid)
        column.addWidget(self.complaint)
        column.addWidget(buttons)
        self.edits[0].setFocus()
        self._show()

    @property
    def _asked(self) -> tuple[str, ...]:
        return _FIELDS[KINDS[self.kind.currentIndex()]]

    def _show(self) -> None:
        for number, (label, edit) in enumerate(zip(self.labels, self.edits, strict=True)):
            asked = number < len(self._asked)
            label.setVisible(asked)
            edit.setVisible(asked)
            self.signs[number].setVisible(asked)
            if asked:
                label.setText(self._asked[number])
                edit.setAccessibleName(self._asked[number])

    def _go_on(self) -> None:
        """Enter goes from what is typed on to the next field, as in the form; from the last one it adds."""
        asked = self.edits[: len(self._asked)]
        here = next((place for place, edit in enumerate(asked) if edit is self.focusWidget()), None)
        if here is not None and asked[here].text().strip():
            after = next((edit for edit in asked[here + 1 :] if not edit.text().strip()), None)
            if after is not None:
                after.setFocus()
                return
        self._take()

    def _take(self) -> None:
        """Read the sizes; what cannot be read is said, and nothing is added."""
        kind, sizes = KINDS[self.kind.currentIndex()], list[float]()
        for name, edit in zip(self._asked, self.edits, strict=False):
            try:
                sizes.append(parse(edit.text(), "mm", self._display))
            except ReadingError as error:
                self.complaint.setText(f"{name}: {error}")
                edit.setFocus()
                return
        sized = list(zip(self._asked, sizes, self.edits, strict=False))
        for name, size, edit in sized[3 if kind == "floor" else 2 :]:
            if size <= 0.0:
                self.complaint.setText(f"{name} must be more than nothing; type what you measured.")
                edit.setFocus()
                return
        self.made = {"name": kind, "view": "side", "outline_mm": outline_of(kind, tuple(sizes))}
        self.accept()
