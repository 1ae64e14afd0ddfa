"""Which entries may be varied, from where to where they are at first, and in which steps they can be set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pydantic import ValidationError

from app.complaints import unit_of
from app.naming import name_of
from app.units import Kind, as_kind, show, show_tape
from geometry.document import Build, edited, is_front_axle, value_at
from geometry.document.entries import variants
from geometry.document.vehicle import Display
from geometry.words.solution import Solution
from geometry.words.sure import READ
from geometry.words.wording import mount_words, small

_SECTIONS: Final = READ | {"gauge", "use"}
"""Sections whose numbers may be varied beside those of the plan."""
_INCH: Final = 25.4
_LIFT_MM: Final = {"inch": 152.4, "millimetre": 150.0}
_WEDGE: Final = "plan.axle_shim_deg"
_MOUNT: Final = "plan.mount_shim_mm"
_HALVES: Final = 12


@dataclass(frozen=True)
class Varied:
    """One entry that may be varied: `now` is what it stands at, None where nothing is planned."""

    path: str
    name: str
    kind: Kind
    now: float
    first: float
    last: float

    def step(self, display: Display) -> float:
        """The finest step in which it is set or cut: 1/16 in or 1 mm, wedges by half degrees, else a 200th."""
        if self.kind == "mm":
            return _INCH / 16.0 if display.length == "inch" else 1.0
        if self.kind == "deg":
            return 0.5 if self.path == _WEDGE else 0.1
        return (self.last - self.first) / 200.0

    def said(self, value: float, display: Display) -> str:
        """A value in the person's units."""
        return show_tape(value, display) if self.kind == "mm" else show(value, self.kind, display)

    def chosen(self, value: float, display: Display) -> str:
        """What is chosen with a value: the entry with it, at the rear mount what is to be there."""
        if self.path == _MOUNT:
            return mount_words(value, self.said(abs(value), display), done=True)
        return f"{small(self.name)} {self.said(value, display)}"


def varied(build: Build, solution: Solution) -> tuple[Varied, ...]:
    """Everything that may be varied: the plan, the driven axle's lift on top, then what is measured."""
    found = [
        Varied(path, name_of(build, path), kind, now, *_within(build, path, ends))
        for path, kind, now, ends in _planned(build, solution)
    ]
    told = {one.path for one in found}
    for path, value in variants(build).numbers.items():
        if path.partition(".")[0] in _SECTIONS and path not in told and value == value:  # noqa: PLR0124  nan is not itself
            now = float(value)
            kind = as_kind(unit_of(path) or "ratio")
            found.append(Varied(path, name_of(build, path), kind, now, *_within(build, path, _about(now, kind))))
    return tuple(one for one in found if one.first < one.last)


def _planned(build: Build, solution: Solution) -> list[tuple[str, Kind, float, tuple[float, float]]]:
    """What may be planned: path, kind, what it stands at, and a usual range."""
    plan, lift = build.plan, _LIFT_MM[build.display.length]
    some: list[tuple[str, Kind, tuple[float, float], float]] = [
        ("plan.rear_lift_mm", "mm", (0.0, lift), 0.0),
        ("plan.front_lift_mm", "mm", (0.0, lift), 0.0),
    ]
    if is_front_axle(build):
        some.reverse()
    pinion, output = solution.measured.pinion_slope_deg, solution.measured.output_slope_deg
    if plan is None or plan.perches == "welded":
        some.append((_WEDGE, "deg", (-6.0, 6.0), 0.0))
    elif pinion is not None:
        some.append(("plan.pinion_slope_deg", "deg", (round(pinion) - 8.0, round(pinion) + 8.0), pinion))
    if plan is None or plan.mounts == "fixed":
        some.append((_MOUNT, "mm", (-lift / 3.0, lift / 3.0), 0.0))
    elif output is not None:
        some.append(("plan.powertrain_slope_deg", "deg", (round(output) - 6.0, round(output) + 6.0), output))
    entered = [value_at(build, path) for path, *_ in some]
    return [
        (path, kind, otherwise if value is None else value, ends)
        for (path, kind, ends, otherwise), value in zip(some, entered, strict=True)
    ]


def _about(now: float, kind: Kind) -> tuple[float, float]:
    """A range about what is measured: some degrees or a hand's breadth, else a fifth either way."""
    if kind == "deg":
        return now - 5.0, now + 5.0
    if kind == "mm" and abs(now) >= 250.0:
        return now - 50.0, now + 50.0
    return now - abs(now) / 5.0, now + abs(now) / 5.0


def _within(build: Build, path: str, ends: tuple[float, float]) -> tuple[float, float]:
    """The range as far as a build is possible: an end that is not comes nearer to the other, and is nil at last."""
    first, last = ends
    middle = min(max(0.0, first), last) if path.startswith("plan.") else (first + last) / 2.0
    return _possible(build, path, first, middle), _possible(build, path, last, middle)


def _possible(build: Build, path: str, end: float, middle: float) -> float:
    for _ in range(_HALVES):
        try:
            edited(build, {path: end})
        except (ValidationError, KeyError):
            end = (end + middle) / 2.0
        else:
            return end
    return middle
