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
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from geometry.mechanics.chain import (
    Chain,
    chain_of,
    operating_angle_deg,
    peaks,
    ratio_limits,
    single_joint_peak,
    small_angle_equivalent_deg,
    transmitted_angle,
)
from geometry.mechanics.vectors import ONE, ZERO, Floats, Vector, backward, line_of, number
from tests.mechanics_help import chain_in_plane, last_peak, lines_of, vector_of

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
SEEDS = st.integers(0, 2**32 - 1)
Arranged = tuple[np.ndarray, list[bool], np.ndarray]


def unit(vector: np.ndarray) -> np.ndarray:
    return vector / np.linalg.norm(vector, axis=-1, keepdims=True)


def square_to(line: np.ndarray) -> np.ndarray:
    return unit(np.cross([0.0, 1.0, 0.0] if abs(line[1]) < 0.9 else [0.0, 0.0, 1.0], line))


def directions(slopes: np.ndarray, plans: np.ndarray | float = 0.0) -> np.ndarray:
    """Unit vectors (k, 3) by scipy's rotations."""
    both = np.stack(np.broadcast_arrays(plans, slopes), axis=-1)
    return Rotation.from_euler("ZY", both, degrees=True).apply([1.0, 0.0, 0.0])


def vectors(lines: np.ndarray) -> list[Vector]:
    return [vector_of(line) for line in lines]


def chained(lines: np.ndarray, phase_deg: np.ndarray) -> Chain:
    return chain_of(vectors(lines), [number(one) for one in phase_deg])


def all_peaks(lines: np.ndarray, even: list[bool], phase_deg: np.ndarray) -> list[float]:
    return [float(peak) for peak in peaks(chained(lines, phase_deg), even)]


def body_angles(lines: np.ndarray, even: list[bool], phase_deg: np.ndarray, turn: np.ndarray) -> np.ndarray:
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


def arrangement(draw: np.random.Generator) -> Arranged:
    """Two or three joints with any slopes and plans that a driveline may have, and any phases."""
    joints = int(draw.integers(2, 4))
    lines = directions(draw.uniform(-18.0, 18.0, joints + 1), draw.uniform(-12.0, 12.0, joints + 1))
    return lines, (draw.random(joints) < 0.15).tolist(), draw.uniform(-180.0, 180.0, joints - 1)


@settings(max_examples=20)
@given(seed=SEEDS)
def test_motion_is_that_of_pins_in_space(seed: int) -> None:
    draw = np.random.default_rng(seed)
    for _ in range(ROOM_OF_EACH):
        lines, even, phase = arrangement(draw)
        bodies = body_angles(lines, even, phase, TURN)
        # Ours counts the input from the first joint's plane, the pins from a mark: the turn between them.
        plane = unit(np.cross(np.cross(lines[0], lines[1]), lines[0]))
        mark = square_to(lines[0])
        start = np.arctan2(np.cross(plane, mark) @ lines[0], plane @ mark)
        ours = transmitted_angle(vectors(lines), even, [number(one) for one in phase], TURN + start)
        assert np.abs((ours - ours[0]) - (bodies[-1] - bodies[-1][0])).max() < ANGLE_TOLERANCE
        found = all_peaks(lines, even, phase)
        assert found == pytest.approx([peak_of(body) for body in bodies], rel=PEAK_TOLERANCE, abs=NOISE)


@pytest.mark.parametrize(
    "even", [[True, False], [False, True], [True, True], [True, False, False], [False, True, True]]
)
def test_even_joints_wherever_they_sit(even: list[bool]) -> None:
    draw = np.random.default_rng(3)
    lines = directions(draw.uniform(-18.0, 18.0, len(even) + 1), draw.uniform(-12.0, 12.0, len(even) + 1))
    phase = draw.uniform(-180.0, 180.0, len(even) - 1)
    bodies = body_angles(lines, even, phase, TURN)
    found = all_peaks(lines, even, phase)
    assert found == pytest.approx([peak_of(body) for body in bodies], rel=PEAK_TOLERANCE, abs=NOISE)
    assert (found[0] == 0.0) is even[0]


