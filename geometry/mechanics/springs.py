"""Leaf springs in side view, by rows: one curvature gives the eyes, the seat and its slope in closed form.

Each side of the seat is a cantilever of uniform strength, so under a central load the main leaf keeps one curvature k
over its whole length. With S(u) = sin(u)/u, a and b the leaf's halves from the fixed eye to the seat and on to the
shackled eye, and c the slope of the chord from eye to eye:

- chord `(a + b) S(k(a + b)/2)`; the shackled eye lies where a circle of that radius round the fixed eye crosses the
  shackle's circle, so c follows from the law of cosines;
- slope of the leaf at arc length s from the fixed eye `c + k((a + b)/2 − s)`, hence at the seat `c + k(b − a)/2`;
- seat at `a S(ka/2)` from the fixed eye, along the slope `c + kb/2`.

Curvature is in 1/mm, positive where the leaf is arched the usual way, eyes above seat. A spring whose shackle lies
ahead of its fixed eye is the mirror image. Holds for k(a + b) within half a circle either way; beyond counts as
unreachable.

Every number is one number or an array; the last axis is the rows (variants), axes before it are positions of the
travel; all broadcast. What is not known or cannot be is nan in its own row. Call under `np.errstate(all="ignore")`.

Sources: Gillespie, *Fundamentals of Vehicle Dynamics*, for wind-up (from memory); SAE HS-788, *Manual on Design and
Application of Leaf Springs*, for the circular-arc rule (from memory); the rest is plane geometry.
"""

from collections.abc import Callable
from typing import NamedTuple, TypeAlias, cast

import numpy as np

from geometry.mechanics.root import Linkage, followed, rise_ends_mm, root
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, number

Side: TypeAlias = tuple[Floats, Floats]
"""Points in side view, (x, z), mm."""

_TINY = 1.2345e-290
"""Added to a curvature, so that a flat leaf divides by no nought; lost in any other."""


class Leaf(NamedTuple):
    """Leaf springs: fixed eye and shackle pivot, shackle bolt to bolt, main leaf from eyes to seat, all mm.

    `offset_mm` is how far the axle's centre lies above the seat, square to it: negative with the spring over the axle.
    `hangs` tells the two places apart at which the two circles cross: True where the shackled eye lies below the line
    from the fixed eye to the pivot (the usual hanging shackle), False where it stands above it.
    """

    eye_x: Floats
    eye_z: Floats
    pivot_x: Floats
    pivot_z: Floats
    shackle_mm: Floats
    front_half_mm: Floats
    rear_half_mm: Floats
    offset_mm: Floats
    hangs: bool


class Posture(NamedTuple):
    """Where leaf springs lie, mm and degrees; nan where the shackle does not reach.

    `x`, `z` is the axle's centre, `eye_x`, `eye_z` the shackled eye. `seat_slope_deg` is positive when the seat's rear
    end is lower; `lean_deg` is the shackle's angle off plumb, positive when its eye lies rearward of its pivot.
    """

    x: Floats
    z: Floats
    seat_x: Floats
    seat_z: Floats
    seat_slope_deg: Floats
    eye_x: Floats
    eye_z: Floats
    lean_deg: Floats


class Path(NamedTuple):
    """An axle's displacement from its ride posture on leaf springs; nan where the spring cannot follow.

    `dx_mm` rearward, `dz_mm` up, `turn_deg` the change of the axle's slope (positive: its pinion's nose rises),
    `curvature` of the main leaf, 1/mm. At no travel the displacement is exactly nil.
    """

    dx_mm: Floats
    dz_mm: Floats
    turn_deg: Floats
    curvature: Floats


