"""Uncertainty by JCGM 100:2008 (5.1, linear law; G.1, factor 1.96) and JCGM 101:2008 (draws of luck, 7).

A reading of ± a is a rectangular distribution, standard uncertainty a/√3 (JCGM 100, 4.3.7). Two such readings make a
triangle, and 95 per cent of it lie within 2a(1 − √0.05): a = 0.1 gives 0.1553. JCGM 101, 9.2.3 (from memory): the sum
of four rectangulars of unit standard uncertainty lies within ±3.88.
"""

import numpy as np
import pytest

from geometry.mechanics.spread import (
    COVERAGE,
    cancellation_deg,
    gauge_standard_deg,
    joint_by_stick_deg,
    joint_by_tape_deg,
    taped_slope_standard_deg,
)
from geometry.mechanics.vectors import ONE, ZERO, number

DRAWS = 1_000_000
LUCK = 5e-3
"""Relative spread of a 95 per cent quantile from a million draws is below 0.2 per cent."""
GAUGE = number(0.1)


@pytest.fixture(scope="module")
def luck() -> np.random.Generator:
    return np.random.default_rng(20_080_101)


def half_width(errors: np.ndarray) -> float:
    return float(np.quantile(np.abs(errors), 0.95))


def test_two_gauge_readings() -> None:
    assert joint_by_stick_deg(GAUGE) == pytest.approx(0.1553, abs=5e-5)


def test_two_gauge_readings_by_luck(luck: np.random.Generator) -> None:
    drawn = luck.uniform(-0.1, 0.1, (2, DRAWS))
    assert joint_by_stick_deg(GAUGE) == pytest.approx(half_width(drawn[0] - drawn[1]), rel=LUCK)


def test_four_rectangulars_of_jcgm_101(luck: np.random.Generator) -> None:
    """The draws themselves are held to the published value before anything is held to them."""
    four = luck.uniform(-np.sqrt(3.0), np.sqrt(3.0), (4, DRAWS))
    assert half_width(four.sum(axis=0)) == pytest.approx(3.88, abs=0.01)


def test_three_readings_where_the_shaft_counts_twice() -> None:
    """Lines that meet: b1 = s − g and b2 = p − s, so b1 − b2 errs by −g + 2s − p: standard uncertainty a·√2."""
    by_stick = cancellation_deg(GAUGE, gauge_standard_deg(GAUGE), ONE, -ONE, ZERO)
    assert by_stick == pytest.approx(1.96 * 0.1 * np.sqrt(2.0), rel=1e-12)


def test_taped_slope_by_luck(luck: np.random.Generator) -> None:
    ends = luck.uniform(-1.5, 1.5, (2, DRAWS))
    slope = np.degrees(np.arctan2(ends[0] - ends[1], 1200.0))
    assert taped_slope_standard_deg(number(1.5), number(1200.0)) == pytest.approx(float(slope.std()), rel=LUCK)


@pytest.mark.parametrize("at_pinion", [False, True])
def test_taped_joint_angle_is_the_linear_law(at_pinion: bool) -> None:
    """u² = a²/3 + 2/3 (t/L)², widened by 1.96 (JCGM 100, 5.1.2), where the pinion's arm is left out."""
    expected = 1.96 * np.sqrt(0.1**2 / 3.0 + np.degrees(1.5 / 1200.0) ** 2 * 2.0 / 3.0)
    found = joint_by_tape_deg(GAUGE, number(1.5), number(1200.0), ZERO, at_pinion=at_pinion)
    assert found == pytest.approx(expected, rel=1e-12)


def test_coverage_factor() -> None:
    assert COVERAGE == 1.96
