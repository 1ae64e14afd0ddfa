"""What can be taken hold of in the drawing: which entry each place stands for, and where it lies over the floor.

The drawing shows the vehicle after the plan, over the floor; what was measured is in the frame's axes. A handle knows
how far the one is turned against the other, so that what it stands for follows the hand. Where the plan decides where a
part is in the vehicle, its handle sets the plan; where no entry of the plan can say it, there is no handle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import asin, degrees
from typing import TYPE_CHECKING, Final

import numpy as np

from app.complaints import title_of
from app.drawing.items import ViewName
from geometry.document import is_front_axle, value_at
from geometry.document.running_gear import LeafSuspension, LinkSuspension, TwoPieceShaft
from geometry.words.solution import Part
from geometry.words.wording import small

if TYPE_CHECKING:
    from geometry.words.solution import Picture, Triple
    from geometry.words.solve import Work

Pair = tuple[float, float]
_AXES: Final[dict[ViewName, tuple[int, int]]] = {"side": (0, 2), "top": (0, 1), "rear": (1, 2)}
_BOLTED: Final[dict[str, tuple[Part, tuple[ViewName, ...]]]] = {
    "shock": ("shocks", ("side", "rear")),
    "torque bar": ("torque_bars", ("side", "rear")),
    "lateral link": ("lateral_link", ("top", "rear")),
    "drag link": ("lateral_link", ("rear",)),
    "flexible line": ("flexible_lines", ("rear",)),
}
"""What is bolted between frame and axle: its part, and the views in which its ends can be taken."""
_SAME_MM: Final = 0.01
_SAME_DEG: Final = 0.005
"""Nobody measures as finely: what differs by less was not moved."""


@dataclass(frozen=True, slots=True)
class Handle:
    """One place in one view that the mouse can take.

    `at` is where it lies over the floor, mm: (station, height), (station, distance right) or, from behind, (distance
    right, height). `path` is the entry behind it, measured or of the plan, `axes` which of that entry's numbers the
    view shows, or `corner` which of an outline's corners it is, `empty` what it stands for while the entry is empty.
    `turned_deg` is how far the side view is turned against the axes in which the entry is stated. A handle with a point
    that it turns `about` stands for an angle; `rising` is 1.0 where that angle grows as the handle goes up the page,
    else -1.0; `grows` is 1.0 where it grows with the line's slope. `lifted` tells that the drawing shows it after a
    lift and the entry is from before that.
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
    grows: float = 1.0
    empty: Pair = (0.0, 0.0)
    lifted: bool = False

    @property
    def step_name(self) -> str:
        """Name of a step of the history in which it was moved."""
        if self.path.startswith("plan."):
            return f"planning {small(self.title)}"
        verb = "moving" if self.about is None else "turning"
        return f"{verb} {small(self.title)}"


def handles_of(work: Work, picture: Picture) -> tuple[Handle, ...]:
    """All handles of a drawing to scale, in the order in which the keyboard goes through them.

    `work` is the build as it was worked out, `picture` the drawing's points at ride height.
    """
    return tuple(sorted(_Finder(work, picture).all(), key=lambda one: one.view))


