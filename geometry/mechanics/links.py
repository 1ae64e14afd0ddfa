"""Link suspensions in side view, by rows: a four-bar whose coupler is the axle.

Everything is closed in the lower link's angle; the travel is met by solving for that angle. The plane of side view is
(x, z): x rearward, z up. Links that splay in top view are taken by their side view.

Every number is one number or an array; the last axis is the rows (variants), axes before it are positions of the
travel; all broadcast. What is not known or cannot be is nan in its own row. Call under `np.errstate(all="ignore")`.

Source: kinematics of the four-bar in any theory-of-machines textbook; instant centre and anti-squat after Barton and
Fieldhouse, *Automotive Chassis Engineering*, 3.11.
"""

from typing import NamedTuple, TypeAlias

import numpy as np

from geometry.mechanics.root import Linkage, followed, rise_ends_mm
from geometry.mechanics.vectors import RADIAN, ZERO, Bools, Floats

Side: TypeAlias = tuple[Floats, Floats]
"""Points in side view, (x, z), mm."""

_IN_LINE = 1e-6
"""Sine of the angle between upper link and bracket below which they count as one line."""
_TOUCHING = 1e-12
"""Bolts that come within this share of their reach are at a stop; nearer, rounding would decide."""


class FourBar(NamedTuple):
    """A lower and an upper link by their bolt centres at ride height, and the axle's centre there, all mm.

    Either link may be the longer or lie ahead of the axle.
    """

    lower_frame_x: Floats
    lower_frame_z: Floats
    lower_axle_x: Floats
    lower_axle_z: Floats
    upper_frame_x: Floats
    upper_frame_z: Floats
    upper_axle_x: Floats
    upper_axle_z: Floats
    axle_x: Floats
    axle_z: Floats


class LinkPath(NamedTuple):
    """An axle's displacement from its ride posture on links, mm and degrees; nan where the links cannot follow.

    `dx_mm` rearward, `dz_mm` up, `turn_deg` the change of the axle's slope (positive: its pinion's nose rises), then
    the places of the links' axle ends. At no travel the displacement is exactly nil.
    """

    dx_mm: Floats
    dz_mm: Floats
    turn_deg: Floats
    lower_x: Floats
    lower_z: Floats
    upper_x: Floats
    upper_z: Floats


def four_bar(lower_frame: Side, lower_axle: Side, upper_frame: Side, upper_axle: Side, axle: Side) -> FourBar:
    """Links as measured; the lower axle bolt is nan, and so is all that follows, where they cannot be.

    That is where a coordinate of a bolt is not finite, a link or the bracket between the links at the axle has no
    length, or the upper link points straight at the lower link's bolt on the axle: then nothing stops the axle from
    turning.

    >>> from geometry.mechanics.vectors import number
    >>> points = ((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0), (500.0, 400.0))
    >>> ends = [(number(x), number(z)) for x, z in points]
    >>> float(four_bar(*ends).lower_axle_x), float(four_bar(*ends[:3], ends[2], ends[4]).lower_axle_x)
    (500.0, nan)
    """
    (ax, az), (bx, bz), (cx, cz), (dx, dz) = lower_frame, lower_axle, upper_frame, upper_axle
    lean = (cx - bx) * (dz - bz) - (cz - bz) * (dx - bx)
    size = np.hypot(dx - cx, dz - cz) * np.hypot(dx - bx, dz - bz)
    fine = ((ax != bx) | (az != bz)) & np.isfinite(ax + az) & np.isfinite(size) & (abs(lean) > _IN_LINE * size)
    return FourBar(ax, az, np.where(fine, bx, np.nan)[()], bz, cx, cz, dx, dz, *axle)


def axle_path(bar: FourBar, travel_mm: Floats) -> LinkPath:
    """Path of the axle's centre for vertical travel, exact: dz equals the travel wherever it can be reached.

    The lower link's angle places the lower bolt; the upper bolt is where two circles cross, on the side that was
    measured; the axle's centre is fixed to both. The path ends where the links are at a dead point or the axle's
    height turns back.

    Parameters
    ----------
    bar
        (n,) variants or one.
    travel_mm
        Axle relative to the frame, positive up (bump), (m, 1), (m, n) or whatever broadcasts, mm.

    >>> from geometry.mechanics.vectors import number
    >>> points = ((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0), (500.0, 400.0))
    >>> bar = four_bar(*((number(x), number(z)) for x, z in points))
    >>> with np.errstate(all="ignore"):
    ...     path = axle_path(bar, number(300.0))
    >>> round(float(path.dx_mm), 6), abs(round(float(path.turn_deg), 6))
    (-100.0, 0.0)

    Source: four-bar by circle intersection, any theory-of-machines textbook.
    """
    sizes = _sizes_of(bar)
    start = _start_of(bar)
    angle = followed(Linkage(sizes, _height, _limits, _kept), start, travel_mm)
    at, ride = _placed(sizes, angle), _placed(sizes, start)
    moved = travel_mm != 0.0  # taking nothing as nothing keeps a change of nil exactly nil
    dx = moved * (at.axle_x - ride.axle_x)
    turned = np.arctan2(
        ride.along_x * at.along_z - ride.along_z * at.along_x, ride.along_x * at.along_x + ride.along_z * at.along_z
    )
    return LinkPath(
        dx_mm=dx,
        dz_mm=travel_mm + 0.0 * dx,
        # Slope grows as a line turns its rear end down, which is the negative sense in the plane (x, z).
        turn_deg=moved * (0.0 - turned / RADIAN),
        lower_x=at.lower_x,
        lower_z=at.lower_z,
        upper_x=at.lower_x + at.bracket_x,
        upper_z=at.lower_z + at.bracket_z,
    )


