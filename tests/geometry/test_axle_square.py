"""Thrust angle, side shift, toe and camber against points surveyed in space: plain trigonometry on the points alone."""

from math import acos, degrees, dist, radians

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry import Build, edited, solve
from geometry.mechanics.axle_square import off_centre_mm, toe_deg, yaw_band_deg, yaw_deg
from geometry.mechanics.vectors import number

RNG = np.random.default_rng(11)


class Survey:
    """Two frame holes and two points on an axle behind them, x rearward, y right, z up."""

    def __init__(self, yaw: float, aside: float, away: float, above: float, holes: float, ends: float) -> None:
        half = ends / 2.0 * np.array([np.sin(radians(yaw)), np.cos(radians(yaw)), 0.0])
        middle = np.array([away, aside, 0.0])
        self.left, self.right = middle - half, middle + half
        self.hole_left, self.hole_right = (np.array([0.0, way * holes / 2.0, above]) for way in (-1.0, 1.0))

    @property
    def points(self) -> np.ndarray:
        return np.array([self.hole_left, self.hole_right, self.left, self.right])


def taped(points: np.ndarray) -> dict[str, float]:
    """What a tape reads between surveyed points, wherever they lie and however they are turned."""
    hole_left, hole_right, left, right = points
    return {
        "holes_apart_mm": dist(hole_left, hole_right), "ends_apart_mm": dist(left, right),
        "diagonal_left_mm": dist(hole_left, right), "diagonal_right_mm": dist(hole_right, left),
    }  # fmt: skip


def between_lines_deg(points: np.ndarray) -> float:
    """Angle between the holes' line and the axle's, by the cosine rule of two vectors."""
    one, two = points[1] - points[0], points[3] - points[2]
    return degrees(acos(float(np.clip(one @ two / np.linalg.norm(one) / np.linalg.norm(two), -1.0, 1.0))))


SURVEYS = [
    Survey(*RNG.uniform((-6.0, -60.0, 700.0, -400.0, 500.0, 900.0), (6.0, 60.0, 3000.0, 500.0, 1100.0, 1700.0)))
    for _ in range(60)
]


@pytest.mark.parametrize("survey", SURVEYS)
def test_the_thrust_angle_of_surveyed_points_wherever_the_survey_stands(survey: Survey) -> None:
    aside, above = (survey.left + survey.right)[1] / 2.0, survey.hole_left[2]
    turned = Rotation.random(random_state=int(RNG.integers(1 << 30))).apply(survey.points) + RNG.uniform(-9e3, 9e3, 3)
    for points in (survey.points, turned):
        tape = [number(one) for one in taped(points).values()]
        found = float(yaw_deg(tape[2], tape[3], tape[0], tape[1], number(aside), number(above)))
        assert abs(found) == pytest.approx(between_lines_deg(points), abs=2e-6)
        farther = survey.right[0] > survey.left[0]
        assert (found > 0.0) == farther


def build_of(survey: Survey, rail: float = 450.0) -> Build:
    """The survey as entries, with the reach beyond rails that stand alike left and right."""
    entries: dict[str, object] = {f"square.{name}": value for name, value in taped(survey.points).items()}
    entries |= {
        "square.holes_above_mm": float(survey.hole_left[2]), "square.offset_left_mm": float(-survey.left[1] - rail),
        "square.offset_right_mm": float(survey.right[1] - rail),
    }  # fmt: skip
    return edited(Build(), entries)


@pytest.mark.parametrize("survey", SURVEYS[:12])
def test_solve_says_the_angle_the_side_and_how_far(survey: Survey) -> None:
    found = {one.id: one for one in solve(build_of(survey, 200.0)).findings}
    angle, centred = found["thrust_angle"], found["axle_centred"]
    assert angle.value == pytest.approx(between_lines_deg(survey.points), abs=2e-6)
    assert centred.value == pytest.approx(abs(survey.left + survey.right)[1] / 2.0, abs=1e-9)
    if angle.verdict != "clear":
        back = "right" if survey.right[0] > survey.left[0] else "left"
        assert f"the axle's {back} end stands" in angle.says
        assert f"move the {back} end forward" in angle.says
        assert f"pulls the vehicle to the {pulled(survey, ahead=False)}" in angle.says
        assert f"its thrust line points to the {back}" in angle.says
    if centred.verdict != "clear":
        other = "left" if (survey.left + survey.right)[1] > 0.0 else "right"
        assert f"move it to the {other}" in centred.says


