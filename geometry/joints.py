"""Cardan joints, one and in a chain: exact motion, not the small-angle rule.

A chain is given by its lines from the driving end to the driven end, as unit directions that all point the same way
along the chain. Between two lines sits a joint. A section between two joints has a phase: how far its far yoke is
turned from being in line with its near one, right-hand about the section's direction. Turning every line round (driving
the chain from its other end) leaves the phases as they are.

Sources: any theory-of-machines textbook on Hooke's joint for one joint; Fischer and Paul, ASME Journal of Mechanical
Design 113 (1991), for the relative phase of joints in different planes.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.frames import Directions, Floats, cross, dot, norm

Homokinetic: TypeAlias = NDArray[np.bool_]

_STRAIGHT = 1e-12
"""Sine of an operating angle below which a joint counts as straight."""


def operating_angle_deg(upstream: Directions, downstream: Directions) -> Floats:
    """Angle between two lines in space, (..., 3) and (..., 3) -> (...), degrees.

    Uses atan2 of cross and dot product, exact down to parallel lines, where acos loses eight digits.
    """
    angle: Floats = np.degrees(np.arctan2(norm(cross(upstream, downstream)), dot(upstream, downstream)))
    return angle


def ratio_limits(operating_deg: Floats) -> tuple[Floats, Floats]:
    """Least and greatest output speed over a constant input speed, each (...): cos b and 1/cos b, reached twice a turn.

    Source: theory-of-machines textbooks on Hooke's joint, e.g. Bevan, *The Theory of Machines*, ch. 4.
    """
    least = np.cos(np.radians(operating_deg))
    return least, 1.0 / least


def small_angle_equivalent_deg(operating_deg: Floats, relative_phase_deg: Floats) -> Floats:
    """Equivalent angle of a pair by the small-angle rule, (...), degrees; a check, never used for a verdict.

    b_e^2 = sqrt(b1^4 + b2^4 - 2 b1^2 b2^2 cos 2g), with the pair's angles on the first axis, (2, ...), and g the
    phase less the angle between the two joint planes. Good to about one per cent below 10 degrees.

    Source: Fischer and Paul (1991) for g; the rule is in any handbook of universal joints.
    """
    first, second = operating_deg[0] ** 2, operating_deg[1] ** 2
    turned = np.cos(2.0 * np.radians(relative_phase_deg))
    squared: Floats = np.sqrt(np.maximum(first**2 + second**2 - 2.0 * first * second * turned, 0.0))
    return np.sqrt(squared)


def relative_phase_deg(lines: Directions, phase_deg: Floats) -> Floats:
    """Phase of each section less the angle between the joint planes at its two ends, (k+1, n, 3), (k-1, n) -> (k-1, n).

    Degrees, brought to -90 … 90: yokes turned by half a turn are the same yokes. Nil is where a pair cancels best.
    """
    return out_of_phase_deg(bends(lines)[1], phase_deg)


def out_of_phase_deg(plane_turn_rad: Floats, phase_deg: Floats) -> Floats:
    """Relative phase as in `relative_phase_deg`, from the angles between the joint planes, both (k-1, n)."""
    offset = phase_deg - np.degrees(plane_turn_rad)
    return (offset + 90.0) % 180.0 - 90.0


def peak_accelerations(lines: Directions, homokinetic: Homokinetic, phase_deg: Floats) -> Floats:
    """Peak angular acceleration of every body behind a joint, over the square of the constant input speed.

    Parameters
    ----------
    lines
        (k+1, n, 3), from the driving line to the driven one, for n positions.
    homokinetic
        (k,), True for a double Cardan or constant-velocity joint, which passes the motion on as it comes. Such a
        joint carries the yokes' posture straight across the plane that halves its angle.
    phase_deg
        (k-1, n), degrees, one for each section between two joints.

    Returns
    -------
    Floats
        (k, n): first the section behind the first joint, last the driven line. Times omega squared, rad/s².

    Notes
    -----
    One joint at angle b takes the direction (cos t, sin t) of its input yoke, t from the joint's plane, to that of
    (cos t cos b, sin t): tan(out) = tan(t)/cos(b) as a linear map. A section turns it on. So a whole chain is the
    product of such maps, and a linear map of the plane is a turn, a stretch along two square axes, and a turn again:
    a chain of any joints in any planes runs exactly like one joint whose cosine is the ratio of the map's two
    stretches, and its peak is known in closed form like that joint's.

    Examples
    --------
    >>> from geometry.frames import direction
    >>> lines = direction(np.array([[0.0], [7.3]]))
    >>> round(float(peak_accelerations(lines, np.array([False]), np.empty((0, 1)))[0, 0]) * (2500 * np.pi / 30) ** 2, 1)
    1115.7
    """
    return peaks_of(*bends(lines), homokinetic, phase_deg)


def peaks_of(bend_rad: Floats, plane_turn_rad: Floats, homokinetic: Homokinetic, phase_deg: Floats) -> Floats:
    """Peak accelerations as in `peak_accelerations`, from what `bends` tells of the lines, (k, n) and (k-1, n)."""
    bend, turns = _driven(bend_rad, plane_turn_rad, homokinetic, phase_deg)
    cos_b, cos_turn, sin_turn = np.cos(bend), np.cos(turns), np.sin(turns)
    sine_squared, cosine = np.empty(bend.shape), np.empty(bend.shape)
    sine_squared[0], cosine[0] = np.sin(bend[0]) ** 2, cos_b[0]
    xx, xy, yx, yy = cos_b[0], 0.0, 0.0, 1.0
    for joint in range(1, len(bend)):
        c, s, shrunk = cos_turn[joint - 1], sin_turn[joint - 1], cos_b[joint]
        xx, xy, yx, yy = shrunk * (c * xx - s * yx), shrunk * (c * xy - s * yy), s * xx + c * yx, s * xy + c * yy
        # Sum and difference of the map's greatest and least stretch, each free of cancellation.
        both, apart = np.hypot(xx + yy, xy - yx), np.hypot(xx - yy, xy + yx)
        greatest = both + apart
        sine_squared[joint] = 4.0 * both * apart / (greatest * greatest)
        cosine[joint] = (both - apart) / greatest
    # Beyond a right angle the map mirrors, and the joint runs like one whose angle is as far short of it.
    return _peak(sine_squared, np.abs(cosine))


def single_joint_peak(bend_rad: Floats) -> Floats:
    """Peak acceleration behind one joint over the square of the input speed, (...) rad -> (...), closed form.

    With B = sin²b/2 and A = 1 − B it lies at cos 2t = (−A + √(A² + 8B²))/(2B), t from the plane of the two lines.

    >>> round(float(single_joint_peak(np.radians(20.0))), 6)
    0.124966
    """
    return _peak(np.sin(bend_rad) ** 2, np.abs(np.cos(bend_rad)))


def _peak(sine_squared: Floats, cosine: Floats) -> Floats:
    half = 0.5 * sine_squared
    rest = 1.0 - half
    # cos 2t, written so that it stays exact as the joint straightens.
    place = 4.0 * half / (rest + np.sqrt(rest * rest + 8.0 * half * half))
    sine = np.sqrt(np.maximum(1.0 - place * place, 0.0))
    least = 1.0 - half * (1.0 + place)
    # Square lines drive nothing: nan.
    peak: Floats = 2.0 * half * cosine * sine / np.where(least > 0.0, least * least, np.nan)
    return peak


def transmitted_angle(lines: Directions, homokinetic: Homokinetic, phase_deg: Floats, input_angle: Floats) -> Floats:
    """Angle of the driven line for angles of the driving line, rad, from where the input yoke lies in its plane.

    Parameters
    ----------
    lines, homokinetic, phase_deg
        As for `peak_accelerations`: (k+1, n, 3), (k,) and (k-1, n).
    input_angle
        (m,) rad, of the driving line's yoke from the first joint's plane, right-hand about the line.

    Returns
    -------
    Floats
        (n, m) rad, following the input turn for turn: output less input repeats every half turn.

    Examples
    --------
    >>> from geometry.frames import direction
    >>> bent = direction(np.array([[0.0], [60.0]]))
    >>> out = transmitted_angle(bent, np.array([False]), np.empty((0, 1)), np.array([np.pi / 4]))
    >>> round(float(np.degrees(out[0, 0])), 3)  # tan(out) = tan(45 deg)/cos(60 deg)
    63.435
    """
    bend, turns = _driven(*bends(lines), homokinetic, phase_deg)
    angle = np.broadcast_to(input_angle, (lines.shape[1], input_angle.shape[0]))
    for joint in range(bend.shape[0]):
        swing = np.sin(2.0 * angle) * (1.0 - np.cos(bend[joint]))[:, None]
        steady = 1.0 + np.cos(bend[joint])[:, None] - np.cos(2.0 * angle) * (1.0 - np.cos(bend[joint]))[:, None]
        # tan(out - in) from tan(out) = tan(in)/cos(b): never jumps, unlike the angle itself.
        angle = angle + np.arctan2(swing, steady)
        if joint + 1 < bend.shape[0]:
            angle = angle + turns[joint][:, None]
    return angle


def bends(lines: Directions) -> tuple[Floats, Floats]:
    """Operating angles, and the angle from each joint's plane to the next one's, rad, (k+1, n, 3) -> (k, n), (k-1, n).

    The second right-hand about the section between the two joints; the same whichever end the chain is driven from,
    but for half turns, which leave a yoke where it is.
    """
    normals = cross(lines[:-1], lines[1:])
    size = norm(normals)
    bend: Floats = np.arctan2(size, dot(lines[:-1], lines[1:]))
    straight = size < _STRAIGHT
    if straight.any():
        # A straight joint has no plane of its own; any plane through its line will do, as long as it serves throughout.
        along = lines[:-1]
        spare = np.where(np.abs(along[..., 1:2]) < 0.9, np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))
        normals = np.where(straight[..., None], spare - dot(spare, along)[..., None] * along, normals)
    turn: Floats = np.arctan2(dot(cross(normals[:-1], normals[1:]), lines[1:-1]), dot(normals[:-1], normals[1:]))
    return bend, turn


def _driven(bend: Floats, turn: Floats, homokinetic: Homokinetic, phase_deg: Floats) -> tuple[Floats, Floats]:
    """Angle at each joint (nil where it runs evenly) and how far each section turns the motion on to its next joint's.

    (k, n) and (k-1, n), rad. A Cardan joint's far yoke stands square to its near one, hence the quarter turn.
    """
    quarter = np.where(homokinetic[:-1, None], 0.0, np.pi / 2.0)
    uneven = np.where(homokinetic[:, None], 0.0, bend) if homokinetic.any() else bend
    return uneven, quarter + phase_deg * (np.pi / 180.0) - turn
