"""The table of limits: every row has its basis, and judges on both sides of its lines."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from geometry.limits import LIMITS, Basis, allowed_angle_deg, allowed_rpm
from geometry.remedies import STOCK_DIAMETERS_IN
from geometry.shaft import MATERIALS


@pytest.mark.parametrize("limit", LIMITS.values(), ids=lambda limit: limit.id)
def test_every_limit_has_a_basis(limit) -> None:  # type: ignore[no-untyped-def]
    assert limit.source.strip()
    assert limit.basis in Basis
    assert limit.basis_text.startswith(limit.basis.value)
    assert limit.source in limit.basis_text
    assert limit.title
    assert limit.unit


@pytest.mark.parametrize("limit", LIMITS.values(), ids=lambda limit: limit.id)
def test_every_limit_judges_on_both_sides(limit) -> None:  # type: ignore[no-untyped-def]
    worse = 1e-6 if limit.sense == "most" else -1e-6
    assert limit.judge(limit.clear) == "clear"
    assert limit.judge(limit.clear - worse) == "clear"
    assert limit.judge(limit.clear + worse) == ("hold" if limit.hold == limit.clear else "caution")
    if np.isfinite(limit.hold):
        assert limit.judge(limit.hold + worse) == "hold"
    for nothing in (np.nan, np.inf, -np.inf):
        assert limit.judge(nothing) == "unknown"


def test_shares_are_scaled() -> None:
    row = LIMITS["critical_speed"]
    assert (row.judge(4199.0, 6000.0), row.judge(4201.0, 6000.0), row.judge(4501.0, 6000.0)) == (
        "clear", "caution", "hold",
    )  # fmt: skip


def test_materials_and_stock_say_where_they_come_from() -> None:
    for material in MATERIALS.values():
        assert material.source.strip()
        assert 0 < material.yield_mpa < material.shear_mpa < material.elastic_mpa
    assert list(STOCK_DIAMETERS_IN) == sorted(STOCK_DIAMETERS_IN)


def test_elastic_constants_agree() -> None:
    """G = E/(2(1 + nu)) with Poisson's ratio of metals, 0.29 to 0.34 (any strength-of-materials text)."""
    for material in MATERIALS.values():
        poisson = material.elastic_mpa / (2.0 * material.shear_mpa) - 1.0
        assert 0.28 < poisson < 0.35


@given(st.floats(200.0, 12_000.0))
def test_table_read_both_ways(rpm: float) -> None:
    assert float(allowed_rpm(allowed_angle_deg(rpm))) == pytest.approx(rpm, rel=1e-9)


@given(st.floats(200.0, 12_000.0), st.floats(1.0, 50.0))
def test_faster_allows_less(rpm: float, more: float) -> None:
    assert allowed_angle_deg(rpm + more) < allowed_angle_deg(rpm)
