"""Where over the travel a finding's value is worst."""

from collections.abc import Callable, Mapping

import numpy as np

from geometry.judge.codes import Key
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
    if "shaft" not in name:
        return name, None
    if not facts.positions or not told.at(facts.sweep.reachable).any():
        return name, Place(0.0, wound=False)
    travel, sweep = told.number(body.at_travel_mm), int(told.at(body.sweep))
    return name, None if travel is None else Place(travel, sweep == 1)


def obstacle_of(key: Key) -> int:
    """Place in the build's list of the obstacle that a gap is to, or of the flexible line."""
    return int(key[0].rpartition("_")[2]) - 1


def _joint_bind(one: One) -> Place | None:
    facts = one.told.facts
    if not one.told.at(facts.travels):
        return None
    most = facts.v[f"shaft.{JOINT[one.key[1]]}_joint.max_angle_deg"]
    return worst_place(one.told, most - facts.travelled.bent_deg[one.joint])


def _slip_left(one: One) -> Place | None:
    facts = one.told.facts
    return worst_place(one.told, facts.v["shaft.slip.stroke_mm"] - facts.travelled_engaged_mm)


def _slip_engaged(one: One) -> Place | None:
    return worst_place(one.told, one.told.facts.travelled_engaged_mm)


def _lateral_shift(one: One) -> Place | None:
    facts = one.told.facts
    shift = np.broadcast_to(one.told.at(facts.sweep.shift.y), (facts.positions,))
    certain = np.broadcast_to(one.told.at(facts.travelled.certain), (facts.positions,))
    far = np.where(certain & np.isfinite(shift), np.abs(shift), -1.0)
    travel = np.broadcast_to(one.told.at(facts.sweep.travel_mm), (facts.positions,))
    return Place(float(travel[int(np.argmax(far))]), wound=False)


_PLACES: Mapping[str, Callable[[One], Place | None]] = {
    "joint_bind": _joint_bind,
    "slip_left": _slip_left,
    "slip_engaged": _slip_engaged,
    "lateral_shift": _lateral_shift,
    "line_slack": lambda one: where_farthest(one.told, obstacle_of(one.key))[1],
    "gap": lambda one: nearest(one.told, obstacle_of(one.key))[1],
}
"""Findings that the travel has a part in."""
