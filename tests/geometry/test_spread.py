"""What gauge and tape leave open, against draws of luck on whole layouts (JCGM 101, from memory).

Every draw measures a layout anew: gauge readings and taped places err within their bands, each place with equal
chance, the pinion's joint goes with the slope that was read, and the angles are worked out from that. Half-widths are
1.96 standard deviations by definition (JCGM 100, G.1), so the deviations are compared, to four times what so many
draws leave open about one.
"""

from collections.abc import Callable

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from geometry.mechanics.spread import (
    COVERAGE,
    TWO_ENDS,
    TWO_READINGS,
    cancellation_deg,
    centre_joint_deg,
    gauge_standard_deg,
    joint_by_stick_deg,
    joint_by_tape_deg,
    stick_against_tape_deg,
    taped_shaft_deg,
    taped_slope_standard_deg,
)
from geometry.mechanics.vectors import ONE, ZERO, Floats, number

DRAWS = 200_000
GAUGE, TAPE = 0.1, 1.5
ARM, SHAFT = 340.0, 1157.0
SWING = number(ARM / SHAFT)


class Layout:
    """A one-piece shaft in side view: output, axle centre, an arm to the pinion's joint; slopes in degrees."""

    def __init__(self, output_deg: float, shaft_deg: float, pinion_deg: float, seed: int) -> None:
        draw = np.random.default_rng(seed)
        self.gauge = draw.uniform(-GAUGE, GAUGE, (3, DRAWS))
        self.tape = draw.uniform(-TAPE, TAPE, (2, DRAWS))
        self.output, self.pinion = output_deg + self.gauge[0], pinion_deg + self.gauge[1]
        self.stick = shaft_deg + self.gauge[2]
        slope, nose = np.radians(shaft_deg), np.radians(pinion_deg)
        # The arm runs forward along the pinion's line from the centre; heights err by the tape, square to the shaft.
        centre = np.array([SHAFT * np.cos(slope) + ARM * np.cos(nose), -SHAFT * np.sin(slope) - ARM * np.sin(nose)])
        read = np.radians(self.pinion)
        x = centre[0] - ARM * np.cos(read) + self.tape[1] * np.sin(slope) - self.tape[0] * np.sin(slope)
        z = centre[1] + ARM * np.sin(read) + self.tape[1] * np.cos(slope) - self.tape[0] * np.cos(slope)
        self.taped = np.degrees(np.arctan2(-z, x))


def close(half_width: Floats, errors: np.ndarray) -> bool:
    """Whether a half-width is 1.96 deviations of the draws, to four of the deviation's own standard errors."""
    off = errors - errors.mean()
    deviation = off.std()
    own = deviation * np.sqrt((np.mean(off**4) / deviation**4 - 1.0) / DRAWS) / 2.0
    return bool(abs(float(half_width) / 1.96 - deviation) < 4.0 * own)


@pytest.mark.parametrize("slopes", [(0.0, 7.0, 0.5), (4.0, 12.0, 3.0), (3.0, 9.0, 16.0)])
def test_taped_joints(slopes: tuple[float, float, float]) -> None:
    """At the output the shaft and its swing count, at the pinion the swing adds to the pinion's own error."""
    layout = Layout(*slopes, seed=11)
    # An error of the pinion swings its joint square to the arm; how much of that turns the shaft goes by the angle.
    aligned = SWING * np.cos(np.radians(slopes[1] - slopes[2]))
    entries = number(GAUGE), number(TAPE), number(SHAFT), aligned
    assert close(joint_by_tape_deg(*entries, at_pinion=False), layout.taped - layout.output)
    assert close(joint_by_tape_deg(*entries, at_pinion=True), layout.pinion - layout.taped)
    assert close(taped_shaft_deg(*entries), layout.taped)
    assert close(stick_against_tape_deg(*entries), layout.stick - layout.taped)


def test_the_pinions_error_swings_its_joint() -> None:
    """The van of the issue: 0.189° at the pinion, where it was 0.164° with the swing left out; at the output less."""
    entries = number(GAUGE), number(TAPE), number(SHAFT)
    at_pinion = joint_by_tape_deg(*entries, SWING, at_pinion=True)
    at_output = joint_by_tape_deg(*entries, SWING, at_pinion=False)
    assert at_pinion == pytest.approx(0.189, abs=5e-4)
    assert joint_by_tape_deg(*entries, ZERO, at_pinion=True) == pytest.approx(0.164, abs=5e-4)
    assert joint_by_tape_deg(*entries, ZERO, at_pinion=False) < at_output < at_pinion


