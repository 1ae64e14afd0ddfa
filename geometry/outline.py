"""Schematic outlines of engine and gearbox in side view, hung on the output joint and line.

Where the build gives no dimensions usual ones are taken for the drawing; for clearance only entered ones count.
"""

from math import hypot

import numpy as np

from geometry.document.vehicle import Powertrain
from geometry.frames import Floats
from geometry.pose import Pose

GEARBOX_LENGTH_MM, GEARBOX_HEIGHT_MM = 760.0, 250.0
ENGINE_LENGTH_MM, ENGINE_HEIGHT_MM = 620.0, 640.0
"""Usual sizes, for the picture only."""
_YOKE_MM = 55.0


def case_outline_mm(pose: Pose) -> Floats | None:
    """Corners (m, 2) of a transfer case behind a front output joint; None without joint and line."""
    shape = np.array([
        (_YOKE_MM, 0.34), (130.0, 0.60), (330.0, 0.60), (390.0, 0.35),
        (390.0, -0.30), (330.0, -0.52), (130.0, -0.52), (_YOKE_MM, -0.34),
    ])  # fmt: skip
    shape[:, 1] *= GEARBOX_HEIGHT_MM
    return _hung(shape, pose)


def gearbox_outline_mm(powertrain: Powertrain, pose: Pose, *, entered_only: bool = False) -> Floats | None:
    """Corners (m, 2) of the gearbox, or None without its joint and line, or without entered dimensions where asked."""
    long, tall = powertrain.gearbox_length_mm, powertrain.gearbox_height_mm
    if entered_only and (long is None or tall is None):
        return None
    box, high = long or GEARBOX_LENGTH_MM, tall or GEARBOX_HEIGHT_MM
    bell = min(box * 0.28, 200.0)
    # Along the output line from the joint, rearward positive; up from the line.
    shape = np.array([
        (-_YOKE_MM, 0.30), (-box * 0.42, 0.40), (-box + bell, 0.46), (-box, 0.55),
        (-box, -0.45), (-box + bell, -0.45), (-box * 0.42, -0.42), (-_YOKE_MM, -0.34),
    ])  # fmt: skip
    shape[:, 1] *= high
    return _hung(shape, pose)


def engine_outline_mm(powertrain: Powertrain, pose: Pose, *, entered_only: bool = False) -> Floats | None:
    """Corners (m, 2) of the engine ahead of the gearbox, or None as for the gearbox."""
    long, tall, box = powertrain.engine_length_mm, powertrain.engine_height_mm, powertrain.gearbox_length_mm
    if entered_only and (long is None or tall is None or box is None):
        return None
    size, high, start = long or ENGINE_LENGTH_MM, tall or ENGINE_HEIGHT_MM, -(box or GEARBOX_LENGTH_MM)
    shape = np.array([
        (start, 0.55), (start - 0.12 * size, 0.66), (start - 0.88 * size, 0.66), (start - size, 0.42),
        (start - size, -0.18), (start - 0.62 * size, -0.34), (start - 0.10 * size, -0.34), (start, -0.20),
    ])  # fmt: skip
    shape[:, 1] *= high
    return _hung(shape, pose)


def _hung(shape: Floats, pose: Pose) -> Floats | None:
    if pose.output is None or pose.output_joint_mm is None:
        return None
    line, joint = pose.output[0], pose.output_joint_mm[0]
    if not (np.isfinite(line).all() and np.isfinite(joint).all()):
        return None
    along_x, _, along_z = line.tolist()
    size = hypot(along_x, along_z)
    turn = np.array(((along_x, along_z), (-along_z, along_x))) / size
    return np.asarray(joint[[0, 2]] + shape @ turn)
