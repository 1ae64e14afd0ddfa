"""How far the person's own gauge and tape let an answer be off.

A reading given as ± a may lie anywhere in that band with equal chance, so its standard uncertainty is a/√3; several are
combined by the linear law (JCGM 100, 5.1) and widened by 1.96 to 95 per cent, but for two gauge readings alone, where
the exact triangle of their difference gives 2a(1 − √0.05).
"""

import numpy as np

from geometry.document import Build

COVERAGE = 1.96
"""Widens a standard uncertainty to 95 per cent of a normal distribution (JCGM 100, table G.1)."""
TWO_READINGS = 2.0 * (1.0 - np.sqrt(0.05))
"""Half-width holding 95 per cent of the sum of two equal rectangular errors, over their half-width."""


def gauge_deg(build: Build) -> float | None:
    """Half-width of one gauge reading, degrees, or None."""
    return None if build.gauge is None else build.gauge.angle_uncertainty_deg


def tape_mm(build: Build) -> float | None:
    """Half-width of one tape reading, mm, or None."""
    return None if build.gauge is None else build.gauge.tape_uncertainty_mm


def taped_slope_standard_deg(build: Build, length_mm: float) -> float | None:
    """Standard uncertainty of a slope that comes from two joint centres laid out by tape, degrees, or None."""
    tape = tape_mm(build)
    return None if tape is None else float(np.degrees(tape * np.sqrt(2.0 / 3.0) / length_mm))


def shaft_slope_standard_deg(build: Build, length_mm: float | None, *, taped: bool) -> float | None:
    """Standard uncertainty of the shaft's slope, degrees: by tape from its joints, else by gauge on the stick."""
    if taped and length_mm is not None:
        return taped_slope_standard_deg(build, length_mm)
    gauge = gauge_deg(build)
    return None if gauge is None else float(gauge / np.sqrt(3.0))


def joint_angle_deg(build: Build, length_mm: float | None, *, taped: bool) -> float | None:
    """Half-width, at 95 per cent, of an operating angle between a gauged line and the shaft, degrees, or None."""
    gauge = gauge_deg(build)
    shaft = shaft_slope_standard_deg(build, length_mm, taped=taped)
    if gauge is None or shaft is None:
        return None
    if not taped:
        return float(gauge * TWO_READINGS)
    return float(COVERAGE * np.sqrt(gauge**2 / 3.0 + shaft**2))


def centre_joint_angle_deg(build: Build, front_mm: float, rear_mm: float) -> float | None:
    """Half-width, at 95 per cent, of the angle between two taped sections that share the bearing's centre, degrees."""
    tape = tape_mm(build)
    if tape is None:
        return None
    shares = np.array([1.0 / front_mm, 1.0 / front_mm + 1.0 / rear_mm, 1.0 / rear_mm])
    return float(COVERAGE * np.degrees(tape / np.sqrt(3.0) * np.sqrt(np.sum(shares**2))))


def cancellation_deg(
    build: Build, length_mm: float | None, *, taped: bool, sides: tuple[float, float] = (1.0, -1.0)
) -> float | None:
    """Half-width, at 95 per cent, of the difference between the two joint angles, degrees, or None.

    With b1 = c1 (s − g) and b2 = c2 (s − p), the error of b1 − b2 from output g, shaft s and pinion p is
    −c1 g + (c1 − c2) s + c2 p; `sides` is (c1, c2), each the part of its joint's angle that is seen from the side,
    with its sign. Where the ends meet, (1, −1), the shaft's reading counts twice, g − 2s + p; where they are parallel,
    (1, 1), it drops out.
    """
    gauge = gauge_deg(build)
    shaft = shaft_slope_standard_deg(build, length_mm, taped=taped)
    if gauge is None or shaft is None:
        return None
    first, last = sides
    return float(COVERAGE * np.sqrt((first**2 + last**2) * gauge**2 / 3.0 + (first - last) ** 2 * shaft**2))
