"""Leaf spring in side view: one curvature gives the eyes, the seat and its slope in closed form.

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

Sources: Gillespie, *Fundamentals of Vehicle Dynamics*, for wind-up (from memory); SAE HS-788, *Manual on Design and
Application of Leaf Springs*, for the circular-arc rule (from memory); the rest is plane geometry.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import cos, hypot, isfinite, pi, sin, sqrt
from typing import Literal, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.axle_path import AxlePath, Run, find_run
from geometry.frames import Floats

Seat: TypeAlias = Literal["over", "under"]
"""Over: the spring lies on top of the axle tube. Under: it hangs below it."""
SidePair: TypeAlias = tuple[float, float]
"""A point in side view, (x, z), mm."""


@dataclass(frozen=True, slots=True)
class LeafSpring:
    """One leaf spring: fixed eye and shackle pivot (x, z), shackle bolt to bolt, main leaf from eyes to seat, all mm.

    `shackle_hangs` tells the two places apart at which the two circles cross: True where the shackled eye lies below
    the line from the fixed eye to the pivot (the usual hanging shackle), False where it stands above it.

    Raises
    ------
    ValueError
        When a number is not finite, a length is not more than nil, or the pivot lies right over or under the fixed eye.
    """

    front_eye_mm: SidePair
    shackle_pivot_mm: SidePair
    shackle_length_mm: float
    front_half_mm: float
    rear_half_mm: float
    shackle_hangs: bool = True

    def __post_init__(self) -> None:
        for name in ("front_eye_mm", "shackle_pivot_mm"):
            if not all(map(isfinite, getattr(self, name))):
                raise ValueError(f"{name} must be finite numbers of millimetres; measure the bolt's centre again")
        for name in ("shackle_length_mm", "front_half_mm", "rear_half_mm"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                raise ValueError(f"{name} must be a length of more than nil, but is {value:g} mm; measure it again")
        if self.front_eye_mm[0] == self.shackle_pivot_mm[0]:
            raise ValueError("shackle_pivot_mm must lie behind or ahead of front_eye_mm; measure both bolts again")


class LeafPosture(NamedTuple):
    """Where a leaf spring lies, one row for each curvature; NaN where `reachable` is False.

    `seat_mm` and `rear_eye_mm` (the shackled eye) are (n, 2); `seat_slope_deg` is positive when the seat's rear end is
    lower; `shackle_lean_deg` is the shackle's angle off plumb, positive when its eye lies rearward of its pivot.
    """

    seat_mm: Floats
    seat_slope_deg: Floats
    rear_eye_mm: Floats
    shackle_lean_deg: Floats
    reachable: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class LeafAxlePath(AxlePath):
    """An axle's path on leaf springs, with the main leaf's curvature in 1/mm, (n,) (NaN where not reachable)."""

    curvature: Floats


def posture(spring: LeafSpring, curvature: ArrayLike) -> LeafPosture:
    """Seat, shackled eye and shackle for each curvature, (n,), 1/mm; closed form, smooth through a flat leaf.

    >>> flat = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    >>> posture(flat, 0.0).seat_mm.round(9).tolist()
    [[650.0, 500.0]]

    Source: plane geometry; see the head of this module.
    """
    kappa = np.atleast_1d(np.asarray(curvature, np.float64))
    chord, slope, reachable = _chord(spring, kappa)
    slope = np.where(reachable, slope, np.nan)
    a, b = spring.front_half_mm, spring.rear_half_mm
    seat = _from_eye(spring, a * _sinc(kappa * (a / 2.0))[0], slope + kappa * (b / 2.0))
    rear = _from_eye(spring, chord, slope)
    shackle = rear - np.asarray(spring.shackle_pivot_mm)
    lean = np.degrees(np.arctan2(shackle[:, 0], np.where(spring.shackle_hangs, -shackle[:, 1], shackle[:, 1])))
    seat_slope = np.degrees(slope + kappa * ((b - a) / 2.0))
    return LeafPosture(seat, _facing(spring) * seat_slope, rear, lean, reachable)


def leaf_curve(spring: LeafSpring, curvature: ArrayLike, points: int) -> Floats:
    """Main leaf as a line for drawing, (n,) curvatures -> (n, points, 2), mm, fixed eye first, evenly along the leaf.

    Raises
    ------
    ValueError
        When fewer than two points are asked for.
    """
    if points < 2:
        raise ValueError(f"points must be at least 2 to draw a line, but is {points}")
    kappa = np.atleast_1d(np.asarray(curvature, np.float64))[:, None]
    total = spring.front_half_mm + spring.rear_half_mm
    arc = np.linspace(0.0, total, points)
    _, slope, reachable = _chord(spring, kappa)
    along = np.where(reachable, slope, np.nan) + 0.5 * kappa * (total - arc)
    return _from_eye(spring, arc * _sinc(0.5 * kappa * arc)[0], along)


def curvature_for_seat_height(spring: LeafSpring, seat_z_mm: ArrayLike) -> Floats:
    """Curvature that puts the seat at each height, (n,) mm -> (n,) 1/mm; NaN where the spring cannot put it there.

    Of the two arches that a spring too long to lie flat can take, the usual one is preferred.

    >>> flat = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    >>> abs(float(curvature_for_seat_height(flat, 500.0)[0])) < 1e-15
    True

    Source: safeguarded Newton on the closed form, see `geometry.axle_path.Run.solve`.
    """
    return _curvature_for_height(spring, 0.0, np.atleast_1d(np.asarray(seat_z_mm, np.float64)))


def ride_curvature(spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, axle_z_mm: float) -> float:
    """Curvature, 1/mm, at which the axle's centre lies at the measured height; NaN where the spring cannot do it.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    return float(
        _curvature_for_height(spring, axle_above_seat_mm(seat, seat_to_axle_mm), np.array([axle_z_mm], np.float64))[0]
    )


