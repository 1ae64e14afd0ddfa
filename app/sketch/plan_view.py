"""Strokes of the view from above round the shaft: centreline, axle, perches, springs, obstacles."""

from __future__ import annotations

import math

from app.sketch.primitives import Layer, Role, Stroke
from app.sketch.shapes import Pair, along, circle, polyline
from app.sketch.side_view import lifts, obstacle_strokes
from geometry.document import Build
from geometry.words.solution import Part, Picture

_FAR_MM = 60_000.0
_PERCH_MM = (75.0, 32.0)  # drawn half length and half width of a perch
_BEYOND_MM = 320.0  # how far the axle tube is drawn past a perch


def plan_strokes(build: Build, picture: Picture, *, away: bool = False) -> list[Stroke]:
    """Everything in the view from above but the shaft; `away` is an axle moved from ride height."""
    strokes = [_stroke("centreline", polyline((-_FAR_MM, 0.0), (_FAR_MM, 0.0)), "axis", None, layer="static")]
    strokes += _axle(build, picture)
    strokes += [] if away else _lateral_link(build)
    strokes += obstacle_strokes(build, picture, "top")
    return strokes


def _stroke(
    key: str, points: object, role: Role, part: Part | None, *, closed: bool = False, layer: Layer = "moving"
) -> Stroke:
    return Stroke(f"top {key}", "top", points, role, part, layer, closed)  # type: ignore[arg-type]


def _axle(build: Build, picture: Picture) -> list[Stroke]:
    centre = picture.axle_centre_mm
    if centre is None:
        return []
    strokes = []
    x, y = centre[0], centre[1]
    diameter = None if build.axle is None else build.axle.tube_diameter_mm
    reach = max((abs(at[1] - y) for at in picture.perches_mm), default=1_000.0) + _BEYOND_MM
    if diameter is None:
        strokes.append(_stroke("axle tube axis", polyline((x, y - reach), (x, y + reach)), "centre", "axle"))
    else:
        half = 0.5 * diameter
        for name, side in (("front", -half), ("rear", half)):
            edge = polyline((x + side, y - reach), (x + side, y + reach))
            strokes.append(_stroke(f"axle {name} edge", edge, "outline", "axle"))
    strokes += _nose(picture, (x, y))
    for i, perch in enumerate(picture.perches_mm):
        strokes += _perch(i, perch, picture)
    return strokes


def _nose(picture: Picture, centre: Pair) -> list[Stroke]:
    """Housing from above: a round bowl on the axle, as wide as it is high in the side view, and the pinion's snout."""
    joint = picture.pinion_joint_mm
    if joint is None or len(picture.housing_outline_mm) < 3:
        return []
    heights = [z for _, z in picture.housing_outline_mm]
    bowl = 0.46 * (max(heights) - min(heights))
    middle = (centre[0], joint[1])
    dx = joint[0] - middle[0]
    if abs(dx) < 1.25 * bowl:
        return []
    way = math.copysign(1.0, dx)
    snout_end = along((joint[0], joint[1]), (-way, 0.0), 62.0)
    outline = polyline(
        along(middle, (way, 0.0), 0.85 * bowl, 0.52 * bowl),
        along(snout_end, (way, 0.0), 0.0, 0.34 * bowl),
        along(snout_end, (way, 0.0), 0.0, -0.34 * bowl),
        along(middle, (way, 0.0), 0.85 * bowl, -0.52 * bowl),
    )
    return [
        _stroke("snout", outline, "outline", "axle"),
        _stroke("bowl", circle(middle, bowl, 48), "pivot", "axle", closed=True),
    ]


def _perch(number: int, at: Pair, picture: Picture) -> list[Stroke]:
    x, y = at
    half, wide = _PERCH_MM
    pad = polyline((x - half, y - wide), (x + half, y - wide), (x + half, y + wide), (x - half, y + wide))
    strokes = [_stroke(f"perch {number}", pad, "pivot", "perches", closed=True)]
    if len(picture.spring_mm) > 1:
        stations = [s for s, _ in picture.spring_mm]
        leaf = polyline((min(stations), y), (max(stations), y))
        strokes.insert(0, _stroke(f"spring {number}", leaf, "spring", "suspension"))
    return strokes


def _lateral_link(build: Build) -> list[Stroke]:
    link = build.lateral_link
    if link is None or link.frame_point_mm is None or link.axle_point_mm is None or lifts(build):
        return []
    ends = (link.frame_point_mm[0], link.frame_point_mm[1]), (link.axle_point_mm[0], link.axle_point_mm[1])
    strokes = [_stroke("lateral link", polyline(*ends), "middle", "lateral_link")]
    return strokes + [
        _stroke(f"lateral link end {i}", circle(p, 11.0, 16), "pivot", "lateral_link", closed=True)
        for i, p in enumerate(ends)
    ]
