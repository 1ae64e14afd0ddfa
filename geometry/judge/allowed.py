"""The travel that the parts of one build can take: how far up and down the axle may go until something would hold.

The axle is moved beyond its stops, from ride height outward, until the first part is at the line at which it holds.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from geometry.judge import flexible
from geometry.judge.carried import pairs_of
from geometry.judge.codes import Key
from geometry.judge.facts import Facts
from geometry.judge.findings import PART
from geometry.judge.limits import BAR_GIVE_MOST_MM, LIMITS, SQUASH_MM, USUAL_SPLINE_MM
from geometry.mechanics.vectors import Floats

BEYOND_MM = 150.0
"""How far beyond the stops as entered is looked."""
_PLACES = 61


class Way(NamedTuple):
    """One way from ride height: how far the axle may go, mm, and what ends it; None where nothing does so far."""

    most_mm: float
    by: Key | None


class Allowed(NamedTuple):
    """How far up, rubber squashed, and down the axle may go, how far up it may touch, and what was not known."""

    up: Way
    down: Way
    touch_mm: float
    open: tuple[Key, ...]


def allowed(plan: Facts) -> Allowed | None:
    """The travel that the parts of a plan, one row, can take; None where the axle's travel is not known."""
    v = plan.v
    bump, droop = (float(v[f"suspension.{end}_mm"]) for end in ("bump", "droop"))
    squash = float(v.given("suspension.bump_squash_mm", SQUASH_MM))
    if not (plan.travels.any() and np.isfinite(bump + droop)):
        return None
    far = {
        "suspension.bump_mm": np.array([bump + BEYOND_MM]), "suspension.droop_mm": np.array([droop + BEYOND_MM]),
        "suspension.bump_squash_mm": np.array([squash]),
    }  # fmt: skip
    facts = Facts(v.widened(far), _PLACES)
    travel, reached = facts.sweep.travel_mm[:, 0], facts.sweep.reachable[:, 0]
    ride = int(np.argmin(np.abs(travel)))
    room = {key: _worst(facts, value) for key, value in _rooms(facts, travel, bump + squash, droop)}
    unknown = tuple(key for key, value in room.items() if np.isnan(value[ride]))
    known = {key: value for key, value in room.items() if key not in unknown}
    # Springs and links end just where they cannot follow any more, to a place of the travel.
    known["travel_reach", "suspension"] = np.where(reached, 0.0, -np.inf)
    up = _way(travel[ride:], {key: value[ride:] for key, value in known.items()})
    down = _way(-travel[ride::-1], {key: value[ride::-1] for key, value in known.items()})
    return Allowed(up, down, max(up.most_mm - squash, 0.0), unknown)


def _worst(facts: Facts, value: Floats) -> Floats:
    """Least over the sweeps that count, (sweeps, places, rows) or (places,) to (places,)."""
    if value.ndim < 3:
        return value
    still, wound = value[0, :, 0], value[1, :, 0]
    return np.fmin(still, wound) if facts.fitted.settled.all() else still


def _rooms(facts: Facts, travel: Floats, bump: float, droop: float) -> Iterator[tuple[Key, Floats]]:
    """What each part has left at each place before it holds, below nil where it does."""
    v, moved = facts.v, facts.travelled
    for joint, name in enumerate(facts.kinds.names):
        most = v[f"shaft.{name}_joint.max_angle_deg"]
        yield ("joint_bind", PART[name]), most - moved.bent_deg[joint] - LIMITS["joint_bind"].hold
    engaged, spline = facts.travelled_engaged_mm, v.given("shaft.slip.spline_diameter_mm", USUAL_SPLINE_MM)
    if not v.absent("shaft.slip.engaged_mm"):
        yield ("slip_left", "shaft"), v["shaft.slip.stroke_mm"] - engaged - LIMITS["slip_left"].hold
        yield ("slip_engaged", "shaft"), engaged - spline * LIMITS["slip_engaged"].hold
    for number, shock in enumerate(facts.fitted.shocks, start=1):
        yield (f"shock_bump_{number}", "shocks"), shock.lengths_mm - shock.closed_mm - LIMITS["shock_bump"].hold
        yield (f"shock_droop_{number}", "shocks"), shock.open_mm - shock.lengths_mm - LIMITS["shock_droop"].hold
    for number, bar in enumerate(facts.fitted.bars, start=1):
        play = np.maximum(bar.float_mm, BAR_GIVE_MOST_MM)
        yield (f"bar_bind_{number}", "torque_bars"), np.ravel(play) - _used_mm(bar.grown_mm[:, 0], travel, bump, droop)
    for number in range(1, len(v.build.flexible_lines) + 1):
        apart = flexible.apart_mm(facts, number - 1, flexible.TOGETHER)
        free = v[f"flexible_lines.{number - 1}.free_length_mm"]
        yield (f"line_slack_{number}", "flexible_lines"), free - apart - LIMITS["line_slack"].hold
    yield from _gaps(facts)


def _gaps(facts: Facts) -> Iterator[tuple[Key, Floats]]:
    """Air left to each outline before it holds, and between what the axle carries and what is fixed elsewhere."""
    build = facts.v.build
    courses = [(f"gap_{index + 1}", facts.in_the_way.course_mm(index)) for index in range(len(build.obstacles))]
    for number, pair in enumerate(pairs_of(build), start=1):
        if any(build.obstacles[index].carried_by == "axle" for index in pair):
            courses.append((f"pair_gap_{number}", facts.carried.course_mm(pair)))
    for name, course in courses:
        yield (name, "obstacles"), (course if len(course) > 1 else course[[0, 0]]) - LIMITS["gap"].hold


def _used_mm(grown: Floats, travel: Floats, bump: float, droop: float) -> Floats:
    """Play that a bar uses between a place and the stop at the other end, as entered, mm, (places,)."""
    up = travel >= 0.0
    inside = (travel >= -droop - 1e-9) & (travel <= bump + 1e-9)
    ends = [np.where(inside & side, grown, np.nan) for side in (~up, up)]
    least, most = ([how(end, initial=value) for end in ends] for how, value in ((np.nanmin, 0.0), (np.nanmax, 0.0)))
    down, over = np.flatnonzero(~up)[::-1], np.flatnonzero(up)
    used = np.empty_like(grown)
    for places, other in ((down, 1), (over, 0)):
        low, high = np.fmin.accumulate(grown[places]), np.fmax.accumulate(grown[places])
        used[places] = np.fmax(high, most[other]) - np.fmin(low, least[other])
    return used


def _way(out: Floats, rooms: dict[Key, Floats]) -> Way:
    """How far from ride height until the first of these is used up; straight between two places."""
    most, by = float(out[-1]), None
    for key, room in rooms.items():
        used = np.flatnonzero(room < 0.0)
        if used.size:
            place = int(used[0])
            at = 0.0
            if place:
                share = np.nan_to_num(room[place - 1] / (room[place - 1] - room[place]))
                at = float(out[place - 1] + share * (out[place] - out[place - 1]))
            if at < most:
                most, by = at, key
    return Way(most, by)
