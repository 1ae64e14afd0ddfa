"""The painter against Qt's own way: a wide line's outline worked out whole, and every fill with smooth edges."""

import math
import random

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.drawing.fonts import application
from app.drawing.items import Shape, Stroke
from app.drawing.painter import paint_items

SIDE, FEW = 240, 8


def painted(draw, scale: float = 1.0) -> np.ndarray:
    """Grey of a picture that was painted black on white, 0 to 1."""
    application()
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(scale, scale)
    draw(painter)
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(SIDE, SIDE, 4)[:, :, 0] / 255.0


def whole(item: Shape):
    """Paint an item as Qt does it in one go."""

    def draw(painter: QPainter) -> None:
        assert item.stroke is not None
        pen = QPen(QColor(item.stroke.colour), item.stroke.width)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.setBrush(QColor(item.fill) if item.fill else Qt.BrushStyle.NoBrush)
        points = [QPointF(x, y) for x, y in item.points]
        (painter.drawPolygon if item.closed else painter.drawPolyline)(points)

    return draw


def bent(seed: int, count: int, *, closed: bool) -> tuple[tuple[float, float], ...]:
    """Corners about the middle, none of them sharp."""
    dice = random.Random(seed)
    turns = [2.0 * math.pi * (dice.uniform(0.0, 0.2) + place) / count for place in range(count)]
    rim = [dice.uniform(70.0 if count == FEW else 78.0, 78.0) for _ in turns]
    made = [(120.0 + far * math.cos(turn), 120.0 + far * math.sin(turn)) for far, turn in zip(rim, turns, strict=True)]
    return tuple(made if closed else made[: -count // 4])


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("width", [0.8, 1.0, 1.3, 1.7, 2.6, 4.5])
@pytest.mark.parametrize("scale", [1.0, 0.5, 2.0])
def test_a_line_is_as_wide_and_as_whole_as_qts_own(width: float, scale: float, *, closed: bool) -> None:
    """Painted stretch by stretch no corner has a gap, and nothing lies beyond what the whole line covers.

    The lines of a drawing that are wider than its outlines are gentle curves: leaves of a spring. Where their stretches
    reach over each other the edge is smoothed twice, and so a little darker.
    """
    for seed in range(6):
        points = tuple((x / scale, y / scale) for x, y in bent(seed, FEW if width < 2.0 else 40, closed=closed))
        item = Shape(points, "#808080" if closed else "", Stroke("#000000", width / scale), closed=closed)
        ours = painted(lambda painter, item=item: paint_items(painter, (item,)), scale)
        theirs = painted(whole(item), scale)
        off = np.abs(ours - theirs)
        assert abs(float((ours - theirs).sum())) < (0.03 if width < 2.0 else 0.05) * float((1.0 - theirs).sum())
        if not closed:  # its ends may reach farther, by half its width
            for x, y in (item.points[0], item.points[-1]):
                left, top, far = int(x * scale), int(y * scale), math.ceil(width) + 1
                off[top - far : top + far + 1, left - far : left + far + 1] = 0.0
        assert off.max() < 0.5
        assert width > 2.0 or float((off > 0.25).mean()) < 2e-4


@pytest.mark.parametrize("turn", [0, 3, 10, 45, 80, 90, 137, 181, 300])
@pytest.mark.parametrize("long", [4.0, 150.0, 5000.0, 60000.0])
@pytest.mark.parametrize("wide", [2.0, 36.0, 400.0, 3000.0])
def test_a_band_covers_what_its_corners_enclose(turn: float, long: float, wide: float) -> None:
    """One line as wide as a tube, in a view however close: the tube's shades are lines along it."""
    ux, uy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ends = tuple((120.0 + way * long / 2.0 * ux, 120.0 + way * long / 2.0 * uy) for way in (-1.0, 1.0))
    corners = [
        (x + way * wide / 2.0 * uy, y - way * wide / 2.0 * ux)
        for way, some in ((1.0, ends), (-1.0, ends[::-1]))
        for x, y in some
    ]
    band, box = Shape(ends, "", Stroke("#000000", wide), closed=False), Shape(tuple(corners), "#000000")
    off = np.abs(
        painted(lambda painter: paint_items(painter, (band,))) - painted(lambda painter: paint_items(painter, (box,)))
    )
    assert off.max() < 0.35
    assert off.mean() < 2e-3