def leaf_of(
    eye: Side,
    pivot: Side,
    shackle_mm: Floats,
    front_half_mm: Floats,
    rear_half_mm: Floats,
    seat_to_axle_mm: Floats,
    *,
    hangs: bool,
    over: bool,
) -> Leaf:
    """Springs as measured; a shackle of nan, and so nan all over, where they cannot be.

    That is where a number is not finite, a length is not more than nil, or the pivot lies right over or under the eye.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot, half = (number(0.0), number(500.0)), (number(1300.0), number(600.0)), number(650.0)
    >>> shackles = np.array([100.0, 0.0])
    >>> leaf_of(eye, pivot, shackles, half, half, number(80.0), hangs=True, over=True).shackle_mm.tolist()
    [100.0, nan]

    Parameters
    ----------
    eye, pivot
        Fixed eye and shackle pivot, (x, z), mm.
    seat_to_axle_mm
        From the seat to the axle's centre, square to the seat, mm.
    over
        True where the spring lies on top of the axle tube, False where it hangs below it.
    """
    sizes = (shackle_mm, front_half_mm, rear_half_mm)
    fine = (eye[0] != pivot[0]) & np.isfinite(sum(sizes, eye[0] + eye[1] + pivot[0] + pivot[1]))
    for size in sizes:
        fine = fine & (size > 0.0)
    shackle = np.where(fine, shackle_mm, np.nan)[()]
    offset = 0.0 - seat_to_axle_mm if over else seat_to_axle_mm
    return Leaf(*eye, *pivot, shackle, front_half_mm, rear_half_mm, offset, hangs)


def posture(leaf: Leaf, curvature: Floats) -> Posture:
    """Axle, seat, shackled eye and shackle for each curvature, 1/mm; closed form, smooth through a flat leaf.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> at = posture(flat, number(0.0))
    >>> [round(float(value), 9) for value in (at.seat_x, at.seat_z, at.z, at.lean_deg)]
    [650.0, 500.0, 420.0, 0.0]

    Source: plane geometry; see the head of this module.
    """
    sizes = _sizes_of(leaf)
    at = _swung(sizes, curvature, np.sqrt)
    known = _nil_within_half_circle(sizes, curvature)
    seat_x = leaf.eye_x + sizes.facing * (at.far * at.cos_seat_way + known)
    seat_z = leaf.eye_z - (at.far * at.sin_seat_way + known)
    eye_x = leaf.eye_x + sizes.facing * (at.chord_x + known)
    eye_z = leaf.eye_z - (at.chord_z + known)
    down = leaf.pivot_z - eye_z if leaf.hangs else eye_z - leaf.pivot_z
    return Posture(
        x=seat_x + sizes.facing * (leaf.offset_mm * at.sin_seat),
        z=seat_z + leaf.offset_mm * at.cos_seat,
        seat_x=seat_x,
        seat_z=seat_z,
        seat_slope_deg=sizes.facing * (_seat_slope(sizes, at, curvature) + known) / RADIAN,
        eye_x=eye_x,
        eye_z=eye_z,
        lean_deg=np.arctan2(eye_x - leaf.pivot_x, down) / RADIAN,
    )


def leaf_curve(leaf: Leaf, curvature: Floats, points: int) -> Side:
    """Main leaf as a line for drawing, x and z (..., points) each, mm, fixed eye first, evenly along the leaf.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> [part.round(9).tolist() for part in leaf_curve(flat, number(0.0), 3)]
    [[0.0, 650.0, 1300.0], [500.0, 500.0, 500.0]]

    Raises
    ------
    ValueError
        When fewer than two points are asked for.
    """
    if points < 2:
        raise ValueError(f"points must be at least 2 to draw a line, but is {points}")
    sizes = _sizes_of(leaf)
    at = _swung(sizes, curvature, np.sqrt)
    total = leaf.front_half_mm + leaf.rear_half_mm
    slope = sizes.line_slope + sizes.hangs * at.swing() + _nil_within_half_circle(sizes, curvature)
    share = np.linspace(0.0, 1.0, points)
    arc, bend, start = (np.asarray(value)[..., None] for value in (total, curvature, slope + 0.5 * curvature * total))
    half = 0.5 * bend * arc * share
    length, along = arc * share * np.sinc(half / np.pi), start - half
    facing, eye_x, eye_z = (np.asarray(value)[..., None] for value in (sizes.facing, leaf.eye_x, leaf.eye_z))
    return eye_x + facing * length * np.cos(along), eye_z - length * np.sin(along)


