"""Findings on shocks, torque bars and the lateral link: their values and lines, from `geometry.judge.fitted`."""

from collections.abc import Callable

import numpy as np

from geometry.judge.codes import CAUTION, CLEAR, Codes
from geometry.judge.facts import Facts
from geometry.judge.fitted import Bar, Shock
from geometry.judge.limits import BAR_GIVE_MM, BAR_GIVE_MOST_MM, LIMITS
from geometry.judge.table import Table
from geometry.mechanics.vectors import Bools, Floats

LINK_ENDS = ("lateral_link.frame_point_mm", "lateral_link.axle_point_mm")
DRAG_ENDS = ("lateral_link.drag_box_mm", "lateral_link.drag_axle_mm")
"""Of a front axle's drag link: its ball at the steering box's arm, and the one on the axle's steering."""


def standing(f: Facts, table: Table) -> None:
    """What shocks, torque bars and lateral link tell as the vehicle stands."""
    for index in range(len(f.fitted.shocks)):
        _stands(f, table, index)
    for number, bar in enumerate(f.fitted.bars, start=1):
        table.add("bar_lever", "torque_bars", np.abs(bar.lever_mm), suffix=f"_{number}")
    if any(f.v.word(end) is not None for end in LINK_ENDS):
        slope = f.fitted.lateral_link.slope_deg
        table.add("link_slope", "lateral_link", np.abs(slope))
        if f.kinds.ahead and any(f.v.word(end) is not None for end in DRAG_ENDS):
            apart = np.abs(f.fitted.drag_link.slope_deg - slope)
            table.add("drag_slope", "lateral_link", apart, turned=_caution_where(against(f)))


def travelling(f: Facts, table: Table) -> None:
    """What only the travel can tell of shocks and torque bars."""
    for index in range(len(f.fitted.shocks)):
        _travels(f, table, index)
    for number, bar in enumerate(f.fitted.bars, start=1):
        surely, ever = bar.bind_mm
        clear, hold = play_lines_mm(bar)
        # Enough float would clear whatever is left of it.
        enough = np.where(np.isnan(bar.float_mm), 0.0, surely)
        table.add(
            "bar_bind", "torque_bars", surely, clear=clear, hold=hold, others=(ever, enough + 0.0 * surely),
            suffix=f"_{number}",
        )  # fmt: skip


def judge_shock(f: Facts, table: Table, index: int) -> None:
    """Everything about one shock."""
    _stands(f, table, index)
    _travels(f, table, index)


def _stands(f: Facts, table: Table, index: int) -> None:
    shock, suffix = f.fitted.shocks[index], f"_{index + 1}"
    table.add("shock_lean", "shocks", shock.lean_deg, suffix=suffix)
    stroke = shock.open_mm - shock.closed_mm
    table.add("shock_place", "shocks", off_middle_mm(shock), scale=stroke, suffix=suffix)


def _travels(f: Facts, table: Table, index: int) -> None:
    shock, suffix = f.fitted.shocks[index], f"_{index + 1}"
    for limit_id, left in (("shock_bump", shock.to_close_mm), ("shock_droop", shock.to_open_mm)):
        value, others = f.worst_of(left)
        table.add(limit_id, "shocks", value, others=others, suffix=suffix)
    value, others = shock.crossed
    table.add("shock_crossed", "shocks", value, others=others, suffix=suffix)


def off_middle_mm(shock: Shock) -> Floats:
    """How far a shock stands from the middle of its stroke at ride height, mm."""
    off: Floats = np.abs(shock.ride_mm - (shock.open_mm + shock.closed_mm) / 2.0)
    return off


def play_lines_mm(bar: Bar) -> tuple[Floats, Floats]:
    """Play that the travel may ask of a bar, mm: what is clear, and the most; no float where none is entered."""
    limit, play = LIMITS["bar_bind"], np.where(np.isnan(bar.float_mm), 0.0, bar.float_mm)
    return np.maximum(limit.clear * play, BAR_GIVE_MM), np.maximum(limit.hold * play, BAR_GIVE_MOST_MM)


def against(f: Facts) -> Bools:
    """Whether lateral link and drag link run opposite ways from the frame, so that bumps steer."""
    across = [f.v[f"{axle}.1"] - f.v[f"{frame}.1"] for frame, axle in (LINK_ENDS, DRAG_ENDS)]
    return np.asarray(across[0] * across[1] < 0.0)


def _caution_where(wrong: Bools) -> Callable[[Codes], Codes]:
    return lambda code: np.where(wrong & (code == CLEAR), CAUTION, code)