class _Finder:
    """Finds the handles of one build where one picture shows them."""

    def __init__(self, work: Work, picture: Picture) -> None:
        self.work, self.build, self.picture = work, work.build, picture
        self.floor = work.floor
        self.lifted = bool(self.floor.tilt_deg or self.floor.raised_mm)

    def all(self) -> Iterator[Handle]:
        """Find them part by part."""
        yield from self._powertrain()
        yield from self._shaft()
        yield from self._axle()
        yield from self._spring()
        yield from self._links()
        yield from self._brackets()
        yield from self._obstacles()

    def _stands(self, point: Triple | Pair, path: str) -> bool:
        """Whether a point over the floor lies in the vehicle where it was measured: the plan has not moved it."""
        measured = value_at(self.build, path)
        if measured is None:
            return False
        x, z = self.floor.side_in_frame(((point[0], point[-1]),))[0]
        aside = point[1] - measured[1] if len(point) == 3 else 0.0
        return bool(max(abs(x - measured[0]), abs(z - measured[-1]), abs(aside)) < _SAME_MM)

    def _powertrain(self) -> Iterator[Handle]:
        picture, loose = self.picture, value_at(self.build, "plan.mounts") == "loose"
        joint, path = picture.output_joint_mm, "powertrain.output_joint_mm"
        if joint is not None and loose:
            yield self._in_side("output joint", (joint[0], joint[2]), "plan.powertrain_shift_mm", "powertrain")
        elif joint is not None and self._stands(joint, path):
            yield from self._in_both("output joint", joint, path, "powertrain")
        for name, point in (("front mount", picture.front_mount_mm), ("rear mount", picture.rear_mount_mm)):
            path = f"powertrain.{name.replace(' ', '_')}_mm"
            if point is not None and self._stands(point, path):
                yield self._in_side(name, point, path, "powertrain")

    def _shaft(self) -> Iterator[Handle]:
        if isinstance(self.build.shaft, TwoPieceShaft) and self.picture.bearing_mm is not None:
            yield from self._in_both("bearing", self.picture.bearing_mm, "shaft.bearing_mm", "bearing")

    def _axle(self) -> Iterator[Handle]:
        centre, nose = self.picture.axle_centre_mm, self.picture.pinion_joint_mm
        if centre is None:
            return
        if nose is not None and self.build.axle is not None and nose[0] != centre[0]:
            ahead = 1.0 if nose[0] < centre[0] else -1.0
            path = self._turned_by()
            wedge = path == "plan.axle_shim_deg"
            yield Handle(
                "side pinion nose", "side", (nose[0], nose[2]), path, title_of(path), "axle",
                about=(centre[0], centre[2]), rising=1.0 if wedge else ahead, grows=ahead if wedge else 1.0,
                empty=(0.0 if wedge else self._pinion_slope_deg() or 0.0, 0.0),
            )  # fmt: skip
            in_line = is_front_axle(self.build) and value_at(self.build, "axle.pinion_offset_mm") is None
            path = "axle.pinion_plan_deg"
            if not in_line:  # drawn so wherever it points
                yield Handle(
                    "top pinion nose", "top", (nose[0], nose[1]), path, title_of(path), "axle",
                    about=(centre[0], centre[1]), rising=-ahead,
                )  # fmt: skip
        if self._stands(centre, "axle.centre_mm"):
            yield from self._in_both("axle centre", centre, "axle.centre_mm", "axle")

    def _turned_by(self) -> str:
        """The entry that turns the pinion's nose: what it is welded at, the wedge, or how it was measured."""
        if value_at(self.build, "plan.perches") == "loose":
            return "plan.pinion_slope_deg"
        measured, drawn = value_at(self.build, "axle.pinion_slope_deg"), self._pinion_slope_deg()
        planned = value_at(self.build, "plan.axle_shim_deg") is not None
        moved = measured is not None and drawn is not None and abs(drawn - measured) > _SAME_DEG
        return "plan.axle_shim_deg" if planned or moved else "axle.pinion_slope_deg"

    def _pinion_slope_deg(self) -> float | None:
        line = self.picture.pinion_direction
        return None if line is None else degrees(asin(-line[2]))

    def _spring(self) -> Iterator[Handle]:
        spring = self.build.suspension
        if not isinstance(spring, LeafSuspension):
            return
        for name, point in (("front_eye_mm", spring.front_eye_mm), ("shackle_pivot_mm", spring.shackle_pivot_mm)):
            if point is not None:
                over = self.floor.side(np.array([point]))[0]
                yield self._in_side(name, over, f"suspension.{name}", "suspension")

    def _links(self) -> Iterator[Handle]:
        if not isinstance(self.build.suspension, LinkSuspension):
            return
        drawn = iter(self.picture.links_mm)
        for name in ("lower", "upper"):
            paths = [f"suspension.{name}_{end}_mm" for end in ("frame", "axle")]
            if None in [value_at(self.build, path) for path in paths]:
                continue
            ends = next(drawn, ())
            for end, path, point in zip(("frame", "axle"), paths, (ends[0], ends[-1]) if ends else (), strict=False):
                if self._stands(point, path):
                    yield self._in_side(f"{name} link {end}", point, path, "suspension")

    def _brackets(self) -> Iterator[Handle]:
        """Ends of what is bolted between frame and axle: at the frame, and at the axle where the plan leaves it.

        From behind all of them; else each in the view in which it lies along the page.
        """
        for kind, number, path, point in self._ends():
            if not self._stands(point, path):
                continue
            title = title_of(path)
            name = value_at(self.build, f"flexible_lines.{number}.name") if kind == "flexible line" else kind
            if kind != "drag link":  # which its entries name
                title = f"{name}, {small(title)}"
            part, views = _BOLTED[kind]
            for view in views:
                across, up = _AXES[view]
                yield Handle(
                    f"{view} {kind} {number} {path.rpartition('.')[2]}", view, (point[across], point[up]), path, title,
                    part, (across, up), self.floor.tilt_deg, lifted=self.lifted,
                )  # fmt: skip

    def _ends(self) -> Iterator[tuple[str, int, str, Triple]]:
        """Each end that is entered and drawn: kind and number of what it ends, the end's entry, and where it lies."""
        build, picture = self.build, self.picture
        one_of_each = (
            ("lateral link", ("frame_point", "axle_point"), picture.lateral_link_mm),
            ("drag link", ("drag_box", "drag_axle"), picture.drag_link_mm),
        )
        for kind, which, ends in one_of_each:
            for end, point in zip(which, ends or (), strict=False):
                yield kind, 0, f"lateral_link.{end}_mm", point
        for kind, section, drawn in (
            ("shock", "shocks", iter(picture.shocks_mm)), ("torque bar", "torque_bars", iter(picture.torque_bars_mm)),
        ):  # fmt: skip
            for number in range(len(getattr(build, section))):
                paths = [f"{section}.{number}.{end}_point_mm" for end in ("frame", "axle")]
                if None not in [value_at(build, path) for path in paths]:
                    for path, point in zip(paths, next(drawn, ()), strict=False):
                        yield kind, number, path, point
        for number, hung in enumerate(picture.flexible_lines_mm):
            for end, point in zip(("frame", "axle"), (hung[0], hung[-1]) if hung else (), strict=False):
                yield "flexible line", number, f"flexible_lines.{number}.{end}_point_mm", point

    def _obstacles(self) -> Iterator[Handle]:
        for number, (one, outline) in enumerate(zip(self.build.obstacles, self.picture.obstacles_mm, strict=True)):
            path = f"obstacles.{number}.outline_mm"
            title = f"{one.name or 'obstacle'}, corner"
            side = one.view == "side"  # a view from above is taken as it was measured
            for corner, point in enumerate(outline):
                if one.carried_by != "frame" and not self._stands(point, f"{path}.{corner}"):
                    continue
                yield Handle(
                    f"{one.view} obstacle {number} corner {corner}", one.view, point, path, f"{title} {corner + 1}",
                    "obstacles", turned_deg=self.floor.tilt_deg if side else 0.0, corner=corner,
                    lifted=side and self.lifted,
                )  # fmt: skip

    def _in_both(self, name: str, point: Triple, path: str, part: Part) -> Iterator[Handle]:
        x, y, z = point
        title, turned = title_of(path), self.floor.tilt_deg
        yield Handle(f"side {name}", "side", (x, z), path, title, part, (0, 2), turned, lifted=self.lifted)
        yield Handle(f"top {name}", "top", (x, y), path, title, part, (0, 1), turned, lifted=self.lifted)

    def _in_side(self, name: str, point: Pair, path: str, part: Part) -> Handle:
        lifted = self.lifted and not path.startswith("plan.")
        return Handle(
            f"side {name}", "side", point, path, title_of(path), part, turned_deg=self.floor.tilt_deg, lifted=lifted
        )
