"""Where the lines and the joints are, for many positions at once.

A position is one row: one wedge, one mount shim, one place of the axle on its path. The single answer at ride height,
the grid that looks for a remedy and the sweep over the travel are the same code with one, fifty or two hundred rows.
"""

from dataclasses import dataclass, replace

import numpy as np

from geometry.document import Build
from geometry.document.running_gear import Axle, Joint, TwoPieceShaft
from geometry.document.vehicle import Powertrain
from geometry.frames import Directions, Floats, Points, line_of, turned_in_side_view, unit

_NO_SHIFT = np.zeros((1, 3))


@dataclass(frozen=True, slots=True)
class Setting:
    """What may differ from row to row, each (n,) or (n, 3).

    `axle_shim_deg` raises the pinion's nose, whichever way it points; `mount_shim_mm` lifts the powertrain's tail;
    `axle_shift_mm` and `axle_turn_deg` are how the suspension has moved the axle and turned it (positive: the pinion's
    slope grows); `bearing_rise_mm` lifts a two-piece shaft's support bearing.
    """

    axle_shim_deg: Floats
    mount_shim_mm: Floats
    axle_shift_mm: Points
    axle_turn_deg: Floats
    bearing_rise_mm: Floats

    @property
    def rows(self) -> int:
        """How many positions there are."""
        return int(self.axle_shim_deg.shape[0])


def setting(
    axle_shim_deg: Floats | float = 0.0,
    mount_shim_mm: Floats | float = 0.0,
    axle_shift_mm: Points | None = None,
    axle_turn_deg: Floats | float = 0.0,
    bearing_rise_mm: Floats | float = 0.0,
) -> Setting:
    """Bring single numbers and arrays of n rows together to one `Setting` of n rows."""
    shift = _NO_SHIFT if axle_shift_mm is None else axle_shift_mm
    given = (axle_shim_deg, mount_shim_mm, axle_turn_deg, bearing_rise_mm)
    rows = max(len(shift), *(value.shape[0] if isinstance(value, np.ndarray) else 1 for value in given))

    def column(value: Floats | float) -> Floats:
        # numpy's own broadcasting costs ten times as much for a handful of rows.
        return value if isinstance(value, np.ndarray) and len(value) == rows else np.full(rows, value)

    wedge, shim, turn, rise = (column(value) for value in given)
    return Setting(wedge, shim, shift if len(shift) == rows else np.repeat(shift, rows, axis=0), turn, rise)


def stacked(*settings: Setting) -> Setting:
    """Lay the rows of several settings behind one another."""
    return Setting(
        np.concatenate([one.axle_shim_deg for one in settings]),
        np.concatenate([one.mount_shim_mm for one in settings]),
        np.concatenate([one.axle_shift_mm for one in settings]),
        np.concatenate([one.axle_turn_deg for one in settings]),
        np.concatenate([one.bearing_rise_mm for one in settings]),
    )


def carried(ride: Setting, axle_shift_mm: Points, axle_turn_deg: Floats) -> Setting:
    """Rows of the ride-height setting (one row) with the axle carried to other places, (n, 3) and (n,)."""
    wedge, shim, rise = float(ride.axle_shim_deg[0]), float(ride.mount_shim_mm[0]), float(ride.bearing_rise_mm[0])
    return setting(wedge, shim, axle_shift_mm, axle_turn_deg, rise)


def turned(at: Setting, turn_deg: float) -> Setting:
    """Turn the axle of every row further, as torque does on its springs."""
    return replace(at, axle_turn_deg=at.axle_turn_deg + turn_deg)


@dataclass(frozen=True, slots=True)
class Pose:
    """Lines and joints in n positions, in the frame's axes, front to rear; what the build cannot give is None.

    `lines` is (k+1, n, 3) for k joints, every direction followed rearward; `joint_centres_mm` is (k, n, 3).
    """

    output: Directions | None
    pinion: Directions | None
    sections: Directions | None
    axle_centre_mm: Points | None
    output_joint_mm: Points | None
    pinion_joint_mm: Points | None
    joint_centres_mm: Points | None
    lines: Directions | None


def mount_shim_turn_deg(powertrain: Powertrain, shim_mm: Floats) -> Floats:
    """How far a shim under the rear mount turns the powertrain tail up, (n,) -> (n,), degrees.

    sin f' = sin f + t/r, with r and f the distance and elevation from front to rear mount in side view. nan for a
    shim where the mounts are not known, or where it is longer than they can turn.
    """
    if not shim_mm.any():
        return np.zeros(shim_mm.shape)
    front, rear = powertrain.front_mount_mm, powertrain.rear_mount_mm
    if front is None or rear is None:
        return np.where(shim_mm == 0.0, 0.0, np.nan)
    reach = float(np.hypot(rear[0] - front[0], rear[1] - front[1]))
    before = (rear[1] - front[1]) / reach
    after = before + shim_mm / reach
    after = np.where(np.abs(after) <= 1.0, after, np.nan)
    return np.asarray(np.degrees(np.arcsin(after) - np.arcsin(before)))


