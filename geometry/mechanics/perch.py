"""Where perches sit on their tube, how welding pulls them, and angles checked a second time by tape."""

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats

WELD_PULL_DEG = 0.25
"""How far a seat is pulled toward the edge that is welded first, welded in turn: common practice, no source."""
TENTH_DEG = 0.1


def place_mm(across_mm: Floats, spacing_mm: Floats) -> Floats:
    """From flange to perch, the same on both sides, with the flanges and the perches so far apart, mm.

    >>> from geometry.mechanics.vectors import number
    >>> float(place_mm(number(1430.0), number(1010.0)))
    210.0
    """
    place: Floats = (across_mm - spacing_mm) / 2.0
    return place


def rise_mm(along_mm: Floats, up_mm: Floats, tilt_deg: Floats) -> Floats:
    """How much higher than its foot the head of an arm stands over the floor, with the vehicle tipped, mm.

    `along_mm` and `up_mm` are the arm rearward and up before that; a tilt lowers what lies behind.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> round(float(rise_mm(number(-340.0), ZERO, number(3.0))), 2)  # 340 sin 3°
    17.79
    """
    angle = tilt_deg * RADIAN
    rise: Floats = up_mm * np.cos(angle) - along_mm * np.sin(angle)
    return rise


def tenth_mm(along_mm: Floats, up_mm: Floats, tilt_deg: Floats) -> Floats:
    """By how much that height changes for each tenth of a degree, mm: the arm's reach over the floor, times it.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> round(float(tenth_mm(number(-340.0), ZERO, ZERO)), 3)
    0.593
    """
    angle = tilt_deg * RADIAN
    tenth: Floats = np.abs(along_mm * np.cos(angle) + up_mm * np.sin(angle)) * (TENTH_DEG * RADIAN)
    return tenth
