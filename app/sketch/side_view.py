"""Strokes of the side view round the shaft: ground, tyres, frame, powertrain, axle, springs or links, obstacles."""

from __future__ import annotations

from app.sketch.primitives import Layer, Role, Stroke, View
from app.sketch.shapes import Pair, circle, polyline
from geometry.document import Build, is_front_axle
from geometry.words.solution import Part, Picture

_FAR_MM = 60_000.0
_GROUND_MM = 60.0
_PIVOT_MM = 13.0


def side_strokes(build: Build, picture: Picture, *, away: bool = False) -> list[Stroke]:
    """Everything in the side view but the shaft and its wedges; `away` is an axle moved from ride height."""
    strokes = _ground(build, picture) + _frame(picture) + _powertrain(picture) + _axle(build, picture)
    strokes += _suspension(picture) + ([] if away else _extras(build))
    strokes += obstacle_strokes(build, picture, "side")
    return strokes


def stroke(
    key: str,
    points: object,
    role: Role,
    part: Part | None,
    *,
    closed: bool = False,
    layer: Layer = "moving",
    hard: bool = False,
) -> Stroke:
    """One stroke of the side view."""
    return Stroke(f"side {key}", "side", points, role, part, layer, closed, hard)  # type: ignore[arg-type]


def ground_strokes() -> list[Stroke]:
    """Floor line and the band under it, as far as anyone pans."""
    band = polyline((-_FAR_MM, 0.0), (_FAR_MM, 0.0), (_FAR_MM, -_GROUND_MM), (-_FAR_MM, -_GROUND_MM))
    return [
        stroke("floor band", band, "ground_fill", None, closed=True, layer="static", hard=True),
        stroke("floor", polyline((-_FAR_MM, 0.0), (_FAR_MM, 0.0)), "ground", None, layer="static"),
    ]


def _ground(build: Build, picture: Picture) -> list[Stroke]:
    strokes = ground_strokes()
    vehicle = build.vehicle
    if vehicle is None:
        return strokes
    driven = "front" if is_front_axle(build) else "rear"
    for name, hub, radius in (
        ("front", picture.front_hub_mm, vehicle.front_tyre_radius_mm),
        ("rear", picture.rear_hub_mm, vehicle.rear_tyre_radius_mm),
    ):
        if hub is not None and radius is not None:
            layer: Layer = "moving" if name == driven else "static"
            tyre = circle(hub, radius, 96)
            strokes.append(stroke(f"{name} tyre", tyre, "faint", "vehicle", closed=True, layer=layer))
    return strokes


def _frame(picture: Picture) -> list[Stroke]:
    rail = picture.frame_rail_mm
    if len(rail) < 2:
        return []
    return [stroke("frame rail", polyline(*rail), "faint", "vehicle", closed=len(rail) > 2, layer="static")]


def _powertrain(picture: Picture) -> list[Stroke]:
    strokes = []
    for name, outline in (("gearbox", picture.powertrain_outline_mm), ("engine", picture.engine_outline_mm)):
        if len(outline) > 1:
            strokes.append(stroke(name, polyline(*outline), "outline", "powertrain", closed=len(outline) > 2))
    for name, mount in (("front mount", picture.front_mount_mm), ("rear mount", picture.rear_mount_mm)):
        if mount is not None:
            x, z = mount
            foot = polyline((x, z), (x + 26.0, z - 34.0), (x - 26.0, z - 34.0))
            strokes.append(stroke(name, foot, "pivot", "powertrain", closed=True))
    return strokes


def _axle(build: Build, picture: Picture) -> list[Stroke]:
    strokes = []
    if len(picture.housing_outline_mm) > 1:
        outline = polyline(*picture.housing_outline_mm)
        strokes.append(stroke("housing", outline, "outline", "axle", closed=len(outline) > 2))
    if picture.axle_centre_mm is not None:
        centre = (picture.axle_centre_mm[0], picture.axle_centre_mm[2])
        diameter = None if build.axle is None else build.axle.tube_diameter_mm
        if diameter is not None:
            strokes.append(stroke("axle tube", circle(centre, 0.5 * diameter), "pivot", "axle", closed=True))
        else:
            strokes.append(stroke("axle centre", circle(centre, 9.0, 16), "pivot", "axle", closed=True))
    return strokes


def _suspension(picture: Picture) -> list[Stroke]:
    strokes = []
    if len(picture.spring_mm) > 1:
        strokes.append(stroke("main leaf", polyline(*picture.spring_mm), "spring", "suspension"))
    if len(picture.shackle_mm) > 1:
        strokes.append(stroke("shackle", polyline(*picture.shackle_mm), "outline", "suspension"))
    pivots: list[Pair] = [*picture.spring_eyes_mm, *picture.shackle_mm]
    for i, link in enumerate(picture.links_mm):
        if len(link) > 1:
            strokes.append(stroke(f"link {i}", polyline(*link), "spring", "suspension"))
            pivots += [link[0], link[-1]]
    for i, at in enumerate(dict.fromkeys(pivots)):
        strokes.append(stroke(f"eye {i}", circle(at, _PIVOT_MM, 20), "pivot", "suspension", closed=True))
    return strokes


def _extras(build: Build) -> list[Stroke]:
    """Shocks and torque bars as measured; left out under a plan that lifts the vehicle, as that moves them.

    For the same reason they are not drawn with the axle away from ride height.
    """
    if lifts(build):
        return []
    strokes = []
    for i, shock in enumerate(build.shocks):
        if shock.axle_point_mm is not None and shock.frame_point_mm is not None:
            low, high = (
                (shock.axle_point_mm[0], shock.axle_point_mm[2]),
                (shock.frame_point_mm[0], shock.frame_point_mm[2]),
            )
            strokes.append(stroke(f"shock {i}", polyline(low, high), "middle", "shocks"))
            strokes += [
                stroke(f"shock {i} eye {e}", circle(p, 9.0, 16), "pivot", "shocks", closed=True)
                for e, p in enumerate((low, high))
            ]
    for i, bar in enumerate(build.torque_bars):
        if bar.axle_point_mm is not None and bar.frame_point_mm is not None:
            ends = (bar.frame_point_mm[0], bar.frame_point_mm[2]), (bar.axle_point_mm[0], bar.axle_point_mm[2])
            strokes.append(stroke(f"torque bar {i}", polyline(*ends), "middle", "torque_bars"))
            strokes += [
                stroke(f"torque bar {i} end {e}", circle(p, 9.0, 16), "pivot", "torque_bars", closed=True)
                for e, p in enumerate(ends)
            ]
    return strokes


def lifts(build: Build) -> bool:
    """Whether the plan moves the frame over the axles, so that points as measured are not where they will be."""
    plan = build.plan
    return plan is not None and bool(plan.rear_lift_mm or plan.front_lift_mm)


def obstacle_strokes(build: Build, picture: Picture, view: View) -> list[Stroke]:
    """Outlines of the obstacles that are given in one view."""
    return [
        Stroke(obstacle_key(view, i), view, polyline(*outline), "obstacle", "obstacles", "static", closed=True)
        for i, (one, outline) in enumerate(zip(build.obstacles, picture.obstacles_mm, strict=True))
        if one.view == view
    ]


def obstacle_key(view: View, number: int) -> str:
    """Key of an obstacle's stroke; `obstacle_of` reads it back."""
    return f"{view} obstacle {number}"


def obstacle_of(key: str) -> int | None:
    """Number of the obstacle that a stroke or a label with this key stands for, or None."""
    _, found, number = key.rpartition("obstacle ")
    return int(number) if found and number.isdigit() else None
