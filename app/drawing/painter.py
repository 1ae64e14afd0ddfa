"""Puts a drawing on anything that Qt paints on: the screen, a picture, a page."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import starmap
from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPagedPaintDevice, QPainter, QPen

from app.drawing.fonts import PX_PER_PT, SET_PX, font
from app.drawing.items import Disc, Item, Page, Shape, Stroke, Words

_NO_LINE: Final = Qt.PenStyle.NoPen

_WHOLE_POINTS: Final = 0.002
"""Share by which a paper may differ from itself where its size is kept in whole points."""


def paint(painter: QPainter, page: Page, *, paper: bool = True) -> None:
    """Paint a page in its own pixels, over its paper."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if paper:
        painter.fillRect(QRectF(0.0, 0.0, page.width, page.height), QColor(page.theme.paper))
    for layer in page.layers:
        painter.save()
        if layer.box is not None:
            left, top, right, bottom = layer.box
            painter.setClipRect(QRectF(left, top, right - left, bottom - top), Qt.ClipOperation.IntersectClip)
        paint_items(painter, layer.items)
        painter.restore()


def paint_pages(device: QPagedPaintDevice, pages: Sequence[Page]) -> None:
    """Paint pages on the pages of a printer or a PDF, each in its own size where the paper is the one that it is for.

    On another paper it is as large as it goes in whole, in the middle. Devices cut papers to whole points: that little
    off is no other paper, and a template keeps its scale. The device's own margins are taken to be none: a page keeps
    its own.
    """
    with QPainter(device) as painter:
        for number, page in enumerate(pages):
            if number:
                device.newPage()
            wide, high = float(device.width()), float(device.height())
            true, scale = device.logicalDpiX() / 96.0, min(wide / page.width, high / page.height)
            scale = true if abs(scale / true - 1.0) < _WHOLE_POINTS else scale
            painter.save()
            painter.translate((wide - scale * page.width) / 2.0, (high - scale * page.height) / 2.0)
            painter.scale(scale, scale)
            paint(painter, page)
            painter.restore()


def paint_items(painter: QPainter, items: tuple[Item, ...]) -> None:
    """Paint items one over the other."""
    hairline = 1.0 / painter.deviceTransform().m11()
    for item in items:
        if isinstance(item, Words):
            _words(painter, item)
        elif isinstance(item, Disc):
            painter.setPen(_pen(item.stroke) if item.stroke is not None else _NO_LINE)
            painter.setBrush(_brush(item.fill, 1.0))
            painter.drawEllipse(QPointF(*item.centre), item.radius, item.radius)
        else:
            _shape(painter, item, hairline)


def _shape(painter: QPainter, item: Shape, hairline: float) -> None:
    """Paint an outline or a line; where Qt would first work out the outline of a wide line, stretch by stretch."""
    stroke, outline = item.stroke, list(starmap(QPointF, item.points))
    wide = stroke is not None and stroke.width > hairline and not stroke.dash
    if item.closed and (item.fill or not wide):
        painter.setPen(_NO_LINE if stroke is None or wide else _pen(stroke))
        painter.setBrush(_brush(item.fill, item.opacity))
        painter.drawPolygon(outline)
    if stroke is None:
        return
    if wide:
        ends = [*outline[1:], outline[0]] if item.closed else outline[1:]
        painter.setPen(_pen(stroke, joined=len(ends) > 1))
        painter.drawLines(list(map(QLineF, outline, ends)))
    elif not item.closed:
        painter.setPen(_pen(stroke))
        painter.drawPolyline(outline)


def _words(painter: QPainter, item: Words) -> None:
    painter.setFont(font(bold=item.bold))
    painter.setPen(QColor(item.colour))
    size = item.pt * PX_PER_PT / SET_PX
    before = painter.transform()
    painter.translate(item.x, item.base)
    painter.scale(size, size)
    painter.drawText(QPointF(0.0, 0.0), item.text)
    painter.setTransform(before)


@lru_cache(maxsize=256)
def _pen(stroke: Stroke, *, joined: bool = False) -> QPen:
    """The pen of a line; of stretches that are `joined` each reaches over the corner."""
    pen = QPen(QColor(stroke.colour), stroke.width)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.SquareCap if joined else Qt.PenCapStyle.FlatCap)
    if stroke.dash:
        # A pen counts its dashes in its own widths.
        pen.setDashPattern([one / stroke.width for one in stroke.dash])
    return pen


@lru_cache(maxsize=256)
def _brush(fill: str, opacity: float) -> QBrush:
    if not fill:
        return QBrush(Qt.BrushStyle.NoBrush)
    colour = QColor(fill)
    colour.setAlphaF(opacity)
    return QBrush(colour)
