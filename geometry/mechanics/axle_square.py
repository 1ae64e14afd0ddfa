"""How an axle stands under its frame, and how far its tube is bent, from lengths that a tape reads.

Two holes in the frame, alike left and right, span the frame's own line across; two points alike left and right on the
axle span the axle's. Plain trigonometry: Pythagoras on both diagonals, no approximation for small angles.
"""

import numpy as np

from geometry.mechanics.spread import COVERAGE
from geometry.mechanics.vectors import RADIAN, Floats

_ROUNDS = 24
"""So often the angle is put into its own small share of the diagonals: each time some hundred times nearer."""


def off_centre_mm(left_mm: Floats, right_mm: Floats) -> Floats:
    """How far to the right of the frame's middle an axle stands, from its reach beyond each rail, mm.

    >>> from geometry.mechanics.vectors import number
    >>> float(off_centre_mm(number(180.0), number(190.0)))
    5.0
    """
    off: Floats = (right_mm - left_mm) / 2.0
    return off


def yaw_deg(
    left_mm: Floats, right_mm: Floats, holes_mm: Floats, ends_mm: Floats, aside_mm: Floats, above_mm: Floats
) -> Floats:
    """How far the right end of an axle stands farther from the frame's holes than the left one, degrees.

    With the holes h apart and the axle's points e apart, its middle X from the holes' line, Y to the right of their
    middle and H below it, its right end turned away by t: the diagonals from the left and the right hole have

        l² − r² = 2 X e sin t + 2 Y (e cos t + h),  (l² + r²)/2 = X² + Y² + H² + (e² + h²)/4 + e h cos t/2.

    nan where no such axle has these diagonals.

    Parameters
    ----------
    left_mm, right_mm
        Diagonals from the left hole to the axle's right point, and from the right hole to its left point.
    holes_mm, ends_mm
        How far apart the holes, and the axle's points, are.
    aside_mm
        How far the axle's middle stands to the right of the holes' middle.
    above_mm
        How much higher the holes are than the axle's points.

    Examples
    --------
    >>> from geometry.mechanics.vectors import ZERO, number
    >>> long, short, apart = number(1720.5), number(1719.5), number(1000.0)
    >>> round(float(yaw_deg(long, short, apart, apart, ZERO, ZERO)), 4)  # l² − r² = 3,440 = 2·1,399·1,000·sin t
    0.0704
    """
    mean = (left_mm * left_mm + right_mm * right_mm) / 2.0
    apart = (left_mm * left_mm - right_mm * right_mm) / 2.0
    rest = mean - aside_mm * aside_mm - above_mm * above_mm - (ends_mm * ends_mm + holes_mm * holes_mm) / 4.0
    sine = np.zeros(np.shape(apart + rest))
    for _ in range(_ROUNDS):
        cosine = np.sqrt(1.0 - sine * sine)
        away = np.sqrt(rest - ends_mm * holes_mm * cosine / 2.0)
        sine = (apart - aside_mm * (ends_mm * cosine + holes_mm)) / (away * ends_mm)
    angle: Floats = np.arcsin(sine) / RADIAN
    return angle


def yaw_band_deg(
    left_mm: Floats, right_mm: Floats, holes_mm: Floats, ends_mm: Floats, above_mm: Floats, tape_mm: Floats
) -> Floats:
    """Half-width, at 95 per cent, of that angle, from the tape's own, degrees.

    By the linear law of JCGM 100, 5.1: both diagonals d, and the axle's middle from two readings, √(1/2) of one:
    u(t) = u √(2 d² + (e + h)²/2)/(X e).

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> d, apart = number(1720.0), number(1000.0)
    >>> round(float(yaw_band_deg(d, d, apart, apart, ZERO, number(1.5))), 4)  # 1.6974 · 2813.7/(1399.4 · 1000)
    0.1955
    """
    mean = (left_mm * left_mm + right_mm * right_mm) / 2.0
    both = ends_mm + holes_mm
    away = np.sqrt(mean - above_mm * above_mm - both * both / 4.0)
    standard = tape_mm / 3.0**0.5 * np.sqrt(2.0 * mean + both * both / 2.0) / (away * ends_mm)
    band: Floats = COVERAGE * standard / RADIAN
    return band


def toe_deg(front_mm: Floats, rear_mm: Floats, over_mm: Floats) -> Floats:
    """Angle between two flanges seen from above, positive where they come together in front, degrees.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(toe_deg(number(1500.0), number(1502.0), number(600.0))), 4)  # 2 asin(2/1200)
    0.191
    """
    toe: Floats = 2.0 * np.arcsin((rear_mm - front_mm) / (2.0 * over_mm)) / RADIAN
    return toe


def toe_band_deg(over_mm: Floats, tape_mm: Floats) -> Floats:
    """Half-width, at 95 per cent, of that angle from two tape readings, degrees.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(toe_band_deg(number(600.0), number(0.5))), 4)  # 1.96 × 0.5 √(2/3)/600
    0.0764
    """
    band: Floats = COVERAGE * tape_mm * (2.0 / 3.0) ** 0.5 / over_mm / RADIAN
    return band