def test_transmitted_angle_starts_in_the_joints_plane() -> None:
    """There, and square to it, one joint's output stands with its input, as far as it is from either elsewhere."""
    lines = lines_of([0.0, 60.0])
    ends = np.array([0.0, 0.5 * np.pi, np.pi, 1.5 * np.pi, 7.0 * np.pi])
    assert transmitted_angle(lines, [False], [], ends) == pytest.approx(ends, abs=1e-12)
    assert transmitted_angle(lines, [True], [], ends + 0.3) == pytest.approx(ends + 0.3, abs=1e-12)
    # The far yoke stands square to the near one and turned 25° from it: 115° from the second joint's plane, which is
    # the first one's.
    behind_two = transmitted_angle(lines_of([0.0, 60.0, 0.0]), [False, False], [number(25.0)], ends[:1])
    assert np.tan(behind_two) == pytest.approx(np.tan(np.radians(115.0)) / 0.5, abs=1e-12)


@pytest.mark.parametrize("slopes", [(0.0, 50.0, -60.0), (0.0, 120.0, 110.0), (10.0, -95.0, -20.0)])
def test_a_joint_beyond_a_right_angle_is_no_better_than_one_short_of_it(slopes: tuple[float, ...]) -> None:
    lines, even = directions(np.array(slopes)), [False, False]
    bodies = body_angles(lines, even, np.zeros(1), TURN)
    found = all_peaks(lines, even, np.zeros(1))
    assert min(found) > 0.0
    runs = [peak_of(body * np.sign(body[-1] - body[0])) for body in bodies]  # one that is mirrored turns backward
    assert found == pytest.approx(runs, rel=1e-4, abs=NOISE)


@pytest.mark.parametrize("angle", [0.1, 5.0, 30.0, 60.0, 80.0, 88.0, 95.0, 120.0])
def test_one_joints_peak_is_the_greatest_of_its_acceleration(angle: float) -> None:
    """Acceleration over omega²: sin²b cos b sin 2t/(1 − sin²b cos²t)² (theory-of-machines textbooks), by scipy."""
    cosine, sine = np.cos(np.radians(angle)), np.sin(np.radians(angle))

    def negative(t: float) -> float:
        return float(-abs(sine**2 * cosine * np.sin(2.0 * t) / (1.0 - sine**2 * np.cos(t) ** 2) ** 2))

    places = np.geomspace(1e-4, np.pi / 2.0, 400)
    near = places[np.argmin([negative(t) for t in places])]
    best = minimize_scalar(negative, bounds=(0.8 * near, 1.2 * near), method="bounded", options={"xatol": 1e-9}).fun
    assert single_joint_peak(number(cosine), number(sine)) == pytest.approx(-best, rel=1e-9)


def test_square_lines_drive_nothing() -> None:
    assert np.isnan(single_joint_peak(ZERO, ONE))
    assert np.isnan(peaks(chain_of([vector_of([1.0, 0.0, 0.0]), vector_of([0.0, 0.0, -1.0])], []), [False])[0])


@settings(max_examples=20)
@given(seed=SEEDS)
def test_a_chain_runs_like_one_joint(seed: int) -> None:
    """Its least and greatest speed are each other's reciprocals, as one joint's are, and tell that joint's angle."""
    draw = np.random.default_rng(seed)
    for _ in range(ROOM_OF_EACH):
        lines, even, phase = arrangement(draw)
        swing = np.fft.rfft((body_angles(lines, even, phase, TURN)[-1] - TURN)[:-1])
        swing[-1] = 0.0
        speed = 1.0 + 32.0 * np.fft.irfft(2.0j * np.arange(len(swing)) * swing, 32 * SAMPLES)
        assert speed.min() * speed.max() == pytest.approx(1.0, abs=1e-6)
        cosine = min(speed.min(), 1.0)
        alike = single_joint_peak(number(cosine), number(np.sqrt(1.0 - cosine**2)))
        assert all_peaks(lines, even, phase)[-1] == pytest.approx(float(alike), abs=1e-6)


