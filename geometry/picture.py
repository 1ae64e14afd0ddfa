"""The points that a drawing needs, in the floor's axes.

Outlines of engine, gearbox and axle housing are schematic: a few dimensions where the build gives them, else usual
ones, hung on the measured joints. They are for the eye; only entered dimensions and outlines count for clearance.
"""

import numpy as np

from geometry.document import Build
from geometry.facts import Facts
from geometry.frames import Floats, Points
from geometry.pose import is_front_axle
from geometry.running_gear import LeafSuspension, LinkSuspension
from geometry.solution import Pair, Picture, Triple

GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM = 760.0, 250.0
ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM = 620.0, 640.0
AXLE_TUBE_MM = 80.0
RAIL_DEPTH_MM = 120.0
"""Usual sizes, for the picture only, where the build gives none."""


def picture(facts: Facts) -> Picture:
    """Everything to draw at ride height after the plan."""
    build, pose = facts.build, facts.planned.pose
    centres = () if pose.joint_centres_mm is None else tuple(_triple(one) for one in pose.joint_centres_mm[:, 0])
    sections = () if pose.sections is None else tuple(_triple(one) for one in pose.sections[:, 0])
    output_joint, output = _first(pose.output_joint_mm), _first(pose.output)
    powertrain = build.powertrain
    gearbox, engine = _powertrain_outlines(build, output_joint, output)
    return Picture(
        output_joint_mm=None if output_joint is None else _triple(output_joint),
        pinion_joint_mm=None if pose.pinion_joint_mm is None else _triple(pose.pinion_joint_mm[0]),
        bearing_mm=centres[1] if len(centres) == 3 else None,
        joint_centres_mm=centres,
        output_direction=None if output is None else _triple(output),
        pinion_direction=None if pose.pinion is None else _triple(pose.pinion[0]),
        section_directions=sections,
        axle_centre_mm=None if pose.axle_centre_mm is None else _triple(pose.axle_centre_mm[0]),
        front_mount_mm=None if powertrain is None else powertrain.front_mount_mm,
        rear_mount_mm=None if powertrain is None else powertrain.rear_mount_mm,
        powertrain_outline_mm=gearbox,
        engine_outline_mm=engine,
        housing_outline_mm=_housing(build, _first(pose.axle_centre_mm), _first(pose.pinion_joint_mm)),
        spring_mm=(),
        spring_eyes_mm=_eyes(build),
        shackle_mm=(),
        links_mm=_links(build),
        frame_rail_mm=_rail(build),
        front_hub_mm=None
        if build.vehicle is None or build.vehicle.front_tyre_radius_mm is None
        else (0.0, build.vehicle.front_tyre_radius_mm),
        rear_hub_mm=_rear_hub(build),
        perches_mm=_perches(build, _first(pose.axle_centre_mm)),
    )


def _first(points: Points | None) -> Floats | None:
    return None if points is None or not np.isfinite(points[0]).all() else points[0]


def _triple(point: Floats) -> Triple:
    x, y, z = point.tolist()
    return (x, y, z)


def _pairs(points: Floats) -> tuple[Pair, ...]:
    return tuple((x, z) for x, z in points.tolist())


def _powertrain_outlines(
    build: Build, joint: Floats | None, line: Floats | None
) -> tuple[tuple[Pair, ...], tuple[Pair, ...]]:
    powertrain = build.powertrain
    if powertrain is None or joint is None or line is None:
        return (), ()
    box, tall = powertrain.gearbox_length_mm or GEARBOX_LENGTH_MM, powertrain.gearbox_height_mm or GEARBOX_HEIGHT_MM
    long, high = powertrain.engine_length_mm or ENGINE_LENGTH_MM, powertrain.engine_height_mm or ENGINE_HEIGHT_MM
    # Along the output line from the joint, rearward positive; up from the line.
    yoke, bell = 55.0, min(box * 0.28, 200.0)
    gearbox = np.array([
        (-yoke, 0.30 * tall), (-box * 0.42, 0.40 * tall), (-box + bell, 0.52 * tall), (-box, 0.86 * tall),
        (-box, -0.86 * tall), (-box + bell, -0.60 * tall), (-box * 0.42, -0.60 * tall), (-yoke, -0.34 * tall),
    ])  # fmt: skip
    engine = np.array([
        (-box, 0.55 * high), (-box - 0.12 * long, 0.66 * high), (-box - 0.88 * long, 0.66 * high),
        (-box - long, 0.42 * high), (-box - long, -0.18 * high), (-box - 0.62 * long, -0.34 * high),
        (-box - 0.10 * long, -0.34 * high), (-box, -0.2 * high),
    ])  # fmt: skip
    slope = np.arctan2(-line[2], line[0])
    along, up = np.array([np.cos(slope), -np.sin(slope)]), np.array([np.sin(slope), np.cos(slope)])
    foot = joint[[0, 2]]
    return tuple(_pairs(foot + outline[:, :1] * along + outline[:, 1:] * up) for outline in (gearbox, engine))  # type: ignore[return-value]


def _housing(build: Build, centre: Floats | None, joint: Floats | None) -> tuple[Pair, ...]:
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
    turn = np.radians(np.linspace(50.0, 310.0, 40))
    back = middle + round_mm * (np.cos(turn)[:, None] * along + np.sin(turn)[:, None] * up)
    snout = 0.42 * round_mm
    tip = middle + along * max(reach - 55.0, round_mm * 0.8)
    return _pairs(np.vstack((tip + snout * up, back, tip - snout * up)))


def _eyes(build: Build) -> tuple[Pair, ...]:
    spring = build.suspension
    if not isinstance(spring, LeafSuspension):
        return ()
    return tuple(point for point in (spring.front_eye_mm, spring.shackle_pivot_mm) if point is not None)


def _links(build: Build) -> tuple[tuple[Pair, ...], ...]:
    links = build.suspension
    if not isinstance(links, LinkSuspension):
        return ()
    ends = ((links.lower_frame_mm, links.lower_axle_mm), (links.upper_frame_mm, links.upper_axle_mm))
    return tuple((frame, axle) for frame, axle in ends if frame is not None and axle is not None)


def _rail(build: Build) -> tuple[Pair, ...]:
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
    return _pairs(np.column_stack((np.concatenate((ends, ends[::-1])), np.concatenate((under, top[::-1])))))


def _rear_hub(build: Build) -> Pair | None:
    vehicle = build.vehicle
    if vehicle is None or vehicle.rear_tyre_radius_mm is None:
        return None
    if vehicle.wheelbase_mm is not None:
        return (vehicle.wheelbase_mm, vehicle.rear_tyre_radius_mm)
    centre = None if build.axle is None or is_front_axle(build) else build.axle.centre_mm
    return None if centre is None else (centre[0], vehicle.rear_tyre_radius_mm)


def _perches(build: Build, centre: Floats | None) -> tuple[Pair, ...]:
    if build.axle is None or build.axle.perch_spacing_mm is None or centre is None:
        return ()
    half = build.axle.perch_spacing_mm / 2.0
    return ((float(centre[0]), float(centre[1]) - half), (float(centre[0]), float(centre[1]) + half))
