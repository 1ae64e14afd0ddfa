"""The table of limits: every row has its basis, and judges on both sides of its lines."""

from itertools import pairwise

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from geometry.judge import limits
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


INCH = 25.4
AS_THE_TRADE_SAYS = {
    "ends_parallel": (1.0, 3.0), "straight_end": (2.0, 4.0), "operating_angle_least": (0.5, -NEVER),
    "operating_angle_most": (1.0, 5.0 / 4.0), "first_joint": (1.5, NEVER), "equivalent_angle": (3.0, 3.0),
    "joint_bind": (3.0, 1.0), "shaft_slope": (7.0, 15.0), "pinion_residual": (300.0, 400.0),
    "residual_at_top": (2.0 * 300.0, NEVER), "shaft_inertia_drive": (1000.0, 2000.0),
    "shaft_inertia_coast": (1000.0, 2000.0), "inertia_at_top": (2.0 * 1000.0, NEVER), "critical_speed": (0.65, 0.7),
    "half_critical_speed": (0.08, -NEVER), "speeds_agree": (1.0, NEVER), "tube_shear": (1.0 / 2.0, 0.8),
    "joint_torque": (1.0, 1.0), "joint_life": (5000.0, -NEVER), "pinion_nose_up": (8.0, 20.0),
    "pinion_nose_down": (4.0, 10.0), "tail_down": (5.0, 10.0), "tail_up": (1.0, 4.0),
    "perches_equal": (INCH / 16.0, INCH / 8.0), "pad_twist": (0.2, 0.5), "perch_spacing": (INCH / 16.0, INCH / 8.0),
    "perch_chain": (1.0, 3.0), "perch_casting": (INCH / 2.0, -NEVER), "ubolt_reserve": (INCH / 4.0, 0.0),
    "wheelbases_equal": (INCH / 8.0, INCH / 4.0), "thrust_angle": (0.2, 0.4),
    "axle_centred": (INCH / 4.0, 3.0 * INCH / 4.0), "toe_before": (0.2, 0.5), "camber_before": (0.2, 0.5),
    "toe_welded": (0.2, 0.5), "camber_welded": (0.2, 0.5), "wedge_size": (4.0, 6.0), "caster": (0.0, NEVER),
    "stick_slope": (1.0, 3.0), "tape_length": (1.0, 3.0), "axle_station": (1.0, 3.0), "axle_height": (1.0, 3.0),
    "spring_station": (1.0, NEVER), "lift": (0.0, 0.0), "front_block": (0.0, 0.0), "block_room": (INCH, 0.0),
    "bump_left": (INCH, INCH / 4.0), "shackle_lean": (45.0, 60.0), "shackle_lift": (2.0 * INCH, NEVER),
    "travel_reach": (0.0, NEVER),
    "slip_left": (3.0 * INCH / 4.0, INCH / 2.0), "slip_engaged": (1.5, 1.0), "seal_travel": (1.0, NEVER),
    "end_fits": (0.0, 0.0), "cap_size": (0.5, NEVER), "bearing_square": (2.0, 5.0),
    "bearing_centred": (INCH / 8.0, NEVER), "windup_cruise": (300.0, 400.0), "windup_launch": (4.0, 8.0),
    "gap": (INCH, INCH / 2.0), "pair_gap": (INCH, INCH / 2.0), "line_slack": (INCH, INCH / 4.0),
    "lateral_shift": (INCH / 2.0, INCH), "link_slope": (5.0, NEVER), "drag_slope": (2.0, 6.0),
    "shock_bump": (INCH / 2.0, INCH / 4.0), "shock_droop": (INCH / 2.0, INCH / 4.0), "shock_crossed": (INCH / 4.0, 0.0),
    "shock_place": (1.0 / 5.0, 0.5), "shock_lean": (30.0, 60.0), "bar_bind": (1.0 / 1.25, 1.0),
    "bar_lever": (5.0 * INCH, 2.0 * INCH), "lateral_lift": (INCH / 4.0, 3.0 * INCH / 4.0),
    "front_against_rear": (1.0, NEVER), "gauge_resolution": (1.0, NEVER),
}  # fmt: skip
"""Each limit's lines as its source says them in words, inches as they stand on a tape."""


@EVERY_LIMIT
def test_every_line_lies_where_its_source_says(limit: Limit) -> None:
    """To 3 %, by which a sixteenth is rounded in millimetres; exactly where no inch is in it."""
    clear, hold = AS_THE_TRADE_SAYS[limit.id]
    tape = 0.03 if limit.unit == "mm" else 1e-12
    assert (limit.clear, limit.hold) == (pytest.approx(clear, rel=tape), pytest.approx(hold, rel=tape))
    assert limit.sense == ("least" if limit.hold < limit.clear else "most")


def test_what_is_taken_where_nothing_is_entered() -> None:
    """An inch of rubber, bushes of an eighth and a quarter, splines of one inch to two: common practice.

    A hose's slack covers the 4 per cent by which pressure may shorten it: SAE J517, from memory.
    """
    inches = [limits.SQUASH_MM, limits.BAR_GIVE_MM, limits.BAR_GIVE_MOST_MM, limits.GAP_NEAR_LINES_MM,
              limits.USUAL_SPLINE_MM, limits.LARGE_SPLINE_MM]  # fmt: skip
    assert np.divide(inches, INCH) == pytest.approx([1.0, 0.125, 0.25, 2.0, 1.0, 2.0], rel=0.016)
    assert 0.04 < limits.SLACK_SHARE <= 0.05
