"""Short pages that the window shows: how to measure, and the cautions."""

from __future__ import annotations

from html import escape
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from app.cautions import CAUTIONS

_HOW_TO_MEASURE: Final = """
Before anything
Level floor, vehicle on its tyres at ride height, or on stands under the axle so that the springs carry it.
Set the angle gauge to zero on a surface that you know is level, or note what it reads there.

The sign of a slope
Follow a line toward the rear of the vehicle. When its rear end is lower, the slope is positive. A tail that
hangs down is positive; so is a rear pinion whose nose points up. Two parallel ends carry the same number.

Output
Gauge on a machined face square to the output shaft (then turn the reading a quarter), or along the output yoke.

Shaft
Gauge on the tube, away from welds and weights. With no shaft in place, hold a straight stick from yoke to yoke.

Pinion
Gauge on the pinion flange's face, square to the pinion, or along the pinion's yoke.

Length
Tape from the centre of the front joint's cross to the centre of the rear one, with the vehicle at ride height.

Points
Drop a plumb line to the floor. Rearward counts from the front axle's centre line, right from the vehicle's
centre line, up from the floor. Left of the centre line and ahead of the front axle are negative.

How finely the gauge reads
Read one surface five times, lifting the gauge between. Half the spread goes into “Gauge and tape”; the verdict
then says when a difference is smaller than your gauge can tell.

Typing
As the tape reads: 3 1/2, 3-1/2 in, 4' 3 1/2", 88.9 mm, 3°30'. A bare number is in the unit beside the field.
Enter goes to the next field, Escape gives up what was typed.

Without a mouse
F6 goes round: measurements, plan, drawing, travel, findings, set-points; Control with 1 to 5 goes to one of
them at once. Tab and Enter go from field to field and from section to section, Control with the arrows from
section to section, F4 to the next measurement that is wanted. Enter or Space presses whatever has the frame. In
the plan the arrows step, with Shift four steps at once; Alt with 1 to 4 goes to one of its cells, F7 shows the
vehicle without it. In the drawing S shows the shaft, W the whole vehicle, A the axle; plus and minus magnify.
In the findings the arrows go through the list, Enter applies the first way out, the right arrow goes to the
others.
"""
"""Paragraphs: the first line is the heading."""


def how_to_measure_html() -> str:
    """The page on measuring."""
    parts = (part.partition("\n") for part in _HOW_TO_MEASURE.strip().split("\n\n"))
    return "".join(f"<h3>{escape(head)}</h3><p>{escape(text)}</p>" for head, _, text in parts)


def cautions_html() -> str:
    """All cautions, in the order of the work."""
    return "<ol>" + "".join(f"<li><p>{escape(text)}</p></li>" for text in CAUTIONS) + "</ol>"


class PageDialog(QDialog):
    """A page with a button to close it; the window behind it stays usable."""

    def __init__(self, title: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(620, 640)
        self.page = QTextBrowser()
        self.page.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.page.setHtml(html)
        self.page.setAccessibleName(title)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 16, 12)
        column.addWidget(self.page)
        column.addWidget(buttons)


def show_how_to_measure(parent: QWidget) -> PageDialog:
    """Open the page on measuring."""
    return _opened(PageDialog("How to measure", how_to_measure_html(), parent))


def show_cautions(parent: QWidget) -> PageDialog:
    """Open the cautions."""
    return _opened(PageDialog("Cautions", cautions_html(), parent))


def _opened(dialog: PageDialog) -> PageDialog:
    dialog.show()
    return dialog
