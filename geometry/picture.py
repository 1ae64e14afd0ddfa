"""The points that a drawing needs, in the floor's axes: the vehicle level on its tyres after the plan.

The axle housing is schematic, hung on the measured centre and joint; engine and gearbox see `geometry.outline`.
"""

from functools import lru_cache
from math import cos, isfinite, radians, sin

import numpy as np

from geometry import springs
from geometry.document import Build
from geometry.document.running_gear import LeafSuspension, LinkSuspension
from geometry.frames import Directions, Floats, Points, turned_in_side_view
from geometry.outline import case_outline_mm, engine_outline_mm, gearbox_outline_mm
from geometry.pose import Pose, is_front_axle
from geometry.ride import FourBar, Leaf, Ride, Swept
from geometry.solution import Pair, Picture, Triple

AXLE_TUBE_MM = 80.0
RAIL_DEPTH_MM = 120.0
"""Usual sizes, for the picture only, where the build gives none."""
LEAF_POINTS = 33
_TURN = np.radians(np.linspace(50.0, 310.0, 40))[:, None]
_ROUND = np.cos(_TURN), np.sin(_TURN)
"""The housing's back, seen from its middle: along the pinion and up from it, (40, 1) each."""


class Floor:
    """How points in the frame's axes come to lie over the floor after a lift.

    The frame turns about the cross-car axis by the tilt and rises by the front lift, which puts the tyres back on the
    floor to within a fraction of a millimetre for any lift that is driven.
    """

    def __init__(self, at: Ride) -> None:
        self.tilt_deg = at.tilt_deg if isfinite(at.tilt_deg) else 0.0
        self.raised_mm = at.raised_mm
        self._cos, self._sin = cos(radians(self.tilt_deg)), sin(radians(self.tilt_deg))

    def side(self, points: Floats) -> tuple[Pair, ...]:
        """Side-view points (m, 2) over the floor, as pairs."""
        return tuple([self._over(x, z) for x, z in points.tolist()])

    def side_in_frame(self, points: Floats) -> tuple[Pair, ...]:
        """Side-view points (m, 2) over the floor, as they are in the frame's axes: the inverse of `side`."""
        flat = np.zeros((len(points), 3))
        flat[:, 0], flat[:, 2] = points[:, 0], points[:, 1] - self.raised_mm
        return tuple((x, z) for x, _, z in turned_in_side_view(flat, -self.tilt_deg).tolist())

    def direction(self, line: Directions) -> Triple:
        """One direction (3,) over the floor."""
        x, y, z = line.tolist()
        return (x * self._cos + z * self._sin, y, z * self._cos - x * self._sin)

    def point(self, point: Points) -> Triple:
        """One point (3,) over the floor."""
        x, y, z = point.tolist()
        x, z = self._over(x, z)
        return (x, y, z)

    def _over(self, x: float, z: float) -> Pair:
        return x * self._cos + z * self._sin, z * self._cos - x * self._sin + self.raised_mm


def picture(build: Build, at: Ride, pose: Pose, swept: Swept | None) -> Picture:
    """Everything to draw for a pose of one row; `swept` is the axle's place on its suspension, one row, or None."""
    floor = Floor(at)
    centres = () if pose.joint_centres_mm is None else tuple(floor.point(one) for one in pose.joint_centres_mm[:, 0])
    sections = () if pose.sections is None else tuple(floor.direction(one) for one in pose.sections[:, 0])
    output_joint, output, pinion = _first(pose.output_joint_mm), _first(pose.output), _first(pose.pinion)
    pinion_joint, axle = _first(pose.pinion_joint_mm), _first(pose.axle_centre_mm)
    powertrain = build.powertrain
    gearbox = engine = None
    if is_front_axle(build):
        gearbox = case_outline_mm(pose)
    elif powertrain is not None:
        gearbox, engine = gearbox_outline_mm(powertrain, pose), engine_outline_mm(powertrain, pose)
    mounts = (None, None) if powertrain is None else (powertrain.front_mount_mm, powertrain.rear_mount_mm)
    axle_centre = None if axle is None else floor.point(axle)
    front_hub, rear_hub = _hubs(build, axle_centre)
    leaf = _leaf(at, floor, swept)
    return Picture(
        output_joint_mm=None if output_joint is None else floor.point(output_joint),
        pinion_joint_mm=None if pinion_joint is None else floor.point(pinion_joint),
        bearing_mm=centres[1] if len(centres) == 3 else None,
        joint_centres_mm=centres,
        output_direction=None if output is None else floor.direction(output),
        pinion_direction=None if pinion is None else floor.direction(pinion),
        section_directions=sections,
        axle_centre_mm=axle_centre,
        front_mount_mm=None if mounts[0] is None else floor.side(np.array([mounts[0]]))[0],
        rear_mount_mm=None if mounts[1] is None else floor.side(np.array([mounts[1]]))[0],
        powertrain_outline_mm=() if gearbox is None else floor.side(gearbox),
        engine_outline_mm=() if engine is None else floor.side(engine),
        housing_outline_mm=_housing(build, floor, axle, pinion_joint),
        spring_mm=leaf,
        spring_eyes_mm=_eyes(build, floor, leaf),
        shackle_mm=_shackle(at, floor, leaf),
        links_mm=_links(build, at, floor, swept),
        frame_rail_mm=_rail(build, floor),
        front_hub_mm=front_hub,
        rear_hub_mm=rear_hub,
        perches_mm=_perches(build, axle_centre),
        obstacles_mm=tuple(
            floor.side(np.array(one.outline_mm)) if one.view == "side" else one.outline_mm for one in build.obstacles
        ),
    )