def axle_centre_mm(spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, curvature: ArrayLike) -> Floats:
    """Axle's centre (x, z) that the spring itself predicts, (n,) 1/mm -> (n, 2), mm; for comparing with the tape.

    The centre lies square to the seat: below it by seat_to_axle_mm with the spring over the axle, above it otherwise.

    >>> flat = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    >>> axle_centre_mm(flat, "over", 80.0, 0.0).round(9).tolist()
    [[650.0, 420.0]]

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    return _axle(posture(spring, curvature), axle_above_seat_mm(seat, seat_to_axle_mm))


def axle_sweep(
    spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, ride_curvature: float, travel_mm: ArrayLike
) -> LeafAxlePath:
    """Path of the axle's centre for vertical travel, exact: dz equals the travel wherever it can be reached.

    The axle turns with the seat. The sweep ends where the shackle is pulled straight or the axle's height turns back.

    >>> flat = LeafSpring((0.0, 500.0), (1300.0, 600.0), 100.0, 650.0, 650.0)
    >>> path = axle_sweep(flat, "over", 80.0, 0.0, [-50.0, 0.0])
    >>> path.dx_mm.round(2).tolist()
    [-2.56, 0.0]

    Parameters
    ----------
    seat, seat_to_axle_mm
        Where the axle's centre lies: that far below the seat ("over") or above it ("under"), square to it, mm.
    ride_curvature
        Curvature at ride height, 1/mm, e.g. from `ride_curvature`; NaN gives a path that cannot be reached anywhere.
    travel_mm
        Axle relative to the frame, positive up (bump), (n,), mm.

    Returns
    -------
    LeafAxlePath
        (n,). At no travel the displacement is exactly nil.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    travel, offset = np.atleast_1d(np.asarray(travel_mm, np.float64)), axle_above_seat_mm(seat, seat_to_axle_mm)
    run = _run_around(spring, offset, ride_curvature)
    curvature = np.full(travel.shape, np.nan) if run is None else run.solve(run.start_mm + travel)
    # At no travel the ride posture is the answer; taking it as it is keeps a change of nil exactly nil.
    curvature = np.where((travel == 0.0) & np.isfinite(curvature), ride_curvature, curvature)
    pose = posture(spring, np.append(curvature, ride_curvature))
    centre, reachable = _axle(pose, offset)[:, 0], pose.reachable[:-1]
    return LeafAxlePath(
        travel_mm=travel,
        dx_mm=centre[:-1] - centre[-1],
        dz_mm=np.where(reachable, travel, np.nan),
        turn_deg=pose.seat_slope_deg[:-1] - pose.seat_slope_deg[-1],
        reachable=reachable,
        curvature=np.where(reachable, curvature, np.nan),
    )


