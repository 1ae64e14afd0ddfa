"""The points that a drawing needs, in the floor's axes: the vehicle level on its tyres after the plan.

The axle housing is schematic, hung on the measured centre and joint; engine and gearbox see `geometry.mechanics.outline`.
"""

from collections.abc import Callable, Iterable
from math import cos, dist, isfinite, radians, sin, sqrt
from typing import Any

import numpy as np

from geometry.document import Build
from geometry.document.brackets import FlexibleLine, LateralLink, Obstacle, Shock, TorqueBar
from geometry.document.running_gear import LeafSuspension, LinkSuspension
from geometry.judge.kept import leaf_curve
from geometry.mechanics.outline import (
    ENGINE_HEIGHT_MM,
    ENGINE_LENGTH_MM,
    GEARBOX_HEIGHT_MM,
    GEARBOX_LENGTH_MM,
    case_outline,
    engine_outline,
    gearbox_outline,
)
from geometry.mechanics.pose import Pose, Powertrain, SidePoint, powertrain_of
from geometry.mechanics.vectors import ZERO, Floats, Vector, minus, number, plus, side_slope_deg, times
from geometry.words.place import Place, leaf_of
from geometry.words.solution import Pair, Picture, Triple
from geometry.words.told import Told

AXLE_TUBE_MM = 80.0
RAIL_DEPTH_MM = 120.0
"""Usual sizes, for the picture only, where the build gives none."""
LEAF_POINTS = 33
HANGING_POINTS = 17
_UPRIGHT, _STEPS = 0.05, 6
"""What stands so nearly upright bows to the rear; a bow's depth is settled in so many steps."""
_TURN = np.radians(np.linspace(50.0, 310.0, 40))[:, None]
_ROUND = np.cos(_TURN), np.sin(_TURN)
"""The housing's back, seen from its middle: along the pinion and up from it, (40, 1) each."""


class Floor:
    """How points in the frame's axes come to lie over the floor after a lift.

    The frame turns about the cross-car axis by the tilt, degrees, and rises by the front lift, mm, which puts the tyres
    back on the floor to within a fraction of a millimetre for any lift that is driven. A tilt of nan counts as none.

    Examples
    --------
    >>> Floor(0.0, 50.0).point((1000.0, 0.0, 400.0))
    (1000.0, 0.0, 450.0)
    """

    def __init__(self, tilt_deg: float, raised_mm: float) -> None:
        self.tilt_deg = float(tilt_deg) if np.isfinite(tilt_deg) else 0.0
        self.raised_mm = float(raised_mm)
        self._cos, self._sin = cos(radians(self.tilt_deg)), sin(radians(self.tilt_deg))

    def side(self, points: Any) -> tuple[Pair, ...]:
        """Side-view points (m, 2) over the floor, as pairs."""
        cosine, sine, raised = self._cos, self._sin, self.raised_mm
        places = np.asarray(points, np.float64).tolist()
        return tuple([(x * cosine + z * sine, z * cosine - x * sine + raised) for x, z in places])

    def side_in_frame(self, points: Any) -> tuple[Pair, ...]:
        """Side-view points (m, 2) over the floor, as they are in the frame's axes: the inverse of `side`."""
        places = np.asarray(points, np.float64).tolist()
        lowered = [(x, z - self.raised_mm) for x, z in places]
        return tuple([(x * self._cos - z * self._sin, z * self._cos + x * self._sin) for x, z in lowered])

    def direction(self, line: Any) -> Triple:
        """One direction (3,) over the floor."""
        x, y, z = (float(part) for part in line)
        return (x * self._cos + z * self._sin, y, z * self._cos - x * self._sin)

    def point(self, point: Any) -> Triple:
        """One point (3,) over the floor."""
        x, y, z = (float(part) for part in point)
        return (x * self._cos + z * self._sin, y, z * self._cos - x * self._sin + self.raised_mm)


