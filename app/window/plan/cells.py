"""What the plan strip shows: its cells as the build stands, their steps, and what each comes to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from app.complaints import title_of
from app.units import Kind, degrees, leaning, show, show_tape, shown_unit
from app.window.form.field_text import field_text
from geometry.document import Build, is_front_axle, value_at
from geometry.document.vehicle import Display
from geometry.words.solution import Solution
from geometry.words.wording import capital, small

LIFTS: Final = {"spring": "springs", "block": "block", "shackle": "shackle"}
_LIFT_MM: Final = {"inch": 25.4 / 8.0, "millimetre": 5.0}
_WAITS: Final = ("waits for the lift", "after the lift")
"""Of a slope that is measured, but nowhere with a lift that cannot be worked out."""
_ALONG: Final = {
    "readings.seat_slope_deg": "seat slope", "readings.shaft_slope_deg": "shaft slope",
    "readings.shaft_length_mm": "shaft length", "state.rail_slope_deg": "rail slope",
    "vehicle.frame_slope_deg": "rail slope", "lateral_link.frame_point_mm": "lateral link",
    "lateral_link.axle_point_mm": "lateral link",
}  # fmt: skip
"""What a block under a shaft that was taped along itself may wait for, in few letters."""
_SHIM_MM: Final = {"inch": 25.4 / 16.0, "millimetre": 1.0}


class Choice(NamedTuple):
    """A choice of a cell: the entry, the document's words with the screen's, and which of them holds."""

    path: str
    words: Mapping[str, str]
    now: str


class Cell(NamedTuple):
    """One cell: its name, its choice, the entry that its stepper sets with kind and step, and what it comes to or
    needs, in words from many to few.
    """

    key: str
    caption: str
    choice: Choice | None
    path: str
    kind: Kind
    step: float
    value: float | None
    comes_to: tuple[str, ...]
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


def words_of(cell: Cell, display: Display) -> tuple[str, ...]:
    """What stands in a cell's field, from exact to short: the value as it is set, or none."""
    if cell.value is None or (not cell.value and cell.path.endswith(("_mm", "shim_deg"))):
        return ("none",)
    symbol = shown_unit(cell.kind, display).symbol
    gap = "" if symbol == "°" else " "
    exact, usual = f"{field_text(cell.value, cell.kind, display)}{gap}{symbol}", show(cell.value, cell.kind, display)
    taped = show_tape(cell.value, display) if cell.key == "mounts" and cell.kind == "mm" else "≈"
    told = [taped] if not taped.startswith("≈") and display.length == "inch" else [exact, usual]
    return (*told, told[-1].removesuffix(symbol).rstrip() if gap else told[-1])


def _nose(build: Build) -> tuple[str, str]:
    """Which way a pinion points where its slope is more than nothing, and where it is less."""
    return ("down", "up") if is_front_axle(build) else ("up", "down")


def _changed(before: float | None, now: float | None, leans: tuple[str, str]) -> str:
    """A slope as measured and as planned, e.g. 11.9° → 19.7°; less than nothing, or turned over, says which way."""
    if now is None:
        return ""
    told = [now] if before is None else [before, now]
    level = degrees(0.0)
    turned = min(told) < 0.0

    def words(slope_deg: float) -> str:
        size = degrees(abs(slope_deg))
        return f"{size} {leans[slope_deg < 0.0]}" if turned and size != level else size

    one, two = words(told[0]), words(told[-1])
    if one == two:
        return two
    if turned and one.rpartition(" ")[2] == two.rpartition(" ")[2]:
        one = one.rpartition(" ")[0]  # the way stands behind the other
    return f"{one} → {two}"


def _told(change: str, name: str, *, by: str = "", to: str = "") -> tuple[str, ...]:
    """A change in words, from all of them to the fewest, e.g. wedge: pinion 2.3° → 4.3°; pinion 2.3° → 4.3°."""
    if not change:
        return ("",)
    return (f"{by}{name} {change}{to}", f"{name} {change}", change, f"→{change.rpartition('→')[2]}")


def _lift(build: Build, end: str, solution: Solution, before: Solution) -> Cell:
    by = str(value_at(build, f"plan.{end}_lift_by") or "spring")
    driven = (end == "front") == is_front_axle(build)
    needs = _lift_needs(build, solution) if driven else ""
    if needs:
        lines = _needs(needs)
    elif driven:
        was, now = before.angles.shaft_slope_deg, solution.angles.shaft_slope_deg
        lines = _told(_changed(was, now, ("down", "up")), "shaft")
    else:
        slope = solution.angles.frame_slope_deg
        lean = "" if slope is None else leaning(slope, down="tail down", up="nose down").replace("0.0° level", "level")
        lines = (f"frame {lean}" if lean else "", lean)
    value = value_at(build, f"plan.{end}_lift_mm")
    return Cell(
        f"{end} lift", f"{capital(end)} lift by", Choice(f"plan.{end}_lift_by", LIFTS, by), f"plan.{end}_lift_mm",
        "mm", _LIFT_MM[build.display.length], value, lines,
    )  # fmt: skip


