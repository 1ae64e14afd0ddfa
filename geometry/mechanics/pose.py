"""Where the lines and the joints are: the plan's turns once, then any further turn of the axle on top of them.

Degrees and mm. Source: solid geometry, with the axes and senses of `geometry.mechanics.vectors`.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from geometry.mechanics.vectors import (
    NAN,
    ORIGIN,
    RADIAN,
    ZERO,
    Bools,
    Floats,
    Vector,
    backward,
    minus,
    norm,
    plus,
    side_slope_deg,
    times,
    turned_by,
    where,
)

SidePoint = tuple[Floats, Floats]
"""A point in side view, (x, z), mm."""


class Powertrain(NamedTuple):
    """Output line and joint after the plan, how far the powertrain was turned (tail down), deg, and shifted, mm."""

    line: Vector
    joint: Vector
    turn_deg: Floats
    shift: Vector


class Axle(NamedTuple):
    """Pinion line and the arm from the axle's centre to the pinion's joint, mm, after the plan at ride height."""

    line: Vector
    arm: Vector
    centre: Vector


def mount_shim_turn_deg(front: SidePoint, rear: SidePoint, shim_mm: Floats) -> Floats:
    """How far a shim under the rear mount turns the powertrain tail up, degrees.

    sin f' = sin f + t/r, with r and f the distance and elevation from front to rear mount in side view. nan for a
    shim where the mounts are not known, or where it is longer than they can turn.

    >>> from geometry.mechanics.vectors import number
    >>> level, behind = (number(0.0), number(500.0)), (number(1000.0), number(500.0))
    >>> round(float(mount_shim_turn_deg(level, behind, number(10.0))), 4)  # asin(10/1000)
    0.573
    """
    ahead, above = rear[0] - front[0], rear[1] - front[1]
    reach = np.sqrt(ahead * ahead + above * above)
    before = above / reach
    return np.where(shim_mm == 0.0, 0.0, (np.arcsin(before + shim_mm / reach) - np.arcsin(before)) / RADIAN)


def turn_to_slope_deg(line: Vector, wanted_deg: Floats) -> Floats:
    """Turn about the cross-car axis that brings lines to a gauge slope, degrees; nan where none does.

    A line (x, y, z) turned by t has the slope w with sin w = r sin(t + f), r and f its size and slope in side view.

    >>> from geometry.mechanics.vectors import line_of, number
    >>> round(float(turn_to_slope_deg(line_of(number(3.0)), number(5.5))), 9)
    2.5
    """
    size = np.sqrt(line.x * line.x + line.z * line.z)
    turn: Floats = np.arcsin(np.sin(wanted_deg * RADIAN) / size) / RADIAN - side_slope_deg(line)
    return turn


def powertrain_of(line: Vector, joint: Vector, hinge: SidePoint, turn_deg: Floats, shift: SidePoint) -> Powertrain:
    """Output line and joint with the powertrain turned about its front mounts (positive: tail down) and shifted.

    Where the mounts are not known nan, but for a turn of nil.

    >>> from geometry.mechanics.vectors import ONE, line_of, number, slope_deg
    >>> joint, hinge = Vector(number(1100.0), number(30.0), number(500.0)), (number(100.0), number(500.0))
    >>> placed = powertrain_of(line_of(number(3.5)), joint, hinge, ONE, (number(5.0), number(20.0)))
    >>> [round(float(part), 3) for part in placed.joint]  # 1,000 (cos 1°, -sin 1°) behind the hinge, then the shift
    [1104.848, 30.0, 502.548]
    >>> round(float(slope_deg(placed.line)), 9)
    4.5
    """
    angle = turn_deg * RADIAN
    cosine, sine = np.cos(angle), np.sin(angle)
    still = turn_deg == 0.0
    pivot = Vector(np.where(still, 0.0, hinge[0]), ZERO, np.where(still, 0.0, hinge[1]))
    moved = Vector(shift[0], ZERO, shift[1])
    placed = plus(plus(pivot, turned_by(minus(joint, pivot), cosine, sine)), moved)
    return Powertrain(turned_by(line, cosine, sine), placed, turn_deg, moved)


def axle_of(
    slope_deg: Floats,
    plan_deg: Floats,
    turn_deg: Floats,
    centre: Vector,
    length_mm: Floats,
    drop_mm: Floats,
    offset_mm: Floats,
    *,
    ahead: bool,
) -> Axle:
    """Pinion line of a slope and plan turned in side view, and the arm to its joint.

    Pinion joint of a rear axle: centre - length·d - drop·n + offset·l, with d the pinion line, n its upward normal
    and l its side; of a front axle, which lies ahead, behind the centre: + length·d.

    >>> from geometry.mechanics.vectors import number
    >>> long, low, beside = number(350.0), number(12.0), number(25.0)
    >>> level = axle_of(ZERO, ZERO, ZERO, ORIGIN, long, low, beside, ahead=False)
    >>> [round(float(part), 9) for part in level.arm]
    [-350.0, 25.0, -12.0]
    """
    slope, plan = slope_deg * RADIAN, plan_deg * RADIAN
    cosine, sine, across, aside = np.cos(slope), np.sin(slope), np.cos(plan), np.sin(plan)
    line, normal = Vector(cosine * across, cosine * aside, -sine), Vector(sine * across, sine * aside, cosine)
    along = length_mm if ahead else -length_mm
    arm = Vector(
        along * line.x - drop_mm * normal.x - offset_mm * aside,
        along * line.y - drop_mm * normal.y + offset_mm * across,
        along * line.z - drop_mm * normal.z,
    )
    turn = turn_deg * RADIAN
    cosine, sine = np.cos(turn), np.sin(turn)
    return Axle(turned_by(line, cosine, sine), turned_by(arm, cosine, sine), centre)


class Pose(NamedTuple):
    """Lines, joints and lengths, front to rear; every direction followed rearward, mm."""

    output: Vector
    pinion: Vector
    sections: tuple[Vector, ...]
    joints: tuple[Vector, ...]
    lengths_mm: tuple[Floats, ...]
    axle_centre: Vector

    def along_drive(self, *, ahead: bool) -> list[Vector]:
        """The lines from output to pinion, whichever is in front, all pointing along the chain.

        >>> from geometry.mechanics.vectors import line_of, number, slope_deg
        >>> output, shaft, pinion = (line_of(number(slope)) for slope in (3.0, -8.0, 4.0))
        >>> front = Pose(output, pinion, (shaft,), (), (), ORIGIN)
        >>> [round(float(slope_deg(line)), 9) for line in front.along_drive(ahead=True)]
        [-3.0, 8.0, -4.0]
        """
        if ahead:
            return [backward(line) for line in (self.output, *self.sections[::-1], self.pinion)]
        return [self.output, *self.sections, self.pinion]


def posed(
    powertrain: Powertrain,
    axle: Axle,
    bearing: Vector | None,
    stick: Vector,
    *,
    ahead: bool,
    by_stick: Bools,
    cosine: Floats,
    sine: Floats,
    shift: Vector = ORIGIN,
) -> Pose:
    """Lines and joints with the axle turned further, by an angle given as cosine and sine, and shifted.

    Shaft lines run from joint centre to joint centre; where `by_stick`, the stick's reading stands for the line of a
    one-piece shaft. The front joint of a shaft lies at the output, or for a front axle at the pinion.

    >>> from geometry.mechanics.vectors import NOWHERE, ONE, line_of, number
    >>> gearbox = Powertrain(line_of(ZERO), Vector(number(1000.0), ZERO, number(500.0)), ZERO, ORIGIN)
    >>> arm, centre = Vector(number(-300.0), ZERO, ZERO), Vector(number(2500.0), ZERO, number(400.0))
    >>> axle, taped = Axle(line_of(ZERO), arm, centre), np.array([False])
    >>> pose = posed(gearbox, axle, None, NOWHERE, ahead=False, by_stick=taped, cosine=ONE, sine=ZERO)
    >>> [round(float(part), 3) for part in (pose.lengths_mm[0], side_slope_deg(pose.sections[0]))]  # 1,200 by 100 mm
    [1204.159, 4.764]
    """
    pinion = turned_by(axle.line, cosine, sine)
    centre = plus(axle.centre, shift)
    nose = plus(centre, turned_by(axle.arm, cosine, sine))
    first, last = (nose, powertrain.joint) if ahead else (powertrain.joint, nose)
    joints = (first, last) if bearing is None else (first, bearing, last)
    sections, lengths = [], []
    for one, two in pairwise(joints):
        way = minus(two, one)
        size = norm(way)
        share = 1.0 / np.where(size > 0.0, size, NAN)
        section = times(share, way)
        if bearing is None and by_stick.any():
            section = where(by_stick, stick, section)
        sections.append(section)
        lengths.append(size)
    return Pose(powertrain.line, pinion, tuple(sections), joints, tuple(lengths), centre)