def floor_of(told: Told) -> Floor:
    """The floor under a row after its lift."""
    facts = told.facts
    lower = facts.moved.driven_mm if facts.kinds.ahead else facts.moved.other_mm
    raised = told.at(facts.v.given("plan.front_lift_mm", 0.0) - lower)
    return Floor(told.at(facts.ride.tilt_deg), raised if np.isfinite(raised) else 0.0)


def picture(told: Told, place: Place) -> Picture:
    """Everything to draw with the driveline at a place; what is not known is left out.

    Call under `np.errstate(all="ignore")`.
    """
    build, floor, pose = told.build, floor_of(told), _seen(told, place.pose)
    ahead = told.facts.kinds.ahead
    first, last = pose.joints[0], pose.joints[-1]
    output_joint, pinion_joint = (last, first) if ahead else (first, last)
    centres = tuple(floor.point(one) for one in pose.joints) if all(map(_known, pose.joints)) else ()
    sections = tuple(floor.direction(one) for one in pose.sections) if all(map(_known, pose.sections)) else ()
    if not sections and not place.moved and bool(told.at(told.facts.stood)):
        sections = _by_stick(told, floor)
    axle_centre = _point(floor, pose.axle_centre)
    gearbox, engine = _powertrain(told, floor, pose.output, output_joint)
    front_mount, rear_mount = _mounts(told, floor)
    front_hub, rear_hub = _hubs(build, axle_centre, ahead=ahead)
    leaf = _leaf(told, floor, place)
    carried, link = _carried_by_axle(told, place), build.lateral_link
    return Picture(
        output_joint_mm=_point(floor, output_joint),
        pinion_joint_mm=_point(floor, pinion_joint),
        bearing_mm=centres[1] if len(centres) == 3 else None,
        joint_centres_mm=centres,
        output_direction=floor.direction(pose.output) if _known(pose.output) else None,
        pinion_direction=floor.direction(pose.pinion) if _known(pose.pinion) else None,
        section_directions=sections,
        axle_centre_mm=axle_centre,
        front_mount_mm=front_mount,
        rear_mount_mm=rear_mount,
        powertrain_outline_mm=gearbox,
        engine_outline_mm=engine,
        housing_outline_mm=_housing(build, floor, pose.axle_centre, pinion_joint),
        spring_mm=leaf,
        spring_eyes_mm=_eyes(build, floor, leaf),
        shackle_mm=_shackle(told, floor, leaf),
        links_mm=_links(build, floor, place),
        frame_rail_mm=_rail(build, floor),
        front_hub_mm=front_hub,
        rear_hub_mm=rear_hub,
        perches_mm=_perches(build, axle_centre),
        shocks_mm=_brackets(build.shocks, floor, carried),
        torque_bars_mm=_brackets(build.torque_bars, floor, carried),
        lateral_link_mm=next(iter(_brackets([link] if link else [], floor, carried)), None),
        drag_link_mm=_ends(floor, carried, link.drag_box_mm, link.drag_axle_mm) if link else None,
        flexible_lines_mm=tuple(_hanging(one, floor, carried) for one in build.flexible_lines),
        obstacles_mm=tuple(_obstacle(told, one, floor, carried) for one in build.obstacles),
    )


def _by_stick(told: Told, floor: Floor) -> tuple[Triple, ...]:
    """The stick's line, where some of the joints' places are still missing: to be drawn, and judged by nothing."""
    stick = [told.at(part) for part in told.facts.stick]
    return (floor.direction(stick),) if _known(stick) else ()


def _known(point: Iterable[Any]) -> bool:
    return all(map(isfinite, point))


