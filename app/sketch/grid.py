"""The quiet grid behind both views, in the person's own unit, with its numbers along the edges."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from app.sketch.camera import POINT_PX, SIZES_PT, Camera
from app.sketch.primitives import Colour, Stroke, View
from app.sketch.shapes import polyline
from app.units import MINUS, scale
from geometry.document.vehicle import Display

_APART_PX = 92.0
_APART_UP_PX = 52.0


@dataclass(frozen=True, slots=True)
class Words:
    """One row of words: where they begin, end or have their middle on their base line, in page pixels."""

    x: float
    baseline: float
    text: str
    size_px: float
    bold: bool = False
    colour: Colour = "muted"
    align: Literal["left", "centre", "right"] = "left"


@dataclass(frozen=True, slots=True)
class Grid:
    """Lines of the grid, and its numbers."""

    strokes: tuple[Stroke, ...]
    words: tuple[Words, ...]


def grid_of(camera: Camera, *, inches: bool) -> Grid:
    """Grid of a page; a page without positions has none."""
    if not camera.numbered or camera.top is None:
        return Grid((), ())
    unit_mm = 1.0 / scale("mm", Display(length="inch" if inches else "millimetre"))
    unit = "in" if inches else "mm"
    px = SIZES_PT["axis"] * POINT_PX * camera.words
    station_step = nice_step(_APART_PX * camera.words / camera.scale / unit_mm)
    up_step = nice_step(_APART_UP_PX * camera.words / camera.scale / unit_mm)
    strokes: list[Stroke] = []
    words: list[Words] = []
    view: View
    for view in ("side", "top"):
        box = camera.side if view == "side" else camera.top
        x0, x1, low, high = camera.limits(view)
        for i, value in enumerate(ticks(x0 / unit_mm, x1 / unit_mm, station_step)):
            line = polyline((value * unit_mm, low), (value * unit_mm, high))
            strokes.append(Stroke(f"{view} grid station {i}", view, line, "grid", layer="static"))
            if view == "top":
                x = box.left + (value * unit_mm - x0) * camera.scale
                if x < box.right - 4.6 * px:
                    words.append(Words(x, box.bottom + 1.45 * px, _number(value), px, align="centre"))
        for i, value in enumerate(ticks(low / unit_mm, high / unit_mm, up_step)):
            line = polyline((x0, value * unit_mm), (x1, value * unit_mm))
            strokes.append(Stroke(f"{view} grid up {i}", view, line, "grid", layer="static"))
            y = box.bottom - (value * unit_mm - low) * camera.scale
            if box.top + 0.6 * px < y < box.bottom - 0.2 * px:
                words.append(Words(box.left - 0.6 * px, y + 0.36 * px, _number(value), px, align="right"))
    bottom = camera.top.bottom
    words.append(Words(camera.top.right, bottom + 1.45 * px, unit, px, align="right"))
    return Grid(tuple(strokes), tuple(words))


def nice_step(least: float) -> float:
    """Smallest of 1, 2, 5 times a power of ten that is not less than `least`.

    >>> nice_step(3.1), nice_step(0.09)
    (5.0, 0.1)
    """
    power = 10.0 ** math.floor(math.log10(least))
    return next((factor * power for factor in (1.0, 2.0, 5.0) if factor * power >= least * (1 - 1e-9)), 10.0 * power)


def ticks(low: float, high: float, step: float) -> list[float]:
    """Multiples of a step between two values."""
    return [i * step for i in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def _number(value: float) -> str:
    text = f"{abs(value):,.0f}" if abs(value) >= 1 or value == 0 else f"{abs(value):g}"
    return f"{MINUS}{text}" if value < 0 else text
