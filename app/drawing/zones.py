"""Where the views lie on the page, and at what scale: the same over the whole travel, so that nothing jumps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from app.drawing.items import Box
from app.drawing.places import View
from app.drawing.powertrain import sizes_of
from app.drawing.rear import LEAST_PX, view_of, width_of
from app.drawing.wording import obstacles_of

if TYPE_CHECKING:
    from app.drawing.subject import Subject
    from geometry.words.solution import Part, Triple

Look = Literal["shaft", "whole", "axle"]
Top = Literal["never", "where it tells", "always"]
STRIP: Final = 16.0
"""Line of words under the top view."""
_GROUND_COSTS: Final = 0.93
"""The ground is shown where the scale stays above this share of what it is without."""
_LEAST_TOP: Final = 30.0
_WORDS_GAIN: Final = 1.05
_KNEE: Final = 26.0
"""Height under the numbers that their leaders turn in."""
_BESIDE_PERCH_MM: Final = 70.0
_REAR_SHARE, _REAR_WIDE = 0.38, 0.58
"""How high the view from behind is at least where the side view can give way, and how wide at most, of the page."""
REAR_GAP: Final = 14.0
_SMALL: Final = 480.0
"""Below this height of the page an idle view from above is a strip, or words."""


@dataclass(frozen=True)
class Zones:
    """The side view, and those from above and from behind where there is one; `ground`: whether the floor is shown."""

    side: View
    top: View | None
    ground: bool
    busy: bool
    rear: View | None = None


@dataclass(frozen=True)
class Room:
    """What the page leaves for the views: the box from the numbers' rule to the page's end, what the flags take off it,
    and the room that the outer numbers want beside the outer joints. `scale` is one that is given, by another drawing
    that wants more room; None takes the largest.
    """

    box: Box
    flags: float
    left: float
    right: float
    k: float
    whole_height: float
    scale: float | None = None


def is_busy(subject: Subject) -> bool:
    """Whether the top view has something to show: an offset, a line in plan, an obstacle from above."""
    joints, angles = subject.rest_joints, subject.whole.angles
    if not joints:
        return False
    in_plan = (angles.output_plan_deg, angles.shaft_plan_deg, angles.pinion_plan_deg)
    aside = abs(joints[-1][1] - joints[0][1]) >= 0.5 or any(abs(one or 0.0) > 0.05 for one in in_plan)
    return aside or any(one.view == "top" for one in subject.build.obstacles)


def zones_of(
    subject: Subject, room: Room, *, top: Top = "where it tells", look: Look | View | Zones = "shaft"
) -> Zones:
    """Lay the views out for what the person came for, the shaft, as large as it can be; or as they lay before."""
    if isinstance(look, Zones):
        return _held(subject, room, look)
    # Of ride height, whatever is shown: so that nothing jumps over the travel.
    still = replace(subject, here=subject.whole, travel_mm=0.0, torque="none")
    return _Layout(still, room, top if subject.measured else "never").zones(look)


def with_rear(
    subject: Subject, room: Room, zones: Zones, rest: View, rows: tuple[float, float], chosen: Part | None
) -> Zones:
    """The same views with one from behind beside that from above, on the side that the axle is not on.

    The others keep every point where it was: that from above gives way at its side, the side view at its foot where
    the page is low, but for the axle and what is `chosen`. None where it would be too small. `rest` is the side view
    before the person chose another place or scale, with which this one does not change; `rows` are the heights that
    the findings' leaders and their marks want.
    """
    band, marks = rows
    left, _, right, bottom = room.box
    k, side = room.k, zones.side
    foot = bottom - STRIP * k
    top = min(side.box[3] + band, max(foot - _REAR_SHARE * room.whole_height, _lowest(subject, rest, chosen) + band))
    tall, most = foot - top, _REAR_WIDE * (right - left)
    if tall < LEAST_PX * k:
        return zones
    wide = min(width_of(subject, tall, k), most)
    box = (right - wide, top, right, foot) if subject.ahead else (left, top, left + wide, foot)
    if top - band < side.box[3]:
        side = side._replace(box=(*side.box[:3], top - band))
    above = zones.top
    if above is not None:
        beside = (left, box[0] - REAR_GAP * k) if subject.ahead else (box[2] + REAR_GAP * k, right)
        over = min(above.box[1], side.box[3] + band + marks + 4.0 * k)
        above = _still(above, (beside[0], over, beside[1], above.box[3]))
    ground = zones.ground and side is zones.side
    return Zones(side, above, ground, zones.busy, view_of(subject, box, k))


def _lowest(subject: Subject, side: View, chosen: Part | None) -> float:
    """Page y down to which the side view is wanted: the axle's tube in its clamps, and the ends of what is chosen."""
    picture = subject.whole.picture
    ends: dict[Part | None, tuple[tuple[Triple, ...], ...]] = {
        "shocks": picture.shocks_mm, "torque_bars": picture.torque_bars_mm,
        "flexible_lines": picture.flexible_lines_mm,
        "lateral_link": tuple(one for one in (picture.lateral_link_mm, picture.drag_link_mm) if one is not None),
    }  # fmt: skip
    low = [z for one in ends.get(chosen, ()) for _, _, z in one]
    centre = picture.axle_centre_mm
    low += [] if centre is None else [centre[2] - subject.axle_tube_mm / 2.0]
    return min(side.y(min(low) - 30.0), side.box[3]) if low else side.box[3]