def pulled(survey: Survey, *, ahead: bool) -> str:
    """To which side a vehicle turns whose one axle is surveyed and whose other one is square.

    No wheel slips sideways, so every point of an axle's line moves square to that line, and the vehicle turns about the
    point in which the lines of both axles meet. It pulls to the side on which that point lies. A rear axle whose right
    end is back: its wheels roll forward and to the right, the tail goes right, and the nose left.
    """
    line = survey.right - survey.left
    other = survey.left + np.array([2_500.0 if ahead else -2_500.0, 0.0, 0.0])
    # left + s·line = other + t·(across)
    s, t = np.linalg.solve(np.array([[line[0], 0.0], [line[1], -1.0]]), (other - survey.left)[:2])
    meet = survey.left[1] + s * line[1]
    assert meet == pytest.approx(other[1] + t)
    return "right" if meet > 0.0 else "left"


def test_a_rolling_vehicle_goes_where_its_askew_rear_axle_pulls_it() -> None:
    """By small steps: the front wheels roll straight ahead of the body, the rear ones square to their axle."""
    for askew in (0.5, -0.5):
        front, rear, heading = np.zeros(2), np.array([0.0, -2.5]), 0.0  # x right, y forward, metres
        for _ in range(20_000):
            ahead = np.array([np.sin(heading), np.cos(heading)])
            # Right end back by `askew`: the rear wheels' way lies so far to the right of the body's.
            way = np.array([np.sin(heading + radians(askew)), np.cos(heading + radians(askew))])
            # Both ends have the same speed along the body, as it is rigid.
            front = front + 0.005 * ahead
            rear = rear + 0.005 * way / float(way @ ahead)
            along = front - rear
            heading = float(np.arctan2(along[0], along[1]))
        survey = Survey(askew, 0.0, 1300.0, 0.0, 850.0, 1400.0)
        assert ("right" if front[0] > 0.0 else "left") == pulled(survey, ahead=False)
        assert abs(front[0]) > 1.0


def mirrored(build: Build) -> Build:
    """Left for right."""
    section = build.square
    assert section is not None
    tree = section.model_dump()
    swapped = {
        name: tree[name.replace("left", "@").replace("right", "left").replace("@", "right")] for name in tree
    }  # fmt: skip
    return edited(build, {"square": swapped})


@pytest.mark.parametrize("survey", SURVEYS[:12])
def test_a_mirrored_vehicle_has_the_mirrored_answer(survey: Survey) -> None:
    one, two = (solve(build).findings for build in (build_of(survey, 200.0), mirrored(build_of(survey, 200.0))))
    for here, there in zip(one, two, strict=True):
        assert (here.id, here.verdict) == (there.id, there.verdict)
        if here.value is not None:
            assert here.value == pytest.approx(there.value, abs=1e-9)
        if here.id in {"thrust_angle", "axle_centred"} and here.verdict != "unknown":
            turned = there.says.replace("left", "@").replace("right", "left").replace("@", "right")
            assert here.says == turned


def test_a_front_axle_is_moved_the_other_way() -> None:
    survey = Survey(0.4, 0.0, 1300.0, 0.0, 850.0, 1400.0)
    front = edited(build_of(survey, 200.0), {"axle.end": "front"})
    says = next(one.says for one in solve(front).findings if one.id == "thrust_angle")
    assert "the axle's right end stands" in says
    assert "farther forward" in says
    # In the vehicle's own axes a right end farther ahead has less x, which runs rearward.
    turned = Survey(-0.4, 0.0, 1300.0, 0.0, 850.0, 1400.0)
    assert f"pulls the vehicle to the {pulled(turned, ahead=True)} with the steering straight" in says
    assert "its thrust line points to the left" in says
    assert "move the right end back" in says


def test_equal_diagonals_alone_do_not_make_an_axle_square() -> None:
    """One that stands aside has equal diagonals where it is askew."""
    h, e, away, aside = 850.0, 1400.0, 1300.0, 20.0

    def diagonals(yaw: float) -> tuple[float, float]:
        tape = taped(Survey(yaw, aside, away, 0.0, h, e).points)
        return tape["diagonal_left_mm"], tape["diagonal_right_mm"]

    low, high = -5.0, 0.0
    for _ in range(60):
        yaw = (low + high) / 2.0
        left, right = diagonals(yaw)
        low, high = (yaw, high) if left < right else (low, yaw)
    left, right = diagonals(yaw)
    assert left == pytest.approx(right, abs=1e-9)
    assert yaw < -1.0
    found = float(yaw_deg(*map(number, (left, right, h, e, aside, 0.0))))
    assert found == pytest.approx(yaw, abs=1e-6)


