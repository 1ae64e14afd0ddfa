"""How much of the vehicle a page shows: shaft and axle fill it, the engine may be cut by its edge."""

from __future__ import annotations

import numpy as np

from app.sketch.primitives import Extents, Floats, Stroke
from app.sketch.shaft_view import tube_diameters
from geometry.document import Build, is_front_axle
from geometry.words.solution import Picture

_EMPTY = Extents((0.0, 3_000.0), (-60.0, 1_000.0), (-250.0, 250.0), (0.0, 3_000.0), (), (0.0, 0.0, 0.0, 0.0, 0.0, 0.0))
_ROOM_MM = 30.0  # over the highest thing
_NEAR_MM = 200.0  # an obstacle so far from the shaft is shown from above
_LEAST_REACH_MM = 260.0  # behind an axle without a known tyre
_LEAST_FREE_MM, _MOST_FREE_MM = 420.0, 800.0  # beyond the output joint, where the powertrain is cut


def measured_extents(
    build: Build, picture: Picture, strokes: list[Stroke], travel_mm: tuple[float, float] = (0.0, 0.0)
) -> Extents:
    """Page for a build with positions, with room for the axle's travel from droop (negative) to bump."""
    joints = picture.joint_centres_mm
    if len(joints) < 2:
        return plain_extents(strokes, schematic=False)
    ahead = is_front_axle(build)
    xs, ys, zs = ([point[i] for point in joints] for i in range(3))
    span = max(xs) - min(xs)
    axle = picture.axle_centre_mm or joints[0 if ahead else -1]
    reach = max(_tyre_radius_mm(build) + 60.0, _LEAST_REACH_MM)
    free = min(max(0.5 * span, _LEAST_FREE_MM), _MOST_FREE_MM)
    stations = (axle[0] - reach, max(xs) + free) if ahead else (min(xs) - free, axle[0] + reach)
    springs = [x for x, _ in (*picture.spring_mm, *picture.shackle_mm) if abs(x - axle[0]) < 1.2 * span + 400.0]
    wish = (min([stations[0], *(x - 60.0 for x in springs)]), max([stations[1], *(x + 60.0 for x in springs)]))
    highest = max([max(zs) + 180.0, *_heights_between(strokes, wish)]) + _ROOM_MM
    tyre = _tyre_radius_mm(build)
    lowest = -60.0
    if tyre:
        highest = max(highest, axle[2] + tyre + travel_mm[1] + _ROOM_MM)
        lowest = min(lowest, axle[2] - tyre + travel_mm[0] - _ROOM_MM)
    half = 0.5 * max([d for d in tube_diameters(build) if d is not None] or [60.0])
    sides = (min(*ys, axle[1], 0.0) - half - 110.0, max(*ys, axle[1], 0.0) + half + 90.0)
    near = [y for one in build.obstacles if one.view == "top" for _, y in one.outline_mm]
    near = [y for y in near if sides[0] - _NEAR_MM < y < sides[1] + _NEAR_MM]
    sides = (min([sides[0], *(y - 40.0 for y in near)]), max([sides[1], *(y + 40.0 for y in near)]))
    perches = [y for _, y in picture.perches_mm]
    wish_sides = []
    if perches:  # one perch tells where both are; the left one is the nearer to the side view
        low, high = min(sides[0], min(perches) - 70.0), max(sides[1], max(perches) + 70.0)
        wish_sides = [(low, sides[1]), (low, high)]
    subject = (min(*xs, axle[0]), max(*xs, axle[0]), min(*zs, axle[2]), max(*zs, axle[2]), min(ys), max(ys))
    return Extents(stations, (min(lowest, min(zs) - 120.0), highest), sides, wish, tuple(wish_sides), subject)


def plain_extents(strokes: list[Stroke], *, schematic: bool) -> Extents:
    """Page for a schematic, or for a build that has positions but no whole shaft yet."""
    side = [
        one.points for one in strokes if one.view == "side" and one.role not in {"ground", "ground_fill", "obstacle"}
    ]
    if not side:
        return _EMPTY
    points: Floats = np.concatenate(side)
    (x0, z0), (x1, z1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    width = max(x1 - x0, 400.0)
    stations = (x0 - 0.05 * width - 20.0, x1 + 0.05 * width + 20.0)
    heights = (min(z0, 0.0) - 60.0, z1 + 2.0 * _ROOM_MM)
    if schematic:
        heights = (z0 - 0.15 * width, z1 + 0.17 * width)
    sides = [y for one in strokes if one.view == "top" and one.layer == "moving" for y in one.points[:, 1].tolist()]
    middle = 0.5 * (min(sides) + max(sides)) if sides else 0.0
    across = (middle - 250.0, middle + 250.0)
    return Extents(stations, heights, across, stations, (), (x0, x1, z0, z1, middle, middle))


def _tyre_radius_mm(build: Build) -> float:
    vehicle = build.vehicle
    if vehicle is None:
        return 0.0
    return (vehicle.front_tyre_radius_mm if is_front_axle(build) else vehicle.rear_tyre_radius_mm) or 0.0


def _heights_between(strokes: list[Stroke], stations: tuple[float, float]) -> list[float]:
    """Greatest heights of what is drawn in a stretch of the side view; a rail that runs through counts too."""
    found = []
    for one in strokes:
        if one.view != "side" or one.role in {"ground", "ground_fill", "obstacle", "centre"}:
            continue
        x = one.points[:, 0]
        inside = (x > stations[0]) & (x < stations[1])
        if inside.any():
            found.append(float(one.points[inside, 1].max()))
        elif x.min() < stations[0] and x.max() > stations[1]:
            found.append(float(one.points[:, 1].max()))
    return found
