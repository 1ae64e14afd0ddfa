"""What a plan may change, from where to where at first, and in which steps it is bought, cut or set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from app.naming import name_of
from app.plans import change_name
from app.units import Kind
from app.window.ranges.varied import varied
from geometry.document import Build, value_at
from geometry.document.running_gear import OnePieceShaft, TwoPieceShaft
from geometry.document.vehicle import Display
from geometry.mechanics.vectors import Floats
from geometry.words.plans import choices_of
from geometry.words.solution import Solution
from geometry.words.tubes import diameters_had

_INCH: Final = 25.4
_USUAL: Final = (
    "plan.axle_shim_deg", "plan.pinion_slope_deg", "plan.mount_shim_mm", "plan.powertrain_slope_deg",
)  # fmt: skip
"""What is marked at first: the cheapest to buy and to undo."""
_HALF_DEG: Final = 0.5
_EVEN_DEG: Final = 10.0


@dataclass(frozen=True)
class Changeable:
    """An entry that a plan may change: usual ends of its range, and what lies between them.

    `step` is how finely it is set, counted from `base`; where it is bought in sizes those are its `stock`. What is no
    number has instead of a range the `others` that it may be.
    """

    path: str
    name: str
    kind: Kind
    first: float
    last: float
    step: float = 0.0
    base: float = 0.0
    stock: tuple[float, ...] = ()
    others: tuple[Any, ...] = ()

    @property
    def usual(self) -> bool:
        """Whether it is marked at first."""
        return self.path in _USUAL

    def values(self, first: float, last: float) -> Floats:
        """What it can be set to within a range; its ends where nothing lies within."""
        if self.stock:
            within = np.array([size for size in self.stock if first <= size <= last])
        else:
            low, high = (round((end - self.base) / self.step, 6) for end in (first, last))
            within = self.base + self.step * np.arange(np.ceil(low), np.floor(high) + 1.0)
        return within if within.size else np.array([first, last])


def changeable(build: Build, solution: Solution) -> tuple[Changeable, ...]:
    """Everything that a plan may change of this build: at the perches and the mounts, the lifts, then the shaft."""
    display = build.display
    planned = [
        Changeable(one.path, one.name, one.kind, round(one.first, 6), round(one.last, 6), _step(one.path, display))
        for one in varied(build, solution)
        if one.path.startswith("plan.")
    ]
    planned.sort(key=lambda one: not one.usual)
    chosen = [
        Changeable(path, change_name(build, path), "ratio", 0.0, 0.0, others=others)
        for path, others in choices_of(build).items()
    ]
    return (*planned, *_engine_height(build), *_of_shaft(build), *chosen)


def _step(path: str, display: Display) -> float:
    """Wedges and slopes by half degrees, a shim by sixteenths of an inch or millimetres, a lift by quarters or 5 mm."""
    if path.endswith("_deg"):
        return _HALF_DEG
    inch = display.length == "inch"
    if path.endswith("_lift_mm"):
        return _INCH / 4.0 if inch else 5.0
    return _INCH / 16.0 if inch else 1.0


def _about(build: Build, path: str, now: float, step: float, reach: float) -> Changeable:
    """A height in steps from where it is, so far either way."""
    return Changeable(path, name_of(build, path), "mm", *_tidy(now - reach, now + reach, build), step, now)


def _tidy(first: float, last: float, build: Build) -> tuple[float, float]:
    """A range between two ends in hundredths of an inch, or tenths of a millimetre, so that they read short."""
    unit = _INCH / 100.0 if build.display.length == "inch" else 0.1
    return round(float(np.ceil(round(first / unit, 6))) * unit, 6), round(
        float(np.floor(round(last / unit, 6))) * unit, 6
    )


def _engine_height(build: Build) -> list[Changeable]:
    """With loose mounts the whole engine goes up and down."""
    if build.plan is None or build.plan.mounts != "loose":
        return []
    path, inch = "plan.powertrain_shift_mm.1", build.display.length == "inch"
    now = value_at(build, path) or 0.0
    return [_about(build, path, now, _INCH / 4.0 if inch else 5.0, 2.0 * _INCH if inch else 50.0)]


def _of_shaft(build: Build) -> list[Changeable]:
    """Support bearing, the rear yoke's phase, tubes of the sizes that can be had with the wall that there is."""
    made, shaft, inch = [], build.shaft, build.display.length == "inch"
    if isinstance(shaft, TwoPieceShaft) and shaft.bearing_mm is not None:
        step = shaft.bearing_step_mm or (_INCH / 8.0 if inch else 3.0)
        made.append(_about(build, "shaft.bearing_mm.2", shaft.bearing_mm[2], step, 2.0 * _INCH if inch else 50.0))
    if isinstance(shaft, OnePieceShaft):
        now = round(shaft.phase_deg or 0.0)
        ends = max(now - _EVEN_DEG, -90.0), min(now + _EVEN_DEG, 90.0)
        made.append(Changeable("shaft.phase_deg", name_of(build, "shaft.phase_deg"), "deg", *ends, 1.0))
    elif shaft is not None:
        path = "shaft.rear_phase_deg"
        made.append(Changeable(path, name_of(build, path), "deg", -90.0, 90.0, 5.0))
    made += _slip(build)
    for entry, sizes in diameters_had(build).items():
        path = f"{entry}.outer_diameter_mm"
        made.append(Changeable(path, name_of(build, path), "mm", sizes[0], sizes[-1], stock=sizes))
    return made


def _slip(build: Build) -> list[Changeable]:
    """The shaft made longer or shorter within its slip, and slips of more stroke."""
    slip, inch = None if build.shaft is None else build.shaft.slip, build.display.length == "inch"
    if slip is None or slip.stroke_mm is None or slip.engaged_mm is None:
        return []
    engaged, stroke = "shaft.slip.engaged_mm", "shaft.slip.stroke_mm"
    now, most, reach = slip.engaged_mm, slip.stroke_mm, 2.0 * _INCH if inch else 50.0
    first, last = _tidy(max(now - reach, 0.0), min(now + reach, most), build)
    step = _INCH / 2.0 if inch else 10.0
    below, *more = (round(step * size, 6) for size in range(int(most // step), int(most // step) + 7))
    return [
        Changeable(engaged, name_of(build, engaged), "mm", first, last, _INCH / 8.0 if inch else 3.0, now),
        Changeable(stroke, name_of(build, stroke), "mm", below, more[-1], stock=(most, *more)),
    ]
