"""Trying out wedges, mount shims and phases on the exact model, many at once.

This is where remedies and set-points come from. A trial is one row: the build with this wedge, this shim, this phase,
everything else as planned. All rows go through the same mechanics in one call.
"""

from dataclasses import dataclass, fields
from math import ceil, floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from geometry.document import Build
from geometry.frames import Directions, Floats, slope_deg, turned_in_side_view
from geometry.motion import ChainMotion, chain_motion, homokinetic_of, relative_phases
from geometry.pose import Pose, Setting, is_front_axle, joints_of, phases_of, placed, setting, stacked, turned
from geometry.wording import MM_PER_INCH

WEDGES_DEG = np.arange(-8.0, 8.01, 0.5)
"""Wedges as they are sold, in half degrees to about eight, nose down to nose up: common practice."""
LEAST_ANGLE_DEG = 0.5
COARSE_DEG = np.arange(-24.0, 24.5, 1.0)
"""Wedges tried first when the pinion's best slope is looked for."""
_FIVE = np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
_WITHIN_A_STEP = np.linspace(-1.0, 1.0, 33)
_QUARTIC = np.linalg.inv(np.vander(_FIVE, 5, increasing=True))
"""Turns the values at five even nodes into the coefficients of the quartic through them."""


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
            self.at.bearing_rise_mm[rows],
        )
        return Trials(at, pose_rows(self.pose, rows), None if self.motion is None else self.motion.rows(rows))


def known_lines(trials: Trials) -> Trials:
    """Return a single row with None in place of lines and joints that came out as nan, and no motion without lines."""
    pose = trials.pose
    if pose.lines is not None and pose.joint_centres_mm is not None and np.isfinite(pose.lines).all():
        return trials
    kept = {
        name: value if value is None or np.isfinite(value).all() else None
        for name, value in ((field.name, getattr(pose, field.name)) for field in fields(pose))
    }
    return Trials(trials.at, Pose(**kept), trials.motion if kept["lines"] is not None else None)


def pose_rows(pose: Pose, rows: slice) -> Pose:
    """Return some rows of a pose."""

    def single(values: Floats | None) -> Floats | None:
        return None if values is None else values[rows]

    def layered(values: Floats | None) -> Floats | None:
        return None if values is None else values[:, rows]

    return Pose(
        output=single(pose.output),
        pinion=single(pose.pinion),
        sections=layered(pose.sections),
        axle_centre_mm=single(pose.axle_centre_mm),
        output_joint_mm=single(pose.output_joint_mm),
        pinion_joint_mm=single(pose.pinion_joint_mm),
        joint_centres_mm=layered(pose.joint_centres_mm),
        lines=layered(pose.lines),
    )


def tried(build: Build, at: Setting) -> Trials:
    """Place and move the build in every row."""
    pose = placed(build, at)
    return Trials(at, pose, None if pose.lines is None else chain_motion(build, pose.lines))


@dataclass(frozen=True, slots=True)
class Options(Trials):
    """Trials to choose from; `score` (n,) is the residual to be least, over omega squared: that at cruise."""

    score: Floats | None
    cruise: ChainMotion | None


def options(build: Build, cruise_deg: float, allowance: float, *choices: Setting) -> tuple[Options, ...]:
    """Try every row of every choice standing and, where torque winds the axle up by `cruise_deg`, at cruise too.

    The residual at cruise counts, and the one without torque as far as it is more than `allowance`, which is what
    passes, over omega squared. All choices go through the mechanics in one call.
    """
    rows = stacked(*choices)
    n = rows.rows
    both = tried(build, rows if cruise_deg == 0.0 else stacked(rows, turned(rows, cruise_deg)))
    standing = both.rows(slice(0, n))
    cruise = both.rows(slice(n, None)).motion if cruise_deg != 0.0 else standing.motion
    made, first = [], 0
    for choice in choices:
        part = slice(first, first + choice.rows)
        some, wound = standing.rows(part), None if cruise is None else cruise.rows(part)
        score = None
        if some.motion is not None and wound is not None:
            score = (
                wound.residual if cruise_deg == 0.0 else np.maximum(some.motion.residual - allowance, wound.residual)
            )
            score = np.where(np.isfinite(score), score, np.inf)
        made.append(Options(choice, some.pose, some.motion, score, wound))
        first += choice.rows
    return tuple(made)


