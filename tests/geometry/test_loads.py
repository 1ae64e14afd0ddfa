"""Speeds, torques and wind-up by hand and by statics; joint life and couples stand in tests/validation."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import assume, given

from geometry.mechanics import loads
from geometry.mechanics.loads import (
    joint_life_hours,
    launch_torque_nm,
    load_transfer,
    low_gear_torque_nm,
    relative_life,
    secondary_couple_nm,
    shaft_speed_rpm,
    wheel_slip_torque_nm,
    windup_deg,
)
from geometry.mechanics.vectors import Floats, number
from tests.mechanics_help import values

NAN = float("nan")


def axle_loads(weight: float, to_front: float, base: float, height: float, grip: float, *, ahead: bool) -> np.ndarray:
    """Loads of the front and the rear axle, driven at the tyres' limit: two balances, solved by numpy.

    Up: both carry the weight. About the rear tyres' contact: the front's load and the weight, which acts `to_front`
    behind the front axle, and the mass times acceleration, at `height` and rearward, as great as the pull.
    """
    pull = np.array([grip, 0.0]) if ahead else np.array([0.0, grip])
    balance = np.array([[1.0, 1.0], [base, 0.0] + pull * height])
    return np.linalg.solve(balance, [weight, weight * (base - to_front)])


@given(
    to_front=st.floats(500.0, 2000.0),
    height=st.floats(300.0, 900.0),
    grip=st.floats(0.1, 1.2),
    ahead=st.booleans(),
)
def test_load_transfer_is_that_of_statics(to_front: float, height: float, grip: float, ahead: bool) -> None:
    still = axle_loads(15_000.0, to_front, 2600.0, height, 0.0, ahead=ahead)
    driven = axle_loads(15_000.0, to_front, 2600.0, height, grip, ahead=ahead)
    assume(driven[0] > 0.0)  # the front still stands on the floor
    axle = 0 if ahead else 1
    found = load_transfer(number(grip), number(height), number(2600.0), ahead=ahead)
    assert found == pytest.approx(driven[axle] / still[axle], rel=1e-9)


def test_load_transfer_has_no_end_where_the_pull_throws_the_vehicle_over() -> None:
    """mu h = l: 1.0 over a mass centre as high as the wheelbase is long."""
    height = np.array([500.0, 998.0, 1000.0, 1100.0])
    assert load_transfer(number(1.0), height, number(1000.0), ahead=False) == pytest.approx(
        [2.0, 500.0, np.inf, np.inf]
    )
    assert load_transfer(number(1.0), height, number(1000.0), ahead=True) == pytest.approx(
        [1.0 / 1.5, 1.0 / 1.998, 0.5, 1.0 / 2.1]
    )


def launched(low_gear: tuple[float, ...], slip: tuple[float, ...]) -> list[float]:
    return [float(one) for one in launch_torque_nm(tuple(map(number, low_gear)), tuple(map(number, slip)))]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("low_gear", "slip", "expected"),
    [
        ((2000.0, 2000.0, 2000.0), (700.0, 600.0, 900.0), (700.0, 600.0, 900.0)),
        ((500.0, 500.0, 500.0), (700.0, 600.0, 900.0), (500.0, 500.0, 500.0)),
        ((650.0, 650.0, np.inf), (700.0, 600.0, 900.0), (650.0, 600.0, 900.0)),
        ((NAN, 0.0, np.inf), (700.0, 600.0, 900.0), (700.0, 0.0, 900.0)),
        ((2000.0, 2000.0, 2500.0), (NAN, 0.0, np.inf), (2000.0, 0.0, 2500.0)),
        ((NAN, 0.0, np.inf), (NAN, 0.0, np.inf), (NAN, NAN, NAN)),
    ],
)
def test_launch_takes_the_smaller_torque(low_gear, slip, expected) -> None:  # type: ignore[no-untyped-def]
    """Of the two bounds each of reckoned, least and most; a bound that is not known leaves the other."""
    assert launched(low_gear, slip) == pytest.approx(expected, nan_ok=True)
    assert launched(slip, low_gear) == pytest.approx(expected, nan_ok=True)


@given(*[st.floats(100.0, 9000.0)] * 6)
def test_launch_lies_between_its_least_and_its_most(a: float, b: float, c: float, d: float, e: float, f: float) -> None:
    (least, likely, most), (slip_least, slip, slip_most) = sorted((a, b, c)), sorted((d, e, f))
    found = launched((likely, least, most), (slip, slip_least, slip_most))
    assert found[1] <= found[0] <= found[2]
    assert found == [min(likely, slip), min(least, slip_least), min(most, slip_most)]


def test_windup_is_axle_torque_over_the_stiffness() -> None:
    """500 N·m through 3.9 is 1,950 N·m at the axle; springs that take 402.5 N·m for a degree turn by 4.8447°."""
    assert windup_deg(number(500.0), number(3.9), number(402.5)) == pytest.approx(4.8447, abs=5e-5)


@given(
    torque=st.floats(50.0, 2000.0), ratio=st.floats(2.5, 5.0), rate=st.floats(20.0, 60.0), half=st.floats(300.0, 700.0)
)
def test_windup_against_two_props(torque: float, ratio: float, rate: float, half: float) -> None:
    """An axle on four springs of `rate`, `half` ahead of it and behind: by small angles each gives by half × angle.

    The couple of all four is 4 × rate × half² for a radian: millimetres and newtons make N·mm.
    """
    stiffness = 4.0 * rate * half**2 / 1e3 * np.pi / 180.0
    turn = windup_deg(number(torque), number(ratio), number(stiffness))
    force = rate * half * np.radians(turn)
    assert 4.0 * force * half / 1e3 == pytest.approx(torque * ratio, rel=1e-12)


def test_the_constants() -> None:
    """Gravity is exact by convention (CGPM 1901); the others are common practice or assumptions, said as such."""
    assert loads.STANDARD_GRAVITY == 9.80665
    assert (loads.CRUISE_SHARE, loads.SHOCK_FACTOR, loads.TALL_MASS_CENTRE_MM) == (0.3, 1.5, 900.0)
    assert (loads.RATED_HOURS, loads.RATED_RPM, loads.RATED_ANGLE_DEG) == (5_000.0, 100.0, 3.0)


def everything(one: Floats, other: Floats) -> list[Floats]:
    """Every function of two numbers, by rows."""
    fixed = number(3.9)
    return [
        shaft_speed_rpm(one, other, fixed),
        low_gear_torque_nm(one, other, fixed),
        wheel_slip_torque_nm(one, other, fixed, fixed, fixed),
        load_transfer(one / 9.0, other / 9.0, fixed, ahead=True),
        np.asarray(load_transfer(one / 9.0, other / 9.0, fixed, ahead=False)),
        secondary_couple_nm(one, other),
        joint_life_hours(one, fixed, fixed, other),
        0.0 * one + relative_life(other),
        *launch_torque_nm((one, one, one), (other, other, other)),
        windup_deg(one, other, fixed),
    ]


@pytest.mark.parametrize(
    ("ones", "others", "shape"), [((), (), ()), ((5,), (), (5,)), ((3, 5), (5,), (3, 5)), ((3, 1), (5,), (3, 5))]
)
def test_rows_broadcast(ones: tuple[int, ...], others: tuple[int, ...], shape: tuple[int, ...]) -> None:
    draw = np.random.default_rng(6)
    one, other = values(draw.uniform(2.0, 9.0, ones)), values(draw.uniform(2.0, 9.0, others))
    together = everything(one, other)
    assert [part.shape for part in together] == [shape] * len(together)
    wide = zip(np.broadcast_to(one, shape).ravel(), np.broadcast_to(other, shape).ravel(), strict=True)
    alone = [everything(number(a), number(b)) for a, b in wide]
    rows = np.array(together).reshape(len(together), -1).T
    assert rows == pytest.approx(np.array(alone), rel=1e-12)


def test_a_row_that_is_not_known_leaves_the_others_alone() -> None:
    one, other = np.array([4.0, NAN, 5.0]), np.array([6.0, 3.0, 7.0])
    known = everything(one[[0, 2]], other[[0, 2]])
    for place, (part, without) in enumerate(zip(everything(one, other), known, strict=True)):
        assert part[[0, 2]].tolist() == np.asarray(without).tolist()
        if 8 <= place < 11:  # of two bounds on the launch torque the known one stands
            assert part[1] == 3.0
        elif place != 4:
            assert np.isnan(part[1])


def test_load_transfer_of_what_is_not_known_is_not_known() -> None:
    assert np.isnan(load_transfer(number(NAN), number(600.0), number(2600.0), ahead=False))
