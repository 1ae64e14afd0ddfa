"""Chains of Cardan joints against a chain of vectors: pins turned in space, crosses by vector product.

The model here knows nothing of joint planes: the input yoke's pin is turned about the first line, the cross's other pin
is square to it and to the next line, the section carries its pin on to its far yoke, turned by the phase. A double
Cardan joint is two crosses about the line that halves its angle. Output angles are unwrapped about each line, and
differentiated by Fourier series, which is exact for a smooth periodic motion.
"""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from scipy.spatial.transform import Rotation

from geometry.frames import direction
from geometry.joints import (
    operating_angle_deg,
    peak_accelerations,
    ratio_limits,
    relative_phase_deg,
    single_joint_peak,
    small_angle_equivalent_deg,
    transmitted_angle,
)

SAMPLES = 256
TURN = np.arange(SAMPLES + 1) * np.pi / SAMPLES
"""Half a turn, which is the motion's period, with both ends."""
ROOM_OF_EACH = 25
"""Arrangements drawn from one seed."""
ANGLE_TOLERANCE = 1e-9
PEAK_TOLERANCE = 2e-7
"""Relative: the dense series has 8,192 points a period, so that its highest misses the peak by 1e-7 at most."""
NOISE = 1e-9
"""Absolute, over omega squared: what rounding leaves in a second derivative by Fourier series."""


def unit(vector: np.ndarray) -> np.ndarray:
    return vector / np.linalg.norm(vector, axis=-1, keepdims=True)


def square_to(line: np.ndarray) -> np.ndarray:
    return unit(np.cross([0.0, 1.0, 0.0] if abs(line[1]) < 0.9 else [0.0, 0.0, 1.0], line))


def body_angles(lines: np.ndarray, even: np.ndarray, phase_deg: np.ndarray, turn: np.ndarray) -> np.ndarray:
    """Angle of every body behind a joint about its own line, (k, m), each from a mark of its own."""
    pin = Rotation.from_rotvec(turn[:, None] * lines[0]).apply(square_to(lines[0]))
    angles = []
    for joint, line in enumerate(lines[1:]):
        if even[joint]:
            pin = unit(np.cross(unit(lines[joint] + line), pin))
        pin = unit(np.cross(line, pin))
        mark = square_to(line)
        angles.append(np.unwrap(np.arctan2(pin @ np.cross(line, mark), pin @ mark)))
        if joint + 1 < len(even):
            pin = Rotation.from_rotvec(np.radians(phase_deg[joint]) * line).apply(pin)
    return np.array(angles)


def peak_of(angle: np.ndarray) -> float:
    """Peak of the second derivative of an angle over half a turn, by Fourier series on a dense grid."""
    swing = np.fft.rfft((angle - TURN)[:-1])
    order = 2.0 * np.arange(len(swing))
    swing[-1] = 0.0
    dense = 32
    return float(np.abs(np.fft.irfft(-(order**2) * swing, SAMPLES * dense)).max() * dense)


