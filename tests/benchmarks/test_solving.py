"""The solve itself, in milliseconds and as a ratio to a fixed amount of small numpy work."""

import timeit

import numpy as np
import pytest

from geometry import Build, edited, solve


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


def test_full_solve(benchmark, record, busiest, unit_ms):
    benchmark.pedantic(solve, args=(busiest,), rounds=80, warmup_rounds=5)
    record("full solve: findings, 201-point travel, obstacles", benchmark.stats.stats.median * 1e3, "ms", most=5.0)
    record(
        "the same in units of small work",
        benchmark.stats.stats.median * 1e3,
        "ms",
        most=50.0,
        floor=unit_ms,
        floor_name="1000 numpy additions",
    )


def test_ride_height(benchmark, record, busiest):
    ride = edited(busiest, {"suspension": None, "obstacles": (), "plan.axle_shim_deg": 1.0})
    benchmark.pedantic(solve, args=(ride,), rounds=80, warmup_rounds=5)
    record("solve at ride height only", benchmark.stats.stats.median * 1e3, "ms", most=1.0)


def test_edit(benchmark, record, busiest):
    benchmark.pedantic(edited, args=(busiest, {"axle.pinion_slope_deg": 3.3}), rounds=200, warmup_rounds=5)
    record("an edit, validated", benchmark.stats.stats.median * 1e3, "ms", most=0.5)
