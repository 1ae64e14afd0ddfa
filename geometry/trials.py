"""Trying out wedges, mount shims and phases on the exact model, many at once.

This is where remedies and set-points come from. A trial is one row: the build with this wedge, this shim, this phase,
everything else as planned. All rows go through the same mechanics in one call.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from geometry.document import Build
from geometry.frames import Floats, slope_deg
from geometry.motion import ChainMotion, chain_motion, homokinetic_of
from geometry.pose import Pose, Setting, placed
from geometry.wording import MM_PER_INCH

WEDGES_DEG = np.arange(-24.0, 24.01, 0.5)
"""Wedges as they are sold, in half degrees, nose down to nose up."""
LEAST_ANGLE_DEG = 0.5
_FINE = 0.05


def shims_mm(build: Build) -> Floats:
    """Shims as they are cut, mm: sixteenths of an inch to 2 in, or whole millimetres to 50, either way."""
    if build.display.length == "inch":
        return np.arange(-32.0, 33.0) * (MM_PER_INCH / 16.0)
    return np.arange(-50.0, 51.0)


@dataclass(frozen=True, slots=True)
class Trials:
    """Rows of trials: what was set, where all then lies, and how it moves; `motion` is None without all lines."""

    at: Setting
    pose: Pose
    motion: ChainMotion | None

    def rows(self, rows: slice) -> "Trials":
        """Return some of the rows."""
        at = Setting(
            self.at.axle_shim_deg[rows],
            self.at.mount_shim_mm[rows],
            self.at.axle_shift_mm[rows],
            self.at.axle_turn_deg[rows],
        )
        return Trials(at, pose_rows(self.pose, rows), None if self.motion is None else motion_rows(self.motion, rows))


def known_lines(trials: Trials) -> Trials:
    """Return a single row with None in place of lines and joints that came out as nan, and no motion without lines."""
    pose = trials.pose
    kept = {
        name: value if value is None or np.isfinite(value).all() else None
        for name, value in ((field.name, getattr(pose, field.name)) for field in fields(pose))
    }
    return Trials(trials.at, Pose(**kept), trials.motion if kept["lines"] is not None else None)


def pose_rows(pose: Pose, rows: slice) -> Pose:
    """Return some rows of a pose."""
    single = {
        name: getattr(pose, name)
        for name in ("output", "pinion", "axle_centre_mm", "output_joint_mm", "pinion_joint_mm")
    }
    stacked = {name: getattr(pose, name) for name in ("sections", "joint_centres_mm", "lines")}
    return Pose(
        **{name: None if value is None else value[rows] for name, value in single.items()},
        **{name: None if value is None else value[:, rows] for name, value in stacked.items()},
    )


def motion_rows(motion: ChainMotion, rows: slice) -> ChainMotion:
    """Return some rows of a motion."""
    return ChainMotion(
        motion.residual[rows], motion.drive[:, rows], motion.coast[:, rows], motion.operating_deg[:, rows]
    )


def tried(build: Build, at: Setting, phase_deg: Floats | None = None) -> Trials:
    """Place and move the build in every row; phases of the build, or one set a row, (k-1, n) degrees."""
    pose = placed(build, at)
    return Trials(at, pose, None if pose.lines is None else chain_motion(build, pose.lines, phase_deg))


def with_wedges(ride: Setting, wedges_deg: Floats, mount_shim_mm: float | None = None) -> Setting:
    """Rows of the ride-height setting (one row) with these wedges, and the shim kept or replaced."""
    n = wedges_deg.shape[0]
    shim = ride.mount_shim_mm[0] if mount_shim_mm is None else mount_shim_mm
    return Setting(
        wedges_deg, np.full(n, shim), np.broadcast_to(ride.axle_shift_mm[:1], (n, 3)), np.full(n, ride.axle_turn_deg[0])
    )


def with_shims(ride: Setting, shims: Floats) -> Setting:
    """Rows of the ride-height setting (one row) with these mount shims."""
    n = shims.shape[0]
    return replace(with_wedges(ride, np.full(n, ride.axle_shim_deg[0])), mount_shim_mm=shims)


def least_row(build: Build, trials: Trials) -> int | None:
    """Row with the least residual among those whose needles roll, where any do; None where nothing can be judged."""
    if trials.motion is None:
        return None
    score = np.where(np.isfinite(trials.motion.residual), trials.motion.residual, np.inf)
    rolling = needles_roll(build, trials.motion)
    if rolling.any():
        score = np.where(rolling, score, np.inf)
    return int(np.argmin(score)) if np.isfinite(score).any() else None


def needles_roll(build: Build, motion: ChainMotion) -> NDArray[np.bool_]:
    """Rows in which every single-cross joint runs at half a degree or more."""
    single = ~homokinetic_of(build)
    return np.asarray((motion.operating_deg[single] >= LEAST_ANGLE_DEG - 1e-9).all(axis=0))


@dataclass(frozen=True, slots=True)
class BestPinion:
    """Where the pinion wants to be: the exact wedge, and the pinion slope in the frame that it gives, degrees."""

    wedge_deg: float
    slope_deg: float


def best_pinion(build: Build, ride: Setting, coarse: Trials) -> BestPinion | None:
    """Solve the wedge at which the exact residual is least, from coarse trials in half degrees.

    The square of the residual is very nearly a parabola in the wedge, so the coarse row's neighbours give a first
    answer and three fine rows the final one. Where that leaves a single-cross pinion joint dead straight, opposite an
    even joint, the nose is set lower until its needles roll, as torque will raise it.
    """
    if coarse.motion is None:
        return None
    residual = np.where(np.isfinite(coarse.motion.residual), coarse.motion.residual, np.inf)
    row = int(np.argmin(residual))
    if not np.isfinite(residual[row]):
        return None
    wedges = coarse.at.axle_shim_deg
    best = float(wedges[row])
    if 0 < row < len(wedges) - 1:
        best += _lowest(residual[row - 1 : row + 2]) * float(wedges[row + 1] - wedges[row])
        fine = tried(build, with_wedges(ride, best + _FINE * np.array([-1.0, 0.0, 1.0])))
        assert fine.motion is not None  # noqa: S101  the coarse rows had lines, so these have
        best += _lowest(fine.motion.residual) * _FINE
    even = homokinetic_of(build)
    if even.sum() == len(even) - 1:
        best = _rolling(build, ride, best, int(np.argmin(even)))
    final = placed(build, with_wedges(ride, np.array([best])))
    assert final.pinion is not None  # noqa: S101  there are lines, so there is a pinion
    return BestPinion(best, float(slope_deg(final.pinion)[0]))


def _rolling(build: Build, ride: Setting, wedge: float, joint: int) -> float:
    """Wedge at which the one single-cross joint has its half degree, nose lower than where it runs straight."""
    steps = wedge - np.linspace(0.0, 1.0, 41) * LEAST_ANGLE_DEG * 2.0
    motion = tried(build, with_wedges(ride, steps)).motion
    assert motion is not None  # noqa: S101  the caller had lines, so these have
    angles = motion.operating_deg[joint]
    if angles[0] >= LEAST_ANGLE_DEG or angles[-1] < LEAST_ANGLE_DEG:
        return wedge
    return float(np.interp(LEAST_ANGLE_DEG, angles, steps))


def _lowest(three: Floats) -> float:
    """Where the parabola through the squares of three even samples is lowest, in steps from the middle, within one."""
    left, here, right = (three * three).tolist()
    bow = left - 2.0 * here + right
    return float(np.clip(0.5 * (left - right) / bow, -1.0, 1.0)) if bow > 0.0 else 0.0
