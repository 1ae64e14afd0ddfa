"""Shocks and torque bars of one row in plain numbers, and the travel that all parts can take, with its sentences."""

import numpy as np

from geometry.judge.allowed import Way, allowed
from geometry.judge.bracket_ways import frame_places
from geometry.judge.fitted import Bar, Shock
from geometry.judge.limits import BAR_GIVE_MM, LIMITS
from geometry.words.finding import title_of
from geometry.words.picture import floor_of
from geometry.words.sentences.brackets import in_hand, name_in, plumb_deg, wanted_mm
from geometry.words.solution import BarState, Behind, Brackets, Pair, ShockState, TravelAllowed
from geometry.words.told import Told
from geometry.words.wording import listed, small, worded

_FEWEST = 3
"""So many open parts are named one by one."""


def brackets_of(told: Told) -> Brackets | None:
    """Everything that is told of shocks and torque bars; None without any."""
    fitted = told.facts.fitted
    if not (fitted.shocks or fitted.bars):
        return None
    with np.errstate(all="ignore"):
        return Brackets(
            shocks=tuple(_shock(told, shock, index) for index, shock in enumerate(fitted.shocks)),
            torque_bars=tuple(_bar(told, bar, index) for index, bar in enumerate(fitted.bars)),
            allowed=allowed_of(told),
        )


def behind_of(told: Told) -> Behind:
    """What shocks and lateral link look like from behind, at ride height. Call under `np.errstate(all="ignore")`."""
    fitted = told.facts.fitted
    shocks = tuple(plumb_deg(told, shock)[1] for shock in fitted.shocks)
    return Behind(shocks, *(told.number(link.slope_deg) for link in (fitted.lateral_link, fitted.drag_link)))


def _shock(told: Told, shock: Shock, index: int) -> ShockState:
    low, high = (told.number(part) for part in shock.span_mm)
    wanted = wanted_mm(told, shock)
    side, behind = plumb_deg(told, shock)
    stroke = shock.open_mm - shock.closed_mm
    return ShockState(
        name=name_in(told.build.shocks, index),
        ride_mm=told.number(shock.ride_mm),
        least_mm=low,
        most_mm=high,
        closed_at_most_mm=None if wanted is None else wanted[0],
        open_at_least_mm=None if wanted is None else wanted[1],
        to_push_in_share=told.number((shock.ride_mm - shock.closed_mm) / stroke),
        lean_deg=told.number(shock.lean_deg),
        side_deg=side,
        behind_deg=behind,
        fit=None if wanted is None else in_hand(told.build, wanted),
        motion_ratio=told.number(shock.ratio),
    )


def _bar(told: Told, bar: Bar, index: int) -> BarState:
    nearer, farther = (told.number(part) for part in bar.ends_mm)
    grown = told.at(bar.grown_mm) if told.facts.positions else []
    bind = told.number(bar.bind_mm[0])
    return BarState(
        name=name_in(told.build.torque_bars, index),
        length_mm=told.number(bar.ride_mm),
        slope_deg=told.number(bar.slope_deg + told.facts.ride.tilt_deg),
        lever_mm=told.number(bar.lever_mm),
        nearer_mm=nearer,
        farther_mm=farther,
        float_wanted_mm=None if bind is None else float_wanted_mm(bind),
        apart_mm=tuple(told.number(float(one)) for one in grown),
        force_n=told.number(bar.force_n),
    )


def float_wanted_mm(bind_mm: float) -> float:
    """Float that so much bind asks for, with a quarter to spare, mm; none where bushes take it.

    >>> float_wanted_mm(8.0), float_wanted_mm(3.0)
    (10.0, 0.0)
    """
    return 0.0 if bind_mm <= BAR_GIVE_MM else bind_mm / LIMITS["bar_bind"].clear


def allowed_of(told: Told) -> TravelAllowed | None:
    """The travel that the parts can take, for stops and straps; None where the travel is not known.

    Call under `np.errstate(all="ignore")`.
    """
    found = allowed(told.facts) if told.facts.positions and told.facts.v.rows == 1 else None
    if found is None:
        return None
    up, down, stop = (
        worded(part, "mm", told.display) for part in (found.up.most_mm, found.down.most_mm, found.touch_mm)
    )
    ends = [_ends(told, way) for way in (found.up, found.down)]
    not_known = list(dict.fromkeys(small(title_of(told.build, key, bad=False)) for key in found.open))
    counted = f"; not counted, as not known: {listed(not_known)}" if 0 < len(not_known) <= _FEWEST else ""
    counted = counted or ("; what is not judged is not counted" if not_known else "")
    upward = (
        f"The axle may go {up} up with its rubber pressed flat{_beyond(ends[0])}; so its stops are touched at most {stop} "
        "above ride height"
    )
    downward = (
        f"It may go {down} down{_beyond(ends[1])}; straps that hang plumb are at most so much longer than their bolts "
        "stand apart at ride height"
    )
    return TravelAllowed(
        bump_mm=found.up.most_mm,
        stop_mm=found.touch_mm,
        bump_by=ends[0],
        droop_mm=found.down.most_mm,
        droop_by=ends[1],
        says=(f"{upward}{counted}.", f"{downward}{counted}."),
    )


def _ends(told: Told, way: Way) -> str | None:
    if way.by is None:
        return None
    if way.by[0] == "travel_reach":
        return "springs or links end"
    return small(title_of(told.build, way.by, bad=True))


def _beyond(by: str | None) -> str:
    return ", and nothing is met yet" if by is None else f" (beyond: {by})"


def region_of(told: Told, index: int) -> tuple[tuple[Pair, ...], ...]:
    """Where the upper eye of a shock may go, seen from the side: outlines over the floor, none where nowhere or unknown.

    The eye's place across the vehicle stays. Worked out when it is asked for, as it takes some tens of milliseconds; call
    under `np.errstate(all="ignore")`.
    """
    from shapely import box, unary_union  # which takes its time, and waits until it is wanted

    found = frame_places(told.facts, index)
    if found is None:
        return ()
    x, z, works = found
    half = (x[1] - x[0]) / 2.0
    cells = [box(x[j] - half, z[i] - half, x[j] + half, z[i] + half) for i, j in np.argwhere(works)]
    whole = unary_union(cells)
    outlines = [whole] if whole.geom_type == "Polygon" else list(whole.geoms)
    floor = floor_of(told)
    return tuple(floor.side(one.exterior.coords[:-1]) for one in outlines)
