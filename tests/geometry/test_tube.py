"""The tube: its materials, what it weighs and how it spins; section, whirl and torsion stand in tests/validation."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from scipy.integrate import quad

from geometry.mechanics.tube import (
    MATERIALS,
    SHEAR_OF_YIELD,
    critical_speed_rpm,
    diameter_for_critical_mm,
    shear_stress_mpa,
    spin_inertia_kg_m2,
    tube_mass_kg,
    tube_section,
    twist_deg,
)
from geometry.mechanics.vectors import Floats, number

STEEL = MATERIALS["steel"]
DIAMETERS, WALLS, LENGTHS = st.floats(40.0, 150.0), st.floats(1.0, 10.0), st.floats(300.0, 2500.0)


@given(DIAMETERS, WALLS)
def test_section_constants_are_sums_over_the_ring(outer: float, wall: float) -> None:
    """Area, second moment and polar moment: integrals of 2 pi r, pi r³ and 2 pi r³ over the wall, by scipy."""
    section, inside, outside = tube_section(number(outer), number(wall)), outer / 2.0 - wall, outer / 2.0
    assert section.area_mm2 == pytest.approx(quad(lambda r: 2.0 * np.pi * r, inside, outside)[0], rel=1e-9)
    assert section.second_moment_mm4 == pytest.approx(quad(lambda r: np.pi * r**3, inside, outside)[0], rel=1e-9)
    assert section.polar_moment_mm4 == pytest.approx(quad(lambda r: 2.0 * np.pi * r**3, inside, outside)[0], rel=1e-9)
    assert section.outer_radius_mm == outside


@pytest.mark.parametrize("material", MATERIALS)
@given(outer=DIAMETERS, wall=WALLS, length=LENGTHS)
def test_spin_inertia_is_the_sum_of_r_squared_dm(material: str, outer: float, wall: float, length: float) -> None:
    """In metres and kilograms: dm = density × length × 2 pi r dr."""
    row, metres = MATERIALS[material], length / 1e3
    ring, _ = quad(lambda r: r**2 * row.density_kg_m3 * metres * 2.0 * np.pi * r, outer / 2e3 - wall / 1e3, outer / 2e3)
    section = tube_section(number(outer), number(wall))
    assert spin_inertia_kg_m2(section, row, number(length)) == pytest.approx(ring, rel=1e-9)
    # A thin ring has its mass at one radius; any tube's lies between its inner and outer one.
    mass = float(tube_mass_kg(section, row, number(length)))
    assert mass * (outer / 2e3 - wall / 1e3) ** 2 < ring < mass * (outer / 2e3) ** 2


def test_materials_say_where_they_come_from() -> None:
    """Moduli of machine-design handbooks, of 6061-T6 of aluminium standards data (from memory)."""
    for material in MATERIALS.values():
        assert material.source.strip()
        assert 0.0 < material.yield_mpa < material.shear_mpa < material.elastic_mpa
        assert 0.0 < material.weld_share <= 1.0
    assert MATERIALS["steel"][1:6] == (207_000.0, 79_300.0, 7_850.0, 379.0, 1.0)
    assert MATERIALS["aluminium"][1:5] == (68_900.0, 26_000.0, 2_700.0, 276.0)
    assert list(MATERIALS) == ["steel", "aluminium"]
    # 55 ksi, the lower end of common practice for drawn tube, to whole MPa.
    assert STEEL.yield_mpa == pytest.approx(55.0 * 6.89476, abs=0.5)


def test_aluminium_beside_a_weld() -> None:
    """15 ksi of the 40 ksi elsewhere (structural aluminium standards, from memory); 1 ksi is 6.89476 MPa."""
    aluminium = MATERIALS["aluminium"]
    assert aluminium.yield_mpa * aluminium.weld_share == pytest.approx(105.0, rel=1e-12)
    assert aluminium.yield_mpa * aluminium.weld_share == pytest.approx(15.0 * 6.89476, rel=0.02)
    assert aluminium.yield_mpa == pytest.approx(40.0 * 6.89476, rel=0.001)


def test_yield_in_shear_by_distortion_energy() -> None:
    """In pure shear t the equivalent stress √(s1² − s1 s2 + s2²), s1 = t = −s2, is t √3 (machine-design texts)."""
    stress = SHEAR_OF_YIELD * 100.0
    assert np.sqrt(stress**2 + stress * stress + stress**2) == pytest.approx(100.0, rel=1e-12)


def test_elastic_constants_agree() -> None:
    """G = E/(2(1 + nu)) with Poisson's ratio of metals, 0.29 to 0.34 (any strength-of-materials text)."""
    for material in MATERIALS.values():
        poisson = material.elastic_mpa / (2.0 * material.shear_mpa) - 1.0
        assert 0.28 < poisson < 0.35


def everything(outer: Floats, wall: Floats, length: Floats) -> list[Floats]:
    section, torque = tube_section(outer, wall), number(800.0)
    speed = critical_speed_rpm(section, STEEL, length)
    return [
        speed,
        diameter_for_critical_mm(wall, STEEL, length, speed),
        0.0 * length + shear_stress_mpa(section, torque),
        twist_deg(section, STEEL, length, torque),
        tube_mass_kg(section, STEEL, length),
        spin_inertia_kg_m2(section, STEEL, length),
    ]


@pytest.mark.parametrize(
    ("outers", "walls", "lengths", "shape"),
    [((5,), (), (), (5,)), ((3, 5), (5,), (), (3, 5)), ((3, 1), (), (5,), (3, 5)), ((), (), (), ())],
)
def test_rows_broadcast(outers: tuple[int, ...], walls: tuple[int, ...], lengths: tuple[int, ...], shape) -> None:  # type: ignore[no-untyped-def]
    draw = np.random.default_rng(4)
    outer, wall, length = draw.uniform(50, 120, outers), draw.uniform(1, 6, walls), draw.uniform(500, 2000, lengths)
    together = everything(outer, wall, length)
    assert [part.shape for part in together] == [shape] * 6
    wide = [np.broadcast_to(part, shape).ravel() for part in (outer, wall, length)]
    alone = [everything(*(number(one) for one in row)) for row in zip(*wide, strict=True)]
    rows = np.array(together).reshape(6, -1).T
    assert rows == pytest.approx(np.array(alone), rel=1e-12)


def test_a_row_that_is_not_known_leaves_the_others_alone() -> None:
    for part in everything(np.array([76.2, np.nan, 88.9]), number(2.11), number(1300.0)):
        assert np.isnan(part).tolist() == [False, True, False]
