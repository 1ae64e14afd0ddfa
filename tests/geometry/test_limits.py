"""The table of limits: every row has its basis, and judges on both sides of its lines."""

from itertools import pairwise

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from geometry.judge.codes import WORDS
from geometry.judge.limits import LIMITS, NEVER, SPEED_FOR_ANGLE, Basis, Limit, allowed_angle_deg, allowed_rpm
from geometry.judge.table import Table
from geometry.judge.ways import STOCK_DIAMETERS_IN
from geometry.mechanics.vectors import number

EVERY_LIMIT = pytest.mark.parametrize("limit", LIMITS.values(), ids=lambda limit: limit.id)


def verdicts(limit: Limit, *values: float, scale: float = 1.0) -> list[str]:
    table = Table(len(values))
    table.add(limit.id, "", np.array(values), scale=number(scale))
    return [WORDS[code] for code in table.judged()[limit.id, ""].verdict]


@EVERY_LIMIT
def test_every_limit_has_a_basis(limit: Limit) -> None:
    assert limit.source.strip()
    assert limit.basis in Basis
    assert limit.basis_text == f"{limit.basis.value}: {limit.source}"
    assert LIMITS[limit.id] is limit
    assert limit.title
    assert limit.trouble
    assert limit.unit


def test_a_basis_without_a_source_stands_alone() -> None:
    bare = Limit("bare", "Good", "Bad", 1.0, 2.0, "mm", "most", Basis.PRACTICE, "")
    assert bare.basis_text == "common practice"


@EVERY_LIMIT
def test_every_limit_judges_on_both_sides(limit: Limit) -> None:
    worse = 1e-6 if limit.sense == "most" else -1e-6
    beyond = "hold" if limit.hold == limit.clear else "caution"
    assert verdicts(limit, limit.clear, limit.clear - worse, limit.clear + worse) == ["clear", "clear", beyond]
    if np.isfinite(limit.hold):
        assert verdicts(limit, limit.hold + worse) == ["hold"]
    else:
        assert limit.hold == (NEVER if limit.sense == "most" else -NEVER)
        assert verdicts(limit, limit.clear + 1e9 * worse) == ["caution"]
    assert verdicts(limit, np.nan) == ["unknown"]


def test_shares_are_scaled() -> None:
    """0.65 and 0.70 of a critical speed of 6,000 rpm."""
    row = LIMITS["critical_speed"]
    assert verdicts(row, 3899.0, 3901.0, 4199.0, 4201.0, scale=6000.0) == ["clear", "caution", "caution", "hold"]


def test_stock_sizes_run_upward() -> None:
    assert list(STOCK_DIAMETERS_IN) == sorted(STOCK_DIAMETERS_IN)


@given(st.floats(1500.0, 5000.0))
def test_table_read_both_ways(rpm: float) -> None:
    assert allowed_rpm(allowed_angle_deg(number(rpm))) == pytest.approx(rpm, rel=1e-9)


@given(st.floats(1500.0, 4950.0), st.floats(1.0, 50.0))
def test_faster_allows_less(rpm: float, more: float) -> None:
    assert allowed_angle_deg(number(rpm + more)) < allowed_angle_deg(number(rpm))


def test_straight_between_the_rows() -> None:
    for (slow, wide), (fast, narrow) in pairwise(SPEED_FOR_ANGLE):
        middle, between = (slow + fast) / 2.0, (wide + narrow) / 2.0
        assert allowed_angle_deg(number(middle)) == pytest.approx(between, rel=1e-12)
        assert allowed_rpm(number(between)) == pytest.approx(middle, rel=1e-12)


def test_the_table_is_not_stretched() -> None:
    """Slower than its first row that row's angle holds, faster than its last nothing is said; and read back alike."""
    angles = allowed_angle_deg(np.array([0.0, 900.0, 1500.0, 5000.0, 5000.1, 9000.0, np.nan]))
    assert angles == pytest.approx([11.5, 11.5, 11.5, 3.2, np.nan, np.nan, np.nan], nan_ok=True)
    speeds = allowed_rpm(np.array([0.0, 1.0, 3.2, 11.5, 11.51, 20.0, np.nan]))
    assert speeds == pytest.approx([5000.0, 5000.0, 5000.0, 1500.0, np.nan, np.nan, np.nan], nan_ok=True)


def test_rows_broadcast() -> None:
    assert allowed_angle_deg(np.full((3, 5), 2000.0)).shape == allowed_rpm(np.full((3, 5), 7.0)).shape == (3, 5)