def with_wedges(ride: Setting, wedges_deg: Floats, mount_shim_mm: float | None = None) -> Setting:
    """Rows of the ride-height setting (one row) with these wedges, and the shim kept or replaced."""
    shim = float(ride.mount_shim_mm[0]) if mount_shim_mm is None else mount_shim_mm
    return setting(
        wedges_deg, shim, ride.axle_shift_mm[:1], float(ride.axle_turn_deg[0]), float(ride.bearing_rise_mm[0])
    )


def with_shims(ride: Setting, shims: Floats) -> Setting:
    """Rows of the ride-height setting (one row) with these mount shims."""
    turn, rise = float(ride.axle_turn_deg[0]), float(ride.bearing_rise_mm[0])
    return setting(float(ride.axle_shim_deg[0]), shims, ride.axle_shift_mm[:1], turn, rise)


def with_rises(ride: Setting, rises_mm: Floats) -> Setting:
    """Rows of the ride-height setting (one row) with the support bearing lifted by these."""
    wedge, shim = float(ride.axle_shim_deg[0]), float(ride.mount_shim_mm[0])
    return setting(wedge, shim, ride.axle_shift_mm[:1], float(ride.axle_turn_deg[0]), rises_mm)


def flattened(
    build: Build,
    ride: Setting,
    cruise_deg: float,
    allowance: float,
    shims: Options,
    barred: NDArray[np.bool_],
    wanted_deg: list[float],
) -> dict[float, Options]:
    """For each angle wanted of the output's joint, trials of every wedge with the smallest shim that gives it.

    `barred` (n,) are the shims not to be taken. All wedges go through the mechanics in one call. An angle that no shim
    gives is left out.
    """
    assert shims.motion is not None  # noqa: S101  the planned lines are known
    angles = shims.motion.operating_deg[-1 if is_front_axle(build) else 0]
    change = np.where(barred, np.inf, np.abs(shims.at.mount_shim_mm - ride.mount_shim_mm[0]))
    chosen = {}
    for wanted in wanted_deg:
        far = np.where(angles <= wanted, change, np.inf)
        row = int(np.argmin(far))
        if np.isfinite(far[row]):
            chosen[wanted] = float(shims.at.mount_shim_mm[row])
    if not chosen:
        return {}
    each = sorted(set(chosen.values()))
    tries = options(build, cruise_deg, allowance, *(with_wedges(ride, WEDGES_DEG, shim) for shim in each))
    with_shim = dict(zip(each, tries, strict=True))
    return {wanted: with_shim[shim] for wanted, shim in chosen.items()}


def least_row(build: Build, trials: Options) -> int | None:
    """Row with the least residual among those whose needles roll, where any do; None where nothing can be judged.

    Needles have to roll standing and at cruise. One single-cross joint at the pinion, opposite even ones, is left on
    the side that torque turns it away from, where that can be. Of rows that come to the same the one nearest to the
    plan is taken.
    """
    if trials.motion is None or trials.cruise is None or trials.score is None:
        return None
    rolling = needles_roll(build, trials.motion) & needles_roll(build, trials.cruise)
    spared = rolling & torque_straightens(trials.motion) & torque_straightens(trials.cruise)
    rows = spared if spared.any() else rolling
    score = np.where(rows, trials.score, np.inf) if rows.any() else trials.score
    if not np.isfinite(score).any():
        return None
    alike = score <= score.min() * (1.0 + 1e-9) + 1e-12
    plan = build.plan
    wedge, shim = (0.0, 0.0) if plan is None else (plan.axle_shim_deg or 0.0, plan.mount_shim_mm or 0.0)
    far = np.abs(trials.at.axle_shim_deg - wedge) + np.abs(trials.at.mount_shim_mm - shim)
    return int(np.argmin(np.where(alike, far, np.inf)))


