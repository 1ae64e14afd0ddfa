"""What is looked at over a range: a band, a map, draws, speeds; in seconds, and in thousands of small additions."""

import time
import timeit
from collections.abc import Callable
from itertools import islice
from typing import Any

import numpy as np
import pytest

from geometry import Build, edited
from geometry.document.entries import variants
from geometry.judge.judging import judge
from geometry.words.speeds import over_speed
from geometry.words.study import in_turns, study
from geometry.words.sure import sure
from tests.benchmarks.test_solving import small_work

LIFT, WEDGE = "plan.rear_lift_mm", "plan.axle_shim_deg"


@pytest.fixture(scope="module")
def busiest(busiest_path) -> Build:
    return Build.model_validate_json(busiest_path.read_text(encoding="utf-8"))


def best(work: Callable[[], Any], times: int = 3) -> float:
    """The least time of some, s."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return min(took)


@pytest.fixture
def told(record) -> Callable[..., None]:
    """Record a figure in seconds against what is asked, and beside it in thousands of small additions of this run."""
    unit = min(timeit.repeat(small_work, number=1, repeat=50))

    def put(what: str, work: Callable[[], Any], most: float | None = None, times: int = 3) -> None:
        took = best(work, times)
        record(what, took, "s", most=most)
        record(f"{what}, in small work", took * 1e3, "ms", floor=unit * 1e3, floor_name="1000 numpy additions")

    return put


def at_ride(build: Build) -> Build:
    """The build without what lies in the way and what a travel alone tells."""
    return edited(build, {"obstacles": ()})


def test_band(told, busiest):
    """The values, in three turns, and behind them the values between those where a verdict changes."""
    values = "band of one entry, 201 values, all findings with travel"
    told(values, lambda: list(islice(in_turns(busiest, LIFT, 0.0, 152.4), 3)), 0.1)
    told("the same with its borders to an eighth of a step", lambda: list(in_turns(busiest, LIFT, 0.0, 152.4)))
    told("its first turn, which is shown at once", lambda: next(in_turns(busiest, LIFT, 0.0, 152.4)))


def test_map(told, busiest):
    lifts, wedges = np.linspace(0.0, 152.4, 60), np.linspace(-6.0, 6.0, 60)
    up, across = (grid.ravel() for grid in np.meshgrid(lifts, wedges, indexing="ij"))
    bare = at_ride(busiest)
    told("map of 60 x 60 at ride height", lambda: judge(variants(bare, {LIFT: up, WEDGE: across})), 0.05)
    few = {LIFT: lifts[::4], WEDGE: wedges[::4]}
    told("map of 60 x 60 with travel, its first turn of 15 x 15", lambda: study(busiest, few), times=2)


def test_draws(told, busiest):
    bare = at_ride(busiest)
    alone = edited(bare, {"state": None, "use": None})  # in one state, as measured
    told("20,000 draws at ride height, in one state", lambda: sure(alone, 20_000, travel=False), 0.3)
    told("20,000 draws at ride height, in all its states", lambda: sure(bare, 20_000, travel=False), times=1)
    told("20,000 draws with travel, in one state", lambda: sure(alone, 20_000), 1.5, times=1)
    told("2,000 draws with travel, states and obstacles, as the page draws", lambda: sure(busiest), times=1)


def test_speeds(told, busiest):
    told("over speed, 161 speeds", lambda: over_speed(busiest))
