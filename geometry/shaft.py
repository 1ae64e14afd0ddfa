"""The tube between two joints: section, whirl, shear, twist, mass.

Sources: any vibration text for the beam (Thomson, *Theory of Vibration with Applications*: (bL)^2 = 9.87 for pinned
ends); any strength-of-materials text for torsion of a circular tube. Materials: see each row of `MATERIALS`.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from geometry.frames import Floats


class Material(NamedTuple):
    """What a tube is made of; every row says where its numbers come from."""

    name: str
    elastic_mpa: float
    shear_mpa: float
    density_kg_m3: float
    yield_mpa: float
    source: str


MATERIALS = {
    "steel": Material(
        "steel", 207_000.0, 79_300.0, 7_850.0, 379.0,
        "carbon steel, machine-design handbooks (from memory); yield: common practice for drawn tube, 55 to 70 ksi",
    ),
    "aluminium": Material(
        "aluminium 6061-T6", 68_900.0, 26_000.0, 2_700.0, 276.0,
        "6061-T6 typical values of aluminium standards data (from memory); much weaker beside a weld",
    ),
}  # fmt: skip


SHEAR_OF_YIELD = 1.0 / 3.0**0.5
"""Yield in shear over yield in tension, by distortion energy (any machine-design text)."""


class TubeSection(NamedTuple):
    """Section constants of a round tube: area mm², second moment mm⁴, polar moment mm⁴, outer radius mm."""

    area_mm2: float
    second_moment_mm4: float
    polar_moment_mm4: float
    outer_radius_mm: float


def tube_section(outer_diameter_mm: float, wall_mm: float) -> TubeSection:
    """Section constants of a round tube: A = pi(D² - d²)/4, I = pi(D⁴ - d⁴)/64, J = 2 I.

    >>> round(tube_section(114.0, 6.0).polar_moment_mm4)
    5954575
    """
    outer, inner = outer_diameter_mm, outer_diameter_mm - 2.0 * wall_mm
    second = np.pi * (outer**4 - inner**4) / 64.0
    return TubeSection(float(np.pi * (outer**2 - inner**2) / 4.0), float(second), float(2.0 * second), outer / 2.0)


def critical_speed_rpm(section: TubeSection, material: Material, length_mm: ArrayLike) -> Floats:
    """First bending critical speed of a uniform tube pinned at both joint centres, (...) -> (...), rpm.

    f = (pi/2) sqrt(E I/(m L⁴)), m the mass for each unit of length. Shear and rotary inertia, which this leaves out,
    lower it by 1 to 2 per cent for a road shaft, 5 per cent at 600 mm; yokes, splines and soft supports lower it
    further, so a shaft must stay well below it.

    >>> round(float(critical_speed_rpm(tube_section(88.9, 2.11), MATERIALS["steel"], 1524.0)))
    6396
    """
    length_m = np.asarray(length_mm, dtype=np.float64) / 1e3
    stiffness = material.elastic_mpa * section.second_moment_mm4 * 1e-6
    mass = material.density_kg_m3 * section.area_mm2 * 1e-6
    return np.asarray(60.0 * (np.pi / 2.0) * np.sqrt(stiffness / (mass * length_m**4)))


def diameter_for_critical_mm(wall_mm: float, material: Material, length_mm: float, critical_rpm: float) -> float:
    """Outer diameter whose first critical speed is the one asked for, mm, wall and length kept; closed form.

    For a tube I/A = (D² + d²)/16 with d = D - 2t, so the speed gives D² + d² and a quadratic gives D.
    """
    length_m = length_mm / 1e3
    speed = critical_rpm / 60.0 / (np.pi / 2.0)
    gyration_mm2 = speed**2 * length_m**4 * material.density_kg_m3 / (material.elastic_mpa * 1e6) * 1e6
    squares = 16.0 * gyration_mm2
    return float(wall_mm + np.sqrt(max(squares / 2.0 - wall_mm**2, 0.0)))


def shear_stress_mpa(section: TubeSection, torque_nm: float) -> float:
    """Torsional shear at the tube's outer fibre, T r/J, MPa."""
    return torque_nm * 1e3 * section.outer_radius_mm / section.polar_moment_mm4


def twist_deg(section: TubeSection, material: Material, length_mm: float, torque_nm: float) -> float:
    """Twist of the tube from joint to joint, T L/(G J), degrees."""
    return float(np.degrees(torque_nm * 1e3 * length_mm / (material.shear_mpa * section.polar_moment_mm4)))


def tube_mass_kg(section: TubeSection, material: Material, length_mm: float) -> float:
    """Mass of the bare tube, joint centre to joint centre, kg; yokes and splines come on top."""
    return section.area_mm2 * length_mm * 1e-9 * material.density_kg_m3
