"""Words, leaders and verdict shapes of a page, painted by Qt: a text costs a hundredth of a matplotlib artist there."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPainter,
    QPen,
    QPolygonF,
    QRegion,
    QStaticText,
)

from app.sketch.camera import Rect
from app.sketch.grid import Words
from app.sketch.layout import Callout, Page, Shape
from app.sketch.palette import Theme, verdict_shape

_FALLBACK = "DejaVu Sans"


class WordPainter:
    """Fonts, prepared texts and their measures; one a canvas."""

    def __init__(self) -> None:
        self._family = font_family()
        self._fonts: dict[tuple[float, bool], QFont] = {}
        self._metrics: dict[tuple[float, bool], QFontMetricsF] = {}
        self._widths: dict[tuple[str, float, bool], float] = {}
        self._texts: dict[tuple[str, float, bool], QStaticText] = {}

    def measure(self, text: str, size_px: float, *, bold: bool) -> float:
        """Width of words, page pixels."""
        key = (text, size_px, bold)
        width = self._widths.get(key)
        if width is None:
            self._font(size_px, bold=bold)
            if len(self._widths) > 4000:
                self._widths.clear()
            width = self._widths[key] = self._metrics[size_px, bold].horizontalAdvance(text)
        return width

    def paint(self, painter: QPainter, page: Page, theme: Theme, region: QRegion) -> None:
        """Paint all words of a page that reach into a region of it."""
        callouts = [one for one in page.callouts if region.intersects(pixels(one.reach))]
        self._grounds(painter, callouts, page, _colour(theme.paper))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
        for callout in callouts:
            self._leader(painter, callout, theme)
        for callout in callouts:
            for shape in callout.shapes:
                _paint_shape(painter, shape, theme)
            for row in callout.words:
                self._row(painter, row, theme)
        for row in page.fixed:
            if region.intersects(pixels(self._around(row))):
                self._row(painter, row, theme)

    def _grounds(self, painter: QPainter, callouts: list[Callout], page: Page, paper: QColor) -> None:
        """Clear the paper under words."""
        for callout in callouts:
            if callout.placed.clear:
                for left, top, width, height in callout.grounds(self.measure):
                    painter.fillRect(QRectF(left, top, width, height), paper)
        for left, top, right, bottom in page.quiet:
            painter.fillRect(QRectF(left, top, right - left, bottom - top), paper)

    def write(self, painter: QPainter, text: str, x: float, baseline: float, size_px: float, colour: QColor) -> None:
        """Paint one row of words from its left end on its base line."""
        font = self._font(size_px, bold=False)
        painter.setFont(font)
        painter.setPen(colour)
        painter.drawText(QPointF(x, baseline), text)

    def rows(self, painter: QPainter, rows: Iterable[Words], theme: Theme) -> None:
        """Paint rows of words alone."""
        for row in rows:
            self._row(painter, row, theme)

    def _leader(self, painter: QPainter, callout: Callout, theme: Theme) -> None:
        if callout.placed.leader is None:
            return
        pen, brush = _leader_tools(theme.colour(callout.label.colour))
        x0, y0, x1, y1 = callout.placed.leader
        painter.setPen(pen)
        painter.drawLine(QPointF(x0, y0), QPointF(x1, y1))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(brush)
        if callout.on_page:
            painter.drawEllipse(QPointF(x0, y0), 2.2, 2.2)

    def _row(self, painter: QPainter, row: Words, theme: Theme) -> None:
        key = (row.text, row.size_px, row.bold)
        text = self._texts.get(key)
        font = self._font(row.size_px, bold=row.bold)
        if text is None:
            if len(self._texts) > 400:
                self._texts.clear()
            text = QStaticText(row.text)
            text.setTextFormat(Qt.TextFormat.PlainText)
            text.prepare(font=font)
            self._texts[key] = text
        x = row.x
        if row.align != "left":
            x -= self.measure(row.text, row.size_px, bold=row.bold) * (1.0 if row.align == "right" else 0.5)
        painter.setFont(font)
        painter.setPen(_colour(theme.colour(row.colour)))
        painter.drawStaticText(QPointF(x, row.baseline - self._metrics[row.size_px, row.bold].ascent()), text)

    def _around(self, row: Words) -> Rect:
        """Box round a row, with room to spare."""
        wide = self.measure(row.text, row.size_px, bold=row.bold) + row.size_px
        left = row.x - wide if row.align == "right" else row.x - 0.5 * wide if row.align == "centre" else row.x
        return Rect(left - row.size_px, row.baseline - 2.0 * row.size_px, left + wide, row.baseline + row.size_px)

    def _font(self, size_px: float, *, bold: bool) -> QFont:
        key = (size_px, bold)
        font = self._fonts.get(key)
        if font is None:
            font = QFont(self._family)
            font.setPixelSize(max(round(size_px), 1))
            font.setBold(bold)
            font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
            self._fonts[key] = font
            self._metrics[key] = QFontMetricsF(font)
        return font


def pixels(box: Rect) -> QRect:
    """Whole pixels round a box."""
    left, top = math.floor(box.left), math.floor(box.top)
    return QRect(left, top, math.ceil(box.right) - left, math.ceil(box.bottom) - top)


@lru_cache(maxsize=64)
def _leader_tools(colour: str) -> tuple[QPen, QBrush]:
    return QPen(_colour(colour), 1.15), QBrush(_colour(colour))


@lru_cache(maxsize=64)
def _colour(name: str) -> QColor:
    return QColor(name)


def _paint_shape(painter: QPainter, shape: Shape, theme: Theme) -> None:
    colour = _colour(theme.colour(shape.verdict))
    outline = verdict_shape(shape.verdict)
    filled = shape.verdict != "unknown"
    painter.setPen(Qt.PenStyle.NoPen if filled else QPen(colour, 1.4))
    painter.setBrush(QBrush(colour) if filled else Qt.BrushStyle.NoBrush)
    if outline:
        corners = [QPointF(shape.x + shape.half_px * x, shape.y + shape.half_px * y) for x, y in outline]
        painter.drawPolygon(QPolygonF(corners))
    else:
        painter.drawEllipse(QPointF(shape.x, shape.y), 0.9 * shape.half_px, 0.9 * shape.half_px)


@lru_cache(maxsize=1)
def font_family() -> str:
    """Family of the drawing's font, loaded from the files that come with matplotlib, so that screen and file agree."""
    from app.lettering import font_file

    families = []
    for bold in (False, True):
        number = QFontDatabase.addApplicationFont(font_file(bold=bold))
        families += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return families[0] if families else _FALLBACK
