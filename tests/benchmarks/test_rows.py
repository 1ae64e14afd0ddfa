"""A million variants of one build, and twenty thousand with everything different: in units of small numpy work.

Each figure is taken in a process of its own, which measures the unit beside it and tells the most memory it ever held.
It is the processor's time, which on an idle machine is the clock's, as all of it runs in one thread. All values, lines
and verdicts are kept to the end, what is one number for all rows as that number.
The truck stands here without its obstacles: gaps to three outlines are told in a row of their own, and not asked.
"""

import json
import resource
import subprocess
import sys
import time
import timeit
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np

from geometry.document import Build, edited
from geometry.document.entries import Variants, variants
from geometry.judge.judging import judge

ROOT = Path(__file__).resolve().parents[2]
SIDE = 100
"""Numbers for each of three entries: a million together."""
MANY = 20_000
POSITIONS = 41
SEVERAL = 3
"""Runs of which the fastest counts; a busy machine only ever makes one slower."""


def small_work() -> None:
    """A thousand additions of three numbers: the unit in which small array code is paid."""
    numbers = np.zeros(3)
    for _ in range(1000):
        numbers = numbers + 1.0


def unit_seconds() -> float:
    return min(timeit.repeat(small_work, number=1, repeat=50))


def sample(name: str) -> Build:
    return Build.model_validate_json((ROOT / "sample_builds" / f"{name}.json").read_text(encoding="utf-8"))


def truck() -> Build:
    """A truck in one state, as measured, with nothing in the way: with states each row is judged in all of them."""
    return edited(sample("ranch_truck_swap"), {"obstacles": (), "state": None, "use": None})


# --- what is judged ---------------------------------------------------------------------------------------------------

GRIDS: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "lift, wedge, shim": {
        "plan.rear_lift_mm": (0.0, 100.0), "plan.axle_shim_deg": (-4.0, 4.0), "plan.mount_shim_mm": (-25.0, 25.0),
    },
    "output height, pinion slope, cruise": {
        "powertrain.output_joint_mm.2": (620.0, 670.0), "axle.pinion_slope_deg": (1.0, 7.0),
        "vehicle.cruise_speed_kmh": (60.0, 120.0),
    },
    "wheelbase, tape, tube": {
        "vehicle.wheelbase_mm": (3220.0, 3260.0), "gauge.tape_uncertainty_mm": (0.5, 3.0),
        "shaft.tube.outer_diameter_mm": (50.8, 101.6),
    },
    "front half, shackle, axle height": {
        "suspension.front_half_mm": (680.0, 700.0), "suspension.shackle_length_mm": (100.0, 120.0),
        "axle.centre_mm.2": (405.0, 415.0),
    },
}  # fmt: skip


def a_million(grid: str, build: Build) -> Variants:
    axes = [np.linspace(*ends, SIDE) for ends in GRIDS[grid].values()]
    columns = np.meshgrid(*axes, indexing="ij")
    return variants(build, {path: column.ravel() for path, column in zip(GRIDS[grid], columns, strict=True)})


def everything(build: Build, rows: int) -> dict[str, np.ndarray]:
    """A column for every number that is measured, one per cent about what it is."""
    rng = np.random.default_rng(5)
    numbers = variants(build).numbers
    measured = [
        path for path, one in numbers.items() if np.isfinite(one) and not path.startswith(("plan.", "obstacles."))
    ]
    return {path: float(numbers[path]) * (1.0 + 0.01 * rng.normal(size=rows)) for path in measured}


def travelling(build: Build, *, far: bool) -> Variants:
    """Everything different; with `far` 15 per cent of the rows have stops beyond what springs or links can follow."""
    columns = everything(build, MANY)
    if far:
        out = np.arange(MANY) % 20 < 3
        for stop in ("suspension.droop_mm", "suspension.bump_mm"):
            columns[stop] = np.where(out, 900.0, columns[stop])
    return variants(build, columns)


# --- measured in a process of its own ---------------------------------------------------------------------------------


def fastest(work: Callable[[], object], runs: int = SEVERAL) -> float:
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1.0 if sys.platform != "darwin" else 1024.0) / 1024.0


def figures_of(what: str) -> dict[str, float]:
    before = unit_seconds()
    if what.startswith("million: "):
        v = a_million(what.removeprefix("million: "), truck())
        took = fastest(lambda: judge(v), 2)
    elif what == "million with obstacles":
        with_obstacles = sample("ranch_truck_swap")
        v = a_million("lift, wedge, shim", with_obstacles)
        took = fastest(lambda: judge(v), 1)
    else:
        name = "transfer_case_double_joint" if "links" in what else "ranch_truck_swap"
        build = edited(sample(name), {"obstacles": (), "state": None, "use": None})
        if "ride" in what:
            whole = variants(build, everything(build, MANY))
            took = fastest(lambda: judge(whole))
        else:
            v = travelling(build, far="far" in what)
            took = fastest(lambda: judge(v, positions=POSITIONS), 2)
    return {"seconds": took, "unit": min(before, unit_seconds()), "mib": peak_mib()}


def figures(what: str) -> dict[str, float]:
    code = f"from tests.benchmarks.test_rows import *; print(json.dumps(figures_of({what!r})))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True)
    answer: dict[str, float] = json.loads(done.stdout)
    return answer


# --- the figures ------------------------------------------------------------------------------------------------------


def test_a_million(record):
    first = figures("million: lift, wedge, shim")
    record("a million of lift x wedge x shim, ride height, no obstacles", first["seconds"], "s")
    record(
        "the same in units of small work", first["seconds"] * 1e3, "ms",
        most=8000.0, floor=first["unit"] * 1e3, floor_name="1000 numpy additions",
    )  # fmt: skip
    record("the most memory of that process", first["mib"], "MiB", most=400.0)
    for grid in list(GRIDS)[1:]:
        other = figures(f"million: {grid}")
        # Each against its own unit, as the machine may have been busier in one of them.
        floor = first["seconds"] / first["unit"] * other["unit"]
        record(f"a million of {grid}", other["seconds"], "s", most=2.0, floor=floor, floor_name="lift x wedge x shim")
        record("the most memory of that process", other["mib"], "MiB")
    gaps = figures("million with obstacles")
    record("a million of lift x wedge x shim with three obstacles at ride height", gaps["seconds"], "s")
    record("the most memory of that process", gaps["mib"], "MiB")


def test_everything_differs(record):
    for what in ("springs", "links"):
        ride = figures(f"{what} ride")
        record(f"20,000 with every measured entry different, {what}, ride height", ride["seconds"], "s", most=0.1)
        for reach in ("", ", far"):
            told = ", 15 % with stops out of reach" if reach else ""
            long = figures(f"{what} travel{reach}")
            record(f"20,000 x 41 places, all different, {what}{told}", long["seconds"], "s", most=1.0)


def test_members_of_the_million_are_judged_as_alone():
    """200 random members equal single judging, to 1e-9."""
    rng = np.random.default_rng(3)
    for grid in GRIDS:
        v = a_million(grid, truck())
        rows = np.sort(rng.choice(v.rows, 50, replace=False))
        found = judge(v)
        for row in rows.tolist():
            for key, alone in judge(variants(v.build_at(row))).items():
                assert found[key].verdict[row] == alone.verdict[0], (grid, row, key)
                if alone.verdict[0]:
                    here, there = found[key].value[row], alone.value[0]
                    assert np.isclose(here, there, rtol=1e-9, atol=1e-9, equal_nan=True), (grid, row, key)
