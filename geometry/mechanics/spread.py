"""How far the person's own gauge and tape let an answer be off.

A reading given as ± a may lie anywhere in that band with equal chance, so its standard uncertainty is a/√3; several are
combined by the linear law (JCGM 100, 5.1) and widened by 1.96 to 95 per cent, but for two gauge readings alone, where
the exact triangle of their difference gives 2a(1 − √0.05). `gauge` and `tape` are half-widths, degrees and mm.
"""

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats

COVERAGE = 1.96
"""Widens a standard uncertainty to 95 per cent of a normal distribution (JCGM 100, table G.1)."""
TWO_READINGS = 2.0 * (1.0 - 0.05**0.5)
"""Half-width holding 95 per cent of the sum of two equal rectangular errors, over their half-width."""
TWO_ENDS = (2.0 / 3.0) ** 0.5
"""Standard uncertainty of a distance between two taped places, over the tape's half-width."""


def taped_slope_standard_deg(tape: Floats, length_mm: Floats) -> Floats:
    """Standard uncertainty of a slope that comes from two joint centres laid out by tape, degrees.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(taped_slope_standard_deg(number(1.5), number(1000.0))), 4)
    0.0702
    """
    standard: Floats = tape * TWO_ENDS / length_mm / RADIAN
    return standard


def gauge_standard_deg(gauge: Floats) -> Floats:
    """Standard uncertainty of one gauge reading, degrees.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(gauge_standard_deg(number(0.1))), 5)
    0.05774
    """
    standard: Floats = gauge / 3.0**0.5
    return standard


def joint_by_stick_deg(gauge: Floats) -> Floats:
    """Half-width, at 95 per cent, of an angle between two gauged lines, degrees.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(joint_by_stick_deg(number(0.1))), 4)
    0.1553
    """
    return gauge * TWO_READINGS


def joint_by_tape_deg(gauge: Floats, tape: Floats, length_mm: Floats, swing: Floats, *, at_pinion: bool) -> Floats:
    """Half-width, at 95 per cent, of the angle between a gauged line and a taped shaft, degrees.

    An error e of the pinion's slope also swings its joint on the arm from the axle's centre, which turns the shaft by
    −e·swing, `swing` being the arm over the shaft's length. So at the pinion the error counts 1 + swing times; at the
    output it comes to the gauge's own.

    >>> from geometry.mechanics.vectors import number
    >>> van = [number(value) for value in (0.1, 1.5, 1157.0, 340.0 / 1157.0)]
    >>> round(float(joint_by_tape_deg(*van, at_pinion=True)), 3)
    0.189
    """
    shares = (1.0 + swing) ** 2 if at_pinion else 1.0 + swing**2
    half: Floats = COVERAGE * np.sqrt(gauge**2 / 3.0 * shares + taped_slope_standard_deg(tape, length_mm) ** 2)
    return half


def taped_shaft_deg(gauge: Floats, tape: Floats, length_mm: Floats, swing: Floats) -> Floats:
    """Half-width, at 95 per cent, of a taped shaft's slope, degrees: the pinion's error swings its end, as above.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> round(float(taped_shaft_deg(number(0.1), number(1.5), number(1000.0), ZERO)), 4)  # 1.96 × 0.0702
    0.1375
    """
    half: Floats = COVERAGE * np.sqrt((swing * gauge) ** 2 / 3.0 + taped_slope_standard_deg(tape, length_mm) ** 2)
    return half


def stick_against_tape_deg(gauge: Floats, tape: Floats, length_mm: Floats, swing: Floats) -> Floats:
    """Half-width, at 95 per cent, of the difference between the stick's reading and a taped shaft's slope, degrees.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> round(float(stick_against_tape_deg(number(0.1), number(1.5), number(1000.0), ZERO)), 4)
    0.1781
    """
    half: Floats = np.hypot(COVERAGE * gauge_standard_deg(gauge), taped_shaft_deg(gauge, tape, length_mm, swing))
    return half


def centre_joint_deg(gauge: Floats, tape: Floats, front_mm: Floats, rear_mm: Floats, swing: Floats) -> Floats:
    """Half-width, at 95 per cent, of the angle between two taped sections that share the bearing's centre, degrees.

    >>> from geometry.mechanics.vectors import ZERO, number
    >>> even = centre_joint_deg(number(0.1), number(1.5), number(1000.0), number(1000.0), ZERO)
    >>> round(float(even), 4)  # 1.96 × 1.5/1,000 rad × √(6/3)
    0.2382
    """
    shares = (1.0 / front_mm) ** 2 + (1.0 / front_mm + 1.0 / rear_mm) ** 2 + (1.0 / rear_mm) ** 2
    half: Floats = COVERAGE * np.sqrt((tape / RADIAN) ** 2 / 3.0 * shares + (swing * gauge) ** 2 / 3.0)
    return half


def cancellation_deg(gauge: Floats, shaft_standard_deg: Floats, first: Floats, last: Floats, swing: Floats) -> Floats:
    """Half-width, at 95 per cent, of the difference between the joint angles at output and pinion, degrees.

    With b1 = c1 (s − g) and b2 = c2 (s − p), the error of b1 − b2 from output g, shaft s and pinion p is
    −c1 g + (c1 − c2) s + c2 p, and an error of p also turns s by −swing·p; c1 and c2 (`first`, `last`) are each the
    part of a joint's angle that is seen from the side, with its sign. Where the ends meet, (1, −1), the shaft's
    reading counts twice, g − 2s + p; where they are parallel, (1, 1), it drops out.

    >>> from geometry.mechanics.vectors import ONE, ZERO, number
    >>> round(float(cancellation_deg(number(0.1), number(0.05), ONE, ONE, ZERO)), 4)  # 1.96 × 0.1 × √(2/3)
    0.16
    """
    pinion = last - (first - last) * swing
    half: Floats = COVERAGE * np.sqrt(
        (first**2 + pinion**2) * gauge**2 / 3.0 + (first - last) ** 2 * shaft_standard_deg**2
    )
    return half