def ride_curvature(leaf: Leaf, axle_z_mm: Floats) -> Floats:
    """Curvature, 1/mm, at which the axle's centre lies at the measured height; nan where the spring cannot do it.

    Of the two arches that a spring too long to lie flat can take, the usual one is preferred.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     abs(float(ride_curvature(flat, number(420.0)))) < 1e-15
    True

    Source: see `geometry.mechanics.root`.
    """
    sizes = _sizes_of(leaf)
    low, high, flat = _range(sizes)
    linkage = Linkage(sizes, _height, _limits, _kept)
    start = _working_start(sizes, low, high, flat)
    found = root(linkage, start, axle_z_mm, -1.0)
    if np.ndim(found) == 0:
        if flat or not np.isnan(found):
            return found
        return root(linkage, _working_start(sizes, -high, -low, flat), axle_z_mm, -1.0)
    missed = np.isnan(found) & ~flat
    if not missed.any():
        return found
    start = np.where(missed.any(axis=tuple(range(missed.ndim - 1))), _working_start(sizes, -high, -low, flat), np.nan)
    return cast("Floats", np.where(missed, root(linkage, start, axle_z_mm, -1.0), found))


def axle_path(leaf: Leaf, ride_curvature: Floats, travel_mm: Floats) -> Path:
    """Path of the axle's centre for vertical travel, exact: dz equals the travel wherever it can be reached.

    The axle turns with the seat. The path ends where the shackle is pulled straight or the axle's height turns back.

    Parameters
    ----------
    leaf, ride_curvature
        (n,) variants or one; the curvature at ride height, 1/mm, e.g. from `ride_curvature`.
    travel_mm
        Axle relative to the frame, positive up (bump), (m, 1), (m, n) or whatever broadcasts, mm.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     axle_path(flat, number(0.0), np.array([-50.0, 0.0])).dx_mm.round(2).tolist()
    [-2.56, 0.0]
    """
    sizes = _sizes_of(leaf)
    found = followed(Linkage(sizes, _height, _limits, _kept), ride_curvature, travel_mm, -1.0)
    at, ride = _swung(sizes, found, np.sqrt), _swung(sizes, ride_curvature, np.sqrt)
    moved = travel_mm != 0.0  # taking nothing as nothing keeps a change of nil exactly nil
    forth = at.far * at.cos_seat_way + leaf.offset_mm * at.sin_seat
    was = ride.far * ride.cos_seat_way + leaf.offset_mm * ride.sin_seat
    dx = moved * (sizes.facing * (forth - was))
    turn = _seat_slope(sizes, at, found) - _seat_slope(sizes, ride, ride_curvature)
    return Path(dx, travel_mm + 0.0 * dx, moved * ((sizes.facing / RADIAN) * turn), found + 0.0 * dx)


def travel_reach_mm(leaf: Leaf, ride_curvature: Floats) -> tuple[Floats, Floats]:
    """Greatest droop (negative) and greatest bump that each spring's geometry allows, mm; nan where none.

    >>> from geometry.mechanics.vectors import number
    >>> eye, pivot = (number(0.0), number(500.0)), (number(1300.0), number(600.0))
    >>> flat = leaf_of(eye, pivot, number(100.0), number(650.0), number(650.0), number(80.0), hangs=True, over=True)
    >>> with np.errstate(all="ignore"):
    ...     [round(float(end), 3) for end in travel_reach_mm(flat, number(0.0))]
    [-174.422, 256.605]

    Source: see `geometry.mechanics.root`.
    """
    return rise_ends_mm(Linkage(_sizes_of(leaf), _height, _limits, _kept), ride_curvature, -1.0)


def windup_stiffness_nm_per_rad(rate_n_per_mm: Floats, front_half_mm: Floats, rear_half_mm: Floats) -> Floats:
    """Couple that turns the seat of ONE spring by one radian, N·m/rad: k a²b²(a + b)/(a³ + b³), shapes that broadcast.

    For equal halves k L²/4. Two springs act together. Small turns, both eyes held, each half stiff as 1/length³.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(windup_stiffness_nm_per_rad(number(25.0), number(700.0), number(700.0))))
    12250

    Source: Gillespie, *Fundamentals of Vehicle Dynamics* (from memory); beam theory, two springs at the eyes.
    """
    a, b = front_half_mm, rear_half_mm
    return rate_n_per_mm * (a * a) * (b * b) * (a + b) / (a * a * a + b * b * b) / 1000.0