def _seen(told: Told, pose: Pose) -> Pose:
    """A pose to draw: a front axle whose pinion's offset is not entered as its shaft runs straight, which is not judged.

    From the side it is true: how far a pinion lies aside moves it neither back nor up.
    """
    facts = told.facts
    if not told.at(facts.aside_open):
        return pose
    v, line, output = facts.v, pose.pinion, pose.joints[-1]
    level = np.hypot(line.x, line.y)
    long = told.at(v["axle.pinion_length_mm"] + v.given("plan.pinion_adapter_mm", 0.0))
    low = told.at(v.given("axle.pinion_drop_mm", 0.0))
    normal = Vector(-line.z * line.x / level, 0.0 * level, level)  # how far aside is told by the output
    joint = plus(pose.axle_centre, minus(times(long, line), times(low, normal)))._replace(y=output.y)
    along = minus(pose.joints[1], joint)
    section = times(1.0 / np.sqrt(along.x**2 + along.y**2 + along.z**2), along)
    return pose._replace(joints=(joint, *pose.joints[1:]), sections=(section, *pose.sections[1:]))


def _point(floor: Floor, point: Vector) -> Triple | None:
    return floor.point(point) if _known(point) else None


def _outline(floor: Floor, corners: Floats) -> tuple[Pair, ...]:
    return floor.side(corners) if np.isfinite(corners).all() else ()


def _powertrain(told: Told, floor: Floor, line: Vector, joint: Vector) -> tuple[tuple[Pair, ...], tuple[Pair, ...]]:
    """Gearbox and engine; a transfer case alone where the output points forward."""
    if told.facts.kinds.ahead:
        return _outline(floor, case_outline(joint, line)), ()
    powertrain = told.build.powertrain
    if powertrain is None:
        return (), ()
    box = powertrain.gearbox_length_mm or GEARBOX_LENGTH_MM
    tall = powertrain.gearbox_height_mm or GEARBOX_HEIGHT_MM
    long, high = powertrain.engine_length_mm or ENGINE_LENGTH_MM, powertrain.engine_height_mm or ENGINE_HEIGHT_MM
    return (
        _outline(floor, gearbox_outline(joint, line, box, tall)),
        _outline(floor, engine_outline(joint, line, box, long, high)),
    )


def _mounts(told: Told, floor: Floor) -> tuple[Pair | None, Pair | None]:
    """Front and rear mounts: where measured, or where loose ones go with the powertrain."""
    powertrain = told.build.powertrain
    if powertrain is None:
        return None, None
    moved, loose = told.facts.powertrain, told.facts.kinds.loose_mounts
    hinge = powertrain.front_mount_mm
    drawn: list[Pair | None] = []
    for mount in (hinge, powertrain.rear_mount_mm):
        if mount is not None and loose:
            mount = _carried(told, moved, mount, hinge)  # noqa: PLW2901
        drawn.append(floor.side((mount,))[0] if mount is not None and _known(mount) else None)
    return drawn[0], drawn[1]


def _carried(told: Told, moved: Powertrain, mount: Pair, hinge: Pair | None) -> Pair:
    """A mount turned about the front ones and shifted, as the output's joint is."""
    pivot: SidePoint = (number(np.nan), number(np.nan)) if hinge is None else (number(hinge[0]), number(hinge[1]))
    there = Vector(number(mount[0]), ZERO, number(mount[1]))
    shift = told.at(moved.shift.x), told.at(moved.shift.z)
    placed = powertrain_of(there, there, pivot, told.at(moved.turn_deg), shift).joint
    return float(placed.x), float(placed.z)


def _housing(build: Build, floor: Floor, centre: Vector, joint: Vector) -> tuple[Pair, ...]:
    """Axle housing with its nose: a round behind the centre, tapering to the pinion's yoke."""
    if build.axle is None or not (_known(centre) and _known(joint)):
        return ()
    round_mm = 1.75 * (build.axle.tube_diameter_mm or AXLE_TUBE_MM)
    middle, nose = (np.array((float(one.x), float(one.z))) for one in (centre, joint))
    ahead = nose - middle
    reach = float(np.hypot(*ahead))
    if reach <= round_mm:
        return ()
    along = ahead / reach
    up = np.array([-along[1], along[0]])
    back = middle + round_mm * (_ROUND[0] * along + _ROUND[1] * up)
    snout = 0.42 * round_mm
    tip = middle + along * max(reach - 55.0, round_mm * 0.8)
    return floor.side(np.concatenate(((tip + snout * up,), back, (tip - snout * up,))))


