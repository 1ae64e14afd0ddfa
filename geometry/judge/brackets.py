"""Findings on shocks, torque bars and the lateral link: their values and lines, from `geometry.judge.fitted`."""

from collections.abc import Callable

import numpy as np

from geometry.judge.codes import CAUTION, CLEAR, Codes
from geometry.judge.facts import Facts
from geometry.judge.fitted import Bar, Shock
from geometry.judge.kinds import point
from geometry.judge.limits import BAR_GIVE_MM, BAR_GIVE_MOST_MM, LIMITS
from geometry.judge.table import Table
from geometry.mechanics.vectors import NAN, RADIAN, Bools, Floats, Vector, plus

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
        slope = link_slope_deg(f, LINK_ENDS)
        table.add("link_slope", "lateral_link", np.abs(slope))
        if f.kinds.ahead and any(f.v.word(end) is not None for end in DRAG_ENDS):
            apart = np.abs(link_slope_deg(f, DRAG_ENDS) - slope)
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
    table.add("shock_bump", "shocks", shock.to_close.value, others=shock.to_close.others, suffix=suffix)
    table.add("shock_droop", "shocks", shock.to_open.value, others=shock.to_open.others, suffix=suffix)
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


def link_slope_deg(f: Facts, ends: tuple[str, str]) -> Floats:
    """Slope of a link after the plan, seen from behind, degrees: positive where its right end is higher.

    The axle carries its end straight up and sideways, as the side shift does.
    """
    frame, axle = (point(f.v, end) for end in ends)
    return slope_behind_deg(frame, plus(axle, f.ride.shift))


def slope_behind_deg(one: Vector, two: Vector) -> Floats:
    """Slope of the line through two points seen from behind, degrees, −90 to 90; nan where they are one point there.

    >>> from geometry.mechanics.vectors import number
    >>> low, high = (Vector(number(0.0), number(y), number(z)) for y, z in ((400.0, 350.0), (-400.0, 450.0)))
    >>> round(float(slope_behind_deg(high, low)), 3), round(float(slope_behind_deg(low, high)), 3)  # 100 over 800
    (-7.125, -7.125)
    """
    across, up = two.y - one.y, two.z - one.z
    known = np.where((across == 0.0) & (up == 0.0), NAN, 0.0)
    return np.arctan2(np.where(across < 0.0, -up, up), np.abs(across)) / RADIAN + known


def against(f: Facts) -> Bools:
    """Whether lateral link and drag link run opposite ways from the frame, so that bumps steer."""
    across = [f.v[f"{axle}.1"] - f.v[f"{frame}.1"] for frame, axle in (LINK_ENDS, DRAG_ENDS)]
    return np.asarray(across[0] * across[1] < 0.0)


def _caution_where(wrong: Bools) -> Callable[[Codes], Codes]:
    return lambda code: np.where(wrong & (code == CLEAR), CAUTION, code)
