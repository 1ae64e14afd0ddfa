"""Faint outlines of axle, shaft and wheel at full bump and full droop, in the side view under everything else."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from app.sketch.primitives import Label, Row, Scene, Stroke
from app.sketch.shaft_view import Chain, shaft_strokes
from app.sketch.shapes import circle, polyline
from app.sketch.words import place_words
from geometry.document import Build, is_front_axle
from geometry.words.solution import Picture, Solution
from geometry.words.solve import Work

_KEY = "end "  # begins the keys of their labels
_AT_LEAST_MM = 1.0  # a joint that moves less stands still


@dataclass(frozen=True, slots=True)
class End:
    """The axle at one end of its travel, bump positive."""

    travel_mm: float
    picture: Picture


def ends_of(work: Work, whole: Solution) -> tuple[End, ...]:
    """Full droop and full bump without torque, those of them that differ from ride height; none without a travel."""
    if whole.travel is None:
        return ()
    ends = []
    for travel_mm in (whole.travel.axle_mm[0], whole.travel.axle_mm[-1]):
        there = work.posed(whole, travel_mm) if abs(travel_mm) > _AT_LEAST_MM else None
        if there is not None:
            ends.append(End(travel_mm, there.picture))
    return tuple(ends)


def ghost_strokes(build: Build, end: End, chain: Chain | None, still: Chain | None) -> list[Stroke]:
    """Outlines at one end of the travel; `chain` is its shaft in side view, `still` the shaft at ride height."""
    name = _name(end)
    picture = end.picture
    strokes = []
    hub = picture.front_hub_mm if is_front_axle(build) else picture.rear_hub_mm
    vehicle = build.vehicle
    radius = None
    if vehicle is not None:
        radius = vehicle.front_tyre_radius_mm if is_front_axle(build) else vehicle.rear_tyre_radius_mm
    if hub is not None and radius is not None:
        strokes.append(_ghost(f"{name} tyre", circle(hub, radius, 96)))
    if len(picture.housing_outline_mm) > 2:
        strokes.append(_ghost(f"{name} housing", polyline(*picture.housing_outline_mm)))
    if picture.axle_centre_mm is not None:
        diameter = None if build.axle is None else build.axle.tube_diameter_mm
        centre = (picture.axle_centre_mm[0], picture.axle_centre_mm[2])
        strokes.append(_ghost(f"{name} tube", circle(centre, 9.0 if diameter is None else 0.5 * diameter)))
    if chain is not None and still is not None:
        strokes += _shaft(name, chain, still)
    return strokes


def _shaft(name: str, chain: Chain, still: Chain) -> list[Stroke]:
    """Tubes and joints that move; a section between two joints that stand still is left out."""
    moves = [
        max(abs(a - b) for a, b in zip(here, there, strict=True)) > _AT_LEAST_MM
        for here, there in zip(chain.joints, still.joints, strict=True)
    ]
    wanted = {f"side shaft {i}" for i in range(len(moves) - 1) if moves[i] or moves[i + 1]}
    wanted |= {f"side joint {i}" for i, moving in enumerate(moves) if moving}
    return [
        replace(
            one, key=f"{name} {one.key}", role="ghost", part=None, layer="static", hard=False, closed=one.closed
        )
        for one in shaft_strokes(chain)
        if one.role in {"shaft", "shaft_line", "joint"} and one.key.rpartition(" ")[0] in wanted
    ]  # fmt: skip


def ghost_labels(build: Build, end: End) -> list[Label]:
    """Words at the wheel's far edge, or at the axle: which end it is, and how far from ride height."""
    picture = end.picture
    if picture.axle_centre_mm is None:
        return []
    x, _, z = picture.axle_centre_mm
    vehicle = build.vehicle
    radius = 0.0
    if vehicle is not None:
        radius = (vehicle.front_tyre_radius_mm if is_front_axle(build) else vehicle.rear_tyre_radius_mm) or 0.0
    up = 1.0 if end.travel_mm > 0.0 else -1.0
    way = -1.0 if is_front_axle(build) else 1.0
    turns = [math.radians(one) for one in (0.0, 30.0, -30.0, 60.0, -60.0, 80.0)]
    anchors = tuple((x + way * radius * math.sin(turn), z + up * radius * math.cos(turn)) for turn in turns)
    towards = ((0.0, up), (0.6 * way, up), (-0.6 * way, up), (way, 0.2 * up))
    words = f"full {place_words(end.travel_mm, build.display).rpartition(' ')[2]} {_size(end, build)}"
    return [Label(f"{_KEY}{_name(end)}", "side", (Row(words),), anchors, towards, "axis", "muted", rank=60)]


def with_ends_of(made: Scene, other: Scene) -> Scene:
    """A scene with the ends of another one, to place words beside them before its own are known."""
    strokes = (one for one in other.strokes if one.role == "ghost")
    labels = (one for one in other.labels if one.key.startswith(_KEY))
    own = any(one.role == "ghost" for one in made.strokes)
    return made if own else replace(made, strokes=(*made.strokes, *strokes), labels=(*made.labels, *labels))


def _size(end: End, build: Build) -> str:
    return place_words(end.travel_mm, build.display).rpartition(" ")[0]


def _name(end: End) -> str:
    return "bump" if end.travel_mm > 0.0 else "droop"


def _ghost(key: str, points: object) -> Stroke:
    return Stroke(f"side ghost {key}", "side", points, "ghost", None, "static", closed=True)  # type: ignore[arg-type]
