"""What all tests share: a screen that nobody sees, steady property tests, and the sample builds."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from coverage import Coverage
from hypothesis import settings

from tests.screen import unseen

unseen()  # before any test imports Qt: no window pops up over someone's work

settings.register_profile("steady", deadline=None, derandomize=True, max_examples=50, database=None)
settings.load_profile("steady")

OUTER = (Path(__file__).parent / "app", Path(__file__).parent / "regression")
"""Tests of what stands around the mechanics."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Leave outer tests out of the coverage: the mechanics' own take every branch, and these run faster so."""
    measured = Coverage.current()
    if measured is None or not any(item.path.is_relative_to(place) for place in OUTER):
        return (yield)
    measured.stop()
    try:
        return (yield)
    finally:
        measured.start()


SAMPLES = Path(__file__).parent.parent / "sample_builds"


@pytest.fixture(params=sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def sample_path(request: pytest.FixtureRequest) -> Path:
    """Each sample build in turn."""
    path: Path = request.param
    return path


@pytest.fixture
def in_a_hurry(tmp_path: Path) -> Path:
    """A build file of three angles and a length, as someone writes it by hand."""
    path = tmp_path / "hurry.json"
    path.write_text(
        '{"powertrain": {"slope_deg": 3.5}, "axle": {"pinion_slope_deg": 3.5},'
        ' "readings": {"shaft_slope_deg": 10.8, "shaft_length_mm": 1524}}',
        encoding="utf-8",
    )
    return path
