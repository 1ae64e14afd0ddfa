"""One name for an entry and one way to say what is done at the rear mount, whoever asks: no two ways, no two alike."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from app.naming import name_of
from app.papers.tacking import steps_of
from app.plans import plans_text
from app.sheet.planned import planned_words
from app.study import study_text
from app.sure import SAID, sure_text
from app.window.ranges.varied import varied
from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.document.vehicle import Display
from geometry.words.plans import Looked, PlanFound
from geometry.words.remedies import shim_words
from geometry.words.study import study
from geometry.words.sure import sure

SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*.json"))
RANCH = next(path for path in SAMPLES if path.stem == "ranch_truck_swap")
MOUNT = "plan.mount_shim_mm"


def read(path: Path) -> Build:
    return Build.model_validate_json(path.read_bytes())


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_two_entries_of_a_build_have_one_name(path: Path) -> None:
    build = read(path)
    if len(build.shocks) > 1:  # as many shops have them: both called the same
        build = edited(build, {f"shocks.{number}.name": "shock" for number in range(len(build.shocks))})
    names = {entry: name_of(build, entry) for entry in variants(build).numbers}
    twice = [name for name in names.values() if list(names.values()).count(name) > 1]
    assert not twice
    assert all(name[0].isupper() and not re.search(r"_|, \d", name) for name in names.values())


def test_things_of_a_list_are_named_by_what_the_person_calls_them() -> None:
    build = edited(read(RANCH), {"shocks.0.name": "left", "shocks.1.name": "right"})
    assert name_of(build, "shocks.1.frame_point_mm.2") == "Right: Upper eye, up"
    same = edited(build, {"shocks.0.name": "shock", "shocks.1.name": "shock"})
    assert name_of(same, "shocks.1.extended_mm") == "Shock 2: Length extended"
    stock = edited(build, {"tube_stock": ({"outer_diameter_mm": 76.2, "wall_mm": 2.1},) * 2})
    assert name_of(stock, "tube_stock.1.wall_mm").endswith(" 2: Tube wall")


def test_study_sure_and_the_page_over_a_range_say_the_same_name() -> None:
    build = read(RANCH)
    for one in varied(build, solve(build)):
        assert one.name == name_of(build, one.path)
    path = "shocks.0.frame_point_mm.2"
    told = study_text(build, study(build, {path: [500.0, 510.0]}), None, "")
    assert f"{name_of(build, path)} ({path})" in told
    rough = edited(build, {"gauge.angle_uncertainty_deg": 0.5, "gauge.tape_uncertainty_mm": 12.0})
    found = sure(rough, 125)
    assert found.again
    said = sure_text(rough, found, "")
    assert all(f"  {name_of(rough, path)} " in said for path, _ in found.again[:SAID])


@pytest.mark.parametrize("shim_mm", [12.0, -12.0])
def test_nobody_fits_a_shim_of_less_than_nothing(shim_mm: float) -> None:
    """Wherever a shim is said, one of less than nothing is a mount that is lowered, and no sign is told."""
    display = Display(length="millimetre")
    build = edited(read(RANCH), {"display": display.model_dump(), "plan.mounts": "fixed", MOUNT: shim_mm})
    solution = solve(build)
    page = next(one for one in varied(build, solution) if one.path == MOUNT)
    solution = replace(solution, setpoints=replace(solution.setpoints, mount_shim_mm=shim_mm))
    placed = next(one for one in steps_of(build, solution)[0].ticks if "the rear mount by" in one)
    assert placed.startswith("Raise" if shim_mm > 0.0 else "Lower")
    plan = PlanFound({MOUNT: shim_mm}, "clear", 0, 0, 0, 0.1, ())
    orders = [shim_words(shim_mm, display), plans_text(build, Looked((plan,), plan, 1, 1, ended=True), {}, "")]
    done = [page.chosen(shim_mm, display), planned_words(build)]
    for words in orders:
        assert ("put 12" if shim_mm > 0.0 else "lower the rear mount by 12") in words
    for words in done:
        assert ("of shim under the rear mount" if shim_mm > 0.0 else "rear mount lowered by 12") in words
    assert not any(re.search(r"[-−]12", words) for words in (*orders, *done, placed))