def _first(points: Points | None) -> Floats | None:
    return None if points is None or not np.isfinite(points[0]).all() else points[0]


def _housing(build: Build, floor: Floor, centre: Floats | None, joint: Floats | None) -> tuple[Pair, ...]:
    """Axle housing with its nose: a round behind the centre, tapering to the pinion's yoke."""
    if build.axle is None or centre is None or joint is None:
        return ()
    round_mm = 1.75 * (build.axle.tube_diameter_mm or AXLE_TUBE_MM)
    middle, nose = centre[[0, 2]], joint[[0, 2]]
    ahead = nose - middle
    reach = float(np.hypot(*ahead))
    if reach <= round_mm:
        return ()
    along = ahead / reach
    up = np.array([-along[1], along[0]])
    back = middle + round_mm * (_ROUND[0] * along + _ROUND[1] * up)
    snout = 0.42 * round_mm
    tip = middle + along * max(reach - 55.0, round_mm * 0.8)
    return floor.side(np.vstack((tip + snout * up, back, tip - snout * up)))


def _leaf(at: Ride, floor: Floor, swept: Swept | None) -> tuple[Pair, ...]:
    """The main leaf from its fixed eye to its shackled one."""
    if not isinstance(at.mechanism, Leaf):
        return ()
    curvature = at.mechanism.curvature if swept is None or swept.curvature is None else float(swept.curvature[0])
    return floor.side(_leaf_curve(at.mechanism.spring, curvature))


@lru_cache(maxsize=8)  # most edits leave the spring as it was
def _leaf_curve(spring: springs.LeafSpring, curvature: float) -> Floats:
    curve: Floats = springs.leaf_curve(spring, curvature, LEAF_POINTS)[0]
    curve.setflags(write=False)  # it is handed out again and again
    return curve


def _shackle(at: Ride, floor: Floor, leaf: tuple[Pair, ...]) -> tuple[Pair, ...]:
    if not leaf or not isinstance(at.mechanism, Leaf):
        return ()
    return (*floor.side(np.array([at.mechanism.spring.shackle_pivot_mm])), leaf[-1])


def _eyes(build: Build, floor: Floor, leaf: tuple[Pair, ...]) -> tuple[Pair, ...]:
    """Fixed eye and shackled eye where the spring is known, else those frame points that are entered."""
    spring = build.suspension
    if leaf:
        return leaf[0], leaf[-1]
    if not isinstance(spring, LeafSuspension):
        return ()
    points = [point for point in (spring.front_eye_mm, spring.shackle_pivot_mm) if point is not None]
    return floor.side(np.array(points)) if points else ()


def _links(build: Build, at: Ride, floor: Floor, swept: Swept | None) -> tuple[tuple[Pair, ...], ...]:
    links = build.suspension
    if not isinstance(links, LinkSuspension):
        return ()
    lower, upper = links.lower_axle_mm, links.upper_axle_mm
    if (
        isinstance(at.mechanism, FourBar)
        and swept is not None
        and swept.lower_axle_mm is not None
        and swept.upper_axle_mm is not None
    ):
        (lx, lz), (ux, uz) = swept.lower_axle_mm[0].tolist(), swept.upper_axle_mm[0].tolist()
        lower, upper = (lx, lz), (ux, uz)
    ends = ((links.lower_frame_mm, lower), (links.upper_frame_mm, upper))
    return tuple(floor.side(np.array([frame, axle])) for frame, axle in ends if frame is not None and axle is not None)


def _rail(build: Build, floor: Floor) -> tuple[Pair, ...]:
    """Underside and top of the frame rail as a closed outline, past both axles."""
    vehicle = build.vehicle
    if vehicle is None or vehicle.frame_height_mm is None or vehicle.wheelbase_mm is None:
        return ()
    joint = None if build.powertrain is None else build.powertrain.output_joint_mm
    at = vehicle.wheelbase_mm / 2.0 if joint is None else joint[0]
    fall = np.tan(np.radians(vehicle.frame_slope_deg or 0.0))
    ends = np.array([-600.0, vehicle.wheelbase_mm + 900.0])
    under = vehicle.frame_height_mm - fall * (ends - at)
    top = under + (vehicle.frame_depth_mm or RAIL_DEPTH_MM)
    return floor.side(np.column_stack((np.concatenate((ends, ends[::-1])), np.concatenate((under, top[::-1])))))


def _hubs(build: Build, axle_centre: Triple | None) -> tuple[Pair | None, Pair | None]:
    """Front and rear hub, (x, z): the driven axle's own centre where known, else by wheelbase and tyre."""
    vehicle = build.vehicle
    driven = None if axle_centre is None else (axle_centre[0], axle_centre[2])
    front = rear = None
    if vehicle is not None:
        if vehicle.front_tyre_radius_mm is not None:
            front = (0.0, vehicle.front_tyre_radius_mm)
        if vehicle.rear_tyre_radius_mm is not None and vehicle.wheelbase_mm is not None:
            rear = (vehicle.wheelbase_mm, vehicle.rear_tyre_radius_mm)
    if driven is not None:
        if is_front_axle(build):
            front = driven
        else:
            rear = driven
    return front, rear


def _perches(build: Build, centre: Triple | None) -> tuple[Pair, ...]:
    if build.axle is None or build.axle.perch_spacing_mm is None or centre is None:
        return ()
    half = build.axle.perch_spacing_mm / 2.0
    return ((centre[0], centre[1] - half), (centre[0], centre[1] + half))
