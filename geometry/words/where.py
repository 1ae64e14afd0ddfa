"""Where over the travel a finding's value is worst."""

from collections.abc import Callable, Mapping

import numpy as np

from geometry.document import Build
from geometry.judge.carried import Pair, pairs_of
from geometry.judge.codes import Key
from geometry.mechanics.vectors import Floats
from geometry.words.flexible import where_farthest
from geometry.words.one import JOINT, One, Place, worst_place
from geometry.words.told import Told


def place_of(one: One) -> Place | None:
    """Where a finding over the travel has its value; None of one that no travel has a part in, or where none is known."""
    if one.place is None:
        travels = one.id in _PLACES and one.value is not None and one.told.facts.positions
        one.place = (_PLACES[one.id](one) if travels else None,)
    return one.place[0]


def nearest(told: Told, index: int) -> tuple[str, Place | None]:
    """Which body comes nearest to an obstacle, and where over the travel; nowhere of what stands still."""
    facts = told.facts
    bodies = [(told.number(body.least_mm), name, body) for name, body in facts.gap(index).bodies]
    _, name, body = min(
        ((least, name, body) for least, name, body in bodies if least is not None), key=lambda one: one[0]
    )
    if "shaft" not in name and len(body.along_mm) == 1:
        return name, None
    if not facts.positions or not told.at(facts.sweep.reachable).any():
        return name, Place(0.0, wound=False)
    travel, sweep = told.number(body.at_travel_mm), int(told.at(body.sweep))
    return name, None if travel is None else Place(travel, sweep == 1)


def pair_place(told: Told, index: int) -> Place | None:
    """Where over the travel two outlines come nearest; nowhere of what neither the axle carries."""
    facts = told.facts
    pair, gap = pairs_of(told.build)[index], facts.carried.pairs[index]
    if not with_axle(told.build, pair):
        return None
    travel = told.number(gap.at_travel_mm)
    return None if travel is None else Place(travel, bool(told.at(gap.launch)))


def with_axle(build: Build, pair: Pair) -> bool:
    """Whether the axle carries one of two outlines, so that the travel has a part in their gap."""
    return any(build.obstacles[index].carried_by == "axle" for index in pair)


def with_engine(build: Build, pair: Pair) -> bool:
    """Whether the engine carries one of two outlines, so that its rock has a part in their gap."""
    return any(build.obstacles[index].carried_by == "engine" for index in pair)


def obstacle_of(key: Key) -> int:
    """Place in the build's list of the obstacle, flexible line, pair, shock or torque bar that a finding is about."""
    return int(key[0].rpartition("_")[2]) - 1


OVER_TRAVEL = frozenset({"joint_bind", "slip_left", "slip_engaged"})
"""Findings whose value is the least of one number over the travel."""


def over_travel(one: One) -> Floats:
    """Of one of those that number over the travel, (sweeps, places, rows)."""
    facts = one.told.facts
    if one.id == "joint_bind":
        return facts.v[f"shaft.{JOINT[one.key[1]]}_joint.max_angle_deg"] - facts.travelled.bent_deg[one.joint]
    engaged = facts.travelled_engaged_mm
    return engaged if one.id == "slip_engaged" else facts.v["shaft.slip.stroke_mm"] - engaged


def _worst(one: One) -> Place | None:
    return worst_place(one.told, over_travel(one)) if one.told.at(one.told.facts.travels) else None


def _lateral_shift(one: One) -> Place | None:
    facts = one.told.facts
    shift = np.broadcast_to(one.told.at(facts.sweep.shift.y), (facts.positions,))
    certain = np.broadcast_to(one.told.at(facts.travelled.certain), (facts.positions,))
    far = np.where(certain & np.isfinite(shift), np.abs(shift), -1.0)
    travel = np.broadcast_to(one.told.at(facts.sweep.travel_mm), (facts.positions,))
    return Place(float(travel[int(np.argmax(far))]), wound=False)


def _shock(one: One) -> Place | None:
    """Where a shock has least left of its stroke, among what counts for the verdict."""
    shock = one.told.facts.fitted.shocks[obstacle_of(one.key)]
    return worst_place(one.told, shock.to_close_mm if one.id == "shock_bump" else shock.to_open_mm)


_PLACES: Mapping[str, Callable[[One], Place | None]] = {
    **dict.fromkeys(OVER_TRAVEL, _worst),
    "lateral_shift": _lateral_shift,
    "pair_gap": lambda one: pair_place(one.told, obstacle_of(one.key)),
    "shock_bump": _shock,
    "shock_droop": _shock,
    "line_slack": lambda one: where_farthest(one.told, obstacle_of(one.key))[1],
    "gap": lambda one: nearest(one.told, obstacle_of(one.key))[1],
}
"""Findings that the travel has a part in."""
