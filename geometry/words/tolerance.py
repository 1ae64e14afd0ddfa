"""How far each number that is set may be off until a verdict gets worse: rows of the one judge, worked out when asked.

The first finding whose verdict gets worse counts, to either side. It is looked for in steps of half a degree or 2.5 mm,
then five and fifty times finer; what is worse only between two such steps is not seen.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from geometry.document import Build
from geometry.document.entries import variants
from geometry.judge import judge
from geometry.judge.codes import CLEAR, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.limits import LIMITS
from geometry.judge.perches import PLACES, SEATS, SPACING
from geometry.mechanics.vectors import Floats, slope_deg

POSITIONS = 41
STEPS, FINER = 12, (5, 10)
"""Steps that are looked at to either side, and into how many finer ones the last is cut, twice."""
_STEP = {"deg": 0.5, "mm": 2.5}
_LEFT_OUT = frozenset({"gauge_resolution", "wedge_size", "caster", "ubolt_reserve"})
"""Findings on the gauge, and on the wedge by which an angle comes about: not on how far it may be off."""
_STILL = (*PLACES, *SEATS, SPACING)
"""Entries that move nothing over the travel."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a number may be off: so much less and more than its value; None where nothing turns as far as is looked.

    `at_less` and `at_more` name what turns there. `value` is in the entry's own sense: a wedge's, where perches are
    welded, which raises the nose where it is more.
    """

    name: str
    path: str
    value: float
    unit: str
    less: float | None
    more: float | None
    at_less: str
    at_more: str


class _Number(NamedTuple):
    """A number that is set: its name, its entry and its value there."""

    name: str
    path: str
    unit: str
    value: float


@lru_cache(maxsize=16)
def tolerances_of(build: Build) -> tuple[Tolerance, ...]:
    """How far off each number of a build may be that is known and set; some tens of milliseconds for each.

    >>> from geometry.document import Build, edited
    >>> sides = {"axle.flange_to_perch_left_mm": 208.0, "axle.flange_to_perch_right_mm": 208.0}
    >>> [(one.name, one.less, one.more) for one in tolerances_of(edited(Build(), sides))]
    [('flange to perch, left', 1.6, 1.6), ('flange to perch, right', 1.6, 1.6)]
    """
    with np.errstate(all="ignore"):
        return tuple(_tolerance(build, one) for one in _numbers(build))


def _numbers(build: Build) -> Iterator[_Number]:
    facts = Facts(variants(build))
    v, kinds = facts.v, facts.kinds
    named: list[tuple[str, str, str, Floats]] = []
    if kinds.loose_perches:
        set_to = slope_deg(facts.axle.line) + facts.ride.tilt_deg
        named.append(("pinion slope", "plan.pinion_slope_deg", "deg", set_to))
    else:
        named.append(("pinion slope", "plan.axle_shim_deg", "deg", facts.wedge_deg + 0.0 * facts.pinion_base_deg))
    if kinds.loose_mounts:
        output = slope_deg(facts.powertrain.line) + facts.ride.tilt_deg + 0.0 * v["powertrain.front_mount_mm.0"]
        named.append(("output slope", "plan.powertrain_slope_deg", "deg", output))
    else:
        rear = 0.0 * (v["powertrain.front_mount_mm.0"] + v["powertrain.rear_mount_mm.0"] + v["powertrain.slope_deg"])
        named.append(("rear mount", "plan.mount_shim_mm", "mm", facts.mount_shim_mm + rear))
    named += [
        (f"{side} seat's slope", path, "deg", v[path]) for side, path in zip(("left", "right"), SEATS, strict=True)
    ]
    sides = zip(("left", "right"), PLACES, strict=True)
    named += [(f"flange to perch, {side}", path, "mm", v[path]) for side, path in sides]
    named += [
        ("perch to perch", SPACING, "mm", v[SPACING]),
        ("bearing height", "shaft.bearing_mm.2", "mm", v["shaft.bearing_mm.2"]),
        ("spline engaged", "shaft.slip.engaged_mm", "mm", v["shaft.slip.engaged_mm"]),
    ]
    for name, path, unit, value in named:
        at = float(np.ravel(value)[0])
        if np.isfinite(at):
            yield _Number(name, path, unit, at)


def _tolerance(build: Build, one: _Number) -> Tolerance:
    base = {key: code for key, (code,) in _codes(build, one, np.zeros(1)).items()}
    (less, at_less), (more, at_more) = (_first(build, one, base, way * _STEP[one.unit]) for way in (-1.0, 1.0))
    return Tolerance(one.name, one.path, one.value, one.unit, less, more, at_less, at_more)


def _codes(build: Build, one: _Number, off: Floats) -> dict[Key, list[int]]:
    """Verdicts with the number off by so much, as codes; what is not asked counts as clear."""
    positions = 0 if one.path in _STILL else POSITIONS
    found = judge(variants(build, {one.path: one.value + off}), positions=positions)
    return {
        key: np.maximum(judged.verdict, CLEAR).tolist()
        for key, judged in found.items()
        if finding_id(key) not in _LEFT_OUT
    }


def _first(build: Build, one: _Number, base: dict[Key, int], step: float) -> tuple[float | None, str]:
    """The last offset to one side at which nothing is worse yet, and what then turns; None where nothing does."""
    found = _worse(base, _codes(build, one, step * np.arange(1.0, STEPS + 1.0)))
    if found is None:
        return None, ""
    (place, key), before = found, 0.0
    for finer in FINER:
        before += step * place
        step /= finer
        # The last of the finer steps is the one at which a verdict turned.
        place, key = _worse(base, _codes(build, one, before + step * np.arange(1.0, finer))) or (finer - 1, key)
    return round(abs(before + step * place), 6), LIMITS[finding_id(key)].trouble


def _worse(base: dict[Key, int], codes: dict[Key, list[int]]) -> tuple[int, Key] | None:
    """How many rows are no worse before the first that is, and the finding that turns there."""
    worse = ((place, key) for key, row in codes.items() for place, code in enumerate(row) if code > base[key])
    return min(worse, key=lambda two: two[0], default=None)