def _lift_needs(build: Build, solution: Solution) -> str:
    """What a lift of the driven axle waits for."""
    if not any(value_at(build, f"plan.{end}_lift_mm") for end in ("rear", "front")):
        return ""
    unplaced = value_at(build, "axle.centre_mm") is None and value_at(build, "suspension.kind") != "links"
    if build.suspension is None or unplaced:
        return _along_needs(build, solution)
    lost = any(one.id == "lift" and one.verdict == "unknown" for one in solution.findings)
    return f"its {'springs' if build.suspension.kind == 'leaf' else 'links'} whole" if lost else ""


def _along_needs(build: Build, solution: Solution) -> str:
    """The same without springs or links: a block wants no more than the seat's slope and the shaft's length."""
    if solution.angles.shaft_slope_deg is not None:
        return ""
    if any(one.operating_deg is not None for one in solution.joints):
        return "wheelbase"
    end = "front" if is_front_axle(build) else "rear"
    if value_at(build, f"plan.{end}_lift_by") != "block":
        return "springs or links" if build.suspension is None else "its springs whole"
    entry = next((one.entry for one in solution.findings if one.id == "shaft_slope"), "suspension")
    if value_at(build, entry) is not None:  # whatever it is that lacks, it is nothing to enter
        return ""
    return _ALONG[entry] if entry in _ALONG else small(title_of(entry))


def _needs(what: str) -> tuple[str, ...]:
    """What a cell waits for, in words and in fewer."""
    return f"needs: {what}", f"{what}?"


def _perches(build: Build, solution: Solution, before: Solution) -> Cell:
    loose = value_at(build, "plan.perches") == "loose"
    links = value_at(build, "suspension.kind") == "links"
    words = {"welded": "welded", "loose": "loose"}
    was, now = before.angles.pinion_slope_deg, solution.angles.pinion_slope_deg
    able = value_at(build, "axle.pinion_slope_deg") is not None or loose
    caption = "Brackets" if links else "Perches"
    choice = Choice("plan.perches", words, "loose" if loose else "welded")
    if loose:
        lines = _told(_changed(was, now, _nose(build)), "pinion", to=", to weld")
        value = value_at(build, "plan.pinion_slope_deg")
        return Cell(
            "perches", caption, choice, "plan.pinion_slope_deg", "deg", 0.1, now if value is None else value,
            lines if lines[0] else _needs("pinion slope"), able,
        )  # fmt: skip
    lines = _told(_changed(was, now, _nose(build)), "pinion", by="turn: " if links else "wedge: ")
    known = value_at(build, "axle.pinion_slope_deg") is not None
    lines = lines if lines[0] else _WAITS if known else _needs("pinion slope")
    value = value_at(build, "plan.axle_shim_deg")
    return Cell("perches", caption, choice, "plan.axle_shim_deg", "deg", 0.5, value, lines, able)


def _mounts(build: Build, solution: Solution, before: Solution) -> Cell:
    loose = value_at(build, "plan.mounts") == "loose"
    was, now = before.angles.output_slope_deg, solution.angles.output_slope_deg
    choice = Choice("plan.mounts", {"fixed": "fixed", "loose": "loose"}, "loose" if loose else "fixed")
    mounts = all(value_at(build, f"powertrain.{end}_mount_mm") is not None for end in ("front", "rear"))
    if loose:
        lines = _told(_changed(was, now, ("down", "up")), "output", to=", to set")
        value = value_at(build, "plan.powertrain_slope_deg")
        return Cell(
            "mounts", "Mounts", choice, "plan.powertrain_slope_deg", "deg", 0.1, now if value is None else value,
            lines if lines[0] else _needs("output slope"), was is not None,
        )  # fmt: skip
    planned = value_at(build, "plan.mount_shim_mm")
    lines = _told(_changed(was, now, ("down", "up")), "output", by="shim: ")
    if not mounts:
        lines = _needs("both mounts")
    step = _SHIM_MM[build.display.length]
    return Cell("mounts", "Mounts", choice, "plan.mount_shim_mm", "mm", step, planned, lines, mounts or bool(planned))