@given(
    first=st.floats(0.5, 20.0),
    slope=st.floats(-15.0, 15.0),
    plan=st.floats(-15.0, 15.0),
    meeting=st.booleans(),
)
def test_equal_angles_in_one_plane_leave_nothing(first: float, slope: float, plan: float, meeting: bool) -> None:
    level = directions(np.array([0.0, first, 2.0 * first if meeting else 0.0]))
    turned = Rotation.from_euler("xyz", [plan, slope, plan], degrees=True).apply(level)
    assert all_peaks(turned, [False, False], np.zeros(1))[-1] < 1e-6


@given(bend=st.floats(1.0, 20.0), turn=st.floats(-170.0, 170.0), more=st.floats(-89.0, 89.0), seed=SEEDS)
def test_relative_phase_is_what_is_left_of_the_planes_turn(bend: float, turn: float, more: float, seed: int) -> None:
    """A second joint that bends as far, about an axis turned right-hand about the shaft, wants the yokes turned too."""
    first = Rotation.random(random_state=seed % 2**31).apply(directions(np.array([0.0, bend])))
    normal = unit(np.cross(*first))
    axis = Rotation.from_rotvec(np.radians(turn) * first[1]).apply(normal)
    lines = np.array([*first, Rotation.from_rotvec(np.radians(bend) * axis).apply(first[1])])
    chain = chained(lines, np.array([turn + more]))
    assert chain.operating_deg == pytest.approx((bend, bend), abs=1e-9)
    assert chain.relative_phase_deg == pytest.approx((more,), abs=1e-6)
    assert all_peaks(lines, [False, False], np.array([turn]))[-1] < 1e-6


def test_relative_phase_is_brought_within_a_quarter_turn() -> None:
    lines = lines_of([0.0, 5.0, 0.0])
    for phase, expected in ((0.0, 0.0), (30.0, 30.0), (120.0, -60.0), (180.0, 0.0), (-100.0, 80.0), (269.0, 89.0)):
        found = chain_of(lines, [number(phase)]).relative_phase_deg[0]
        assert found == pytest.approx(expected, abs=1e-9)


@given(seed=SEEDS)
def test_turning_everything_round_changes_nothing(seed: int) -> None:
    draw = np.random.default_rng(seed)
    lines, even, phase = arrangement(draw)
    round_about = Rotation.random(random_state=seed % 2**31).apply(lines)
    assert chained(round_about, phase).operating_deg == pytest.approx(chained(lines, phase).operating_deg, abs=1e-10)
    assert all_peaks(round_about, even, phase) == pytest.approx(all_peaks(lines, even, phase), abs=1e-9)


@given(seed=SEEDS)
def test_a_mirrored_chain_moves_alike(seed: int) -> None:
    lines, even, phase = arrangement(np.random.default_rng(seed))
    mirrored = lines * np.array([1.0, -1.0, 1.0])
    assert all_peaks(mirrored, even, -phase) == pytest.approx(all_peaks(lines, even, phase), abs=1e-9)
    for one, other in zip(
        chained(mirrored, -phase).relative_phase_deg, chained(lines, phase).relative_phase_deg, strict=True
    ):
        assert np.sin(np.radians(one + other)) == pytest.approx(0.0, abs=1e-9)


@given(seed=SEEDS)
def test_driven_from_its_other_end_the_chain_undoes_the_motion(seed: int) -> None:
    """What the chain makes of a turn, the same chain driven backward unmakes: phases keep their sign."""
    lines, even, phase = arrangement(np.random.default_rng(seed))
    bodies = body_angles(lines, even, phase, TURN)
    back = body_angles(-lines[::-1], even[::-1], phase[::-1], TURN)
    found = all_peaks(-lines[::-1], even[::-1], phase[::-1])
    assert found == pytest.approx([peak_of(body) for body in back], rel=PEAK_TOLERANCE, abs=NOISE)
    # Driven forward by an even turn and read backward, the swings are those of inverse functions: same extremes.
    forward, backward_swing = bodies[-1] - TURN, back[-1] - TURN
    assert np.ptp(forward) == pytest.approx(np.ptp(backward_swing), abs=2e-4)


