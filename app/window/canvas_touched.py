"""What of the drawing is to be painted again after an edit: where its strokes and its words are others than before."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from PySide6.QtGui import QRegion

from app.window.canvas_words import pixels

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QRect
    from PySide6.QtGui import QPainter

    from app.sketch.layout import Page


class Overlay(Protocol):
    """What paints over everything."""

    def paint(self, painter: QPainter) -> None:
        """Paint."""

    def stale(self) -> QRegion:
        """What it painted last and would paint now."""


def touched(strokes: Sequence[QRect], before: Page, now: Page) -> QRegion | None:
    """Region of these boxes of strokes and of the callouts that are others than before; None for the whole page."""
    if before.fixed != now.fixed or before.quiet != now.quiet:
        return None
    region = QRegion()
    for box in strokes:
        region += box
    new = {one.label.key: one for one in now.callouts}
    for one in before.callouts:
        other = new.get(one.label.key)
        if other is not None and one.looks_like(other):
            del new[one.label.key]
        else:
            region += pixels(one.reach)
    for one in new.values():
        region += pixels(one.reach)
    return region
