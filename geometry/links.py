"""Link suspension in side view: a four-bar whose coupler is the axle.

Everything is closed in the lower link's angle; the travel is met by solving for that angle. The plane of side view is
(x, z): x rearward, z up. Links that splay in top view are taken by their side view.

Source: kinematics of the four-bar in any theory-of-machines textbook; instant centre and anti-squat after Barton and
Fieldhouse, *Automotive Chassis Engineering*, 3.11.
"""

from dataclasses import dataclass
from math import acos, atan2, copysign, hypot, pi, remainder
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from geometry.axle_path import AxlePath, Run, find_run
from geometry.frames import Floats

SidePair: TypeAlias = tuple[float, float]
"""A point in side view, (x, z), mm."""

_IN_LINE = 1e-6
"""Sine of the angle between upper link and bracket below which they count as one line."""
_TOUCHING = 1e-12
"""Bolts that come within this share of their reach are at a stop; nearer, rounding would decide."""


@dataclass(frozen=True, slots=True)
class Links:
    """A lower and an upper link by their bolt centres (x, z) at ride height, mm; either may be the longer or lie ahead.

    Raises
    ------
    ValueError
        When a coordinate is not finite, a link or the bracket between the links at the axle has no length, or the
        upper link points straight at the lower link's bolt on the axle: then nothing stops the axle from turning.
    """

    lower_frame_mm: SidePair
    lower_axle_mm: SidePair
    upper_frame_mm: SidePair
    upper_axle_mm: SidePair

    def __post_init__(self) -> None:
        ends = (self.lower_frame_mm, self.lower_axle_mm, self.upper_frame_mm, self.upper_axle_mm)
        if not np.isfinite(ends).all():
            raise ValueError("links: every coordinate must be a finite number of millimetres; measure the bolts again")
        for name, one, two in (
            ("lower_frame_mm and lower_axle_mm", self.lower_frame_mm, self.lower_axle_mm),
            ("upper_frame_mm and upper_axle_mm", self.upper_frame_mm, self.upper_axle_mm),
            ("lower_axle_mm and upper_axle_mm", self.lower_axle_mm, self.upper_axle_mm),
        ):
            if one == two:
                raise ValueError(f"links: {name} are the same point; measure both bolts again")
        if abs(self.lean_mm2) <= _IN_LINE * self.upper_mm * self.bracket_mm:
            raise ValueError(
                "links: upper_frame_mm, upper_axle_mm and lower_axle_mm lie in one line, so nothing keeps the axle "
                "from turning; measure the three bolts again"
            )

    @property
    def lower_mm(self) -> float:
        """Length of the lower link, mm."""
        return _distance(self.lower_frame_mm, self.lower_axle_mm)

    @property
    def upper_mm(self) -> float:
        """Length of the upper link, mm."""
        return _distance(self.upper_frame_mm, self.upper_axle_mm)

    @property
    def bracket_mm(self) -> float:
        """Distance between the two links' bolts on the axle, mm."""
        return _distance(self.lower_axle_mm, self.upper_axle_mm)

    @property
    def lean_mm2(self) -> float:
        """Twice the area of the triangle upper frame bolt, both axle bolts; its sign tells the two assemblies apart."""
        (bx, bz), (cx, cz), (dx, dz) = self.lower_axle_mm, self.upper_frame_mm, self.upper_axle_mm
        return (cx - bx) * (dz - bz) - (cz - bz) * (dx - bx)


@dataclass(frozen=True, slots=True)
class LinkAxlePath(AxlePath):
    """An axle's path on links, with the places of the links' axle ends, each (n, 2), mm (NaN where not reachable)."""

    lower_axle_mm: Floats
    upper_axle_mm: Floats


class _Pose(NamedTuple):
    """Lower axle bolt b, upper axle bolt d, axle centre c, direction b to d, derivative of c's height, each (n,)."""

    bx: Floats
    bz: Floats
    dx: Floats
    dz: Floats
    cx: Floats
    cz: Floats
    along_x: Floats
    along_z: Floats
    rate: Floats


