"""Tube section constants against the finite-element library `sectionproperties`.

The library draws a circle as a regular polygon with its corners on the circle. Area and second moment of such a
polygon are the circle's times sin(2p/n)/(2p/n), and that times (2 + cos(2p/n))/3 for the moment, so both are taken back
exactly; the torsion constant comes from its warping solution and is held to its mesh.
"""

import numpy as np
import pytest
from sectionproperties.analysis import Section
from sectionproperties.pre.library import circular_hollow_section

from geometry.mechanics.tube import tube_section
from geometry.mechanics.vectors import number

CORNERS = 128
EXACT = 1e-9
MESHED = 2e-3


@pytest.mark.parametrize(("outer", "wall"), [(76.2, 2.11), (88.9, 3.05), (114.0, 6.0)])
def test_constants(outer: float, wall: float) -> None:
    shape = circular_hollow_section(d=outer, t=wall, n=CORNERS)
    section = Section(shape.create_mesh(mesh_sizes=[wall**2]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    step = 2.0 * np.pi / CORNERS
    of_area = np.sin(step) / step
    of_moment = of_area * (2.0 + np.cos(step)) / 3.0
    ours = tube_section(number(outer), number(wall))
    assert ours.area_mm2 == pytest.approx(section.get_area() / of_area, rel=EXACT)
    assert ours.second_moment_mm4 == pytest.approx(section.get_ic()[0] / of_moment, rel=EXACT)
    assert ours.polar_moment_mm4 == pytest.approx(section.get_j(), rel=MESHED)