def test_diagonals_that_no_axle_has_are_not_judged() -> None:
    with np.errstate(invalid="ignore"):
        assert np.isnan(yaw_deg(*map(number, (600.0, 600.0, 850.0, 1400.0, 0.0, 0.0))))
    entries = {"diagonal_left_mm": 600.0, "diagonal_right_mm": 600.0, "holes_apart_mm": 850.0, "ends_apart_mm": 1400.0,
               "holes_above_mm": 0.0, "offset_left_mm": 300.0, "offset_right_mm": 300.0}  # fmt: skip
    found = solve(edited(Build(), {"square": entries})).findings
    says = next(one.says for one in found if one.id == "thrust_angle")
    assert says.startswith("Not judged: it cannot be worked out")


def test_the_tapes_own_band_is_that_of_many_readings() -> None:
    """JCGM 100, 5.1: readings that may each lie anywhere within the tape's half-width, 20,000 times."""
    survey, tape = Survey(0.2, 5.0, 1300.0, 120.0, 850.0, 1400.0), 1.0
    true = taped(survey.points)
    rng = np.random.default_rng(5)
    off = rng.uniform(-tape, tape, (4, 20_000))
    left, right = true["diagonal_left_mm"] + off[0], true["diagonal_right_mm"] + off[1]
    aside = off_centre_mm(300.0 + off[2], 310.0 + off[3])
    flat = number(850.0), number(1400.0)
    spread = np.std(yaw_deg(left, right, *flat, aside, number(120.0)))
    band = float(yaw_band_deg(*(number(true[f"diagonal_{side}_mm"]) for side in ("left", "right")), *flat,
                              number(120.0), number(tape)))  # fmt: skip
    assert band == pytest.approx(1.96 * spread, rel=0.03)


@pytest.mark.parametrize(("left", "right"), [(0.3, 0.3), (0.6, 0.0), (-0.4, 0.1), (0.0, -0.8), (1.5, 1.0)])
def test_toe_is_the_angle_between_two_faces_surveyed_in_space(left: float, right: float) -> None:
    over, width = 640.0, 1480.0
    turn = Rotation.random(random_state=3)

    def bar(at: float, toe: float, inward: float) -> np.ndarray:
        """Points in front and behind on a bar held to a flange, front ends drawn inward by the toe."""
        way = np.array([-np.cos(radians(toe)), inward * np.sin(radians(toe)), 0.0])
        return turn.apply([np.array([0.0, at, 400.0]) + reach * way for reach in (over / 2.0, -over / 2.0)]) + 77.0

    one, two = bar(-width / 2.0, left, 1.0), bar(width / 2.0, right, -1.0)
    found = float(toe_deg(*map(number, (dist(one[0], two[0]), dist(one[1], two[1]), over))))
    first, second = one[0] - one[1], two[0] - two[1]
    angle = degrees(acos(float(first @ second / np.linalg.norm(first) / np.linalg.norm(second))))
    assert abs(found) == pytest.approx(angle, abs=2e-4)
    assert found == pytest.approx(left + right, abs=2e-4)


def test_an_axle_that_hangs_askew_has_no_camber_for_that() -> None:
    entries = {"square.camber_left_before_deg": 2.05, "square.camber_right_before_deg": -1.95}
    found = next(one for one in solve(edited(Build(), entries)).findings if one.id == "camber_before")
    assert found.value == pytest.approx(0.1)
    assert found.verdict == "clear"


@pytest.mark.parametrize(("after", "way"), [((-0.2, -0.1), "up"), ((0.3, 0.2), "down")])
def test_ends_drawn_up_lean_in_at_the_top(after: tuple[float, float], way: str) -> None:
    """A tube bent so that its ends rise turns the hubs' outer ends up, and so the flanges' tops inward."""
    before = {"square.camber_left_before_deg": 0.0, "square.camber_right_before_deg": 0.0}
    welded = dict(zip(("square.camber_left_after_deg", "square.camber_right_after_deg"), after, strict=True))
    found = next(one for one in solve(edited(Build(), {**before, **welded})).findings if one.id == "camber_welded")
    assert f"drew the ends {way} by" in found.says