def travel_reach_mm(bar: FourBar) -> Side:
    """Greatest droop (negative) and greatest bump that each set of links allows, mm; nan where there is none.

    >>> from geometry.mechanics.vectors import number
    >>> points = ((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0), (500.0, 400.0))
    >>> with np.errstate(all="ignore"):
    ...     reach = travel_reach_mm(four_bar(*((number(x), number(z)) for x, z in points)))
    >>> [round(float(end), 3) for end in reach]
    [-500.0, 500.0]

    Source: see `geometry.mechanics.root`.
    """
    return rise_ends_mm(Linkage(_sizes_of(bar), _height, _limits, _kept), _start_of(bar))


def instant_centre(bar: FourBar) -> Side:
    """Points (x, z) where the lines of the two links meet in side view, mm; nan where they are parallel.

    >>> from geometry.mechanics.vectors import number
    >>> points = ((500.0, 350.0), (0.0, 300.0), (450.0, 520.0), (50.0, 560.0), (0.0, 380.0))
    >>> [float(part) for part in instant_centre(four_bar(*((number(x), number(z)) for x, z in points)))]
    [1325.0, 432.5]

    Source: Barton and Fieldhouse, *Automotive Chassis Engineering*, 3.11.
    """
    x, z, weight = _meeting(bar)
    weight = np.where(weight == 0.0, np.nan, weight)[()]
    return x / weight, z / weight


def anti_squat_percent(
    bar: FourBar, contact_x_mm: Floats, wheelbase_mm: Floats, mass_height_mm: Floats, ground_z_mm: Floats = ZERO
) -> Floats:
    """Anti-squat of a driven rear axle on links, per cent: 100 (e/d)(l/h).

    e is the instant centre's height above the ground and d its distance ahead of the tyre's contact; l the wheelbase,
    h the height of the centre of mass above the ground. Holds for an axle whose drive torque is taken by the links.
    Parallel links count by their common direction. Nan where the instant centre stands right over the contact, or
    where wheelbase or height of mass is not more than nil.

    >>> from geometry.mechanics.vectors import number
    >>> points = ((2040.0, 350.0), (2540.0, 300.0), (2090.0, 520.0), (2490.0, 560.0), (2540.0, 380.0))
    >>> own = four_bar(*((number(x), number(z)) for x, z in points))
    >>> round(float(anti_squat_percent(own, number(2540.0), number(2540.0), number(560.0))), 2)
    148.05

    Parameters
    ----------
    bar
        Bolt centres, mm.
    contact_x_mm, ground_z_mm
        Tyre contact, mm.
    wheelbase_mm, mass_height_mm
        More than nil, mm.

    Source: Barton and Fieldhouse, *Automotive Chassis Engineering*, 3.11, p. 197.
    """
    x, z, weight = _meeting(bar)
    distance = contact_x_mm * weight - x
    fine = (distance != 0.0) & (wheelbase_mm > 0.0) & (mass_height_mm > 0.0)
    distance = np.where(fine, distance, np.nan)[()]
    return 100.0 * (z - ground_z_mm * weight) / distance * wheelbase_mm / mass_height_mm


class _Sizes(NamedTuple):
    """What of a four-bar does not change as it moves, mm and mm².

    Lower frame bolt, upper frame bolt seen from it and how far; the links' and the bracket's lengths; `side` +1 or -1
    tells the two assemblies apart; `forth` and `up` are the axle centre seen from the lower bolt, along the bracket and
    square to it.
    """

    frame_x: Floats
    frame_z: Floats
    over_x: Floats
    over_z: Floats
    lower: Floats
    upper: Floats
    bracket: Floats
    side: Floats
    forth: Floats
    up: Floats


class _Placed(NamedTuple):
    """A four-bar at an angle of its lower link, mm: lower bolt, upper bolt seen from it, axle centre, bracket's way."""

    out_x: Floats
    out_z: Floats
    lower_x: Floats
    lower_z: Floats
    to_x: Floats
    to_z: Floats
    bracket_x: Floats
    bracket_z: Floats
    along_x: Floats
    along_z: Floats
    arm_x: Floats
    arm_z: Floats
    axle_x: Floats
    axle_z: Floats


