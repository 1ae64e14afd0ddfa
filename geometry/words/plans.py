"""The best plans over what may be changed: every combination judged, ranked by what it leaves and by what it takes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.document import Build, value_at
from geometry.judge.codes import CAUTION, HOLD, UNKNOWN, WORDS
from geometry.mechanics.vectors import Floats
from geometry.words.solution import Verdict
from geometry.words.study import Study, study

MOST_CHANGES = 3
"""Changes that one plan may have at once."""
PLANS = 4
"""Plans that are told, each of another set of changes."""
_NEVER = 1e6
_READ = {
    "plan.pinion_slope_deg": "axle.pinion_slope_deg", "plan.powertrain_slope_deg": "powertrain.slope_deg",
}  # fmt: skip
"""Entries of the plan that are set and not added, and where that stands as it is."""


@dataclass(frozen=True, slots=True)
class Left:
    """A finding that a plan leaves open: its value against the line up to which it is clear."""

    id: str
    part: str
    title: str
    verdict: Verdict
    value: float | None
    limit: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class PlanFound:
    """One plan: what it changes, what the whole build then is, and what it leaves, worst first.

    `margin` is how far the nearest line still is, as a share of that line; below nil where one is passed. `at_edge` are
    those of its changes that are the least or the most of their range, beyond which nothing was looked at.
    """

    changes: Mapping[str, float]
    verdict: Verdict
    holds: int
    cautions: int
    unknown: int
    margin: float
    left: tuple[Left, ...]
    at_edge: tuple[str, ...] = ()


def plans(build: Build, ranges: Mapping[str, ArrayLike]) -> tuple[PlanFound, ...]:
    """The best plans over some values of some entries, each entry also left as it is; the first is the best of all.

    Ranked by fewest holds, then cautions, then unknowns, then the fewest changes, the smallest ones as shares of their
    ranges, and the most margin; what has nothing to start from counts nothing there. Each plan that follows changes another set of entries, so that there is a choice; those
    that are no better than to leave all as it is are left out, and where none is better that is the one plan. All
    combinations are judged, over the whole travel: nothing better is left out on these values.

    Parameters
    ----------
    build
        What is to be changed.
    ranges
        For each dotted path its values, in the document's unit. An entry that is not entered is judged so, as it is;
        nought of a shim or a lift is none.

    Raises
    ------
    KeyError
        When a path names no numeric entry.
    ValueError
        When there are no entries, more than `MOST_CHANGES`, or too many combinations.

    Examples
    --------
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 9.0})
    >>> best = plans(build, {"axle.pinion_slope_deg": [2.0, 3.5, 5.0]})[0]
    >>> best.changes, best.holds
    ({'axle.pinion_slope_deg': 3.5}, 0)
    """
    if not 1 <= len(ranges) <= MOST_CHANGES:
        raise ValueError(f"a plan has 1 to {MOST_CHANGES} changes, not {len(ranges)}")
    now = {path: value_at(build, path) for path in ranges}
    found = study(build, {path: _values(path, some, now[path]) for path, some in ranges.items()})
    changed = np.array([~_same(found.columns[path], now[path]) for path in ranges])
    shares = [_share(found.columns[path], _start(build, path)) for path in ranges]
    moved = sum(shares, np.zeros(found.codes.size))
    margin = _margin(found)
    counts = [found.count(code) for code in (HOLD, CAUTION, UNKNOWN)]
    order = np.lexsort((-margin, np.round(moved, 9), changed.sum(axis=0), *counts[::-1]))
    better = order[
        : int(changed[:, order].any(axis=0).argmin())
    ]  # what follows is no better than to leave all as it is
    told: dict[bytes, int] = {}
    for row in better:
        told.setdefault(changed[:, row].tobytes(), int(row))
    rows = list(told.values())[:PLANS] or [int(order[0])]
    changes = [
        {path: float(found.columns[path][row]) for path, one in zip(ranges, changed[:, row], strict=True) if one}
        for row in rows
    ]
    ends = {path: (float(np.min(some)), float(np.max(some))) for path, some in ranges.items()}
    return tuple(_plan(found, row, some, ends, counts, margin) for row, some in zip(rows, changes, strict=True))


def _adds(path: str) -> bool:
    """Whether an entry adds to what there is, so that nought of it is none."""
    return path.startswith("plan.") and path not in _READ


def _values(path: str, some: ArrayLike, now: float | None) -> Floats:
    """The values to judge: those given, and the entry as it is; nan where that is not entered."""
    given = np.unique(np.asarray(some, np.float64))
    if now is not None:
        return np.union1d(given, [now])
    return np.append(given[given != 0.0] if _adds(path) else given, np.nan)


def _same(values: Floats, now: float | None) -> NDArray[np.bool_]:
    return np.isnan(values) if now is None else values == now


def _start(build: Build, path: str) -> float | None:
    """What a change of an entry is counted from; None where there is nothing."""
    now = value_at(build, path)
    if now is None and path in _READ:
        now = value_at(build, _READ[path])
    return 0.0 if now is None and _adds(path) else now


def _share(values: Floats, start: float | None) -> Floats:
    """How far each value lies from where it starts, as a share of the range; nought where it is left or starts nowhere."""
    if start is None:
        return np.zeros(values.size)
    off = np.nan_to_num(np.abs(values - start))
    return off / (np.ptp(np.append(values[np.isfinite(values)], start)) or 1.0)


def _margin(found: Study) -> Floats:
    """How far the nearest line is, as a share of it, (rows,); lines at nought, and what is not known, are left out."""
    least = np.full(found.codes.size, _NEVER)
    for one in found.findings:
        value, line = one.judged.value, one.judged.clear
        way = 1.0 if one.limit.sense == "most" else -1.0
        with np.errstate(all="ignore"):
            room = way * (line - value) / np.abs(line)
        counts = np.isfinite(room) & (one.judged.verdict != 0)
        least = np.where(counts, np.fmin(least, room), least)
    return least


def _plan(
    found: Study,
    row: int,
    changes: Mapping[str, float],
    ends: Mapping[str, tuple[float, float]],
    counts: Sequence[NDArray[np.intp]],
    margin: Floats,
) -> PlanFound:
    left = [
        Left(
            one.id,
            one.part,
            one.title,
            WORDS[one.judged.verdict.item(row)],  # type: ignore[arg-type]
            _known(one.judged.value.item(row)),
            _known(one.judged.clear.item(row)),
            one.limit.unit,
        )
        for one in found.findings
        if one.judged.verdict[row] >= CAUTION
    ]
    left.sort(key=lambda one: one.verdict != "hold")
    holds, cautions, unknown = (int(count[row]) for count in counts)
    at_edge = tuple(path for path, value in changes.items() if value in ends[path])
    return PlanFound(changes, found.verdict(row), holds, cautions, unknown, float(margin[row]), tuple(left), at_edge)


def _known(value: float) -> float | None:
    return value if np.isfinite(value) else None