def test_linear_law_by_hand() -> None:
    """Squares of all that counts, summed (JCGM 100, 5.1.2): a = 0.3°, t = 2 mm, 1,000 mm, swing 0.5, degrees."""
    gauge, tape, swing = 0.3 / np.sqrt(3.0), np.degrees(2.0 / 1000.0) / np.sqrt(3.0), 0.5
    entries = number(0.3), number(2.0), number(1000.0), number(swing)
    law = {
        joint_by_tape_deg(*entries, at_pinion=True): [1.5 * gauge, tape, tape],
        joint_by_tape_deg(*entries, at_pinion=False): [gauge, swing * gauge, tape, tape],
        taped_shaft_deg(*entries): [swing * gauge, tape, tape],
        stick_against_tape_deg(*entries): [gauge, swing * gauge, tape, tape],
        # 1,000 mm ahead of the bearing and 500 behind: its own place counts 1 + 2 times.
        centre_joint_deg(*entries[:3], number(500.0), number(swing)): [tape, 3.0 * tape, 2.0 * tape, swing * gauge],
        # c1 = 0.9 and c2 = -0.4: output 0.9, shaft 1.3 of 0.1°, pinion -0.4 - 1.3 × 0.5.
        cancellation_deg(entries[0], number(0.1), number(0.9), number(-0.4), number(swing)): [
            0.9 * gauge, 1.3 * 0.1, 1.05 * gauge,
        ],
    }  # fmt: skip
    for found, shares in law.items():
        assert found == pytest.approx(1.96 * np.sqrt(np.sum(np.square(shares))), rel=1e-12)


@pytest.mark.parametrize("slopes", [(3.0, 9.0, 3.0), (3.0, 9.0, 15.0), (-2.0, 9.0, 4.0), (12.0, 2.0, 9.0)])
def test_cancelling_by_tape(slopes: tuple[float, float, float]) -> None:
    """Parallel ends, ends that meet, and joints that bend as the shaft is steeper or flatter than either."""
    layout = Layout(*slopes, seed=12)
    output, shaft, pinion = slopes
    first, last = np.sign(shaft - output), np.sign(shaft - pinion)
    drawn = np.abs(layout.taped - layout.output) - np.abs(layout.taped - layout.pinion)
    standard = taped_slope_standard_deg(number(TAPE), number(SHAFT))
    swing = SWING * np.cos(np.radians(shaft - pinion))
    assert close(cancellation_deg(number(GAUGE), standard, number(first), number(last), swing), drawn)


@pytest.mark.parametrize("slopes", [(3.0, 9.0, 3.0), (3.0, 9.0, 15.0)])
def test_cancelling_by_stick(slopes: tuple[float, float, float]) -> None:
    layout = Layout(*slopes, seed=13)
    output, shaft, pinion = slopes
    drawn = np.abs(layout.stick - layout.output) - np.abs(layout.stick - layout.pinion)
    signs = number(np.sign(shaft - output)), number(np.sign(shaft - pinion))
    assert close(cancellation_deg(number(GAUGE), gauge_standard_deg(number(GAUGE)), *signs, ZERO), drawn)


@pytest.mark.parametrize(("first", "last", "swing"), [(0.9, -0.4, 0.3), (0.5, 0.8, 0.3), (-0.7, 0.2, 0.25)])
def test_cancelling_where_joints_bend_partly_sideways(first: float, last: float, swing: float) -> None:
    """The docstring's law drawn: −c1 g + (c1 − c2) s + c2 p, s being off by −swing p too."""
    draw = np.random.default_rng(14)
    g, p, s = draw.uniform(-GAUGE, GAUGE, (3, DRAWS))
    s = 0.6 * s - swing * p
    standard = 0.6 * gauge_standard_deg(number(GAUGE))
    found = cancellation_deg(number(GAUGE), standard, number(first), number(last), number(swing))
    assert close(found, -first * g + (first - last) * s + last * p)


