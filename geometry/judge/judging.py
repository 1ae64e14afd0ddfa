"""All findings on any number of variants: the one engine for one build and for a million."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geometry.document.entries import Variants
from geometry.judge import findings
from geometry.judge.codes import CLEAR, UNKNOWN, Found, Judged, Key
from geometry.judge.facts import Facts
from geometry.judge.table import Table

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
    found = _found(facts)
    v = facts.v
    for path, offsets in _assumed(facts):
        lacks = np.isnan(v[path])
        if path in IN_PLAN:
            lacks = lacks & ~facts.flat
        if path == "powertrain.cruise_torque_share":
            lacks = lacks & np.isfinite(facts.speeds.cruise_nm)
        if not np.any(lacks):
            continue
        some = {key: one.verdict == CLEAR for key, one in found.items()}
        every = dict(some)
        for offset in offsets:
            other = np.where(lacks, offset, v[path])
            for key, one in _found(Facts(v.with_columns({path: other}), facts.positions)).items():
                some[key], every[key] = some[key] | (one.verdict == CLEAR), every[key] & (one.verdict == CLEAR)
        for key, one in found.items():
            turns = some[key] & ~every[key] & lacks & (one.verdict != 0)
            if turns.any():
                found[key] = one._replace(verdict=np.where(turns, UNKNOWN, one.verdict))
    return _told_by_gauge(facts, found)


def _told_by_gauge(facts: Facts, found: dict[Key, Judged]) -> dict[Key, Judged]:
    """Where the verdict on the residual is not known, nor is whether the gauge could turn it."""
    key = ("gauge_resolution", "readings")
    if key in found:
        residual = next(one for (name, _), one in found.items() if name == "pinion_residual").verdict
        verdict = np.where(residual == UNKNOWN, UNKNOWN, found[key].verdict)
        found[key] = found[key]._replace(verdict=np.broadcast_to(verdict, facts.v.rows))
    return found


def _assumed(facts: Facts) -> tuple[tuple[str, tuple[float, ...]], ...]:
    phases: tuple[tuple[str, tuple[float, ...]], ...] = ()
    if facts.v.word("shaft.kind") is not None:
        phases = tuple((path, PHASES_OFF) for path in facts.kinds.phases)
    return ASSUMED + phases


def _found(facts: Facts) -> dict[Key, Judged]:
    table = Table(facts.v.rows)
    for one in findings.RIDE:
        one(facts, table)
    if facts.positions:
        for one in findings.TRAVEL:
            one(facts, table)
    return table.judged()