def arrangement(draw: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Two or three joints with any slopes and plans that a driveline may have, and any phases."""
    joints = int(draw.integers(2, 4))
    lines = direction(draw.uniform(-18.0, 18.0, joints + 1), draw.uniform(-12.0, 12.0, joints + 1))
    return lines, draw.random(joints) < 0.15, draw.uniform(-180.0, 180.0, joints - 1)


@settings(max_examples=20)
@given(seed=st.integers(0, 2**32 - 1))
def test_motion_is_that_of_pins_in_space(seed: int) -> None:
    draw = np.random.default_rng(seed)
    for _ in range(ROOM_OF_EACH):
        lines, even, phase = arrangement(draw)
        bodies = body_angles(lines, even, phase, TURN)
        column = lines[:, None, :]
        # Ours counts the input from the first joint's plane, the pins from a mark: the turn between them.
        plane = unit(np.cross(np.cross(lines[0], lines[1]), lines[0]))
        mark = square_to(lines[0])
        start = np.arctan2(np.cross(plane, mark) @ lines[0], plane @ mark)
        ours = transmitted_angle(column, even, phase[:, None], TURN + start)[0]
        assert np.abs((ours - ours[0]) - (bodies[-1] - bodies[-1][0])).max() < ANGLE_TOLERANCE
        peaks = peak_accelerations(column, even, phase[:, None])[:, 0]
        assert peaks == pytest.approx([peak_of(body) for body in bodies], rel=PEAK_TOLERANCE, abs=NOISE)


@pytest.mark.parametrize("slopes", [(0.0, 50.0, -60.0), (0.0, 120.0, 110.0), (10.0, -95.0, -20.0)])
def test_a_joint_beyond_a_right_angle_is_no_better_than_one_short_of_it(slopes: tuple[float, ...]) -> None:
    lines, even = direction(np.array(slopes)), np.array([False, False])
    bodies = body_angles(lines, even, np.zeros(1), TURN)
    peaks = peak_accelerations(lines[:, None, :], even, np.zeros((1, 1)))[:, 0]
    assert (peaks > 0.0).all()
    runs = [peak_of(body * np.sign(body[-1] - body[0])) for body in bodies]  # one that is mirrored turns backward
    assert peaks == pytest.approx(runs, rel=1e-4, abs=NOISE)


@settings(max_examples=20)
@given(seed=st.integers(0, 2**32 - 1))
def test_a_chain_runs_like_one_joint(seed: int) -> None:
    """Its least and greatest speed are each other's reciprocals, as one joint's are, and tell that joint's angle."""
    draw = np.random.default_rng(seed)
    for _ in range(ROOM_OF_EACH):
        lines, even, phase = arrangement(draw)
        swing = np.fft.rfft((body_angles(lines, even, phase, TURN)[-1] - TURN)[:-1])
        swing[-1] = 0.0
        speed = 1.0 + 32.0 * np.fft.irfft(2.0j * np.arange(len(swing)) * swing, 32 * SAMPLES)
        assert speed.min() * speed.max() == pytest.approx(1.0, abs=1e-6)
        peak = peak_accelerations(lines[:, None, :], even, phase[:, None])[-1, 0]
        assert peak == pytest.approx(float(single_joint_peak(np.arccos(min(speed.min(), 1.0)))), abs=1e-6)


@given(
    first=st.floats(0.5, 20.0),
    slope=st.floats(-15.0, 15.0),
    plan=st.floats(-15.0, 15.0),
    meeting=st.booleans(),
)
def test_equal_angles_in_one_plane_leave_nothing(first: float, slope: float, plan: float, meeting: bool) -> None:
    level = direction(np.array([0.0, first, 2.0 * first if meeting else 0.0]))
    turned = Rotation.from_euler("xyz", [plan, slope, plan], degrees=True).apply(level)
    left = peak_accelerations(turned[:, None, :], np.array([False, False]), np.array([[0.0]]))[-1, 0]
    assert left < 1e-6


@given(seed=st.integers(0, 2**32 - 1))
def test_turning_everything_round_changes_nothing(seed: int) -> None:
    draw = np.random.default_rng(seed)
    lines, even, phase = arrangement(draw)
    round_about = Rotation.random(random_state=seed % 2**31).apply(lines)
    angles = operating_angle_deg(lines[:-1], lines[1:])
    assert operating_angle_deg(round_about[:-1], round_about[1:]) == pytest.approx(angles, abs=1e-10)
    before = peak_accelerations(lines[:, None, :], even, phase[:, None])
    after = peak_accelerations(round_about[:, None, :], even, phase[:, None])
    assert after == pytest.approx(before, abs=1e-9)


@given(seed=st.integers(0, 2**32 - 1))
def test_a_mirrored_chain_moves_alike(seed: int) -> None:
    lines, even, phase = arrangement(np.random.default_rng(seed))
    mirrored = lines * np.array([1.0, -1.0, 1.0])
    before = peak_accelerations(lines[:, None, :], even, phase[:, None])
    after = peak_accelerations(mirrored[:, None, :], even, -phase[:, None])
    assert after == pytest.approx(before, abs=1e-9)
    angles = relative_phase_deg(lines[:, None, :], phase[:, None])
    assert np.cos(np.radians(2.0 * relative_phase_deg(mirrored[:, None, :], -phase[:, None]))) == pytest.approx(
        np.cos(np.radians(2.0 * angles)), abs=1e-9
    )


@given(seed=st.integers(0, 2**32 - 1))
def test_driven_from_its_other_end_the_chain_undoes_the_motion(seed: int) -> None:
    """What the chain makes of a turn, the same chain driven backward unmakes: phases keep their sign."""
    lines, even, phase = arrangement(np.random.default_rng(seed))
    bodies = body_angles(lines, even, phase, TURN)
    back = body_angles(-lines[::-1], even[::-1], phase[::-1], TURN)
    peaks = peak_accelerations(-lines[::-1, None, :], even[::-1], phase[::-1, None])[:, 0]
    assert peaks == pytest.approx([peak_of(body) for body in back], rel=PEAK_TOLERANCE, abs=NOISE)
    # Driven forward by an even turn and read backward, the swings are those of inverse functions: same extremes.
    forward, backward = bodies[-1] - TURN, back[-1] - TURN
    assert np.ptp(forward) == pytest.approx(np.ptp(backward), abs=2e-4)


def test_zero_angles_pass_the_motion_on() -> None:
    lines = direction(np.zeros((4, 1)), np.full((4, 1), 7.0))
    assert peak_accelerations(lines, np.full(3, False), np.array([[30.0], [10.0]])) == pytest.approx(0.0, abs=1e-12)
    tiny = direction(np.array([[0.0], [1e-7], [0.0]]))
    assert peak_accelerations(tiny, np.array([False, False]), np.array([[90.0]])) == pytest.approx(0.0, abs=1e-12)


def test_operating_angle_is_exact_down_to_parallel() -> None:
    assert operating_angle_deg(direction(0.0), direction(1e-9)) == pytest.approx(1e-9, rel=1e-9)
    assert operating_angle_deg(direction(20.0, 5.0), direction(20.0, 5.0)) == pytest.approx(0.0, abs=1e-12)


@given(angle=st.floats(0.0, 40.0), step=st.floats(1e-9, 1e-7))
def test_one_joints_peak_has_no_jumps(angle: float, step: float) -> None:
    near, far = single_joint_peak(np.radians(np.array([angle, angle + step])))
    assert abs(far - near) < 0.1 * step + 1e-15


@given(seed=st.integers(0, 2**32 - 1))
def test_a_chains_peak_has_no_jumps(seed: int) -> None:
    lines, even, phase = arrangement(np.random.default_rng(seed))
    nudged = unit(lines + np.random.default_rng(seed + 1).normal(0.0, 1e-9, lines.shape))
    before = peak_accelerations(lines[:, None, :], even, phase[:, None])
    after = peak_accelerations(nudged[:, None, :], even, phase[:, None])
    assert after == pytest.approx(before, abs=1e-7)


def test_many_positions_at_once_are_the_same_as_one_by_one() -> None:
    draw = np.random.default_rng(5)
    lines = direction(draw.uniform(-12.0, 12.0, (3, 40)), draw.uniform(-6.0, 6.0, (3, 40)))
    phase, even = draw.uniform(-90.0, 90.0, (1, 40)), np.array([False, False])
    together = peak_accelerations(lines, even, phase)
    alone = [peak_accelerations(lines[:, [i]], even, phase[:, [i]])[:, 0] for i in range(40)]
    assert pytest.approx(np.array(alone), rel=1e-12) == together.T


@given(st.floats(0.0, 45.0))
def test_ratio_limits_are_the_extremes_of_the_transmitted_speed(angle: float) -> None:
    bent = direction(np.array([[0.0], [angle]]))
    step = 1e-5
    ends = np.array([0.0, np.pi / 2.0])
    out = [transmitted_angle(bent, np.array([False]), np.empty((0, 1)), ends + one)[0] for one in (-step, step)]
    fast, slow = (out[1] - out[0]) / (2.0 * step)
    least, greatest = ratio_limits(np.array([angle]))
    assert (slow, fast) == pytest.approx((least[0], greatest[0]), rel=1e-8)


@pytest.mark.parametrize(("phase", "equivalent"), [(0.0, 0.0), (180.0, 0.0), (90.0, 7.0 * 2.0**0.5)])
def test_small_angle_rule_of_an_equal_pair(phase: float, equivalent: float) -> None:
    """In phase nothing is left; a quarter turn out, the two add up: b_e² = 2 b²."""
    pair = np.array([[7.0], [7.0]])
    assert small_angle_equivalent_deg(pair, np.array([phase])) == pytest.approx(equivalent, abs=1e-6)


@given(seed=st.integers(0, 2**32 - 1))
def test_small_angle_rule_is_good_to_one_per_cent_below_ten_degrees(seed: int) -> None:
    draw = np.random.default_rng(seed)
    lines = direction(draw.uniform(-3.0, 3.0, 3), draw.uniform(-3.0, 3.0, 3))[:, None, :]
    phase = draw.uniform(-90.0, 90.0, (1, 1))
    angles = operating_angle_deg(lines[:-1], lines[1:])
    rule = np.radians(small_angle_equivalent_deg(angles, relative_phase_deg(lines, phase)[0])[0]) ** 2
    exact = peak_accelerations(lines, np.array([False, False]), phase)[-1, 0]
    scale = float(np.sum(np.radians(angles) ** 2))
    assert abs(rule - exact) < 0.01 * scale