class _Sizes(NamedTuple):
    """What of a leaf does not change as it bends; lengths in mm, `facing` and `hangs` +1 or -1.

    `facing` is +1 where the shackle is behind the fixed eye, -1 where it is ahead: x and slopes then change sign.
    """

    eye_z: Floats
    offset: Floats
    front: Floats
    half_total: Floats
    """Half of the whole leaf; `share` is the front half's part of the leaf."""
    share: Floats
    half_rear: Floats
    half_more: Floats
    """Half of what the rear half is longer than the front half."""
    facing: Floats
    hangs: Floats
    line: Floats
    """From fixed eye to pivot; its slope looking toward the shackle, rad, with cosine and sine."""
    line_slope: Floats
    cosine: Floats
    sine: Floats
    reach: Floats
    """The line and the shackle together; then one without the other."""
    left: Floats
    gap: Floats
    """Square of the line less that of the shackle, mm²."""


class _Swung(NamedTuple):
    """A bent leaf swung to where its shackle holds it, looking toward the shackle.

    `far` is from fixed eye to seat, along (`cos_seat_way`, `sin_seat_way`), sines positive downward; the seat itself
    lies along (`cos_seat`, `sin_seat`); the shackled eye is `chord_x` ahead of the fixed eye and `chord_z` below it.
    `adjacent` and `opposite` are the sides of the angle between chord and line. `bend` and `bend_part` are k(a + b)/2
    and ka/2, followed by their S and cosine.
    """

    far: Floats
    cos_seat_way: Floats
    sin_seat_way: Floats
    cos_seat: Floats
    sin_seat: Floats
    chord_x: Floats
    chord_z: Floats
    chord: Floats
    square: Floats
    adjacent: Floats
    opposite: Floats
    bend: Floats
    ratio: Floats
    cos_bend: Floats
    bend_part: Floats
    ratio_part: Floats
    cos_part: Floats

    def swing(self) -> Floats:
        """Angle at the fixed eye between the chord and the line to the pivot, rad."""
        found: Floats = np.arctan2(self.opposite, self.adjacent)
        return found


def _sizes_of(leaf: Leaf) -> _Sizes:
    a, b, shackle = leaf.front_half_mm, leaf.rear_half_mm, leaf.shackle_mm
    forth, below = leaf.pivot_x - leaf.eye_x, leaf.eye_z - leaf.pivot_z
    ahead = abs(forth)
    line = np.sqrt(ahead * ahead + below * below)
    total = a + b
    return _Sizes(
        leaf.eye_z, leaf.offset_mm, a, 0.5 * total, a / total, 0.5 * b, 0.5 * (b - a), forth / ahead,
        number(1.0 if leaf.hangs else -1.0), line, np.arctan2(below, ahead), ahead / line, below / line,
        line + shackle, line - shackle, (line + shackle) * (line - shackle),
    )  # fmt: skip


def _at_least_nil(value: Floats) -> Floats:
    """Root, taken as nil out of reach, where it is only a rounding of a dead point."""
    found: Floats = np.sqrt(np.maximum(value, 0.0))
    return found


def _swung(s: _Sizes, curvature: Floats, root_of: Callable[[Floats], Floats]) -> _Swung:
    bend = (curvature + _TINY) * s.half_total
    part = bend * s.share
    sine, cosine, sine_part, cosine_part = np.sin(bend), np.cos(bend), np.sin(part), np.cos(part)
    ratio, ratio_part = sine / bend, sine_part / part
    chord = (2.0 * s.half_total) * ratio
    square = chord * chord
    # (2 chord line sin A)², A at the fixed eye, as a product: exact at the dead points, negative out of reach.
    opposite = root_of((s.reach * s.reach - square) * (square - s.left * s.left))
    adjacent = square + s.gap
    scale = 0.5 / s.line
    chord_x = (s.cosine * adjacent - (s.hangs * s.sine) * opposite) * scale
    chord_z = (s.sine * adjacent + (s.hangs * s.cosine) * opposite) * scale
    # From the chord on by k(a + b)/2 − ka/2 to the way to the seat, then back by ka/2 to the seat itself.
    more, less = (cosine * cosine_part + sine * sine_part) / chord, (sine * cosine_part - cosine * sine_part) / chord
    cos_way, sin_way = chord_x * more - chord_z * less, chord_x * less + chord_z * more
    return _Swung(
        s.front * ratio_part, cos_way, sin_way,
        cos_way * cosine_part + sin_way * sine_part, sin_way * cosine_part - cos_way * sine_part,
        chord_x, chord_z, chord, square, adjacent, opposite, bend, ratio, cosine, part, ratio_part, cosine_part,
    )  # fmt: skip


