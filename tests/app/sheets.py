"""Sheets that several tests look at: every sample on both papers in both units, and the extremes."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import NamedTuple

from app.drawing.fonts import PX_PER_PT, width
from app.drawing.items import Box, Disc, Item, Page, Shape, Words
from app.drawing.wording import kind_of
from app.sheet.pages import Sheet, sheet_of
from app.sheet.paper import PaperName
from geometry import Build, Solution, edited, solve
from geometry.words.solution import Remedy, Verdict

DAY = date(2025, 3, 9)
SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))
RANCH = next(path for path in SAMPLES if path.stem == "ranch_truck_swap")
HAULER = next(path for path in SAMPLES if path.stem == "lifted_short_shaft")
PAPERS: tuple[PaperName, ...] = ("letter", "a4")
UNITS = {
    "inch": {"display.length": "inch", "display.torque": "pound_foot"},
    "millimetre": {"display.length": "millimetre", "display.torque": "newton_metre"},
}
THREE_ANGLES = {"powertrain.slope_deg": 4.2, "axle.pinion_slope_deg": 3.9, "readings.shaft_slope_deg": 9.0}
LONG_NAME = "a long file name of a build that goes on and on, and on after that, as nobody would ever want it to.json"


class Case(NamedTuple):
    """One sheet to look at."""

    build: Build
    solution: Solution
    paper: PaperName
    sheet: Sheet


def sample(path: Path = RANCH, **changes: object) -> Build:
    return edited(Build.model_validate_json(path.read_text(encoding="utf-8")), changes)


def worse(solution: Solution, count: int, letters: int = 150) -> Solution:
    """A solution with so many findings that hold, each with so long a sentence and a long remedy of its own."""
    made = []
    for number in range(count):
        finding = solution.findings[number % len(solution.findings)]
        says = f"Sentence {number + 1} " + "tells of what is wrong with the shaft and its joints " * (letters // 40)
        way = Remedy(
            f"Way {number + 1}: at both perches fit wedges that raise the pinion's nose, " * 2,
            {"plan.axle_shim_deg": float(number)}, 1.0, "clear", "hold", (), 1, 0,
        )  # fmt: skip
        made.append(
            replace(
                finding, id=f"{kind_of(finding)}_{number}", verdict="hold" if number % 3 else "caution",
                says=says[:letters], remedy=way, alternatives=(way,), value=9.0, limit=1.0,
            )
        )  # fmt: skip
    return replace(solution, verdict="hold", findings=tuple(made))


EXTREMES = (
    "empty", "three angles", "long notes", "long title", "title in words", "thirty obstacles", "much planned",
    "everything to set", "no findings", "all clear", "every finding bad", "thirty bad", "a hundred bad",
)  # fmt: skip
CASES = [
    *((path.stem, unit, paper) for path in SAMPLES for unit in UNITS for paper in PAPERS),
    *((name, "", paper) for name in EXTREMES for paper in PAPERS),
]


@cache
def case_of(name: str, unit: str, paper: PaperName) -> Case:
    """A sample in some units, or an extreme, on some paper."""
    build, solution = _built(name, unit)
    sheet = sheet_of(build, solution, paper, source_name=LONG_NAME, printed_on=DAY)
    return Case(build, solution, paper, sheet)


@cache
def _built(name: str, unit: str) -> tuple[Build, Solution]:
    if not unit:
        return _extreme(name)
    build = sample(next(path for path in SAMPLES if path.stem == name), **UNITS[unit])
    return build, solve(build)


def _extreme(name: str) -> tuple[Build, Solution]:
    notes = "Measured on the flat floor by the door.\n" * 450 + "x" * 1_900
    obstacle = {"view": "side", "outline_mm": ((900.0, 300.0), (1000.0, 300.0), (1000.0, 330.0))}
    planned = {
        "plan.axle_shim_deg": -2.0, "plan.mounts": "loose", "plan.powertrain_slope_deg": 3.0,
        "plan.powertrain_shift_mm": (-20.0, 12.7), "plan.rear_lift_mm": -25.4,
    }  # fmt: skip
    made = {
        "empty": Build,
        "three angles": lambda: edited(Build(), THREE_ANGLES),
        "long notes": lambda: sample(notes=notes),
        "long title": lambda: sample(title="W" * 200),
        "title in words": lambda: sample(title="A title in words " * 11),
        "thirty obstacles": lambda: sample(obstacles=({"name": f"pipe {'i' * 70}", **obstacle},) * 30),
        "much planned": lambda: sample(HAULER, **planned),
        "every finding bad": lambda: sample(HAULER),
        "thirty bad": lambda: sample(notes=notes),
    }
    build = made.get(name, sample)()
    solution = solve(build)
    if name == "everything to set":
        points = replace(
            solution.setpoints, axle_shim_deg=20.0, output_slope_deg=-3.0, pinion_slope_deg=-12.0,
            mount_shim_mm=-123.8, powertrain_rise_mm=-123.8, powertrain_aft_mm=-123.8, shaft_slope_deg=-2.0,
            shaft_length_mm=1_111.1, slip_engaged_mm=111.1, slip_stroke_mm=222.2, shackle_length_mm=133.3,
            lateral_link_mm=1_222.2, bearing_height_mm=1_333.3,
        )  # fmt: skip
        return build, replace(solution, setpoints=points)
    if name == "no findings":
        return build, replace(solution, findings=())
    if name == "all clear":
        clear = tuple(one for one in solution.findings if one.verdict == "clear")
        return build, replace(solution, verdict="clear", findings=clear)
    if name == "every finding bad":
        bad = tuple(replace(one, verdict="hold") for one in solution.findings)
        return build, replace(solution, verdict="hold", findings=bad)
    if name.endswith("bad"):
        return build, worse(solution, *((30, 150) if name == "thirty bad" else (100, 400)))
    return build, solution


def items_of(page: Page, *, drawing: bool) -> Iterator[Item]:
    """Items of a page, with those of its drawing or without: the page's own are its last layer."""
    for layer in page.layers if drawing else page.layers[-1:]:
        yield from layer.items