def travel_reach_mm(
    spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, ride_curvature: float
) -> tuple[float, float]:
    """Greatest droop (negative) and greatest bump that the spring's geometry allows, mm; (0, 0) where none.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    run = _run_around(spring, axle_above_seat_mm(seat, seat_to_axle_mm), ride_curvature)
    if run is None:
        return 0.0, 0.0
    return run.lowest_mm - run.start_mm, run.highest_mm - run.start_mm


def axle_above_seat_mm(seat: Seat, seat_to_axle_mm: float) -> float:
    """How far the axle's centre lies above the seat, square to it, mm: negative with the spring over the axle.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    if not np.isfinite(seat_to_axle_mm):
        raise ValueError("seat_to_axle_mm must be a finite number of millimetres; measure it square to the leaf")
    return -seat_to_axle_mm if seat == "over" else seat_to_axle_mm


def windup_stiffness_nm_per_rad(rate_n_per_mm: ArrayLike, front_half_mm: ArrayLike, rear_half_mm: ArrayLike) -> Floats:
    """Couple that turns the seat of ONE spring by one radian, N·m/rad: k a²b²(a + b)/(a³ + b³), shapes that broadcast.

    For equal halves k L²/4. Two springs act together. Small turns, both eyes held, each half stiff as 1/length³.

    >>> round(float(windup_stiffness_nm_per_rad(25.0, 700.0, 700.0)))
    12250

    Source: Gillespie, *Fundamentals of Vehicle Dynamics* (from memory); beam theory, two springs at the eyes.
    """
    rate, a, b = (np.asarray(value, np.float64) for value in (rate_n_per_mm, front_half_mm, rear_half_mm))
    return np.asarray(rate * a**2 * b**2 * (a + b) / (a**3 + b**3) / 1000.0)


def _facing(spring: LeafSpring) -> float:
    """+1 where the shackle is behind the fixed eye, -1 where it is ahead: x and slopes then change sign."""
    return 1.0 if spring.shackle_pivot_mm[0] > spring.front_eye_mm[0] else -1.0


def _from_eye(spring: LeafSpring, distance: Floats, slope: Floats) -> Floats:
    """Points (..., 2) at distances from the fixed eye along slopes in rad, looking toward the shackle."""
    eye_x, eye_z = spring.front_eye_mm
    return np.stack((eye_x + _facing(spring) * distance * np.cos(slope), eye_z - distance * np.sin(slope)), axis=-1)


def _axle(pose: LeafPosture, offset: float) -> Floats:
    slope = np.radians(pose.seat_slope_deg)
    return pose.seat_mm + offset * np.stack((np.sin(slope), np.cos(slope)), axis=-1)


def _sinc(u: Floats) -> tuple[Floats, Floats]:
    """sin(u)/u, 1 at 0, and its derivative.

    The derivative's difference cancels near 0 and is good to 1e-8 there: it only steers Newton's steps.
    """
    divisor = np.where(u == 0.0, 1e-300, u)
    value = np.sin(divisor) / divisor
    return value, (np.cos(divisor) - value) / divisor


def _line(spring: LeafSpring) -> tuple[float, float]:
    """Distance from fixed eye to pivot, mm, and that line's slope in rad, looking toward the shackle."""
    ahead = abs(spring.shackle_pivot_mm[0] - spring.front_eye_mm[0])
    below = spring.front_eye_mm[1] - spring.shackle_pivot_mm[1]
    return hypot(ahead, below), float(np.arctan2(below, ahead))


def _heron(spring: LeafSpring, chord: Floats, line: float) -> Floats:
    """(2 chord line sin A)², A at the fixed eye, as a product: exact at the dead points, negative out of reach."""
    longest, shortest = line + spring.shackle_length_mm, line - spring.shackle_length_mm
    return (chord + longest) * (longest - chord) * (chord + shortest) * (chord - shortest)


