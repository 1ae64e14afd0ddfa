"""The solve itself, in milliseconds and as a ratio to a fixed amount of small numpy work."""

import timeit

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.words.solve import POSITIONS


@pytest.fixture(scope="module")
def busiest(busiest_path) -> Build:
    return Build.model_validate_json(busiest_path.read_text(encoding="utf-8"))


def small_work() -> None:
    """A thousand additions of three numbers: the unit in which small array code is paid."""
    numbers = np.zeros(3)
    for _ in range(1000):
        numbers = numbers + 1.0


@pytest.fixture(scope="module")
def unit_ms() -> float:
    return min(timeit.repeat(small_work, number=1, repeat=50)) * 1e3


ROUNDS = 80


def solved_in_turn(benchmark, builds: list[Build]) -> float:
    """Median time of solving builds of which none is like the one before, ms."""
    turn = iter(builds)
    benchmark.pedantic(solve, setup=lambda: ((next(turn),), {}), rounds=ROUNDS, warmup_rounds=5)
    return benchmark.stats.stats.median * 1e3


def moved_joints(build: Build) -> list[Build]:
    """The build with its output joint in one place after another; all else is left, so what the springs do is known."""
    places = [(1633.0 + (number * 7) % 23, -30.0, 646.0 + (number * 5) % 19) for number in range(ROUNDS + 5)]
    return [edited(build, {"powertrain.output_joint_mm": place}) for place in places]


def test_full_solve(benchmark, record, busiest, unit_ms):
    took = solved_in_turn(benchmark, moved_joints(busiest))
    record(f"full solve: findings, remedies, {POSITIONS}-point travel, obstacles", took, "ms", most=5.0)
    record(
        "the same in units of small work", took, "ms", most=50.0, floor=unit_ms, floor_name="1000 numpy additions"
    )  # fmt: skip


def test_full_solve_of_another_spring(benchmark, record, busiest):
    springs = [edited(busiest, {"suspension.shackle_length_mm": 105.0 + 0.1 * number}) for number in range(ROUNDS + 5)]
    took = solved_in_turn(benchmark, springs)
    record("full solve, the spring itself another one", took, "ms", most=5.0)


def test_ride_height(benchmark, record, busiest):
    ride = edited(busiest, {"suspension": None, "obstacles": (), "plan.axle_shim_deg": 1.0})
    record("solve at ride height only", solved_in_turn(benchmark, moved_joints(ride)), "ms", most=1.0)


def test_edit(benchmark, record, busiest):
    benchmark.pedantic(edited, args=(busiest, {"axle.pinion_slope_deg": 3.3}), rounds=200, warmup_rounds=5)
    record("an edit, validated", benchmark.stats.stats.median * 1e3, "ms", most=0.5)
