"""Sizes of joints by series: data with its source, and the circle that a joint sweeps at the least."""

import numpy as np
import pytest

from geometry.mechanics.trade_sizes import JOINT_SERIES, JointSeries, least_swing_mm

SERIES = {series.name: series for series in JOINT_SERIES}


def test_every_row_has_its_source_and_says_to_measure():
    assert JOINT_SERIES
    for series in JOINT_SERIES:
        assert series.source.strip()
        assert "from memory" not in series.source or "measure the part" in series.source


def test_no_greatest_angle_is_shipped():
    assert JointSeries._fields == ("name", "cap_mm", "span_mm", "source")


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