def _chord(spring: LeafSpring, kappa: Floats) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Chord from eye to eye, its slope in rad, and whether the shackle reaches there."""
    total = spring.front_half_mm + spring.rear_half_mm
    line, line_slope = _line(spring)
    chord = total * _sinc(0.5 * kappa * total)[0]
    heron = _heron(spring, chord, line)
    swing = np.arctan2(np.sqrt(np.maximum(heron, 0.0)), chord**2 + line**2 - spring.shackle_length_mm**2)
    return chord, line_slope + _side(spring) * swing, (heron >= 0.0) & (np.abs(kappa) * total <= pi)


def _side(spring: LeafSpring) -> float:
    return 1.0 if spring.shackle_hangs else -1.0


def _height(spring: LeafSpring, offset: float, kappa: Floats) -> tuple[Floats, Floats]:
    """Height of the axle's centre, mm, and its derivative by the curvature, (n,)."""
    a, b = spring.front_half_mm, spring.rear_half_mm
    total, (line, line_slope), side = a + b, _line(spring), _side(spring)
    sinc, sinc_rate = _sinc(kappa * (total / 2.0))
    chord = total * sinc
    opposite = np.sqrt(np.maximum(_heron(spring, chord, line), 0.0))
    square = chord * chord
    adjacent = square + (line**2 - spring.shackle_length_mm**2)
    slope = line_slope + side * np.arctan2(opposite, adjacent)
    slope_rate = (adjacent - 2.0 * square) * ((0.5 * side * total**2) * sinc_rate) / (chord * opposite)
    sinc, sinc_rate = _sinc(kappa * (a / 2.0))
    to_seat, seat_slope = slope + kappa * (b / 2.0), slope + kappa * ((b - a) / 2.0)
    sine, forth, lean = np.sin(to_seat), a * sinc * np.cos(to_seat), offset * np.sin(seat_slope)
    height = (spring.front_eye_mm[1] - a * sinc * sine) + offset * np.cos(seat_slope)
    # The whole leaf swings about the fixed eye with the chord; in the swinging leaf the seat moves by bending alone.
    bending = (0.5 * a**2) * sinc_rate * sine + (b / 2.0) * forth + ((b - a) / 2.0) * lean
    return height, -(forth + lean) * slope_rate - bending


def _pieces(spring: LeafSpring) -> Iterator[tuple[float, float, float]]:
    """Ranges of curvature that the shackle reaches, the usual arch first, each with a curvature on its working side."""
    total, (line, _), shackle = spring.front_half_mm + spring.rear_half_mm, _line(spring), spring.shackle_length_mm
    shortest, longest = max(abs(line - shackle) / total, 2.0 / pi), (line + shackle) / total
    if shortest >= min(longest, 1.0):
        return
    high = 2.0 * _half_turn(shortest) / total
    if longest > 1.0:
        yield -high, high, 1e-3 * high
        return
    low = 0.0 if longest > 1.0 - 1e-12 else 2.0 * _half_turn(longest) / total
    # Next to this end, with the shackle in line with the fixed eye, the seat rises steeply as the leaf flattens.
    inside = 1e-3 * (high - low)
    yield low, high, low + inside if spring.shackle_hangs else high - inside
    yield -high, -low, inside - high if spring.shackle_hangs else -low - inside


def _half_turn(ratio: float) -> float:
    """Solve sin(u)/u = ratio for u in (0, pi/2], the ratio being below 1."""
    u = sqrt(6.0 * (1.0 - ratio))
    for _ in range(6):
        value = sin(u) / u
        u -= (value - ratio) * u / (cos(u) - value)
    return u


@lru_cache(maxsize=32)  # one spring is asked for its run at ride height, in every sweep and at every step of a drag
def _run(spring: LeafSpring, offset: float, piece: tuple[float, float, float]) -> Run | None:
    """Working stretch of a range: the axle rises as the leaf flattens."""
    run = find_run(lambda kappa: _height(spring, offset, kappa), *piece)
    return run if run is not None and run.sense < 0.0 else None


def _run_around(spring: LeafSpring, offset: float, ride_curvature: float) -> Run | None:
    for low, high, _ in _pieces(spring):
        if low <= ride_curvature <= high:
            return _run(spring, offset, (low, high, ride_curvature))
    return None


def _curvature_for_height(spring: LeafSpring, offset: float, height: Floats) -> Floats:
    curvature = np.full(height.shape, np.nan)
    for piece in _pieces(spring):
        run = _run(spring, offset, piece)
        if run is not None:
            curvature = np.where(np.isnan(curvature), run.solve(height), curvature)
    return curvature