class _Layout:
    """The views in the making: scale, what of the height each has, and what is shown of the vehicle."""

    def __init__(self, subject: Subject, room: Room, top: Top) -> None:
        with_top = top != "never"
        self.subject, self.room, self.has_top = subject, room, with_top
        self.wide = room.box[2] - room.box[0]
        self.before, self.behind = _needed(subject)
        self.first, last = subject.rest_joints[0], subject.rest_joints[-1]
        self.long = max(abs(last[0] - self.first[0]), 1.0)
        self.low, self.high = _heights(subject)
        self.busy, self.ground = is_busy(subject), False
        self.strip = STRIP * room.k if with_top else 0.0
        self.top_view, self.middle = 0.0, 0.0
        by_width = self._by_width()
        self.scale = room.scale or by_width
        high, joint = self.high, max(one[2] for one in subject.rest_joints)
        for _ in range(6):
            # A smaller scale makes the view from above lower, which leaves more height to this one.
            self.top_view = self._top_height() if with_top else 0.0
            self.high = max(high, joint + _KNEE * room.k / self.scale)
            self.scale = room.scale or min(by_width, self.tall / (self.high - self.low))
        if top == "where it tells":
            self._leave_to_words(by_width)
        self._down_to_the_floor()
        self._share_spare_height()

    def _leave_to_words(self, by_width: float) -> None:
        """On a low page an idle view from above is one line of words where that enlarges the shaft."""
        if not self.has_top or self.busy or self.room.whole_height >= _SMALL or self.room.scale is not None:
            return
        before, self.top_view = self.top_view, 0.0
        alone = min(by_width, self.tall / (self.high - self.low))
        if alone >= _WORDS_GAIN * self.scale:
            self.has_top, self.scale = False, alone
        else:
            self.top_view = before

    @property
    def tall(self) -> float:
        """Height of the side view, pixels."""
        _, top, _, bottom = self.room.box
        return max(bottom - top - self.room.flags - self.top_view - self.strip, 40.0)

    def _by_width(self) -> float:
        """Scale at which the width holds what is needed, and the outer numbers beside the outer joints."""
        wide, room = self.wide, self.room
        return min(
            wide / (self.before + self.long + self.behind),
            max(wide - room.left - room.right, 0.3 * wide) / self.long,
            (wide - room.left) / (self.long + self.behind),
            (wide - room.right) / (self.long + self.before),
        )

    def _top_height(self) -> float:
        wanted, self.middle = _top_view(self.subject, self.scale, self.room.k)
        if self.busy:
            share = 0.26 if any(one.view == "top" for one in self.subject.build.obstacles) else 0.20
            most = share * self.room.whole_height - self.strip
        else:
            most = (0.08 if self.room.whole_height < _SMALL else 0.11) * self.room.whole_height
        return max(min(wanted, most), _LEAST_TOP * self.room.k)

    def _down_to_the_floor(self) -> None:
        """Show the ground where that costs little; nothing of a scale that is given."""
        if self.subject.axle_centre is None:
            return
        floor = -10.0 * self.room.k / self.scale
        with_floor = min(self.scale, self.tall / (self.high - floor))
        self.ground = self.low <= floor
        costs = _GROUND_COSTS if self.room.scale is None else 1.0
        if floor < self.low and with_floor >= costs * self.scale:
            self.scale, self.low, self.ground = with_floor, floor, True

    def _share_spare_height(self) -> None:
        """Give height that is left to the whole rail, to the top view, then to what is above or to both sides."""
        spare = self.tall - (self.high - self.low) * self.scale
        rail = self.subject.picture.frame_rail_mm
        if rail and spare > 0.0:
            more = min(spare, max((max(z for _, z in rail[2:]) + 12.0 - self.high) * self.scale, 0.0))
            self.high, spare = self.high + more / self.scale, spare - more
        if self.has_top and spare > 0.0:
            wanted, _ = _top_view(self.subject, self.scale, self.room.k)
            more = min(spare, max(wanted - self.top_view, 0.0))
            self.top_view, spare = self.top_view + more, spare - more
            # What is still left shows springs and perches beside the shaft.
            wide = max((abs(y) + _BESIDE_PERCH_MM for _, y in self.subject.picture.perches_mm), default=0.0)
            more = min(spare, max(2.0 * wide * self.scale - self.top_view, 0.0))
            self.top_view, spare = self.top_view + more, spare - more
        self.high += max(spare, 0.0) / self.scale * (1.0 if self.ground else 0.5)

    def zones(self, look: Look | View) -> Zones:
        """The views, or one that the person chose."""
        left, top, right, _ = self.room.box
        before = max(self.before, self.room.left / self.scale)
        behind = max(self.behind, self.room.right / self.scale)
        slack = max(self.wide / self.scale - (before + self.long + behind), 0.0)
        start = self.first[0] - before - _slack_before(self.subject, slack, self.before, self.behind)
        box = (left, top, right, top + self.tall)
        side = View(box, self.scale, start, self.high)
        if isinstance(look, View):
            side = _again(look, box)
        elif look != "shaft":
            side = _fitted(box, _extent(self.subject, look, side))
            self.ground = self.subject.axle_centre is not None and side.y(0.0) < box[3]
        above = None
        if self.has_top:
            upper = box[3] + self.room.flags
            middle = self.middle + self.top_view / 2.0 / side.scale
            above = View((left, upper, right, upper + self.top_view), side.scale, side.left_mm, middle)
        return Zones(side, above, self.ground, self.busy)


