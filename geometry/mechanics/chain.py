"""Cardan joints, one and in a chain: exact motion, not the small-angle rule.

A chain is given by its lines from the driving end to the driven end, as unit vectors that all point the same way along
the chain. Between two lines sits a joint. A section between two joints has a phase: how far its far yoke is turned from
being in line with its near one, right-hand about the section's direction. Turning every line round (driving the chain
from its other end) leaves the phases as they are.

One joint at angle b takes the direction (cos t, sin t) of its input yoke, t from the joint's plane, to that of
(cos t cos b, sin t): tan(out) = tan(t)/cos(b) as a linear map. A section turns it on. So a whole chain is the product
of such maps, and a linear map of the plane is a turn, a stretch along two square axes, and a turn again: a chain of any
joints in any planes runs exactly like one joint whose cosine is the ratio of the map's two stretches, and its peak is
known in closed form like that joint's. Cosines and sines are carried all the way, so that many rows cost no angle.

Sources: any theory-of-machines textbook on Hooke's joint for one joint; Fischer and Paul, ASME Journal of Mechanical
Design 113 (1991), for the relative phase of joints in different planes.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from geometry.mechanics.vectors import ONE, RADIAN, ZERO, Floats, Vector, cross, dot, minus, norm, times, where

_STRAIGHT = 1e-12
"""Sine of an operating angle below which a joint counts as straight."""
_SQUARE = 1e-12
"""Least slowness of a joint, over its input's speed, below which its lines count as square."""


class Chain(NamedTuple):
    """Cosine and sine of each joint's angle, and of each section's phase less the turn between its joints' planes."""

    cosine: tuple[Floats, ...]
    sine: tuple[Floats, ...]
    phase_cosine: tuple[Floats, ...]
    phase_sine: tuple[Floats, ...]

    @property
    def operating_deg(self) -> tuple[Floats, ...]:
        """Operating angle of each joint along the chain, degrees; by atan2, exact down to parallel lines.

        >>> from geometry.mechanics.vectors import line_of, number
        >>> bent = chain_of([line_of(number(slope)) for slope in (0.0, 2.0, 7.0)], [ZERO])
        >>> [round(float(angle), 9) for angle in bent.operating_deg]
        [2.0, 5.0]
        """
        return tuple(np.arctan2(sine, cosine) / RADIAN for sine, cosine in zip(self.sine, self.cosine, strict=True))

    @property
    def relative_phase_deg(self) -> tuple[Floats, ...]:
        """Phase of each section less the turn between its joints' planes, brought to -90 … 90, degrees.

        Yokes turned by half a turn are the same yokes. Nil is where a pair cancels best.

        >>> from geometry.mechanics.vectors import line_of, number
        >>> in_one_plane = chain_of([line_of(number(slope)) for slope in (3.5, 10.8, 3.5)], [number(100.0)])
        >>> round(float(in_one_plane.relative_phase_deg[0]), 9)
        -80.0
        """
        return tuple(
            (np.arctan2(sine, cosine) / RADIAN + 90.0) % 180.0 - 90.0
            for sine, cosine in zip(self.phase_sine, self.phase_cosine, strict=True)
        )

    def backward(self) -> "Chain":
        """The same chain driven from its other end.

        >>> from geometry.mechanics.vectors import line_of, number
        >>> bent = chain_of([line_of(number(slope)) for slope in (0.0, 2.0, 7.0)], [ZERO])
        >>> [round(float(angle), 9) for angle in bent.backward().operating_deg]
        [5.0, 2.0]
        """
        return Chain(*(part[::-1] for part in self))

    def to_last_section(self) -> "Chain":
        """The chain without its last joint: all that its sections' motion hangs on.

        >>> from geometry.mechanics.vectors import line_of, number
        >>> bent = chain_of([line_of(number(slope)) for slope in (0.0, 2.0, 7.0)], [ZERO])
        >>> [round(float(angle), 9) for angle in bent.to_last_section().operating_deg]
        [2.0]
        """
        return Chain(*(part[:-1] for part in self))


