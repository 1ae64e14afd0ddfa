"""What can be taken hold of in the drawing: which entry each place stands for, and where it lies over the floor.

The drawing shows the vehicle after the plan's lift, over the floor; what was measured is in the frame's axes. A handle
knows how far the one is turned against the other, so that what it stands for follows the hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from app.complaints import title_of
from geometry.document import value_at
from geometry.document.running_gear import LeafSuspension, LinkSuspension, TwoPieceShaft
from geometry.words.picture import Floor

if TYPE_CHECKING:
    from app.drawing.items import ViewName
    from geometry.document import Build
    from geometry.words.solution import Part, Picture, Triple
    from geometry.words.solve import Work

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Handle:
    """One place in one view that the mouse can take.

    `at` is where it lies over the floor: (station, height) or (station, distance right), mm. `path` is the measured
    entry behind it, `axes` which of that entry's numbers the view shows, or `corner` which of an outline's corners it
    is. `turned_deg` is how far the side view is turned against the axes in which the entry was measured. A handle with
    a point that it turns `about` stands for an angle; `rising` is 1.0 where that angle grows as the handle goes up the
    page, else -1.0.
    """

    key: str
    view: ViewName
    at: Pair
    path: str
    title: str
    part: Part
    axes: tuple[int, int] = (0, 1)
    turned_deg: float = 0.0
    corner: int | None = None
    about: Pair | None = None
    rising: float = 1.0

    @property
    def step_name(self) -> str:
        """Name of a step of the history in which it was moved."""
        verb = "moving" if self.about is None else "turning"
        return f"{verb} {self.title[:1].lower()}{self.title[1:]}"


def handles_of(work: Work, picture: Picture) -> tuple[Handle, ...]:
    """All handles of a drawing to scale, in the order in which the keyboard goes through them.

    `work` is the build as it was worked out, `picture` the drawing's points at ride height.
    """
    build, floor = work.build, work.floor
    found = [
        *_powertrain(work, floor, picture),
        *_shaft(build, floor, picture),
        *_axle(build, floor, picture),
        *_spring(build, floor),
        *_links(work, floor, picture),
        *_brackets(work, floor, picture),
        *_obstacles(build, floor, picture),
    ]
    order = {"side": 0, "top": 1}
    return tuple(sorted(found, key=lambda one: order[one.view]))


def _powertrain(work: Work, floor: Floor, picture: Picture) -> Iterator[Handle]:
    if work.build.powertrain is None:
        return
    if picture.output_joint_mm is not None:
        # The plan has turned the joint about the front mount.
        turned = floor.tilt_deg + work.powertrain_turn_deg
        yield from _in_both("output joint", picture.output_joint_mm, "powertrain.output_joint_mm", "powertrain", turned)
    for name, point, path in (
        ("front mount", picture.front_mount_mm, "powertrain.front_mount_mm"),
        ("rear mount", picture.rear_mount_mm, "powertrain.rear_mount_mm"),
    ):
        if point is not None:
            yield _in_side(name, point, path, "powertrain", floor.tilt_deg)


def _shaft(build: Build, floor: Floor, picture: Picture) -> Iterator[Handle]:
    if isinstance(build.shaft, TwoPieceShaft) and picture.bearing_mm is not None:
        yield from _in_both("bearing", picture.bearing_mm, "shaft.bearing_mm", "bearing", floor.tilt_deg)


def _axle(build: Build, floor: Floor, picture: Picture) -> Iterator[Handle]:
    centre, nose = picture.axle_centre_mm, picture.pinion_joint_mm
    if centre is None:
        return
    if nose is not None and build.axle is not None and nose[0] != centre[0]:
        ahead = 1.0 if nose[0] < centre[0] else -1.0
        for view, path, across, rising in (
            ("side", "axle.pinion_slope_deg", 2, ahead),
            ("top", "axle.pinion_plan_deg", 1, -ahead),
        ):
            yield Handle(
                f"{view} pinion nose", view, (nose[0], nose[across]), path, title_of(path), "axle",  # type: ignore[arg-type]
                about=(centre[0], centre[across]), rising=rising,
            )  # fmt: skip
    yield from _in_both("axle centre", centre, "axle.centre_mm", "axle", floor.tilt_deg)


def _spring(build: Build, floor: Floor) -> Iterator[Handle]:
    spring = build.suspension
    if not isinstance(spring, LeafSuspension):
        return
    for name, point in (("front_eye_mm", spring.front_eye_mm), ("shackle_pivot_mm", spring.shackle_pivot_mm)):
        if point is not None:
            over = floor.side(np.array([point]))[0]
            yield _in_side(name, over, f"suspension.{name}", "suspension", floor.tilt_deg)


def _links(work: Work, floor: Floor, picture: Picture) -> Iterator[Handle]:
    build, links = work.build, work.build.suspension
    if not isinstance(links, LinkSuspension):
        return
    turn = work.axle_turn_deg
    drawn = iter(picture.links_mm)
    for name in ("lower", "upper"):
        frame, axle = f"suspension.{name}_frame_mm", f"suspension.{name}_axle_mm"
        if value_at(build, frame) is None or value_at(build, axle) is None:
            continue
        ends = next(drawn, ())
        if len(ends) > 1:
            yield _in_side(f"{name} link frame", ends[0], frame, "suspension", floor.tilt_deg)
            # The lift has turned the axle with the link's end on it.
            yield _in_side(f"{name} link axle", ends[-1], axle, "suspension", floor.tilt_deg + turn)


def _brackets(work: Work, floor: Floor, picture: Picture) -> Iterator[Handle]:
    """Ends of shocks, torque bars and lateral link, each where it has gone with frame or axle."""
    build, turn = work.build, work.axle_turn_deg
    link = () if picture.lateral_link_mm is None else (picture.lateral_link_mm,)
    parts: tuple[tuple[str, Part, str, int, tuple[tuple[Triple, Triple], ...]], ...] = (
        ("shocks", "shocks", "shock", len(build.shocks), picture.shocks_mm),
        ("torque_bars", "torque_bars", "torque bar", len(build.torque_bars), picture.torque_bars_mm),
        ("lateral_link", "lateral_link", "lateral link", 1, link),
    )
    for section, part, name, count, ends in parts:
        drawn = iter(ends)
        for number in range(count):
            at = section if part == "lateral_link" else f"{section}.{number}"
            paths = [f"{at}.{end}_point_mm" for end in ("frame", "axle")]
            if None in [value_at(build, path) for path in paths]:
                continue
            for path, point, turned in zip(paths, next(drawn, ()), (0.0, turn), strict=False):
                title = f"{name}, {title_of(path)[:1].lower()}{title_of(path)[1:]}"
                view: ViewName = "top" if part == "lateral_link" else "side"
                across = 1 if view == "top" else 2
                key = f"{view} {name} {number} {path.rpartition('.')[2]}"
                tilt = floor.tilt_deg + turned if view == "side" else 0.0
                yield Handle(key, view, (point[0], point[across]), path, title, part, (0, across), tilt)


def _obstacles(build: Build, floor: Floor, picture: Picture) -> Iterator[Handle]:
    for number, (one, outline) in enumerate(zip(build.obstacles, picture.obstacles_mm, strict=True)):
        path = f"obstacles.{number}.outline_mm"
        title = f"{one.name or 'obstacle'}, corner"
        turned = floor.tilt_deg if one.view == "side" else 0.0  # a view from above is taken as it was measured
        for corner, point in enumerate(outline):
            key = f"{one.view} obstacle {number} corner {corner}"
            name = f"{title} {corner + 1}"
            yield Handle(key, one.view, point, path, name, "obstacles", turned_deg=turned, corner=corner)


def _in_both(name: str, point: Triple, path: str, part: Part, turned_deg: float) -> Iterator[Handle]:
    title = title_of(path)
    x, y, z = point
    yield Handle(f"side {name}", "side", (x, z), path, title, part, (0, 2), turned_deg)
    yield Handle(f"top {name}", "top", (x, y), path, title, part, (0, 1), turned_deg)


def _in_side(name: str, point: Pair, path: str, part: Part, turned_deg: float) -> Handle:
    return Handle(f"side {name}", "side", point, path, title_of(path), part, turned_deg=turned_deg)