def _sizes_of(bar: FourBar) -> _Sizes:
    ax, az, bx, bz, cx, cz, dx, dz, ex, ez = bar
    bracket = np.hypot(dx - bx, dz - bz)
    ux, uz, px, pz = (dx - bx) / bracket, (dz - bz) / bracket, ex - bx, ez - bz
    return _Sizes(
        ax, az, cx - ax, cz - az, np.hypot(bx - ax, bz - az), np.hypot(dx - cx, dz - cz), bracket,
        np.sign((cx - bx) * (dz - bz) - (cz - bz) * (dx - bx)), px * ux + pz * uz, pz * ux - px * uz,
    )  # fmt: skip


def _start_of(bar: FourBar) -> Floats:
    """The lower link's angle as measured, rad."""
    found: Floats = np.arctan2(bar.lower_axle_z - bar.lower_frame_z, bar.lower_axle_x - bar.lower_frame_x)
    return found


def _placed(s: _Sizes, angle: Floats) -> _Placed:
    out_x, out_z = s.lower * np.cos(angle), s.lower * np.sin(angle)
    to_x, to_z = s.over_x - out_x, s.over_z - out_z
    square = to_x * to_x + to_z * to_z
    # Triangle of bracket, upper link and the way between their far bolts; Heron's product is exact near dead points.
    gap, upper = np.sqrt(square), s.upper * s.upper
    long, short = gap + s.bracket, gap - s.bracket
    cosine = square + (s.bracket * s.bracket - upper)
    sine = s.side * np.sqrt(np.maximum((long * long - upper) * (upper - short * short), 0.0))
    scale = 0.5 / (square * s.bracket)
    along_x, along_z = (to_x * cosine - to_z * sine) * scale, (to_x * sine + to_z * cosine) * scale
    arm_x, arm_z = s.forth * along_x - s.up * along_z, s.forth * along_z + s.up * along_x
    lower_x, lower_z = s.frame_x + out_x, s.frame_z + out_z
    return _Placed(
        out_x, out_z, lower_x, lower_z, to_x, to_z, s.bracket * along_x, s.bracket * along_z, along_x, along_z,
        arm_x, arm_z, lower_x + arm_x, lower_z + arm_z,
    )  # fmt: skip


def _height(s: _Sizes, angle: Floats) -> tuple[Floats, Floats]:
    """Height of the axle's centre, mm, and its derivative by the lower link's angle."""
    at = _placed(s, angle)
    from_x, from_z = at.bracket_x - at.to_x, at.bracket_z - at.to_z
    spin = (at.out_z * from_x - at.out_x * from_z) / (at.bracket_x * from_z - at.bracket_z * from_x)
    return at.axle_z, at.out_x + spin * at.arm_x


def _limits(s: _Sizes, start: Floats) -> Side:
    """Angles of the lower link between which its bolt stays within reach of the upper link and the bracket.

    That is between |bracket − upper| and their sum from the upper frame bolt.
    """
    over = np.hypot(s.over_x, s.over_z)
    offset = start - np.arctan2(s.over_z, s.over_x)
    offset = offset - 2.0 * np.pi * np.round(offset / (2.0 * np.pi))
    base, scale = s.lower * s.lower + over * over, np.maximum(2.0 * s.lower * over, 1e-300)
    near, far = ((base - reach * reach) / scale for reach in (s.bracket - s.upper, s.bracket + s.upper))
    least, most = (np.arccos(np.minimum(np.maximum(part, -1.0), 1.0)) for part in (near, far))
    # Where the lower link swings through the frame bolts' line with reach to spare, that place is no stop.
    low = np.where(near > 1.0 + _TOUCHING, -most, least)
    high = np.where(far < -1.0 - _TOUCHING, 2.0 * np.pi - least, most)
    back, around = offset < 0.0, start - offset
    return around + np.where(back, -high, low), around + np.where(back, -low, high)


def _kept(s: _Sizes, start: Floats, angle: Floats) -> Bools:
    """Within 1 rad of the start, in reach, and not through the frame bolts' line, where the assembly may change."""
    cosine, sine = np.cos(angle), np.sin(angle)
    was = s.over_x * np.sin(start) - s.over_z * np.cos(start)
    same = (
        (was * (s.over_x * sine - s.over_z * cosine) > 0.0) | (angle == start) | ((s.over_x == 0.0) & (s.over_z == 0.0))
    )
    to_x, to_z = s.over_x - s.lower * cosine, s.over_z - s.lower * sine
    square, least, most = to_x * to_x + to_z * to_z, s.bracket - s.upper, s.bracket + s.upper
    held = (square >= least * least) & (square <= most * most)
    found: Bools = same & held & (abs(angle - start) < 1.0)
    return found


def _meeting(bar: FourBar) -> tuple[Floats, Floats, Floats]:
    """Where the two links' lines meet, in homogeneous coordinates, so that parallel links are no special case."""
    ax, az, bx, bz, cx, cz, dx, dz, *_ = bar
    lower, upper = (az - bz, bx - ax, ax * bz - az * bx), (cz - dz, dx - cx, cx * dz - cz * dx)
    return (
        lower[1] * upper[2] - lower[2] * upper[1],
        lower[2] * upper[0] - lower[0] * upper[2],
        lower[0] * upper[1] - lower[1] * upper[0],
    )
