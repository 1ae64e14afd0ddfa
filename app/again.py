"""What was read again after tack, weld and drive, as text for a terminal, and the words that others say of it too."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.cautions import CAUTIONS
from app.complaints import one_line
from app.drawing.palette import VERDICT_SIGNS
from app.setpoints import as_told
from app.terminal import WIDTH, headed, wrapped
from app.units import leaning, show
from geometry.document import Build, is_front_axle
from geometry.document.vehicle import Display
from geometry.words.again import Checked, Compared, SetAgain, read_again, stage_words
from geometry.words.solution import Solution

COLUMNS: Final = ("", "to be", "before", "now", "off")
NOT_READ: Final = "–"


def sets_of(build: Build, solution: Solution) -> tuple[SetAgain, ...]:
    """Every set, held against the one set of numbers that sheet and papers show."""
    return read_again(build, replace(solution, setpoints=as_told(build, solution)))


def heading(one: SetAgain, display: Display) -> str:
    """When a set was read: Welded, cold · 12 May · 61,240 mi."""
    driven = "" if one.odometer_km is None else show(one.odometer_km, "km", display)
    return " · ".join(part for part in (stage_words(one.stage), one.day, driven) if part)


def cells(row: Compared, build: Build) -> tuple[str, ...]:
    """What a number was to be, was before, is, and how far it is off, as they are shown; slopes with which way."""
    display = build.display
    shown = [
        NOT_READ if value is None else _leaning(row, value, build) or show(value, row.unit, display)
        for value in (row.wanted, row.before, row.read)
    ]
    if row.wanted is None:  # left less right: what is read is how far they are off
        shown[2] = NOT_READ
    off = NOT_READ if row.off is None else show(row.off, row.unit, display)
    doubt = "" if row.doubt is None or row.off is None else f" ± {show(row.doubt, row.unit, display)}"
    return (*shown, f"{off}{doubt}")


def _leaning(row: Compared, value: float, build: Build) -> str:
    """A slope with which way it leans; nothing of what has no way."""
    ways = {"output": ("tail down", "tail up"), "shaft": ("down", "up"), "pinion": ("nose up", "nose down")}
    if row.name not in ways:
        return ""
    down, up = ways[row.name]
    if row.name == "pinion" and is_front_axle(build):
        down, up = up, down
    return leaning(value, down=down, up=up)


def check_words(one: Checked) -> str:
    """What was found of something that is looked at."""
    return {None: "not looked at", True: "right", False: "not right"}[one.right]


def again_text(build: Build, solution: Solution, source_name: str) -> str:
    """Return it as text, no line wider than 98 columns."""
    lines = [headed(build, source_name)]
    sets = sets_of(build, solution)
    if not sets:
        lines += ["", "Nothing has been measured again yet."]
    for one in sets:
        lines += ["", one_line(heading(one, build.display))[:WIDTH]]
        lines += wrapped(f"{VERDICT_SIGNS[one.verdict]} {one.says}", "  ")
        lines += [_row(COLUMNS)] if one.numbers else []
        lines += [f"{_row((f'{VERDICT_SIGNS[row.verdict]} {row.title}', *cells(row, build)))}" for row in one.numbers]
        lines += [f"{VERDICT_SIGNS[row.verdict]} {row.title}: {check_words(row)}" for row in one.checks]
        if one.whole is not None:
            lines.append(f"The whole build with these lines: {VERDICT_SIGNS[one.whole]} {one.whole}")
    lines += ["", *wrapped(CAUTIONS[0])]
    return "\n".join(lines) + "\n"


def _row(cells_: tuple[str, ...]) -> str:
    return "".join(f"{cell:{width}}" for cell, width in zip(cells_, (29, 16, 16, 17, 0), strict=True)).rstrip()
