"""The sheet for the printer and the print preview: the same figure as the PDF file, painted with Qt."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.sheet.figure import build_figure
from app.sheet.page import PaperName
from app.sheet.qt_renderer import QtRenderer
from geometry.document import Build
from geometry.words.solution import Solution


def paint_sheet(
    painter: QPainter,
    rect: QRectF,
    build: Build,
    solution: Solution,
    paper: PaperName = "letter",
    source_name: str = "",
    printed_on: date | None = None,
) -> None:
    """Paint the sheet into a box of the painter, as large as it goes in whole, in the middle; vectors throughout.

    `rect` is the paper itself: the sheet keeps its own margins. The painter is left as it was.
    """
    figure = build_figure(build, solution, paper, source_name=source_name, printed_on=printed_on)
    width, height = (float(size) for size in figure.bbox.size)
    scale = min(rect.width() / width, rect.height() / height)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(
        rect.left() + 0.5 * (rect.width() - scale * width), rect.top() + 0.5 * (rect.height() - scale * height)
    )
    painter.scale(scale, scale)
    figure.draw(QtRenderer(painter, width, height, float(figure.dpi)))
    painter.restore()