def chain_of(lines: Sequence[Vector], phases_deg: Sequence[Floats]) -> Chain:
    """Joints of a chain from its k + 1 lines and the phases of its k - 1 sections, degrees.

    The turn between two joints' planes counts right-hand about the section between them; it is the same whichever end
    the chain is driven from, but for half turns, which leave a yoke where it is.

    >>> from geometry.mechanics.vectors import line_of, number
    >>> bent = chain_of([line_of(number(slope)) for slope in (3.5, 10.8, 3.5)], [ZERO])
    >>> [round(float(angle), 9) for angle in bent.operating_deg]
    [7.3, 7.3]
    """
    cosines, sines, normals = [], [], []
    for one, two in pairwise(lines):
        normal = cross(one, two)
        size = norm(normal)
        straight = size < _STRAIGHT
        if straight.any():
            # A straight joint has no plane of its own; any plane through its line will do, if it serves throughout.
            upright = np.where(np.abs(one.y) < 0.9, 1.0, 0.0)
            spare = Vector(ZERO, upright, 1.0 - upright)
            normal = where(straight, minus(spare, times(dot(spare, one), one)), normal)
        cosines.append(dot(one, two))
        sines.append(size)
        normals.append(normal)
    phase_cosines, phase_sines = [], []
    for (near, far), along, phase in zip(pairwise(normals), lines[1:-1], phases_deg, strict=True):
        y, x = dot(cross(near, far), along), dot(near, far)
        share = 1.0 / np.sqrt(x * x + y * y)
        turn_cosine, turn_sine, angle = x * share, y * share, phase * RADIAN
        cosine, sine = np.cos(angle), np.sin(angle)
        phase_cosines.append(cosine * turn_cosine + sine * turn_sine)
        phase_sines.append(sine * turn_cosine - cosine * turn_sine)
    return Chain(tuple(cosines), tuple(sines), tuple(phase_cosines), tuple(phase_sines))


def peaks(chain: Chain, even: Sequence[bool], *, last_only: bool = False) -> list[Floats]:
    """Peak angular acceleration of every body behind a joint, over the square of the constant input speed.

    Parameters
    ----------
    chain
        From the driving end.
    even
        For each joint, True for a double Cardan or constant-velocity joint, which passes the motion on as it comes.
        Such a joint carries the yokes' posture straight across the plane that halves its angle.
    last_only
        Give the driven line's alone.

    Returns
    -------
    list[Floats]
        First the section behind the first joint, last the driven line. Times omega squared, rad/s².

    Examples
    --------
    >>> from geometry.mechanics.vectors import line_of, number
    >>> bent = chain_of([line_of(number(0.0)), line_of(number(7.3))], [])
    >>> round(float(peaks(bent, [False])[0]) * (2500 * np.pi / 30) ** 2, 1)
    1115.7
    """
    cosine, sine = chain.cosine, chain.sine
    last = len(cosine) - 1
    found = []
    xx = ONE if even[0] else cosine[0]
    if last == 0 or not last_only:
        found.append(0.0 * cosine[0] if even[0] else single_joint_peak(cosine[0], sine[0]))
    for joint in range(1, last + 1):
        # A Cardan joint's far yoke stands square to its near one: a quarter turn more behind it.
        c, s = chain.phase_cosine[joint - 1], chain.phase_sine[joint - 1]
        c, s = (c, s) if even[joint - 1] else (-s, c)
        if joint == 1:
            xx, xy, yx, yy = c * xx, -s, s * xx, c
        else:
            xx, xy, yx, yy = c * xx - s * yx, c * xy - s * yy, s * xx + c * yx, s * xy + c * yy
        if not even[joint]:
            xx, xy = cosine[joint] * xx, cosine[joint] * xy
        if last_only and joint < last:
            continue
        # Sum and difference of the map's greatest and least stretch, each free of cancellation.
        p, q, u, v = xx + yy, xy - yx, xx - yy, xy + yx
        both, apart = np.sqrt(p * p + q * q), np.sqrt(u * u + v * v)
        share = 1.0 / (both + apart)
        # Beyond a right angle the map mirrors, and the joint runs like one whose angle is as far short of it.
        found.append(_peak(4.0 * both * apart * share * share, np.abs((both - apart) * share)))
    return found


def single_joint_peak(cosine: Floats, sine: Floats) -> Floats:
    """Peak acceleration behind one joint over the square of the input speed, from its angle's cosine and sine.

    With B = sin²b/2 and A = 1 − B it lies at cos 2t = (−A + √(A² + 8B²))/(2B), t from the plane of the two lines.

    >>> round(float(single_joint_peak(np.cos(np.radians(20.0)), np.sin(np.radians(20.0)))), 6)
    0.124966
    """
    return _peak(sine * sine, np.abs(cosine))


