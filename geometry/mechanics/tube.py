"""The tube between two joints: section, whirl, shear, twist, mass; every size by rows.

Sources: any vibration text for the beam (Thomson, *Theory of Vibration with Applications*: (bL)² = 9.87 for pinned
ends); any strength-of-materials text for torsion of a circular tube. Materials: see each row of `MATERIALS`.
"""

from typing import NamedTuple

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats


class Material(NamedTuple):
    """What a tube is made of; every row says where its numbers come from.

    `weld_share` is the share of the yield stress that is left beside a weld, where every tube has its yokes on.
    """

    name: str
    elastic_mpa: float
    shear_mpa: float
    density_kg_m3: float
    yield_mpa: float
    weld_share: float
    source: str


MATERIALS = {
    "steel": Material(
        "steel", 207_000.0, 79_300.0, 7_850.0, 379.0, 1.0,
        "carbon steel, machine-design handbooks (from memory); yield: common practice for drawn tube, 55 to 70 ksi",
    ),
    "aluminium": Material(
        "aluminium 6061-T6", 68_900.0, 26_000.0, 2_700.0, 276.0, 105.0 / 276.0,
        "6061-T6 typical values of aluminium standards data (from memory); beside a weld 105 MPa (15 ksi), the usual "
        "design value for welded 6061-T6 (structural aluminium standards, from memory)",
    ),
}  # fmt: skip


SHEAR_OF_YIELD = 1.0 / 3.0**0.5
"""Yield in shear over yield in tension, by distortion energy (any machine-design text)."""


class TubeSection(NamedTuple):
    """Section constants of a round tube: area mm², second moment mm⁴, polar moment mm⁴, outer radius mm."""

    area_mm2: Floats
    second_moment_mm4: Floats
    polar_moment_mm4: Floats
    outer_radius_mm: Floats


def tube_section(outer_diameter_mm: Floats, wall_mm: Floats) -> TubeSection:
    """Section constants of a round tube: A = pi(D² - d²)/4, I = pi(D⁴ - d⁴)/64, J = 2 I.

    >>> round(float(tube_section(np.array(114.0), np.array(6.0)).polar_moment_mm4))
    5954575
    """
    outer, inner = outer_diameter_mm, outer_diameter_mm - 2.0 * wall_mm
    outer2, inner2 = outer * outer, inner * inner
    area = (np.pi / 4.0) * (outer2 - inner2)
    second = area * (outer2 + inner2) / 16.0
    return TubeSection(area, second, 2.0 * second, outer / 2.0)


def critical_speed_rpm(section: TubeSection, material: Material, length_mm: Floats) -> Floats:
    """First bending critical speed of a uniform tube pinned at both joint centres, rpm.

    f = (pi/2) √(E I/(m L⁴)), m the mass for each unit of length. Shear and rotary inertia, which this leaves out,
    lower it by 1 to 2 per cent for a road shaft, 5 per cent at 600 mm; yokes, splines and soft supports lower it
    further, so a shaft must stay well below it.

    >>> section = tube_section(np.array(88.9), np.array(2.11))
    >>> round(float(critical_speed_rpm(section, MATERIALS["steel"], np.array(1524.0))))
    6396
    """
    length_m = length_mm / 1e3
    stiffness = material.elastic_mpa * section.second_moment_mm4 * 1e-6
    mass = material.density_kg_m3 * section.area_mm2 * 1e-6
    speed: Floats = 60.0 * (np.pi / 2.0) * np.sqrt(stiffness / mass) / (length_m * length_m)
    return speed


def diameter_for_critical_mm(wall_mm: Floats, material: Material, length_mm: Floats, critical_rpm: Floats) -> Floats:
    """Outer diameter whose first critical speed is the one asked for, mm, wall and length kept; closed form.

    For a tube I/A = (D² + d²)/16 with d = D - 2t, so the speed gives D² + d² and a quadratic gives D.

    >>> wall, length, speed = np.array(2.11), np.array(1524.0), np.array(6396.0)
    >>> round(float(diameter_for_critical_mm(wall, MATERIALS["steel"], length, speed)), 1)
    88.9
    """
    length_m = length_mm / 1e3
    speed = critical_rpm / 60.0 / (np.pi / 2.0)
    gyration_mm2 = speed**2 * length_m**4 * material.density_kg_m3 / (material.elastic_mpa * 1e6) * 1e6
    diameter: Floats = wall_mm + np.sqrt(np.maximum(8.0 * gyration_mm2 - wall_mm**2, 0.0))
    return diameter


def shear_stress_mpa(section: TubeSection, torque_nm: Floats) -> Floats:
    """Torsional shear at the tube's outer fibre, T r/J, MPa.

    >>> round(float(shear_stress_mpa(tube_section(np.array(114.0), np.array(6.0)), np.array(5000.0))), 3)
    47.862
    """
    return torque_nm * 1e3 * section.outer_radius_mm / section.polar_moment_mm4


def twist_deg(section: TubeSection, material: Material, length_mm: Floats, torque_nm: Floats) -> Floats:
    """Twist of the tube from joint to joint, T L/(G J), degrees.

    >>> tube, length, torque = tube_section(np.array(114.0), np.array(6.0)), np.array(1000.0), np.array(5000.0)
    >>> round(float(twist_deg(tube, MATERIALS["steel"], length, torque)), 4)  # 47.862 MPa over G and 57 mm
    0.6067
    """
    return torque_nm * 1e3 * length_mm / (material.shear_mpa * section.polar_moment_mm4) / RADIAN


def tube_mass_kg(section: TubeSection, material: Material, length_mm: Floats) -> Floats:
    """Mass of the bare tube, joint centre to joint centre, kg; yokes and splines come on top.

    >>> tube = tube_section(np.array(76.2), np.array(2.11))
    >>> round(float(tube_mass_kg(tube, MATERIALS["steel"], np.array(1300.0))), 3)
    5.012
    """
    return section.area_mm2 * length_mm * 1e-9 * material.density_kg_m3


def spin_inertia_kg_m2(section: TubeSection, material: Material, length_mm: Floats) -> Floats:
    """Moment of inertia of the bare tube about its own axis, rho J L, kg·m²; yokes and splines come on top.

    >>> tube = tube_section(np.array(76.2), np.array(2.11))
    >>> round(float(spin_inertia_kg_m2(tube, MATERIALS["steel"], np.array(1300.0))), 5)
    0.00688
    """
    return section.polar_moment_mm4 * length_mm * 1e-15 * material.density_kg_m3