@given(seed=SEEDS)
def test_backward_is_the_chain_of_the_lines_turned_round(seed: int) -> None:
    lines, even, phase = arrangement(np.random.default_rng(seed))
    chain = chained(lines, phase)
    anew = chain_of([backward(line) for line in vectors(lines)[::-1]], [number(one) for one in phase[::-1]])
    back = chain.backward()
    assert back.operating_deg == pytest.approx(anew.operating_deg, abs=1e-10)
    assert back.operating_deg == chain.operating_deg[::-1]
    assert back.relative_phase_deg == chain.relative_phase_deg[::-1]
    assert peaks(back, even[::-1]) == pytest.approx(peaks(anew, even[::-1]), abs=1e-12)
    assert peaks(back.backward(), even) == peaks(chain, even)


@pytest.mark.parametrize("even", [[False], [True], [False, True], [False, False], [False, True, False]])
def test_the_last_alone_is_the_last_of_all(even: list[bool]) -> None:
    draw = np.random.default_rng(8)
    lines = lines_of(draw.uniform(-12.0, 12.0, (len(even) + 1, 6)), draw.uniform(-6.0, 6.0, (len(even) + 1, 6)))
    chain = chain_of(lines, [number(20.0)] * (len(even) - 1))
    every, (only,) = peaks(chain, even), peaks(chain, even, last_only=True)
    assert len(every) == len(even)
    assert only.tolist() == every[-1].tolist()


@pytest.mark.parametrize(("slope", "plan"), [(0.0, 7.0), (0.0, 90.0), (90.0, 0.0), (20.0, -80.0)])
def test_straight_joints_pass_the_motion_on(slope: float, plan: float) -> None:
    """Whatever the phases: a straight joint has no plane, and what follows runs as if it were not there."""
    straight = directions(np.full(4, slope), plan)
    assert all_peaks(straight, [False] * 3, np.array([30.0, 10.0])) == pytest.approx([0.0] * 3, abs=1e-12)
    axis = Rotation.from_rotvec(np.radians(37.0) * straight[0]).apply(square_to(straight[0]))
    bent = np.array([*straight[:3], Rotation.from_rotvec(np.radians(9.0) * axis).apply(straight[0])])
    single = float(single_joint_peak(number(np.cos(np.radians(9.0))), number(np.sin(np.radians(9.0)))))
    assert all_peaks(bent, [False] * 3, np.array([30.0, 10.0])) == pytest.approx([0.0, 0.0, single], abs=1e-12)
    first = np.array([bent[3], *straight[:3]])
    assert all_peaks(first, [False] * 3, np.array([30.0, 10.0])) == pytest.approx([single] * 3, rel=1e-9)


@pytest.mark.parametrize("axis", [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)])
def test_a_straight_joint_along_an_axis_has_a_plane_too(axis: tuple[float, float, float]) -> None:
    """Exactly so: no rounding lends it one."""
    along = np.array(axis)
    bent = Rotation.from_rotvec(np.radians(9.0) * square_to(along)).apply(along)
    single = float(single_joint_peak(number(np.cos(np.radians(9.0))), number(np.sin(np.radians(9.0)))))
    found = all_peaks(np.array([along, along, bent]), [False, False], np.array([20.0]))
    assert found == pytest.approx([0.0, single], abs=1e-12)


def test_a_joint_counts_as_straight_only_where_its_plane_is_lost_in_rounding() -> None:
    """A bend of 1e-9° sideways still has its level plane, square to the next joint's; one of 1e-11° has none."""
    for bend, expected in ((1e-9, -90.0), (1e-11, 0.0)):
        chain = chain_of(lines_of([0.0, 0.0, 5.0], [0.0, bend, bend]), [ZERO])
        assert chain.relative_phase_deg[0] == pytest.approx(expected, abs=1e-3)