def words_of(page: Page, *, drawing: bool = False) -> list[Words]:
    return [one for one in items_of(page, drawing=drawing) if isinstance(one, Words)]


def text_of(sheet: Sheet, *pages: int) -> str:
    """Words of some pages, or all, in the order in which they are written, without those of the drawing."""
    chosen = [sheet.pages[number] for number in pages] or sheet.pages
    return " ".join(words.text for page in chosen for words in words_of(page))


def box_of(item: Item) -> Box:
    """The box of an item; of words from the top of a tall letter to the foot of a low one."""
    if isinstance(item, Words):
        high = item.pt * PX_PER_PT
        right = item.x + width(item.text, item.pt, bold=item.bold)
        return item.x, item.base - 0.76 * high, right, item.base + 0.22 * high
    if isinstance(item, Disc):
        (x, y), r = item.centre, item.radius
        return x - r, y - r, x + r, y + r
    xs, ys = [x for x, _ in item.points], [y for _, y in item.points]
    return min(xs), min(ys), max(xs), max(ys)


def empty_boxes(page: Page) -> list[Box]:
    """Boxes to tick or to write into."""
    return [
        box_of(one) for one in items_of(page, drawing=False)
        if isinstance(one, Shape) and one.closed and not one.fill and len(one.points) == 4
    ]  # fmt: skip


def count_of(words: str, text: str) -> int:
    """How often words stand in a text, not as the end or the beginning of longer words or numbers."""
    return len(re.findall(rf"(?<![\w.]){re.escape(words)}(?!\w)", text))


def shapes(sheet: Sheet, verdict: Verdict) -> int:
    """How many shapes of a verdict the pages have, but for those in the drawing."""
    return sum(is_shape(item, verdict) for page in sheet.pages for item in items_of(page, drawing=False))


def is_shape(item: object, verdict: Verdict) -> bool:
    """A verdict's shape is told by its outline alone: what a grey printer leaves of it."""
    if isinstance(item, Disc):
        return verdict == ("clear" if item.fill else "unknown")
    corners = {"hold": 4, "caution": 3}.get(verdict)
    return isinstance(item, Shape) and item.closed and bool(item.fill) and len(item.points) == corners