@pytest.mark.parametrize(
    ("front", "rear", "swing"), [(1000.0, 1000.0, 0.0), (700.0, 1200.0, 0.3), (1500.0, 600.0, 0.5)]
)
def test_centre_joint_shares_the_bearings_centre(front: float, rear: float, swing: float) -> None:
    """Three taped heights; the pinion's slope error turns the rear section alone."""
    draw = np.random.default_rng(15)
    output, bearing, nose = draw.uniform(-TAPE, TAPE, (3, DRAWS))
    pinion = draw.uniform(-GAUGE, GAUGE, DRAWS)
    ahead = np.degrees(np.arctan((output - bearing) / front))
    behind = np.degrees(np.arctan((bearing - nose) / rear)) - swing * pinion
    found = centre_joint_deg(number(GAUGE), number(TAPE), number(front), number(rear), number(swing))
    assert close(found, behind - ahead)


def test_two_gauge_readings_hold_95_per_cent() -> None:
    """The triangle's own quantile, to four standard errors of a share of so many draws."""
    one, other = np.random.default_rng(16).uniform(-GAUGE, GAUGE, (2, DRAWS))
    share = np.mean(np.abs(one - other) <= float(joint_by_stick_deg(number(GAUGE))))
    assert share == pytest.approx(0.95, abs=4.0 * np.sqrt(0.95 * 0.05 / DRAWS))


@given(st.floats(0.01, 1.0), st.floats(0.2, 5.0), st.floats(300.0, 2500.0))
def test_single_readings(gauge: float, tape: float, length: float) -> None:
    """a/√3 of a rectangle (JCGM 100, 4.3.7); two taped ends, so √2 times the tape's over the length."""
    assert gauge_standard_deg(number(gauge)) == pytest.approx(gauge / np.sqrt(3.0), rel=1e-12)
    expected = np.degrees(np.sqrt(2.0) * tape / np.sqrt(3.0) / length)
    assert taped_slope_standard_deg(number(tape), number(length)) == pytest.approx(expected, rel=1e-12)


def test_the_constants() -> None:
    assert COVERAGE == 1.96
    assert pytest.approx(1.5528, abs=5e-5) == TWO_READINGS
    assert pytest.approx(0.8165, abs=5e-5) == TWO_ENDS


def everything(gauge: Floats, length: Floats) -> list[Floats]:
    tape = number(TAPE)
    return [
        0.0 * gauge + taped_slope_standard_deg(tape, length),
        gauge_standard_deg(gauge) + 0.0 * length,
        joint_by_stick_deg(gauge) + 0.0 * length,
        joint_by_tape_deg(gauge, tape, length, SWING, at_pinion=True),
        joint_by_tape_deg(gauge, tape, length, SWING, at_pinion=False),
        taped_shaft_deg(gauge, tape, length, SWING),
        stick_against_tape_deg(gauge, tape, length, SWING),
        centre_joint_deg(gauge, tape, length, number(900.0), SWING),
        cancellation_deg(gauge, taped_slope_standard_deg(tape, length), ONE, -ONE, SWING),
    ]


@pytest.mark.parametrize(
    ("gauges", "lengths", "shape"), [((), (), ()), ((5,), (), (5,)), ((3, 5), (5,), (3, 5)), ((3, 1), (5,), (3, 5))]
)
def test_rows_broadcast(gauges: tuple[int, ...], lengths: tuple[int, ...], shape: tuple[int, ...]) -> None:
    draw = np.random.default_rng(17)
    gauge, length = np.asarray(draw.uniform(0.05, 0.5, gauges)), np.asarray(draw.uniform(500.0, 2000.0, lengths))
    together = everything(gauge, length)
    assert [part.shape for part in together] == [shape] * len(together)
    wide = zip(np.broadcast_to(gauge, shape).ravel(), np.broadcast_to(length, shape).ravel(), strict=True)
    alone = [everything(number(a), number(b)) for a, b in wide]
    rows = np.array(together).reshape(len(together), -1).T
    assert rows == pytest.approx(np.array(alone), rel=1e-12)


@pytest.mark.parametrize("judge", [joint_by_tape_deg, centre_joint_deg, cancellation_deg])
def test_a_row_that_is_not_known_leaves_the_others_alone(judge: Callable[..., Floats]) -> None:
    gauge = np.array([0.1, np.nan, 0.2])
    more = {"at_pinion": True} if judge is joint_by_tape_deg else {}
    rest = (number(TAPE), number(SHAFT), SWING) if more else (number(TAPE), number(SHAFT), number(900.0), SWING)
    found = judge(gauge, *rest, **more)
    assert np.isnan(found).tolist() == [False, True, False]
    assert found[[0, 2]].tolist() == judge(gauge[[0, 2]], *rest, **more).tolist()