def _needed(subject: Subject) -> tuple[float, float]:
    """How much of the vehicle is shown ahead of the first joint and behind the last one, mm."""
    joints = subject.rest_joints
    long = abs(joints[-1][0] - joints[0][0])
    powertrain = max(0.24 * long, 430.0 if subject.ahead else 260.0) if subject.measured else 0.30 * long
    centre, hub = subject.whole.picture.axle_centre_mm, subject.axle_centre
    if centre is None and hub is None:
        axle = 0.30 * long
    else:
        station = centre[0] if centre is not None else hub[0] if hub is not None else 0.0
        nose = joints[0] if subject.ahead else joints[-1]
        axle = abs(station - nose[0]) + max(1.25 * subject.housing_mm, 0.62 * (subject.tyre_mm or 0.0))
    return (axle, powertrain) if subject.ahead else (powertrain, axle)


def _heights(subject: Subject) -> tuple[float, float]:
    """Lowest and highest of what is shown over the whole travel, mm above the floor."""
    joints, picture = subject.rest_joints, subject.whole.picture
    lows, highs = [one[2] - 60.0 for one in joints], [one[2] + 40.0 for one in joints]
    if not subject.measured:
        lows.append(min(one[2] for one in joints) - 150.0)
        highs.append(max(one[2] for one in joints) + 90.0)
    centre, travel = picture.axle_centre_mm, subject.whole.travel
    down, up = (travel.axle_mm[0], travel.axle_mm[-1]) if travel is not None else (0.0, 0.0)
    if centre is not None:
        lows.append(centre[2] + down - subject.housing_mm - 14.0)
        highs.append(centre[2] + up + subject.housing_mm)
        # Over the travel a joint rises and falls with the axle.
        nose = joints[0] if subject.ahead else joints[-1]
        lows.append(nose[2] + down - 60.0)
        highs.append(nose[2] + up + 40.0)
    highs += [z + 30.0 for _, z in (*picture.spring_mm, *picture.shackle_mm)]
    highs += [z + 40.0 for link in picture.links_mm for _, z in link]
    if picture.frame_rail_mm:
        highs.append(picture.frame_rail_mm[0][1] + 30.0)
    wrong = (one for one in subject.whole.findings if one.bad)
    near = {number + 1 for one in wrong for number in obstacles_of(one, subject.build)}
    for number, (one, outline) in enumerate(zip(subject.build.obstacles, picture.obstacles_mm, strict=True), 1):
        if one.view == "side" and outline and number in near:
            highs.append(max(z for _, z in outline) + 20.0)
            lows.append(min(z for _, z in outline) - 20.0)
    return min(lows), max(highs)


def _top_view(subject: Subject, scale: float, k: float) -> tuple[float, float]:
    """Height that the view from above wants, in pixels, and its middle, mm to the right."""
    beside = [one[1] for one in subject.rest_joints]
    low, high = min(beside), max(beside)
    busy = is_busy(subject)
    margin = subject.joint_radius_mm + 16.0 if busy else 0.9 * subject.housing_mm
    ends = [low - margin, high + margin]
    for one, outline in zip(subject.build.obstacles, subject.picture.obstacles_mm, strict=True):
        if one.view == "top":
            first, last = min(y for _, y in outline), max(y for _, y in outline)
            more = STRIP * k / scale
            if first > high:
                ends.append(min(last + 6.0, first + more))
            elif last < low:
                ends.append(max(first - 6.0, last - more))
    return (max(ends) - min(ends)) * scale + 6.0 * k, (max(ends) + min(ends)) / 2.0