def test_a_straight_row_leaves_the_bent_ones_alone() -> None:
    second = np.array([0.0, 6.0, -3.0])
    lines = lines_of([np.zeros(3), second, np.full(3, 4.0)], [np.zeros(3), np.zeros(3), np.full(3, 2.0)])
    together = peaks(chain_of(lines, [number(15.0)]), [False, False])
    for row, slope in enumerate(second):
        alone = peaks(chain_of(lines_of([0.0, slope, 4.0], [0.0, 0.0, 2.0]), [number(15.0)]), [False, False])
        assert [float(peak[row]) for peak in together] == pytest.approx([float(peak) for peak in alone], rel=1e-12)


def test_zero_angles_pass_the_motion_on() -> None:
    assert last_peak(0.0, 1e-7, 0.0) == pytest.approx(0.0, abs=1e-12)
    quarter = chain_of(lines_of([0.0, 1e-7, 0.0]), [number(90.0)])
    assert peaks(quarter, [False, False])[-1] == pytest.approx(0.0, abs=1e-12)


def test_operating_angle_is_exact_down_to_parallel() -> None:
    assert operating_angle_deg(line_of(ZERO), line_of(number(1e-9))) == pytest.approx(1e-9, rel=1e-9)
    skew = line_of(number(20.0), number(5.0))
    assert operating_angle_deg(skew, skew) == pytest.approx(0.0, abs=1e-12)
    assert operating_angle_deg(skew, backward(skew)) == pytest.approx(180.0, abs=1e-12)


@given(seed=SEEDS)
def test_operating_angle_is_that_between_the_lines(seed: int) -> None:
    one, other = unit(np.random.default_rng(seed).normal(size=(2, 3)))
    expected = np.degrees(np.arccos(np.clip(one @ other, -1.0, 1.0)))
    assert operating_angle_deg(vector_of(one), vector_of(other)) == pytest.approx(expected, abs=1e-5)
    assert chained(np.array([one, other]), np.array([])).operating_deg == pytest.approx((expected,), abs=1e-5)


@given(angle=st.floats(0.0, 40.0), step=st.floats(1e-9, 1e-7))
def test_one_joints_peak_has_no_jumps(angle: float, step: float) -> None:
    both = np.radians(np.array([angle, angle + step]))
    near, far = single_joint_peak(np.cos(both), np.sin(both))
    assert abs(far - near) < 0.1 * step + 1e-15


@given(seed=SEEDS)
def test_a_chains_peak_has_no_jumps(seed: int) -> None:
    lines, even, phase = arrangement(np.random.default_rng(seed))
    nudged = unit(lines + np.random.default_rng(seed + 1).normal(0.0, 1e-9, lines.shape))
    assert all_peaks(nudged, even, phase) == pytest.approx(all_peaks(lines, even, phase), abs=1e-7)


def shaped(draw: np.random.Generator, most: float, *shapes: tuple[int, ...]) -> list[Floats]:
    return [draw.uniform(-most, most, shape) for shape in shapes]


@pytest.mark.parametrize(
    ("shapes", "phase_shape", "whole"),
    [
        (((), (), ()), (), ()),
        (((), (), ()), (5,), (5,)),
        (((5,), (), (5,)), (), (5,)),
        (((3, 5), (3, 5), (5,)), (5,), (3, 5)),
        (((4, 1), (5,), ()), (), (4, 5)),
    ],
)
def test_rows_broadcast(shapes: tuple[tuple[int, ...], ...], phase_shape: tuple[int, ...], whole: tuple[int, ...]):
    """Many positions at once are the same as one by one."""
    draw = np.random.default_rng(5)
    slopes, plans, (phase,) = shaped(draw, 12.0, *shapes), shaped(draw, 6.0, *shapes), shaped(draw, 90.0, phase_shape)
    together = peaks(chain_of([line_of(*pair) for pair in zip(slopes, plans, strict=True)], [phase]), [False, False])[
        -1
    ]
    assert together.shape == whole
    wide = [np.broadcast_to(part, whole).ravel() for part in (*slopes, *plans, phase)]
    alone = [
        last_of(lines_of(row[:3], row[3:6]), row[6]) for row in np.stack([np.atleast_1d(part) for part in wide], axis=1)
    ]
    assert together.ravel() == pytest.approx(np.array(alone), rel=1e-9)


