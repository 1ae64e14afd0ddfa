"""All findings on any number of variants: the one engine for one build and for a million."""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.document.entries import Variants
from geometry.judge import ends, findings
from geometry.judge.codes import CLEAR, NOT_ASKED, UNKNOWN, Found, Judged, Key
from geometry.judge.facts import Facts
from geometry.judge.table import Table
from geometry.mechanics.vectors import Bools

Judge: TypeAlias = Callable[[Facts, Table], None]
"""Puts down some findings."""
BLOCK = 8_192
"""Rows worked on at once at ride height, so that they stay in the cache."""
TRAVEL_BLOCK = 512
"""The same with a travel."""
ASSUMED = (
    ("powertrain.plan_deg", (-2.0, 2.0)),
    ("axle.pinion_plan_deg", (-2.0, 2.0)),
    ("axle.pinion_offset_mm", (-25.0, 25.0)),
    ("axle.pinion_drop_mm", (-50.0, -25.0, 25.0, 50.0)),
    ("powertrain.cruise_torque_share", (0.1, 0.6)),
)
"""Entries that count as usual where they are left empty, and how far off that may be: common practice, no source.

A verdict that would not be the same there is unknown. What lies in plan is left alone while nothing of it is entered.
"""
PHASES_OFF = (-15.0, 15.0, 90.0)
"""The same for the yokes' phase once there is a shaft: a spline's tooth either way, and a quarter turn."""
IN_PLAN = frozenset(path for path, _ in ASSUMED[:4])
"""Those of them that count only once something that lies in plan is entered."""
RIDE: tuple[Judge, ...] = (*findings.RIDE, ends.ends, ends.bearing)
"""All that judges at ride height."""
TRAVEL: tuple[Judge, ...] = (*findings.TRAVEL, ends.seal)
"""What only the travel can tell."""
_STILL = (findings.motion, findings.joints, findings.shaft, findings.readings, findings.torque)
"""What the others can turn, which move no joint."""


class _Case(NamedTuple):
    """An entry taken to be off by so much in the rows that lack it."""

    path: str
    offset: float
    lacks: Bools


def judge(
    variants: Variants,
    *,
    positions: int = 0,
    rows: int | None = None,
    each: Callable[[slice, Found], None] | None = None,
) -> Found:
    """Judge every variant: for each finding and part its values, lines and verdicts, (rows,) each.

    Parameters
    ----------
    variants
        From `geometry.document.entries.variants`.
    positions
        Places of the axle's travel, droop to full bump; 0 leaves the travel out, and with it what only it can tell.
    rows
        Variants worked on at once.
    each
        Is handed every block's findings as they come; nothing is kept then, and the result is empty.

    Examples
    --------
    >>> from geometry.document.build import Build, edited
    >>> from geometry.document.entries import variants
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    >>> found = judge(variants(build, {"axle.pinion_slope_deg": [3.5, 5.0, 8.0, np.nan]}))
    >>> found["ends_parallel", "shaft"].verdict.tolist()  # clear, caution, hold, unknown
    [1, 3, 4, 2]
    """
    size = rows or (TRAVEL_BLOCK if positions else BLOCK)
    whole: dict[Key, list[NDArray[Any]]] = {}
    with np.errstate(all="ignore"):
        for part, some in variants.blocks(size):
            found = judged_block(Facts(some, positions))
            if each is not None:
                each(part, found)
            elif size >= variants.rows:
                return found
            else:
                _keep(whole, part, found, variants.rows)
    return {key: Judged(*columns) for key, columns in whole.items()}


def _keep(whole: dict[Key, list[NDArray[Any]]], part: slice, found: Found, rows: int) -> None:
    """Put a block's columns where they belong; what is one number for all stays one."""
    for key, one in found.items():
        if key not in whole:
            whole[key] = [
                np.broadcast_to(column[0], rows) if _one_for_all(column) else np.empty(rows, column.dtype)
                for column in one
            ]
        blocks: tuple[NDArray[Any], ...] = one
        for place, block in enumerate(blocks):
            column = whole[key][place]
            if _one_for_all(column):
                if _one_for_all(block) and np.array_equal(column[:1], block[:1], equal_nan=True):
                    continue
                column = whole[key][place] = np.array(column)
            column[part] = block


def _one_for_all(column: NDArray[Any]) -> bool:
    return column.strides == (0,)


def judged_block(facts: Facts) -> dict[Key, Judged]:
    """All findings on one block; what is taken for granted may only turn a verdict to unknown."""
    found = found_by(facts)
    cases = _cases(facts)
    _unsettle(facts, found, [case for case in cases if case.path in IN_PLAN], RIDE, facts.positions)
    _unsettle(facts, found, [case for case in cases if case.path not in IN_PLAN], _STILL, 0)
    return _told_by_gauge(facts, found)


def _unsettle(
    facts: Facts, found: dict[Key, Judged], cases: Sequence[_Case], judges: Sequence[Judge], positions: int
) -> None:
    """Make a verdict unknown where it is clear in some cases and not in others; as many cases as fit judged at once."""
    v, like = facts.v, facts if facts.v.rows == 1 else facts.like
    size = max((TRAVEL_BLOCK if positions else BLOCK) // v.rows, 1)
    for first in range(0, len(cases), size):
        some = cases[first : first + size]
        stack = v.stacked([{path: np.where(lacks, offset, v[path])} for path, offset, lacks in some])
        others = found_by(Facts(stack, positions, like), judges)
        here = np.array([found[key].verdict for key in others]) == CLEAR
        there = np.array([one.verdict for one in others.values()]) == CLEAR
        lacking = np.array([np.broadcast_to(case.lacks, v.rows) for case in some])
        turns = ((there.reshape(len(here), len(some), -1) != here[:, None]) & lacking).any(axis=1)
        for key, turned in zip(others, turns, strict=True):
            if turned.any():
                verdict = found[key].verdict
                turned_to = np.where(turned & (verdict != NOT_ASKED), UNKNOWN, verdict)
                found[key] = found[key]._replace(verdict=turned_to)


def _told_by_gauge(facts: Facts, found: dict[Key, Judged]) -> dict[Key, Judged]:
    """Where the verdict on the residual is not known, nor is whether the gauge could turn it."""
    key = ("gauge_resolution", "readings")
    if key in found:
        residual = next(one for (name, _), one in found.items() if name == "pinion_residual").verdict
        lost = residual == UNKNOWN
        if lost.any():
            verdict = np.where(lost, UNKNOWN, found[key].verdict)
            found[key] = found[key]._replace(verdict=np.broadcast_to(verdict, facts.v.rows))
    return found


def _cases(facts: Facts) -> list[_Case]:
    """What is taken for granted in any row, at each of its ends."""
    phases = facts.kinds.phases if facts.v.word("shaft.kind") is not None else ()
    cases: list[_Case] = []
    for path, offsets in (*ASSUMED, *((path, PHASES_OFF) for path in phases)):
        lacks = np.isnan(facts.v[path])
        if path in IN_PLAN:
            lacks = lacks & ~facts.flat
        if path == "powertrain.cruise_torque_share":
            lacks = lacks & np.isfinite(facts.speeds.cruise_nm)
        if lacks.any():
            cases += [_Case(path, offset, lacks) for offset in offsets]
    return cases


def found_by(facts: Facts, judges: Sequence[Judge] = RIDE) -> dict[Key, Judged]:
    """What some judges find on one block, with the travel if it has one; nothing of what is taken for granted."""
    table = Table(facts.v.rows)
    for judge_ in (*judges, *(TRAVEL if facts.positions else ())):
        judge_(facts, table)
    return table.judged()