def _slack_before(subject: Subject, slack: float, before: float, behind: float) -> float:
    """How much spare width goes ahead of the first joint: first the tyre whole, then the powertrain, then evenly."""
    axle = before if subject.ahead else behind
    centre, tyre = subject.axle_centre, subject.tyre_mm
    wheel = 0.0
    if centre is not None and tyre:
        wheel = max(tyre + 40.0 + abs(centre[0] - subject.nose[0]) - axle, 0.0)
    long, _, engine, _ = sizes_of(subject.build.powertrain)
    powertrain = behind if subject.ahead else before
    whole = max((0.0 if subject.ahead or not subject.measured else long + engine + 40.0) - powertrain, 0.0)
    to_axle = min(0.6 * slack, wheel)
    to_powertrain = min(slack - to_axle, whole)
    rest = slack - to_axle - to_powertrain
    more = min(rest, max(wheel - to_axle, 0.0))
    rest, to_axle = rest - more, to_axle + more
    to_axle, to_powertrain = to_axle + rest / 2.0, to_powertrain + rest / 2.0
    return to_axle if subject.ahead else to_powertrain


def _extent(subject: Subject, look: Look, side: View) -> Box:
    """What is to be seen, mm: least station, least height, greatest station, greatest height."""
    picture, joints = subject.whole.picture, subject.rest_joints
    xs, zs = [one[0] for one in joints], [one[2] for one in joints]
    if look == "axle" and subject.axle_centre is not None:
        x, z = subject.axle_centre
        r = subject.housing_mm
        nose = subject.nose
        xs, zs = [nose[0], x - 1.6 * r, x + 1.6 * r], [z - 1.15 * r, z + 1.15 * r, nose[1]]
        zs += [high + 20.0 for across, high in picture.spring_mm if abs(across - x) < 2.0 * r]
        return min(xs) - 60.0, min(zs) - 20.0, max(xs) + 40.0, max(zs) + 60.0
    for hub, radius in _wheels(subject):
        xs += [hub[0] - radius, hub[0] + radius]
        zs += [0.0, hub[1] + radius]
    for outline in (picture.powertrain_outline_mm, picture.engine_outline_mm, picture.spring_mm, picture.shackle_mm):
        xs += [x for x, _ in outline]
        zs += [z for _, z in outline]
    if picture.frame_rail_mm:
        zs.append(picture.frame_rail_mm[2][1])
    if len(xs) == len(joints):
        left, high = side.left_mm, side.high_mm
        return left, min(zs) - 60.0, left + (side.box[2] - side.box[0]) / side.scale, high
    return min(xs) - 30.0, min(zs) - 30.0, max(xs) + 30.0, max(zs) + 30.0


def _wheels(subject: Subject) -> list[tuple[tuple[float, float], float]]:
    picture, vehicle = subject.whole.picture, subject.build.vehicle
    if vehicle is None:
        return []
    both = (
        (picture.front_hub_mm, vehicle.front_tyre_radius_mm),
        (picture.rear_hub_mm, vehicle.rear_tyre_radius_mm),
    )
    return [(hub, radius) for hub, radius in both if hub is not None and radius is not None]


def _fitted(box: Box, extent: Box) -> View:
    left, low, right, high = extent
    scale = min((box[2] - box[0]) / (right - left), (box[3] - box[1]) / (high - low))
    return View(
        box, scale, (left + right) / 2.0 - (box[2] - box[0]) / 2.0 / scale,
        (low + high) / 2.0 + (box[3] - box[1]) / 2.0 / scale,
    )  # fmt: skip


def _again(look: View, box: Box) -> View:
    """A view that the person chose, in a box of another size: its middle stays."""
    dx = ((box[2] - box[0]) - (look.box[2] - look.box[0])) / 2.0 / look.scale
    dz = ((box[3] - box[1]) - (look.box[3] - look.box[1])) / 2.0 / look.scale
    return View(box, look.scale, look.left_mm - dx, look.high_mm + dz)


def _held(subject: Subject, room: Room, held: Zones) -> Zones:
    """The views where they lay, with what room the rows leave them now."""
    left, top, right, _ = room.box
    low, above = held.side.box[3], None
    if held.rear is not None:  # beside which that from above lies
        return replace(held, side=_still(held.side, (left, top, right, low)))
    if held.top is not None and subject.measured:
        above = _still(held.top, (left, low + room.flags, right, held.top.box[3]))
    return Zones(_still(held.side, (left, top, right, low)), above, held.ground, is_busy(subject))


def _still(held: View, box: Box) -> View:
    """A view in another box, with every point where it was on the page."""
    left, high = held.mm((box[0], box[1]))
    return View(box, held.scale, left, high)