def placed(build: Build, at: Setting) -> Pose:
    """Lines and joint centres of a build in every position of `at`.

    Pinion joint of a rear axle: centre - length·d - drop·n + offset·l, with d the pinion line, n its upward normal
    and l its side; of a front axle it lies behind the centre, so + length·d. Shaft lines run from joint centre to
    joint centre; where those are not known, the stick's reading stands for the line and stays as it was read, but is
    nan in rows whose axle has moved.
    """
    output, output_joint = _powertrain(build.powertrain, at)
    pinion, pinion_joint, axle_centre = _axle(build.axle, at)
    axle_ahead = is_front_axle(build)
    first, last = (pinion_joint, output_joint) if axle_ahead else (output_joint, pinion_joint)
    centres = _centres(build, first, last, at.bearing_rise_mm)
    sections = None
    if centres is not None:
        sections = unit(centres[1:] - centres[:-1])
    elif not isinstance(build.shaft, TwoPieceShaft) and build.readings is not None:
        read = build.readings.shaft_slope_deg
        # The stick was held with the axle where it stood: where the axle has moved, its reading says nothing.
        stood = (at.axle_shift_mm == 0.0).all(axis=1, keepdims=True)
        sections = None if read is None else np.where(stood, line_of(read, 0.0), np.nan)[None]
    lines = None
    if output is not None and pinion is not None and sections is not None:
        ends = (pinion, output) if axle_ahead else (output, pinion)
        lines = np.concatenate((ends[0][None], sections, ends[1][None]))
    return Pose(output, pinion, sections, axle_centre, output_joint, pinion_joint, centres, lines)


def is_front_axle(build: Build) -> bool:
    """Whether the axle lies ahead of the gearbox or transfer case."""
    return build.axle is not None and build.axle.end == "front"


def joints_of(build: Build) -> tuple[Joint, ...]:
    """The joints from front to rear; single crosses where the build does not say."""
    shaft = build.shaft
    if shaft is None:
        return (Joint(), Joint())
    found = [shaft.front_joint, shaft.rear_joint]
    if isinstance(shaft, TwoPieceShaft):
        found.insert(1, shaft.centre_joint)
    return tuple(Joint() if joint is None else joint for joint in found)


def phases_of(build: Build) -> tuple[float, ...]:
    """The phase of each section from front to rear, degrees; in line where the build does not say."""
    shaft = build.shaft
    if shaft is None:
        return (0.0,)
    phases = (shaft.front_phase_deg, shaft.rear_phase_deg) if isinstance(shaft, TwoPieceShaft) else (shaft.phase_deg,)
    return tuple(0.0 if phase is None else phase for phase in phases)


def _powertrain(powertrain: Powertrain | None, at: Setting) -> tuple[Directions | None, Points | None]:
    if powertrain is None:
        return None, None
    turn = mount_shim_turn_deg(powertrain, at.mount_shim_mm)
    still = not turn.any()
    line = None
    if powertrain.slope_deg is not None:
        line = np.broadcast_to(line_of(powertrain.slope_deg, powertrain.plan_deg or 0.0), (at.rows, 3))
        line = line if still else turned_in_side_view(line, -turn)
    joint = None
    if powertrain.output_joint_mm is not None:
        joint = np.broadcast_to(np.array(powertrain.output_joint_mm), (at.rows, 3))
        if still:
            return line, joint
        if powertrain.front_mount_mm is not None:
            hinge = np.array([powertrain.front_mount_mm[0], 0.0, powertrain.front_mount_mm[1]])
            joint = hinge + turned_in_side_view(joint - hinge, -turn)
        else:
            joint = np.where((turn == 0.0)[:, None], joint, np.nan)
    return line, joint


def _axle(axle: Axle | None, at: Setting) -> tuple[Directions | None, Points | None, Points | None]:
    if axle is None:
        return None, None, None
    centre = None if axle.centre_mm is None else np.array(axle.centre_mm) + at.axle_shift_mm
    if axle.pinion_slope_deg is None:
        return None, None, centre
    to_nose = -1.0 if axle.end == "rear" else 1.0
    turn = at.axle_turn_deg - to_nose * at.axle_shim_deg
    slope, plan = axle.pinion_slope_deg, axle.pinion_plan_deg or 0.0
    line = line_of(slope, plan)
    pinion = turned_in_side_view(line, turn)
    if centre is None or axle.pinion_length_mm is None:
        return pinion, None, centre
    normal = line_of(slope - 90.0, plan)
    side = line_of(0.0, plan + 90.0)
    arm = (
        to_nose * axle.pinion_length_mm * line
        - (axle.pinion_drop_mm or 0.0) * normal
        + (axle.pinion_offset_mm or 0.0) * side
    )
    return pinion, centre + turned_in_side_view(arm, turn), centre


def _centres(build: Build, first: Points | None, last: Points | None, rise_mm: Floats) -> Points | None:
    if first is None or last is None:
        return None
    if isinstance(build.shaft, TwoPieceShaft):
        if build.shaft.bearing_mm is None:
            return None
        bearing = np.array(build.shaft.bearing_mm) + rise_mm[:, None] * np.array([0.0, 0.0, 1.0])
        return np.stack((first, bearing, last))
    return np.stack((first, last))