def one_at_pinion(motion: ChainMotion) -> bool:
    """Whether the chain's only single-cross joint is the one at the pinion."""
    return not motion.even[-1] and bool(motion.even[:-1].all())


def torque_straightens(motion: ChainMotion) -> NDArray[np.bool_]:
    """Rows in which drive torque turns the pinion toward its shaft's line, where its joint is the only single cross.

    Torque lifts the front of the housing: a rear axle's nose wants to be below the line, a front one's above it. All
    rows of any other chain. The chain runs toward the pinion, so a low nose means that its line falls less than the
    shaft's.
    """
    if not one_at_pinion(motion):
        return np.ones(motion.lines.shape[1], np.bool_)
    pinion, shaft = slope_deg(motion.lines[-1]), slope_deg(motion.lines[-2])
    return np.asarray(pinion < shaft if motion.rearward else pinion > shaft)


def needles_roll(build: Build, motion: ChainMotion) -> NDArray[np.bool_]:
    """Rows in which every single-cross joint runs at half a degree or more."""
    single = ~homokinetic_of(build)
    return np.asarray((motion.operating_deg[single] >= LEAST_ANGLE_DEG - 1e-9).all(axis=0))


def phase_trials(build: Build, lines: Directions) -> tuple[Floats, ChainMotion] | None:
    """Whole degrees of the last section's phase, (n,), and the motion of the planned lines (k+1, 1, 3) with each.

    A pair cancels best where its relative phase is nil, so whole degrees around that are tried; on a longer chain all
    are. None where a phase makes no difference, is the best already, or there is no shaft to order.
    """
    joints = joints_of(build)
    if build.shaft is None or any(joint.type != "cardan" for joint in joints[-2:]):
        return None
    off = float(relative_phases(build, lines)[-1, 0])
    if len(joints) == 2 and abs(off) < 0.5:
        return None
    start = round(phases_of(build)[-1] - off)
    around = np.arange(-3.0, 4.0) if len(joints) == 2 else np.arange(-90.0, 90.0)
    phases = (start + around + 90.0) % 180.0 - 90.0
    table = np.repeat(np.array(phases_of(build))[:, None], len(phases), axis=1)
    table[-1] = phases
    motion = chain_motion(build, np.repeat(lines, len(phases), axis=1), table)
    return (phases, motion) if np.isfinite(motion.residual).all() else None


class BestPinion(NamedTuple):
    """Where the pinion wants to be: the exact wedge, the pinion slope in the frame that it gives, and what to fit.

    All degrees; `fitted_deg` is the wedge in half degrees, which keeps the needles of one single-cross joint rolling.
    """

    wedge_deg: float
    slope_deg: float
    fitted_deg: float