def axle_sweep(links: Links, ride_axle_mm: SidePair, travel_mm: ArrayLike) -> LinkAxlePath:
    """Path of the axle's centre for vertical travel, exact: dz equals the travel wherever it can be reached.

    The lower link's angle places the lower bolt; the upper bolt is where two circles cross, on the side that was
    measured; the axle's centre is fixed to both. The angle that gives each travel is found by safeguarded Newton steps.
    The sweep ends where the links are at a dead point or the axle's height turns back.

    >>> links = Links((0.0, 300.0), (500.0, 300.0), (0.0, 500.0), (500.0, 500.0))
    >>> path = axle_sweep(links, (500.0, 400.0), [300.0])
    >>> round(float(path.dx_mm[0]), 6), abs(round(float(path.turn_deg[0]), 6))
    (-100.0, 0.0)

    Parameters
    ----------
    links
        Bolt centres at ride height.
    ride_axle_mm
        Axle centre (x, z) at ride height, mm.
    travel_mm
        Axle relative to the frame, positive up (bump), (n,), mm.

    Returns
    -------
    LinkAxlePath
        (n,) and (n, 2). At no travel the displacement is exactly nil.

    Raises
    ------
    ValueError
        When the axle centre is not finite.

    Source: four-bar by circle intersection, any theory-of-machines textbook.
    """
    travel = np.atleast_1d(np.asarray(travel_mm, np.float64))
    start, run = _run(links, ride_axle_mm)
    angle = np.full(travel.shape, np.nan) if run is None else run.solve(run.start_mm + travel)
    # At no travel the measured posture is the answer; taking it as it is keeps a change of nil exactly nil.
    angle = np.where((travel == 0.0) & np.isfinite(angle), start, angle)
    pose = _pose(links, ride_axle_mm, np.append(angle, start))
    reachable, x, z = np.isfinite(angle), pose.along_x, pose.along_z
    turned = np.arctan2(x[-1] * z[:-1] - z[-1] * x[:-1], x[-1] * x[:-1] + z[-1] * z[:-1])
    return LinkAxlePath(
        travel_mm=travel,
        dx_mm=pose.cx[:-1] - pose.cx[-1],
        dz_mm=np.where(reachable, travel, np.nan),
        # Slope grows as a line turns its rear end down, which is the negative sense in the plane (x, z).
        turn_deg=0.0 - np.degrees(turned),
        reachable=reachable,
        lower_axle_mm=np.stack((pose.bx, pose.bz), axis=-1)[:-1],
        upper_axle_mm=np.stack((pose.dx, pose.dz), axis=-1)[:-1],
    )


def travel_reach_mm(links: Links, ride_axle_mm: SidePair) -> tuple[float, float]:
    """Greatest droop (negative) and greatest bump that the links allow, mm; (0, 0) where there is none.

    Raises
    ------
    ValueError
        When the axle centre is not finite.
    """
    _, run = _run(links, ride_axle_mm)
    if run is None:
        return 0.0, 0.0
    return run.lowest_mm - run.start_mm, run.highest_mm - run.start_mm


def instant_centre(links: Links) -> SidePair | None:
    """Point (x, z) where the lines of the two links meet in side view, mm; None when they are parallel.

    >>> instant_centre(Links((500.0, 350.0), (0.0, 300.0), (450.0, 520.0), (50.0, 560.0)))
    (1325.0, 432.5)

    Source: Barton and Fieldhouse, *Automotive Chassis Engineering*, 3.11.
    """
    x, z, weight = _meeting(links)
    return None if weight == 0.0 else (x / weight, z / weight)


def anti_squat_percent(
    links: Links, contact_x_mm: float, wheelbase_mm: float, mass_height_mm: float, ground_z_mm: float = 0.0
) -> float | None:
    """Anti-squat of a driven rear axle on links, per cent: 100 (e/d)(l/h).

    e is the instant centre's height above the ground and d its distance ahead of the tyre's contact; l the wheelbase,
    h the height of the centre of mass above the ground. Holds for an axle whose drive torque is taken by the links.
    Parallel links count by their common direction. None where the instant centre stands right over the contact.

    >>> own = Links((2040.0, 350.0), (2540.0, 300.0), (2090.0, 520.0), (2490.0, 560.0))
    >>> round(anti_squat_percent(own, 2540.0, 2540.0, 560.0), 2)
    148.05

    Parameters
    ----------
    links
        Bolt centres, mm.
    contact_x_mm, ground_z_mm
        Tyre contact, mm.
    wheelbase_mm, mass_height_mm
        More than nil, mm.

    Raises
    ------
    ValueError
        When the wheelbase or the height of mass is not more than nil.

    Source: Barton and Fieldhouse, *Automotive Chassis Engineering*, 3.11, p. 197.
    """
    for name, value in (("wheelbase_mm", wheelbase_mm), ("mass_height_mm", mass_height_mm)):
        if not value > 0.0:
            raise ValueError(f"{name} must be more than nil, but is {value:g}; measure it again")
    x, z, weight = _meeting(links)
    distance = contact_x_mm * weight - x
    if distance == 0.0:
        return None
    return 100.0 * (z - ground_z_mm * weight) / distance * wheelbase_mm / mass_height_mm


