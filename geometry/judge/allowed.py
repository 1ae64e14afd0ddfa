"""The travel that the parts of one build can take: how far up and down the axle may go until something would hold.

The axle is moved beyond its stops, from ride height outward, until the first part is at the line at which it holds.
What both ends of the travel have a part in is then looked at with both together: shocks with the axle crossed, lines
with one wheel hanging, the float of bars; as much of the travel as entered as goes together, and what either end may
have beyond. What is left is judged as a build with those stops, and told in whole millimetres, rounded down.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.judge import brackets, findings, flexible
from geometry.judge.carried import pairs_of
from geometry.judge.codes import HOLD, Key
from geometry.judge.facts import Facts
from geometry.judge.findings import PART
from geometry.judge.judging import Judge
from geometry.judge.limits import LIMITS, SQUASH_MM, USUAL_SPLINE_MM
from geometry.judge.table import Table
from geometry.mechanics.vectors import Floats

BEYOND_MM = 150.0
"""How far beyond the stops as entered is looked, six inches: own choice, as stops and straps are moved by less."""
_PLACES = 61
_TOGETHER = 31
"""Places of one end of the travel at which it is looked at with the other end."""
_BACK_MM = np.array([0.0, 1.0, 2.0, 3.0, 5.0, 8.0, 13.0, 21.0])
"""By how much both ends are taken back until nothing holds; places are straight lines apart, so mostly by nothing."""
_MOVED = 0.75
"""Share of the way between two places by which a gap may be less there than at both."""
_ROUNDED_MM = 0.13
"""By how much more than is meant hundredths of an inch may tell."""
_BUT_GAPS: tuple[Judge, ...] = (findings.reach, findings.travel, flexible.lines, brackets.travelling)
_JUDGES: tuple[Judge, ...] = (*_BUT_GAPS, findings.gaps, findings.pair_gaps)


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
    room = {key: _worst(facts, value) for key, value in _rooms(facts)}
    unknown = [key for key, value in room.items() if np.isnan(value[ride])]
    known = {key: value for key, value in room.items() if key not in unknown}
    # Springs and links end just where they cannot follow any more, to a place of the travel.
    known["travel_reach", "suspension"] = np.where(reached, 0.0, -np.inf)
    up = _way(travel[ride:], {key: value[ride:] for key, value in known.items()})
    down = _way(-travel[ride::-1], {key: value[ride::-1] for key, value in known.items()})
    ends, out = _Ends(plan, squash), np.linspace(0.0, 1.0, _TOGETHER)
    # As entered, or as much of that as goes together; from there first droop, then bump as far as they may go.
    high, low = min(up.most_mm, bump + squash), min(down.most_mm, droop)
    both = ends.rooms(out * high, out * low)
    lost = [key for key, value in both.items() if np.isnan(value).all()]
    unknown += [key for key in lost if key not in unknown]
    share = _way(out, both).most_mm
    places = share * low + out * (down.most_mm - share * low)
    down = _nearer(down, _way(places, ends.rooms(np.full(_TOGETHER, share * high), places)))
    places = share * high + out * (up.most_mm - share * high)
    up = _nearer(up, _way(places, ends.rooms(places, np.full(_TOGETHER, down.most_mm))))
    gaps = {key: room for key, room in known.items() if key[1] == "obstacles"}
    near = any(_comes_near(travel, room, -down.most_mm, up.most_mm) for room in gaps.values())
    up, down = ends.judged(up, down, {*known, *both}.difference(lost), _JUDGES if near else _BUT_GAPS)
    return Allowed(up, down, max(up.most_mm - squash, 0.0), tuple(unknown))


def _nearer(one: Way, two: Way) -> Way:
    return two if two.most_mm < one.most_mm else one


def _comes_near(travel_mm: Floats, room_mm: Floats, low_mm: float, high_mm: float) -> bool:
    """Whether a gap with so much room at places of the travel may be used up between two of them, from low to high.

    On the way from place to place it falls by half of what moves there, and that is as much as the axle does, or some
    more where it turns.
    """
    inside = (travel_mm >= low_mm) & (travel_mm <= high_mm)
    inside[:-1] |= inside[1:]
    inside[1:] |= inside[:-1]
    return not bool((room_mm[inside] > _MOVED * np.diff(travel_mm).max()).all())


class _Ends:
    """A plan, one row, with its stops set otherwise."""

    def __init__(self, plan: Facts, squash_mm: float) -> None:
        self.plan, self.squash_mm = plan, squash_mm

    def at(self, up_mm: Floats, down_mm: Floats, positions: int) -> Facts:
        """Facts whose travel ends so far up, rubber squashed, and so far down, (n,)."""
        pressed = np.minimum(up_mm, self.squash_mm)
        return Facts(
            self.plan.v.widened(
                {
                    "suspension.bump_mm": up_mm - pressed - self.plan.ride.stop_gain_mm,
                    "suspension.bump_squash_mm": pressed, "suspension.droop_mm": down_mm,
                }
            ),
            positions,
        )  # fmt: skip

    def rooms(self, up_mm: Floats, down_mm: Floats) -> dict[Key, Floats]:
        """What is left before each part holds that both ends have a part in, (n,)."""
        facts = self.at(up_mm, down_mm, self.plan.positions)
        rooms: dict[Key, Floats] = {}
        for number, shock in enumerate(facts.fitted.shocks, start=1):
            least = np.minimum(*(spare.min(axis=0) for spare in shock.crossed_spares))
            rooms[f"shock_crossed_{number}", "shocks"] = least - LIMITS["shock_crossed"].hold
        for number, bar in enumerate(facts.fitted.bars, start=1):
            rooms[f"bar_bind_{number}", "torque_bars"] = brackets.play_lines_mm(bar)[1] - bar.bind_mm[0]
        for number in range(1, len(facts.v.build.flexible_lines) + 1):
            apart = flexible.farthest(facts, number - 1).known_mm
            free = facts.v[f"flexible_lines.{number - 1}.free_length_mm"]
            rooms[f"line_slack_{number}", "flexible_lines"] = free - apart - LIMITS["line_slack"].hold
        return rooms

    def judged(self, up: Way, down: Way, keys: set[Key], judges: Sequence[Judge]) -> tuple[Way, Way]:
        """Both ways in whole millimetres, taken back until these judges find nothing of these that holds."""
        high, low = (way.most_mm - (0.0 if way.by is None else _ROUNDED_MM) for way in (up, down))
        touch = high - self.squash_mm
        whole = np.floor(touch) + self.squash_mm if touch > 0.0 else np.floor(high)
        highest, lowest = (np.maximum(most - _BACK_MM, 0.0) for most in (whole, np.floor(low)))
        row = self._first_lasting(highest[:1], lowest[:1], keys, judges)
        if row is None:  # which is rare
            further = self._first_lasting(highest[1:], lowest[1:], keys, judges)
            row = 0 if further is None else 1 + further  # none lasts where something holds at ride height
        return up._replace(most_mm=float(highest[row])), down._replace(most_mm=float(lowest[row]))

    def _first_lasting(self, up_mm: Floats, down_mm: Floats, keys: set[Key], judges: Sequence[Judge]) -> int | None:
        """The first of such travels in which none of these holds, None where something does in all."""
        facts = self.at(up_mm + _ROUNDED_MM, down_mm + _ROUNDED_MM, self.plan.positions)
        table = Table(facts.v.rows)
        for judge in judges:
            judge(facts, table)
        holds = np.logical_or.reduce([one.verdict == HOLD for key, one in table.judged().items() if key in keys])
        return None if holds.all() else int(np.argmin(holds))


def _worst(facts: Facts, value: Floats) -> Floats:
    """Least over the sweeps that count, (sweeps, places, one row) to (places,)."""
    still, wound = facts.over_windup(value)
    return (np.fmin(still, wound) if facts.launch_settled.all() else still)[:, 0]


def _rooms(facts: Facts) -> Iterator[tuple[Key, Floats]]:
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


def _way(out: Floats, rooms: Mapping[Key, Floats]) -> Way:
    """How far from ride height until the first of these is used up; straight between two places."""
    most, by = float(out[-1]), None
    for key, room in rooms.items():
        used = np.flatnonzero(room < 0.0)
        if used.size:
            place = int(used[0])
            at = float(out[0])
            if place:
                share = np.nan_to_num(room[place - 1] / (room[place - 1] - room[place]))
                at = float(out[place - 1] + share * (out[place] - out[place - 1]))
            if at < most:
                most, by = at, key
    return Way(most, by)
