"""How far each number that is set may be off until a verdict gets worse: rows of the one judge, worked out when asked.

The first finding whose verdict gets worse counts, to either side. It is looked for in steps of half a degree or 2.5 mm,
then five and fifty times finer; what is worse only between two such steps is not seen.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np

from geometry.document import Build
from geometry.document.entries import variants
from geometry.judge.codes import CLEAR, Codes, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.judging import judged_block
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


_Codes: TypeAlias = dict[Key, Codes]
"""Verdicts of a few rows."""


@dataclass
class _Side:
    """One side of a number: how far it may go for sure, the step in hand, and what turns within it."""

    one: _Number
    base: Mapping[Key, int]
    step: float
    before: float = 0.0
    place: int = 0
    key: Key | None = None

    def finer(self, finer: int) -> Floats:
        """Offsets within the step in which something turns."""
        return self.before + self.step * self.place + self.step / finer * np.arange(1.0, finer)

    def narrow(self, finer: int, codes: _Codes) -> None:
        """Take a finer step, of these verdicts at `finer` offsets; the last one is that at which it turned before."""
        self.before += self.step * self.place
        self.step /= finer
        self.place, self.key = self.worse(codes) or (finer - 1, self.key)

    def worse(self, codes: _Codes) -> tuple[int, Key] | None:
        """How many rows are no worse before the first that is, and the finding that turns there."""
        worse = [
            (int(np.argmax(row > self.base[key])), key) for key, row in codes.items() if (row > self.base[key]).any()
        ]
        return min(worse, key=lambda two: two[0], default=None)

    @property
    def off(self) -> float | None:
        """The last offset at which nothing is worse yet; None where nothing is."""
        return None if self.key is None else round(abs(self.before + self.step * self.place), 6)

    @property
    def at(self) -> str:
        """What turns there."""
        return "" if self.key is None else LIMITS[finding_id(self.key)].trouble


@lru_cache(maxsize=16)
def tolerances_of(build: Build) -> tuple[Tolerance, ...]:
    """How far off each number of a build may be that is known and set; some tens of milliseconds.

    >>> from geometry.document import Build, edited
    >>> sides = {"axle.flange_to_perch_left_mm": 208.0, "axle.flange_to_perch_right_mm": 208.0}
    >>> [(one.name, one.less, one.more) for one in tolerances_of(edited(Build(), sides))]
    [('flange to perch, left', 1.6, 1.6), ('flange to perch, right', 1.6, 1.6)]
    """
    with np.errstate(all="ignore"):
        plan = Facts(variants(build), POSITIONS)
        numbers = list(_numbers(plan))
        steps = [_STEP[one.unit] * np.arange(-STEPS, STEPS + 1.0) for one in numbers]
        wide = _codes(plan, list(zip(numbers, steps, strict=True)))
        sides = [
            side
            for one, codes in zip(numbers, wide, strict=True)
            for side in (_side(one, codes, -1.0), _side(one, codes, 1.0))
        ]
        for finer in FINER:
            open_ = [side for side in sides if side.key is not None]
            cut = _codes(plan, [(side.one, side.finer(finer)) for side in open_])
            for side, codes in zip(open_, cut, strict=True):
                side.narrow(finer, codes)
    return tuple(
        Tolerance(one.name, one.path, one.value, one.unit, less.off, more.off, less.at, more.at)
        for one, less, more in zip(numbers, sides[::2], sides[1::2], strict=True)
    )


def _numbers(facts: Facts) -> Iterator[_Number]:
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


def _codes(plan: Facts, asked: Sequence[tuple[_Number, Floats]]) -> list[_Codes]:
    """Verdicts with each number off by so much and all the others as they are, as codes; not asked counts as clear."""
    told: list[_Codes] = [{} for _ in asked]
    for still in (True, False):
        some = [place for place, (one, _) in enumerate(asked) if (one.path in _STILL) == still]
        ends = np.cumsum([1, *(asked[place][1].size for place in some)])  # the first row is the plan
        columns: dict[str, Floats] = {}
        for place, end in zip(some, ends[1:], strict=True):
            one, off = asked[place]
            column = columns.setdefault(one.path, np.full(ends[-1], plan.v[one.path]))
            column[end - off.size : end] = one.value + off
        if some:
            v = plan.v.widened(columns)
            facts = Facts(v) if still else Facts(v, POSITIONS, like=plan, leads=True)
            for key, judged in judged_block(facts).items():
                if finding_id(key) not in _LEFT_OUT:
                    parts = np.split(np.maximum(judged.verdict, CLEAR), ends)[1:]
                    for place, part in zip(some, parts[:-1], strict=True):
                        told[place][key] = part
    return told


def _side(one: _Number, codes: _Codes, way: float) -> _Side:
    """Where a verdict first turns to one side, of those at so many whole steps to both."""
    base = {key: int(row[STEPS]) for key, row in codes.items()}
    side = _Side(one, base, way * _STEP[one.unit])
    outward = slice(STEPS + 1, None) if way > 0.0 else slice(STEPS - 1, None, -1)
    found = side.worse({key: row[outward] for key, row in codes.items()})
    if found is not None:
        side.place, side.key = found
    return side