def _distance(one: SidePair, two: SidePair) -> float:
    return hypot(two[0] - one[0], two[1] - one[1])


def _meeting(links: Links) -> tuple[float, float, float]:
    """Where the two links' lines meet, in homogeneous coordinates, so that parallel links are no special case."""
    (ax, az), (bx, bz) = links.lower_frame_mm, links.lower_axle_mm
    (cx, cz), (dx, dz) = links.upper_frame_mm, links.upper_axle_mm
    lower, upper = (az - bz, bx - ax, ax * bz - az * bx), (cz - dz, dx - cx, cx * dz - cz * dx)
    return (
        lower[1] * upper[2] - lower[2] * upper[1],
        lower[2] * upper[0] - lower[0] * upper[2],
        lower[0] * upper[1] - lower[1] * upper[0],
    )


def _run(links: Links, ride_axle_mm: SidePair) -> tuple[float, Run | None]:
    """Lower link's angle as measured, rad, and the stretch around it over which the axle's height runs one way."""
    if not np.isfinite(ride_axle_mm).all():
        raise ValueError("axle centre_mm must be finite numbers of millimetres; measure the axle tube's centre again")
    (ax, az), (bx, bz), (cx, cz) = links.lower_frame_mm, links.lower_axle_mm, links.upper_frame_mm
    start, frame = atan2(bz - az, bx - ax), atan2(cz - az, cx - ax)
    lower, upper, bracket, gap = links.lower_mm, links.upper_mm, links.bracket_mm, hypot(cx - ax, cz - az)
    offset = remainder(start - frame, 2.0 * pi)
    # The lower bolt must stay within reach of the upper link and the bracket: between |bracket − upper| and their sum.
    near, far = (
        (lower**2 + gap**2 - reach**2) / max(2.0 * lower * gap, 1e-300) for reach in (bracket - upper, bracket + upper)
    )
    least, most = acos(min(max(near, -1.0), 1.0)), acos(min(max(far, -1.0), 1.0))
    # Where the lower link swings through the frame bolts' line with reach to spare, that place is no stop.
    low = -most if near > 1.0 + _TOUCHING else least
    high = 2.0 * pi - least if far < -1.0 - _TOUCHING else most
    ends = [-high, -low] if offset < 0.0 else [low, high]
    around = start - offset

    def height(angle: Floats) -> tuple[Floats, Floats]:
        pose = _pose(links, ride_axle_mm, angle)
        return pose.cz, pose.rate

    return start, find_run(height, around + ends[0], around + ends[1], start)


def _pose(links: Links, ride_axle_mm: SidePair, angle: Floats) -> _Pose:
    """Place everything for each angle of the lower link, rad, (n,)."""
    (ax, az), (cx, cz) = links.lower_frame_mm, links.upper_frame_mm
    lower, upper, bracket = links.lower_mm, links.upper_mm, links.bracket_mm
    side = copysign(1.0, links.lean_mm2)
    out_x, out_z = lower * np.cos(angle), lower * np.sin(angle)
    bx, bz = ax + out_x, az + out_z
    to_x, to_z = cx - bx, cz - bz
    square = to_x * to_x + to_z * to_z
    # Triangle of bracket, upper link and the way between their far bolts; Heron's product is exact near dead points.
    gap = np.sqrt(square)
    area = ((gap + bracket) ** 2 - upper**2) * (upper**2 - (gap - bracket) ** 2)
    cosine, sine = square + bracket**2 - upper**2, side * np.sqrt(np.maximum(area, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        scale = 0.5 / (square * bracket)
        along_x, along_z = (to_x * cosine - to_z * sine) * scale, (to_x * sine + to_z * cosine) * scale
        dx, dz = bracket * along_x, bracket * along_z
        from_x, from_z = dx - to_x, dz - to_z
        spin = (out_z * from_x - out_x * from_z) / (dx * from_z - dz * from_x)
    forth, up = _on_bracket(links, ride_axle_mm)
    arm_x, arm_z = forth * along_x - up * along_z, forth * along_z + up * along_x
    return _Pose(bx, bz, bx + dx, bz + dz, bx + arm_x, bz + arm_z, along_x, along_z, out_x + spin * arm_x)


def _on_bracket(links: Links, ride_axle_mm: SidePair) -> SidePair:
    """Axle centre seen from the lower bolt: along the line to the upper bolt, and square to it, mm."""
    (bx, bz), (dx, dz), size = links.lower_axle_mm, links.upper_axle_mm, links.bracket_mm
    ux, uz = (dx - bx) / size, (dz - bz) / size
    px, pz = ride_axle_mm[0] - bx, ride_axle_mm[1] - bz
    return px * ux + pz * uz, pz * ux - px * uz
