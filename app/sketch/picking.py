"""What lies under the pointer: the part whose drawing is nearest, small parts before large ones."""

from __future__ import annotations

from typing import Final

import numpy as np

from app.sketch.camera import Camera
from app.sketch.layout import Page
from app.sketch.primitives import Floats, Scene, Stroke
from app.sketch.side_view import obstacle_of
from geometry.words.solution import Part

Target = tuple[str, str, int | None]
"""Finding (or nothing), part, and number of the obstacle."""
_ORDER: Final[tuple[Part, ...]] = (
    "front_joint", "rear_joint", "centre_joint", "bearing", "perches", "shocks", "torque_bars", "lateral_link", "shaft",
    "suspension", "axle", "obstacles", "powertrain", "vehicle",
)  # fmt: skip
_OPEN_ROLES: Final = frozenset({"faint", "wedge_clear", "wedge_caution", "wedge_hold"})
"""Closed outlines that are picked by their edge: a tyre's inside belongs to what lies in it."""


def part_at(scene: Scene, camera: Camera, x: float, y: float, *, reach_px: float = 7.0) -> Part | None:
    """Part under a page pixel, or None."""
    found = stroke_at(scene, camera, x, y, reach_px=reach_px)
    return None if found is None else found.part


def stroke_at(scene: Scene, camera: Camera, x: float, y: float, *, reach_px: float = 7.0) -> Stroke | None:
    """Stroke of the part under a page pixel, or None."""
    view = camera.view_at(x, y)
    if view is None:
        return None
    at = np.array(camera.to_mm(view, x, y))
    reach = reach_px / camera.scale
    best: tuple[int, float, str] | None = None
    nearest: Stroke | None = None
    for stroke in scene.strokes:
        if stroke.view != view or stroke.part is None or stroke.part not in _ORDER:
            continue
        low, high = stroke.points.min(axis=0) - reach, stroke.points.max(axis=0) + reach
        if (at < low).any() or (at > high).any():
            continue
        away = _distance(stroke, at)
        if away <= reach:
            found = (_ORDER.index(stroke.part), away, stroke.key)
            if best is None or found < best:
                best, nearest = found, stroke
    return nearest


def _distance(stroke: Stroke, at: Floats) -> float:
    """Distance from a stroke, mm; nothing inside a closed one."""
    points = np.concatenate((stroke.points, stroke.points[:1])) if stroke.closed else stroke.points
    start, way = points[:-1], points[1:] - points[:-1]
    square = np.maximum((way * way).sum(axis=1), 1e-12)
    share = np.clip(((at - start) * way).sum(axis=1) / square, 0.0, 1.0)
    away = float(np.hypot(*(start + share[:, None] * way - at).T).min())
    if stroke.closed and stroke.role not in _OPEN_ROLES and _inside(points, at):
        return 0.0
    return away


def _inside(closed: Floats, at: Floats) -> bool:
    """Whether a point lies in an outline (rays and crossings)."""
    x, y = closed[:-1].T
    x2, y2 = closed[1:].T
    spans = (y > at[1]) != (y2 > at[1])
    rise = np.where(y2 == y, 1.0, y2 - y)
    crossings = spans & (at[0] < x + (at[1] - y) * (x2 - x) / rise)
    return bool(crossings.sum() % 2)


def target_at(scene: Scene, page: Page, camera: Camera, x: float, y: float) -> Target | None:
    """What is under a page pixel; words and flags go before strokes."""
    for callout in page.callouts:
        for box, finding, part in callout.findings:
            if box.holds(x, y):
                return finding, part, None
        if callout.box.holds(x, y) and callout.label.part:
            return "", callout.label.part, obstacle_of(callout.label.key)
    under = stroke_at(scene, camera, x, y)
    return None if under is None or under.part is None else ("", under.part, obstacle_of(under.key))
