"""What the plan strip shows: its cells as the build stands, their steps, and what each comes to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from app.units import Kind, degrees, leaning, show, show_tape
from geometry.document import Build, is_front_axle, value_at
from geometry.document.vehicle import Display
from geometry.words.solution import Solution

LIFTS: Final = {"spring": "springs", "block": "block", "shackle": "shackle"}
_LIFT_MM: Final = {"inch": 25.4 / 8.0, "millimetre": 5.0}
_SHIM_MM: Final = {"inch": 25.4 / 16.0, "millimetre": 1.0}


class Choice(NamedTuple):
    """A choice of a cell: the entry, the document's words with the screen's, and which of them holds."""

    path: str
    words: Mapping[str, str]
    now: str


class Cell(NamedTuple):
    """One cell: its name, its choice, the entry that its stepper sets with kind, step and way of wording, and a line on
    what it comes to, or what it needs.
    """

    key: str
    caption: str
    choice: Choice | None
    path: str
    kind: Kind
    step: float
    value: float | None
    comes_to: str
    able: bool = True


def cells_of(build: Build, solution: Solution, measured: Solution | None) -> tuple[Cell, ...]:
    """The cells of a build; `measured` is the answer without the plan, where something is planned."""
    before = measured or solution
    return (
        _lift(build, "rear", solution, before),
        _lift(build, "front", solution, before),
        _perches(build, solution, before),
        _mounts(build, solution, before),
    )


def words_of(cell: Cell, display: Display) -> str:
    """What stands in a cell's field: the value as it is set, or none."""
    if not cell.value:
        return "none" if cell.value is None or cell.path.endswith(("_mm", "shim_deg")) else _size(cell, display)
    return _size(cell, display)


def _size(cell: Cell, display: Display) -> str:
    value = cell.value or 0.0
    if cell.kind == "deg":
        return degrees(value)
    if cell.key == "mounts" and display.length == "inch":
        return show_tape(value, display)
    return show(value, cell.kind, display)


def _changed(before: float | None, now: float | None, words: str) -> str:
    """A number as measured and as planned, e.g. shaft 11.9° → 19.7°."""
    if now is None:
        return ""
    if before is None or abs(before - now) < 0.05:
        return f"{words} {degrees(abs(now))}"
    return f"{words} {degrees(abs(before))} → {degrees(abs(now))}"


def _lift(build: Build, end: str, solution: Solution, before: Solution) -> Cell:
    by = str(value_at(build, f"plan.{end}_lift_by") or "spring")
    driven = (end == "front") == is_front_axle(build)
    needs = _lift_needs(build, solution) if driven else ""
    if needs:
        line = needs
    elif driven:
        line = _changed(before.angles.shaft_slope_deg, solution.angles.shaft_slope_deg, "shaft")
    else:
        slope = solution.angles.frame_slope_deg
        line = "" if slope is None else f"frame {leaning(slope, down='tail down', up='nose down')}"
        line = line.replace("0.0° level", "level")
    value = value_at(build, f"plan.{end}_lift_mm")
    return Cell(
        f"{end} lift", f"{end.capitalize()} lift by", Choice(f"plan.{end}_lift_by", LIFTS, by), f"plan.{end}_lift_mm",
        "mm", _LIFT_MM[build.display.length], value, line,
    )  # fmt: skip


def _lift_needs(build: Build, solution: Solution) -> str:
    """What a lift of the driven axle waits for."""
    if not any(value_at(build, f"plan.{end}_lift_mm") for end in ("rear", "front")):
        return ""
    if build.suspension is None:
        return "needs: springs or links"
    lost = any(one.id == "lift" and one.verdict == "unknown" for one in solution.findings)
    return (
        "needs: its springs whole"
        if lost and build.suspension.kind == "leaf"
        else "needs: its links whole"
        if lost
        else ""
    )


def _perches(build: Build, solution: Solution, before: Solution) -> Cell:
    loose = value_at(build, "plan.perches") == "loose"
    links = value_at(build, "suspension.kind") == "links"
    words = {"welded": "welded", "loose": "loose"}
    was, now = before.angles.pinion_slope_deg, solution.angles.pinion_slope_deg
    able = value_at(build, "axle.pinion_slope_deg") is not None or loose
    caption = "Brackets" if links else "Perches"
    choice = Choice("plan.perches", words, "loose" if loose else "welded")
    if loose:
        line = _changed(was, now, "pinion")
        value = value_at(build, "plan.pinion_slope_deg")
        return Cell(
            "perches", caption, choice, "plan.pinion_slope_deg", "deg", 0.1, now if value is None else value,
            f"{line}, to weld" if line else "needs: pinion slope", able,
        )  # fmt: skip
    line = _changed(was, now, "turn: pinion" if links else "wedge: pinion") or "needs: pinion slope"
    value = value_at(build, "plan.axle_shim_deg")
    return Cell("perches", caption, choice, "plan.axle_shim_deg", "deg", 0.5, value, line, able)


def _mounts(build: Build, solution: Solution, before: Solution) -> Cell:
    loose = value_at(build, "plan.mounts") == "loose"
    was, now = before.angles.output_slope_deg, solution.angles.output_slope_deg
    choice = Choice("plan.mounts", {"fixed": "fixed", "loose": "loose"}, "loose" if loose else "fixed")
    mounts = all(value_at(build, f"powertrain.{end}_mount_mm") is not None for end in ("front", "rear"))
    if loose:
        line = _changed(was, now, "output")
        value = value_at(build, "plan.powertrain_slope_deg")
        return Cell(
            "mounts", "Mounts", choice, "plan.powertrain_slope_deg", "deg", 0.1, now if value is None else value,
            f"{line}, to set" if line else "needs: output slope", was is not None,
        )  # fmt: skip
    planned = value_at(build, "plan.mount_shim_mm")
    line = _changed(was, now, "shim: output") if mounts or not planned else ""
    if not mounts:
        line = "needs: both mounts"
    step = _SHIM_MM[build.display.length]
    return Cell("mounts", "Mounts", choice, "plan.mount_shim_mm", "mm", step, planned, line, mounts or bool(planned))
