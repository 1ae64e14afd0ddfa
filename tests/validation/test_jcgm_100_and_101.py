"""Uncertainty by JCGM 100:2008 (5.1, linear law; G.1, factor 1.96) and JCGM 101:2008 (draws of luck, 7).

A reading of ± a is a rectangular distribution, standard uncertainty a/√3 (JCGM 100, 4.3.7). Two such readings make a
triangle, and 95 per cent of it lie within 2a(1 − √0.05): a = 0.1 gives 0.1553. JCGM 101, 9.2.3 (from memory): the sum
of four rectangulars of unit standard uncertainty lies within ±3.88.
"""

import numpy as np
import pytest

from geometry import Build, edited
from geometry.uncertainty import (
    COVERAGE,
    cancellation_deg,
    gauge_deg,
    joint_angle_deg,
    shaft_slope_standard_deg,
    tape_mm,
    taped_slope_standard_deg,
)

DRAWS = 1_000_000
LUCK = 5e-3
"""Relative spread of a 95 per cent quantile from a million draws is below 0.2 per cent."""


@pytest.fixture(scope="module")
def luck() -> np.random.Generator:
    return np.random.default_rng(20_080_101)


def build(gauge: float, tape: float) -> Build:
    return edited(Build(), {"gauge.angle_uncertainty_deg": gauge, "gauge.tape_uncertainty_mm": tape})


def half_width(errors: np.ndarray) -> float:
    return float(np.quantile(np.abs(errors), 0.95))


def test_two_gauge_readings() -> None:
    assert joint_angle_deg(build(0.1, 1.0), None, taped=False) == pytest.approx(0.1553, abs=5e-5)


def test_two_gauge_readings_by_luck(luck: np.random.Generator) -> None:
    drawn = luck.uniform(-0.1, 0.1, (2, DRAWS))
    assert joint_angle_deg(build(0.1, 1.0), None, taped=False) == pytest.approx(
        half_width(drawn[0] - drawn[1]), rel=LUCK
    )


def test_four_rectangulars_of_jcgm_101(luck: np.random.Generator) -> None:
    """The draws themselves are held to the published value before anything is held to them."""
    four = luck.uniform(-np.sqrt(3.0), np.sqrt(3.0), (4, DRAWS))
    assert half_width(four.sum(axis=0)) == pytest.approx(3.88, abs=0.01)


def test_three_readings_where_the_shaft_counts_twice() -> None:
    """Lines that meet: b1 = s − g and b2 = p − s, so b1 − b2 errs by −g + 2s − p: standard uncertainty a·√2."""
    assert cancellation_deg(build(0.1, 1.0), None, taped=False) == pytest.approx(1.96 * 0.1 * np.sqrt(2.0), rel=1e-12)


def test_taped_slope_by_luck(luck: np.random.Generator) -> None:
    ends = luck.uniform(-1.5, 1.5, (2, DRAWS))
    slope = np.degrees(np.arctan2(ends[0] - ends[1], 1200.0))
    assert taped_slope_standard_deg(build(0.1, 1.5), 1200.0) == pytest.approx(float(slope.std()), rel=LUCK)


def test_taped_joint_angle_is_the_linear_law() -> None:
    """u² = a²/3 + 2/3 (t/L)², widened by 1.96 (JCGM 100, 5.1.2)."""
    expected = 1.96 * np.sqrt(0.1**2 / 3.0 + np.degrees(1.5 / 1200.0) ** 2 * 2.0 / 3.0)
    assert joint_angle_deg(build(0.1, 1.5), 1200.0, taped=True) == pytest.approx(expected, rel=1e-12)


def test_coverage_factor() -> None:
    assert COVERAGE == 1.96


def test_nothing_stated_gives_nothing() -> None:
    bare, no_tape = Build(), edited(Build(), {"gauge.angle_uncertainty_deg": 0.1})
    assert gauge_deg(bare) is None
    assert tape_mm(bare) is None
    assert taped_slope_standard_deg(no_tape, 1000.0) is None
    assert shaft_slope_standard_deg(bare, None, taped=False) is None
    for judge in (joint_angle_deg, cancellation_deg):
        assert judge(bare, None, taped=False) is None
        assert judge(no_tape, 1000.0, taped=True) is None
        assert judge(edited(Build(), {"gauge.tape_uncertainty_mm": 1.0}), 1000.0, taped=True) is None