def _carried_by_axle(told: Told, place: Place) -> Callable[[Triple], Triple | None]:
    """Where a bracket's point on the measured axle has gone with it.

    Of an axle whose place or slope is not known: where it was measured as long as nothing moves, then nowhere.
    """
    was, now = told.build.axle, place.pose
    stands = bool(told.at(told.facts.stood)) and not place.moved and told.at(told.facts.pinion_turn_deg) == 0.0
    centre = None if was is None else was.centre_mm
    pinion = told.facts.measured.pinion
    turn = float(side_slope_deg(now.pinion) - told.at(side_slope_deg(pinion)))
    if not (isfinite(turn) and centre is not None and _known(now.axle_centre)):
        return (lambda point: point) if stands else (lambda _: None)
    cosine, sine = cos(radians(turn)), sin(radians(turn))
    x0, y0, z0 = (float(part) for part in now.axle_centre)

    def there(point: Triple) -> Triple:
        x, y, z = (part - from_ for part, from_ in zip(point, centre, strict=True))
        return x0 + x * cosine + z * sine, y0 + y, z0 + z * cosine - x * sine

    return there


def _brackets(
    some: Iterable[Shock | TorqueBar | LateralLink], floor: Floor, carried: Callable[[Triple], Triple | None]
) -> tuple[tuple[Triple, Triple], ...]:
    """Ends at frame and axle of each that has both."""
    made = (_ends(floor, carried, one.frame_point_mm, one.axle_point_mm) for one in some)
    return tuple(ends for ends in made if ends is not None)


def _ends(
    floor: Floor, carried: Callable[[Triple], Triple | None], frame: Triple | None, axle: Triple | None
) -> tuple[Triple, Triple] | None:
    """Both ends over the floor; None where one of them is not known."""
    held = None if axle is None else carried(axle)
    return None if frame is None or held is None else (floor.point(frame), floor.point(held))


def _hanging(line: FlexibleLine, floor: Floor, carried: Callable[[Triple], Triple | None]) -> tuple[Triple, ...]:
    """A flexible line bowed downward by as much as its length has to spare; straight without, or where that is not known."""
    if line.frame_point_mm is None or line.axle_point_mm is None:
        return ()
    held = carried(line.axle_point_mm)
    if held is None:
        return ()
    one, two = (np.array(floor.point(point)) for point in (line.frame_point_mm, held))
    apart = dist(one, two)
    slack = 0.0 if line.free_length_mm is None else line.free_length_mm - apart
    if slack <= 0.0 or apart == 0.0:
        return _triple(one), _triple(two)
    along = (two - one) / apart
    down = along * along[2] - (0.0, 0.0, 1.0)
    size = float(np.linalg.norm(down))
    down = down / size if size > _UPRIGHT else np.array((1.0, 0.0, 0.0))
    shares = np.linspace(0.0, 1.0, HANGING_POINTS)[:, None]
    # A shallow parabola is longer than its chord by 8 s²/(3 c); a deep one comes to its length in a few steps.
    sag = sqrt(0.375 * apart * slack)
    for _ in range(_STEPS):
        points = one + shares * (two - one) + 4.0 * sag * shares * (1.0 - shares) * down
        sag *= sqrt(slack / (float(np.linalg.norm(points[1:] - points[:-1], axis=1).sum()) - apart))
    return tuple(_triple(point) for point in points)


def _triple(point: Any) -> Triple:
    x, y, z = (float(part) for part in point)
    return x, y, z


def _obstacle(told: Told, one: Obstacle, floor: Floor, carried: Callable[[Triple], Triple | None]) -> tuple[Pair, ...]:
    """An obstacle where its carrier has taken it, in its own view; none where that is not known."""
    if one.view == "top":
        return one.outline_mm
    if one.carried_by == "frame":
        return floor.side(one.outline_mm)
    if one.carried_by == "axle":
        held = [carried((x, 0.0, z)) for x, z in one.outline_mm]
        return floor.side([(point[0], point[2]) for point in held if point is not None])
    hinge = None if told.build.powertrain is None else told.build.powertrain.front_mount_mm
    there = [_carried(told, told.facts.powertrain, corner, hinge) for corner in one.outline_mm]
    return floor.side(there) if all(map(_known, there)) else ()