def last_of(lines: list[Vector], phase_deg: float) -> float:
    return float(peaks(chain_of(lines, [number(phase_deg)]), [False, False], last_only=True)[0])


def test_a_row_that_is_not_known_leaves_the_others_alone() -> None:
    slopes = np.array([[1.0, 2.0, 3.0], [7.0, np.nan, 9.0], [3.0, 4.0, -5.0]])
    phase = np.array([0.0, 5.0, 10.0])
    chain = chain_of(lines_of(slopes), [phase])
    for found in (*chain.operating_deg, *chain.relative_phase_deg, *peaks(chain, [False, False])):
        assert np.isnan(found).tolist() == [False, True, False]
    known = chain_of(lines_of(slopes[:, [0, 2]]), [phase[[0, 2]]])
    assert peaks(chain, [False, False])[1][[0, 2]].tolist() == peaks(known, [False, False])[1].tolist()
    turn = transmitted_angle(lines_of(slopes), [False, False], [phase], number(0.4))
    assert np.isnan(turn).tolist() == [False, True, False]


@given(st.floats(0.0, 45.0))
def test_ratio_limits_are_the_extremes_of_the_transmitted_speed(angle: float) -> None:
    bent, step = lines_of([0.0, angle]), 1e-5
    ends = np.array([0.0, np.pi / 2.0])
    out = [transmitted_angle(bent, [False], [], ends + one) for one in (-step, step)]
    fast, slow = (out[1] - out[0]) / (2.0 * step)
    least, greatest = ratio_limits(number(angle))
    assert (slow, fast) == pytest.approx((float(least), float(greatest)), rel=1e-8)


@pytest.mark.parametrize(("phase", "equivalent"), [(0.0, 0.0), (180.0, 0.0), (90.0, 7.0 * 2.0**0.5)])
def test_small_angle_rule_of_an_equal_pair(phase: float, equivalent: float) -> None:
    """In phase nothing is left; a quarter turn out, the two add up: b_e² = 2 b²."""
    rule = small_angle_equivalent_deg(number(7.0), number(7.0), number(phase))
    assert rule == pytest.approx(equivalent, abs=1e-6)


def test_small_angle_rule_of_unequal_pairs() -> None:
    """5 and 4 leave √(25 − 16) = 3 in phase and √(25 + 16) a quarter turn out; at 45° √√(625 + 256)."""
    for phase, squared in ((0.0, 9.0), (90.0, 41.0), (45.0, 881.0**0.5)):
        rule = small_angle_equivalent_deg(number(5.0), number(4.0), number(phase))
        assert rule**2 == pytest.approx(squared, rel=1e-12)


@given(seed=SEEDS)
def test_small_angle_rule_is_good_to_one_per_cent_below_ten_degrees(seed: int) -> None:
    draw = np.random.default_rng(seed)
    lines = directions(draw.uniform(-3.0, 3.0, 3), draw.uniform(-3.0, 3.0, 3))
    phase = draw.uniform(-90.0, 90.0, 1)
    chain = chained(lines, phase)
    rule = np.radians(small_angle_equivalent_deg(*chain.operating_deg, chain.relative_phase_deg[0])) ** 2
    scale = float(np.sum(np.radians(chain.operating_deg) ** 2))
    assert abs(rule - all_peaks(lines, [False, False], phase)[-1]) < 0.01 * scale


def test_cosine_and_sine_belong_to_one_angle() -> None:
    chain = chain_in_plane(0.0, 30.0, -15.0)
    assert chain.cosine == pytest.approx((np.cos(np.radians(30.0)), np.cos(np.radians(45.0))), abs=1e-15)
    assert chain.sine == pytest.approx((0.5, np.sin(np.radians(45.0))), abs=1e-15)
    assert np.hypot(chain.phase_cosine[0], chain.phase_sine[0]) == pytest.approx(1.0, abs=1e-15)