def best_pinion(
    build: Build, ride: Setting, cruise_deg: float, coarse: ChainMotion | None, pinion: Directions | None
) -> BestPinion | None:
    """Solve the wedge at which the exact residual at cruise is least; None without all lines.

    `coarse` is the motion at cruise with `COARSE_DEG` wedges, `pinion` (1, 3) the planned line at rest. Of the valleys
    the one nearest to the pinion as it is counts: a pair of joints cancels both with its ends parallel and with its
    ends meeting. By the small-angle rule the square of the residual is a quartic in the wedge, and the quartic through
    the five exact rows around the valley gives its bottom within a thousandth of a degree for a pair; with one
    single-cross joint it is the residual itself. Where that leaves a single-cross joint opposite an even one dead
    straight, the nose is set off, to the side that torque turns it away from, until its needles roll. The slope given
    is the one at rest, before torque turns it.
    """
    if coarse is None or pinion is None or not np.isfinite(coarse.residual).all():
        return None
    even, planned = homokinetic_of(build), float(ride.axle_shim_deg[0])
    best = planned
    one = even.sum() == len(even) - 1
    # Where all joints are even, or no wedge changes anything, the pinion may stay as it is planned.
    if np.ptp(coarse.residual) > 1e-9 * coarse.residual.max():
        lowest = _nearest_valley(COARSE_DEG, coarse.residual)
        best = _lowest(COARSE_DEG, coarse.residual if one else coarse.residual**2, lowest)
        if one:
            best = _rolling(build, ride, cruise_deg, best, int(np.argmin(even)))
    fitted = round(best * 2.0) / 2.0 + 0.0
    if one_at_pinion(coarse):  # never nearer to straight than its needles allow
        fitted = (floor(best * 2.0 + 1e-6) if coarse.rearward else ceil(best * 2.0 - 1e-6)) / 2.0 + 0.0
    nose_up = (planned - best) if is_front_axle(build) else (best - planned)
    return BestPinion(best, float(slope_deg(turned_in_side_view(pinion, nose_up))[0]), fitted)


def _nearest_valley(wedges: Floats, residual: Floats) -> int:
    """Row of the local minimum nearest to no wedge at all; of the lowest row where there is none between the ends."""
    inner, before, after = residual[1:-1], residual[:-2], residual[2:]
    valleys = np.flatnonzero((inner <= before) & (inner <= after)) + 1
    return int(valleys[np.argmin(np.abs(wedges[valleys]))]) if valleys.size else int(np.argmin(residual))


def _rolling(build: Build, ride: Setting, cruise_deg: float, wedge: float, joint: int) -> float:
    """Wedge at which the one single-cross joint has its half degree standing and at cruise, on the side that torque
    turns it away from.

    The wedge given where it has that already, or where none gives it.
    """
    reach = 2.0 * (LEAST_ANGLE_DEG + abs(cruise_deg)) * (-1.0 if is_front_axle(build) else 1.0)
    steps = np.append(wedge, wedge + reach * np.linspace(1.0, -1.0, 161))
    standing = with_wedges(ride, steps)
    motion = tried(build, stacked(standing, turned(standing, cruise_deg))).motion
    assert motion is not None  # noqa: S101  the caller had lines, so these have
    least = np.minimum(*motion.operating_deg[joint].reshape(2, -1))
    signed = np.where(torque_straightens(motion), motion.operating_deg[joint], -motion.operating_deg[joint])
    spare = np.minimum(*signed.reshape(2, -1))[1:] - LEAST_ANGLE_DEG
    if least[0] >= LEAST_ANGLE_DEG or spare[-1] < 0.0 or spare[0] > 0.0:
        return wedge
    return float(np.interp(0.0, spare, steps[1:]))


def _lowest(wedges: Floats, values: Floats, lowest: int) -> float:
    """Wedge at the bottom of the quartic through the values at the lowest row of a valley and its neighbours."""
    row = min(max(lowest, 2), len(wedges) - 3)
    five = values[row - 2 : row + 3]
    _, b, c, d, e = (_QUARTIC @ five).tolist()
    # The row lies within a step of the bottom of its valley; from farther off, Newton's rule may leap into the next.
    near = np.clip(lowest - row + _WITHIN_A_STEP, -2.0, 2.0)
    share = float(near[int(np.argmin((((e * near + d) * near + c) * near + b) * near))])
    for _ in range(4):
        bow = 2.0 * c + 6.0 * d * share + 12.0 * e * share * share
        if bow <= 0.0:
            break
        share -= (b + 2.0 * c * share + 3.0 * d * share**2 + 4.0 * e * share**3) / bow
    share = float(np.clip(share, near[0], near[-1]))
    return float(wedges[row] + share * (wedges[row + 1] - wedges[row]))