def _leaf(told: Told, floor: Floor, place: Place) -> tuple[Pair, ...]:
    """The main leaf from its fixed eye to its shackled one."""
    leaf = leaf_of(told)
    if leaf is None:
        return ()
    return _outline(floor, leaf_curve(leaf, place.curvature, LEAF_POINTS))


def _shackle(told: Told, floor: Floor, leaf: tuple[Pair, ...]) -> tuple[Pair, ...]:
    spring = told.facts.ride.leaf
    if not leaf or spring is None:
        return ()
    return (*floor.side(((told.at(spring.pivot_x), told.at(spring.pivot_z)),)), leaf[-1])


def _eyes(build: Build, floor: Floor, leaf: tuple[Pair, ...]) -> tuple[Pair, ...]:
    """Fixed eye and shackled eye where the spring is known, else those frame points that are entered."""
    spring = build.suspension
    if leaf:
        return leaf[0], leaf[-1]
    if not isinstance(spring, LeafSuspension):
        return ()
    return floor.side([point for point in (spring.front_eye_mm, spring.shackle_pivot_mm) if point is not None])


def _links(build: Build, floor: Floor, place: Place) -> tuple[tuple[Pair, ...], ...]:
    """Each link from frame to axle: where it has gone, or as measured where that is not known."""
    links = build.suspension
    if not isinstance(links, LinkSuspension):
        return ()
    lower, upper = links.lower_axle_mm, links.upper_axle_mm
    if _known((*place.lower, *place.upper)):
        lower, upper = ((float(x), float(z)) for x, z in (place.lower, place.upper))
    ends = ((links.lower_frame_mm, lower), (links.upper_frame_mm, upper))
    return tuple(floor.side((frame, axle)) for frame, axle in ends if frame is not None and axle is not None)


def _rail(build: Build, floor: Floor) -> tuple[Pair, ...]:
    """Underside and top of the frame rail as a closed outline, past both axles."""
    vehicle = build.vehicle
    if vehicle is None or vehicle.frame_height_mm is None or vehicle.wheelbase_mm is None:
        return ()
    joint = None if build.powertrain is None else build.powertrain.output_joint_mm
    at = vehicle.wheelbase_mm / 2.0 if joint is None else joint[0]
    fall, depth = float(np.tan(np.radians(vehicle.frame_slope_deg or 0.0))), vehicle.frame_depth_mm or RAIL_DEPTH_MM
    under = [(x, vehicle.frame_height_mm - fall * (x - at)) for x in (-600.0, vehicle.wheelbase_mm + 900.0)]
    return floor.side((*under, *((x, z + depth) for x, z in under[::-1])))


def _hubs(build: Build, axle_centre: Triple | None, *, ahead: bool) -> tuple[Pair | None, Pair | None]:
    """Front and rear hub, (x, z): the driven axle's own centre where known, else by wheelbase and tyre."""
    vehicle = build.vehicle
    front = rear = None
    if vehicle is not None:
        if vehicle.front_tyre_radius_mm is not None:
            front = (0.0, vehicle.front_tyre_radius_mm)
        if vehicle.rear_tyre_radius_mm is not None and vehicle.wheelbase_mm is not None:
            rear = (vehicle.wheelbase_mm, vehicle.rear_tyre_radius_mm)
    if axle_centre is not None:
        driven = (axle_centre[0], axle_centre[2])
        front, rear = (driven, rear) if ahead else (front, driven)
    return front, rear


def _perches(build: Build, centre: Triple | None) -> tuple[Pair, ...]:
    if build.axle is None or build.axle.perch_spacing_mm is None or centre is None:
        return ()
    half = build.axle.perch_spacing_mm / 2.0
    return ((centre[0], centre[1] - half), (centre[0], centre[1] + half))