def _seat_slope(s: _Sizes, at: _Swung, curvature: Floats) -> Floats:
    """Slope of the seat, rad, looking toward the shackle."""
    return s.line_slope + s.hangs * at.swing() + curvature * s.half_more


def _height(s: _Sizes, curvature: Floats) -> tuple[Floats, Floats]:
    """Height of the axle's centre, mm, and its derivative by the curvature.

    S' = (cos u − S)/u cancels near 0 and is good to 1e-8 there: it only steers the steps.
    """
    at = _swung(s, curvature, _at_least_nil)
    height = s.eye_z - at.far * at.sin_seat_way + s.offset * at.cos_seat
    ratio_rate, part_rate = (at.cos_bend - at.ratio) / at.bend, (at.cos_part - at.ratio_part) / at.bend_part
    swing_rate = (s.gap - at.square) * ((2.0 * s.hangs) * (s.half_total * s.half_total) * ratio_rate)
    swing_rate = swing_rate / (at.chord * at.opposite)
    # The whole leaf swings about the fixed eye with the chord; in the swinging leaf the seat moves by bending alone.
    forth, lean = at.far * at.cos_seat_way, s.offset * at.sin_seat
    bending = (0.5 * s.front * s.front) * (part_rate * at.sin_seat_way)
    return height, -(forth * (swing_rate + s.half_rear) + lean * (swing_rate + s.half_more) + bending)


def _half_turn(ratio: Floats) -> Floats:
    """Solve sin(u)/u = ratio for u in (0, pi/2], the ratio being below 1: three steps of Newton from the series."""
    short = 1.0 - ratio
    u = np.sqrt(short * (6.0 + short * (1.8 + 0.823 * short)))
    for _ in range(3):
        value = np.sin(u) / u
        u = u - (value - ratio) * u / (np.cos(u) - value)
    return cast("Floats", u)


def _range(s: _Sizes) -> tuple[Floats, Floats, Bools]:
    """Curvatures, least and greatest, between which the shackle reaches, and whether the spring can pass through flat.

    Where it cannot, there is a second range, the same reversed. Nan where the shackle reaches nowhere.
    """
    total = 2.0 * s.half_total
    shortest, longest = np.maximum(abs(s.left) / total, 2.0 / np.pi), s.reach / total
    high = _half_turn(shortest) / s.half_total
    flat = longest > 1.0
    if np.ndim(longest) == 0:
        if not shortest < min(longest, 1.0):
            return NAN, NAN, flat
        if flat:
            return -high, high, flat
        return (ZERO if longest > 1.0 - 1e-12 else _half_turn(longest) / s.half_total), high, flat
    high = np.where(shortest < np.minimum(longest, 1.0), high, np.nan)
    low = np.where(longest > 1.0 - 1e-12, 0.0 * high, _half_turn(longest) / s.half_total)
    return np.where(flat, -high, low), high, flat


def _working_start(s: _Sizes, low: Floats, high: Floats, flat: Bools) -> Floats:
    """A curvature within the range at which the seat surely rises as the leaf flattens, if it does anywhere.

    Next to the end with the shackle in line with the fixed eye the seat rises steeply.
    """
    inside = 1e-3 * (high - low)
    beside = low + inside if s.hangs > 0.0 else high - inside
    if np.ndim(flat) == 0:
        return 0.5 * inside if flat else beside
    return np.where(flat, 0.5 * inside, beside)


def _limits(s: _Sizes, start: Floats) -> tuple[Floats, Floats]:
    """The range of curvature that holds start; nan where none does."""
    low, high, flat = _range(s)
    usual = (low <= start) & (start <= high)
    other = ~flat & (-high <= start) & (start <= -low)
    return (
        np.where(usual, low, np.where(other, -high, np.nan)),
        np.where(usual, high, np.where(other, -low, np.nan)),
    )


def _nil_within_half_circle(s: _Sizes, curvature: Floats) -> Floats:
    """0 where the leaf is bent within half a circle, nan beyond."""
    return 0.0 / (abs(curvature) * s.half_total <= 0.5 * np.pi)


def _kept(s: _Sizes, start: Floats, curvature: Floats) -> Bools:
    """Bent within half a circle, and not through flat where the spring cannot lie flat."""
    flat = s.reach > 2.0 * s.half_total
    return (abs(curvature) * s.half_total <= 0.5 * np.pi) & (flat | (start * curvature > 0.0))
