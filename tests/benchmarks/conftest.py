"""One table at the end: what was measured, its floor measured in the same run, their ratio, and what is asked."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).resolve().parents[2]
BUSIEST = ROOT / "sample_builds" / "ranch_truck_swap.json"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    what: str
    value: float
    unit: str
    floor: float | None
    floor_name: str
    asked: str
    met: bool


ROWS: list[Row] = []


@pytest.fixture
def record() -> Callable[..., None]:
    """Put one into the table; `most` is what is asked, if anything, of the ratio, or without a floor of the value."""

    def put(
        what: str,
        value: float,
        unit: str,
        *,
        most: float | None = None,
        floor: float | None = None,
        floor_name: str = "",
        least: bool = False,
    ) -> None:
        if most is None:  # told beside a figure that is asked for
            ROWS.append(Row(what, value, unit, floor, floor_name, "", True))
            return
        measured = value if floor is None else (floor / value if least else value / floor)
        met = measured >= most if least else measured <= most
        of = f" {unit}" if floor is None else " × faster" if least else " × floor"
        asked = f"{'at least' if least else 'at most'} {most:g}{of}"
        ROWS.append(Row(what, value, unit, floor, floor_name, asked, met))

    return put


@pytest.fixture(scope="session")
def busiest_path() -> Path:
    """The sample with the most on it: every section entered, three obstacles, travel and torque."""
    return BUSIEST


@pytest.fixture(scope="session")
def in_turn() -> Callable[..., list[float]]:
    """Median wall times of whole processes, seconds, run in turn so that a slow minute hits them all.

    Python may keep what it compiled, as it does for a person: a test run that forbids it would compile the program anew
    at every start, but never the libraries of the floor, which were compiled when they were installed. The floors too
    are spared numpy's threads, which idle in a loop at first: on a busy machine they make a floor half as slow again.
    """
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)

    def measure(*commands: list[str], runs: int) -> list[float]:
        times: list[list[float]] = [[] for _ in commands]
        for run in range(runs + 1):
            for command, found in zip(commands, times, strict=True):
                start = time.perf_counter()
                subprocess.run([sys.executable, *command], env=environment, cwd=ROOT, check=True, capture_output=True)
                if run:  # the first fills the disk's cache and Python's
                    found.append(time.perf_counter() - start)
        return [statistics.median(found) for found in times]

    return measure


@pytest.hookimpl(trylast=True)
def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the table."""
    if not ROWS:
        return
    terminalreporter.section("figures, with the floor measured in the same run")
    for row in ROWS:
        floor = ""
        if row.floor is not None:
            floor = f"   {row.floor_name} {row.floor:,.3f} {row.unit}, ratio {row.value / row.floor:.2f}"
        word = "    " if not row.asked else "met " if row.met else "OPEN"
        asked = f"   asked: {row.asked}" if row.asked else ""
        terminalreporter.write_line(f"{word}  {row.what}: {row.value:,.3f} {row.unit}{floor}{asked}")
