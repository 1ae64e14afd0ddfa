"""Sizes of joints by series: data with its source, and the circle that a joint sweeps at the least."""

from fractions import Fraction

import numpy as np
import pytest

from geometry.mechanics.trade_sizes import JOINT_SERIES, STOCK_TUBES, JointSeries, StockTube, least_swing_mm
from geometry.mechanics.tube import MATERIALS

SERIES = {series.name: series for series in JOINT_SERIES}


def test_every_row_has_its_source_and_says_to_measure():
    assert JOINT_SERIES
    assert STOCK_TUBES
    for row in (*JOINT_SERIES, *STOCK_TUBES):
        assert row.source.strip()
        assert "from memory" not in row.source or "measure the part" in row.source


def test_no_greatest_angle_is_shipped():
    assert JointSeries._fields == ("name", "cap_mm", "span_mm", "held", "source")


def test_names_are_told_apart_and_sizes_run_from_light_to_heavy():
    assert len(SERIES) == len(JOINT_SERIES) == 9
    swings = [least_swing_mm(series) for series in JOINT_SERIES]
    assert swings == sorted(swings)
    assert all(0.0 < series.cap_mm < series.span_mm / 2.0 for series in JOINT_SERIES)


def test_one_row_by_hand():
    # 1.062 in and 3.219 in, from memory, with 25.4 mm to the inch (ISO 31-1, exact).
    series = SERIES["1310"]
    assert series.cap_mm == pytest.approx(26.9748)
    assert series.span_mm == pytest.approx(81.7626)
    assert least_swing_mm(series) == pytest.approx(86.0974, abs=1e-4)  # sqrt(81.7626² + 26.9748²)


@pytest.mark.parametrize("series", JOINT_SERIES, ids=lambda series: series.name)
def test_least_swing_is_the_circle_through_the_outer_corners_of_the_caps(series):
    along, across = np.meshgrid(
        [-series.span_mm / 2.0, series.span_mm / 2.0], [-series.cap_mm / 2.0, series.cap_mm / 2.0]
    )
    np.testing.assert_allclose(2.0 * np.hypot(along, across), least_swing_mm(series), rtol=1e-12)


def test_tubes_are_told_apart_hollow_and_of_a_known_material():
    assert StockTube._fields == ("material", "outer_mm", "wall_mm", "source")
    assert len({row[:3] for row in STOCK_TUBES}) == len(STOCK_TUBES)
    for tube in STOCK_TUBES:
        assert tube.material in MATERIALS
        assert 0.0 < 8.0 * tube.wall_mm < tube.outer_mm
    assert (STOCK_TUBES[0].outer_mm, STOCK_TUBES[0].wall_mm) == (pytest.approx(63.5), pytest.approx(2.1082))


WALLS_IN = {7: 0.180, 8: 0.165, 9: 0.148, 10: 0.134, 11: 0.120, 12: 0.109, 13: 0.095, 14: 0.083, 16: 0.065}
"""Walls of steel tubing by gauge: Birmingham wire gauge, as engineers' handbooks print it; from memory."""


def test_walls_of_steel_tubes_are_gauges_and_those_of_aluminium_an_eighth():
    steel = [tube for tube in STOCK_TUBES if tube.material == "steel"]
    assert {round(tube.wall_mm / 25.4, 6) for tube in steel} <= set(WALLS_IN.values())
    assert {tube.wall_mm for tube in STOCK_TUBES if tube.material == "aluminium"} == {25.4 / 8.0}
    # Whole and half inches outside, but for one heavy tube.
    assert [round(tube.outer_mm / 25.4, 3) for tube in STOCK_TUBES if round(tube.outer_mm / 12.7, 6) % 1.0] == [4.095]


def test_large_joints_are_held_by_plates_and_the_others_by_rings():
    assert {series.held for series in JOINT_SERIES if series.name in {"1610", "1710", "1810"}} == {"plates"}
    assert {series.held for series in JOINT_SERIES if series.cap_mm < 40.0} == {"outside"}


CROSSES_IN = {
    "1310": ("1 1/16", "3 7/32"), "1330": ("1 1/16", "3 5/8"), "1350": ("1 3/16", "3 5/8"),
    "1410": ("1 3/16", "4 3/16"), "1480": ("1 3/8", "4 3/16"), "1550": ("1 3/8", "4 31/32"),
    "1610": ("1 7/8", "5 5/16"), "1710": ("1 15/16", "6 3/32"), "1810": ("1 15/16", "7 35/64"),
}  # fmt: skip
"""Cap and span of each series in the fractions of an inch that parts counters print: trade fact, from memory."""


def test_caps_and_spans_are_the_trade_s_fractions():
    """To the thousandth that decimals of them are rounded to."""

    def inches(words):
        return float(sum(map(Fraction, words.split())))

    for series in JOINT_SERIES:
        cap, span = map(inches, CROSSES_IN[series.name])
        sizes = (series.cap_mm / 25.4, series.span_mm / 25.4)
        assert sizes == (pytest.approx(cap, abs=1e-3), pytest.approx(span, abs=1e-3))
