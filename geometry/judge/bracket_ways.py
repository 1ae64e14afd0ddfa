"""Ways out of trouble with shocks and torque bars: another shock that is to be had, a better place for a bar's bolt."""

from collections.abc import Iterator, Sequence

import numpy as np

from geometry.judge.brackets import judge_shock, play_lines_mm
from geometry.judge.codes import CAUTION, CLEAR, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.fitted import Bar
from geometry.judge.limits import LIMITS
from geometry.judge.table import Table
from geometry.judge.ways import BAR, SHOCK, Way, steps
from geometry.mechanics import torque_bar
from geometry.mechanics.trade_sizes import STOCK_SHOCKS, StockShock
from geometry.mechanics.vectors import Bools, Floats, Vector, apart_mm

_MOST_TRIED = 6
"""How many shocks are judged whole."""
_STEPS = 10
"""How many steps either way, of 10 mm or 3/8 in, a bar's bolt may be moved."""
_GRID_MM = 15.0
"""How far apart the places of an upper eye are looked at."""
_SIDEWAYS = 0.87
"""Share of its length open that an upper eye may lie ahead or behind: farther over it leans too far."""
_AT_ONCE = 1_024
"""So many of them at once, so that they stay in the cache."""
_SHOCKS = frozenset({"shock_bump", "shock_droop", "shock_crossed", "shock_place"})
BRACKETS = _SHOCKS | {"bar_bind"}
"""Findings that these ways mend."""


def bracket_ways(plan: Facts, wrong: Sequence[Key]) -> Iterator[Way]:
    """Ways out for the shocks and bars of a plan, one row, by the findings that are wrong."""
    shocks = sorted({_index(key) for key in wrong if finding_id(key) in _SHOCKS})
    if shocks:
        yield from shock_ways(plan, shocks)
    for key in wrong:
        if finding_id(key) == "bar_bind":
            yield from bar_ways(plan, _index(key))


def _index(key: Key) -> int:
    return int(key[0].rpartition("_")[2]) - 1


def shock_ways(plan: Facts, indices: Sequence[int]) -> Iterator[Way]:
    """One stocked shock for all of these that it fits, with what is wanted to be left at either end; smallest first."""
    spans = [plan.fitted.shocks[index].span_mm for index in indices]
    low, high = (float(how([np.ravel(span[end])[0] for span in spans])) for end, how in ((0, np.min), (1, np.max)))
    closed, opened = low - LIMITS["shock_bump"].clear, high + LIMITS["shock_droop"].clear
    fit = [one for one in _stock(plan) if one.closed_mm <= closed and one.open_mm >= opened][:_MOST_TRIED]
    if fit:
        yield Way(
            SHOCK,
            {
                f"shocks.{index}.{entry}": np.array([size for one in fit for size in (getattr(one, name),)])
                for index in indices
                for entry, name in (("compressed_mm", "closed_mm"), ("extended_mm", "open_mm"))
            },
        )


def _stock(plan: Facts) -> Sequence[StockShock]:
    """Lengths to choose from: the person's own list wins over what is usually kept."""
    own = (
        StockShock(one.compressed_mm, one.extended_mm, "to be had")
        for one in plan.v.build.shock_stock
        if one.compressed_mm is not None and one.extended_mm is not None
    )
    return sorted(own) if plan.v.build.shock_stock else STOCK_SHOCKS


def bar_ways(plan: Facts, index: int) -> Iterator[Way]:
    """A bar's bolt at the frame moved: to the nearest place where it is free, and to the one where it binds least."""
    bar = plan.fitted.bars[index]
    by, across = (grid.ravel() for grid in np.meshgrid(*[steps(plan, 6.0, 10.0, _STEPS)] * 2))
    x, z = np.ravel(bar.frame.x)[0] + by, np.ravel(bar.frame.z)[0] + across
    bind = bind_at_mm(bar, x, z)
    if np.isnan(bind).all():
        return
    free = bind <= np.ravel(play_lines_mm(bar)[0])[0]
    least = int(np.nanargmin(bind))
    nearest = int(np.argmin(np.where(free, np.hypot(by, across), np.inf))) if free.any() else least
    rows = list(dict.fromkeys((nearest, least)))
    entry = f"{bar.entry}.frame_point_mm"
    yield Way(BAR, {f"{entry}.0": x[rows], f"{entry}.2": z[rows]})


def bind_at_mm(bar: Bar, x_mm: Floats, z_mm: Floats) -> Floats:
    """Play that the travel would ask of a bar of one row with its bolt at these places of the frame, (n,) each, mm.

    nan where its lever would be shorter than is wanted, or than it is now.
    """
    frame = Vector(x_mm, bar.frame.y, z_mm)
    centre, eye = bar.fitted.at_ride.centre, bar.eye
    lever = np.abs(torque_bar.lever_mm(frame, eye, centre))
    there = bar.at(bar.fitted.travelled)
    apart = apart_mm(frame, Vector(*(np.where(bar.fitted.certain, part, np.nan) for part in there)))
    bind = np.fmax.reduce(apart, axis=0) - np.fmin.reduce(apart, axis=0)
    least = np.minimum(LIMITS["bar_lever"].clear, np.abs(bar.lever_mm))
    return np.where(lever >= least, bind, np.nan)


def frame_places(plan: Facts, index: int) -> tuple[Floats, Floats, Bools] | None:
    """Where in side view a shock's upper eye may go so that none of its findings holds: a grid, and where on it.

    `x_mm` (n,) and `z_mm` (m,) of a plan of one row, and (m, n) of truths; None where it is not known of any place. Its
    place across the vehicle stays as it is. Every place is judged as a build of its own.
    """
    shock, v = plan.fitted.shocks[index], plan.v
    eye, reach = shock.eye, float(v[f"shocks.{index}.extended_mm"])
    middle = float(np.ravel(eye.x)[0]), float(np.ravel(eye.z)[0])
    if not (np.isfinite(reach + sum(middle)) and plan.positions):
        return None
    steps_each = np.arange(-np.ceil(_SIDEWAYS * reach / _GRID_MM), np.ceil(_SIDEWAYS * reach / _GRID_MM) + 1.0)
    x, z = middle[0] + steps_each * _GRID_MM, middle[1] + np.arange(0.0, reach + _GRID_MM, _GRID_MM)
    at_x, at_z = (grid.ravel() for grid in np.meshgrid(x, z))
    entry, fine = f"shocks.{index}.frame_point_mm", []
    for first in range(0, at_x.size, _AT_ONCE):
        some = slice(first, first + _AT_ONCE)
        facts = Facts(v.widened({f"{entry}.0": at_x[some], f"{entry}.2": at_z[some]}), plan.positions, like=plan)
        table = Table(facts.v.rows)
        judge_shock(facts, table, index)
        fine.append(
            np.logical_and.reduce(
                [(one.verdict == CLEAR) | (one.verdict == CAUTION) for one in table.judged().values()]
            )
        )
    works = np.concatenate(fine).reshape(z.size, x.size)
    return (x, z, works) if works.any() else None