def _peak(sine_squared: Floats, cosine: Floats) -> Floats:
    half = 0.5 * sine_squared
    rest = 1.0 - half
    # cos 2t, written so that it stays exact as the joint straightens.
    place = 4.0 * half / (rest + np.sqrt(rest * rest + 8.0 * half * half))
    swing = np.sqrt(np.maximum(1.0 - place * place, 0.0))
    least = 1.0 - half * (1.0 + place)
    # Square lines drive nothing: nan.
    peak: Floats = 2.0 * half * cosine * swing / np.where(least > _SQUARE, least * least, np.nan)
    return peak


def operating_angle_deg(upstream: Vector, downstream: Vector) -> Floats:
    """Angle between two lines in space, degrees; by atan2, exact down to parallel lines, where acos loses eight digits.

    >>> from geometry.mechanics.vectors import line_of, number
    >>> round(float(operating_angle_deg(line_of(number(3.0), number(0.5)), line_of(number(8.0), number(4.0)))), 4)
    6.0934
    """
    angle: Floats = np.arctan2(norm(cross(upstream, downstream)), dot(upstream, downstream)) / RADIAN
    return angle


def ratio_limits(operating_deg: Floats) -> tuple[Floats, Floats]:
    """Least and greatest output speed over a constant input speed: cos b and 1/cos b, reached twice a turn.

    >>> [round(float(limit), 5) for limit in ratio_limits(np.array(7.3))]
    [0.99189, 1.00817]

    Source: theory-of-machines textbooks on Hooke's joint, e.g. Bevan, *The Theory of Machines*, ch. 4.
    """
    least = np.cos(operating_deg * RADIAN)
    return least, 1.0 / least


def small_angle_equivalent_deg(first_deg: Floats, second_deg: Floats, relative_phase_deg: Floats) -> Floats:
    """Equivalent angle of a pair by the small-angle rule, degrees; a check, never used for a verdict.

    b_e² = √(b1⁴ + b2⁴ − 2 b1² b2² cos 2g), with g the phase less the angle between the two joint planes. Good to about
    one per cent below 10 degrees.

    >>> round(float(small_angle_equivalent_deg(np.array(5.0), np.array(4.0), np.array(0.0))), 6)
    3.0

    Source: Fischer and Paul (1991) for g; the rule is in any handbook of universal joints.
    """
    one, two, turn = first_deg**2, second_deg**2, np.cos(2.0 * relative_phase_deg * RADIAN)
    angle: Floats = np.sqrt(np.sqrt(np.maximum(one**2 + two**2 - 2.0 * one * two * turn, 0.0)))
    return angle


def transmitted_angle(
    lines: Sequence[Vector], even: Sequence[bool], phases_deg: Sequence[Floats], input_rad: Floats
) -> Floats:
    """Angle of the driven line for angles of the driving line, rad, from where the input yoke lies in its plane.

    `lines`, `even` and `phases_deg` are as for `chain_of` and `peaks`; `input_rad` broadcasts with their rows. The
    angle follows the input turn for turn: output less input repeats every half turn.

    Examples
    --------
    >>> from geometry.mechanics.vectors import line_of, number
    >>> out = transmitted_angle([line_of(number(0.0)), line_of(number(60.0))], [False], [], number(np.pi / 4))
    >>> round(float(np.degrees(out)), 3)  # tan(out) = tan(45 deg)/cos(60 deg)
    63.435
    """
    chain = chain_of(lines, phases_deg)
    angle = input_rad
    for joint, cosine in enumerate(chain.cosine):
        if not even[joint]:
            swing = np.sin(2.0 * angle) * (1.0 - cosine)
            # tan(out - in) from tan(out) = tan(in)/cos(b): never jumps, unlike the angle itself.
            angle = angle + np.arctan2(swing, 1.0 + cosine - np.cos(2.0 * angle) * (1.0 - cosine))
        if joint + 1 < len(chain.cosine):
            quarter = 0.0 if even[joint] else np.pi / 2.0
            angle = angle + np.arctan2(chain.phase_sine[joint], chain.phase_cosine[joint]) + quarter
    return angle
