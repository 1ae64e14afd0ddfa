"""Outlines that axle or engine carry: where they go, and their least gap to what is fixed elsewhere.

What the axle carries moves with it over the travel, at rest and wound up by launch torque. What the engine carries
stands as the plan and settled mounts put it, and at launch is rolled by the engine's rock, to one side ahead and to
the other in reverse: everything that its corners may sweep between none and all of it. Only what is seen from the side
is held against each other.
"""

import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias
from weakref import proxy

import numpy as np

from geometry.document import Build
from geometry.judge.kinds import point, side
from geometry.judge.shapes import GapFacts, counted
from geometry.mechanics.clearance import (
    VIEWS,
    Body,
    Gap,
    Objects,
    farthest,
    gaps_between,
    least_gaps,
    most_bow_mm,
    outlines,
    safe_outline,
    section_outline,
)
from geometry.mechanics.rolled import rise_mm, rolled_outlines
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, Vector

if TYPE_CHECKING:
    from geometry.judge.facts import Facts

USUAL_ROCK_DEG = 3.0
"""How far an engine may rock on its mounts where that is not entered: common practice, no source."""
_BACK, _UP = VIEWS["side"]


class Pair(NamedTuple):
    """Two outlines by their places in the build's list."""

    one: int
    two: int


class PairGap(NamedTuple):
    """Least gap of two outlines, (n,) each, as in `GapFacts`; where it is, and whether launch torque makes it."""

    least_mm: Floats
    wanted_mm: Floats
    others_mm: tuple[Floats, ...]
    at_travel_mm: Floats
    launch: Bools


def pairs_of(build: Build) -> tuple[Pair, ...]:
    """Outlines that are seen from the side and fixed to different things, two by two, in the build's order."""
    seen = [(number, one.carried_by) for number, one in enumerate(build.obstacles) if one.view == "side"]
    return tuple(
        Pair(one, two)
        for place, (one, carrier) in enumerate(seen)
        for two, other in seen[place + 1 :]
        if carrier != other
    )


class _Swept(NamedTuple):
    """Least gap of each sweep, the travel there, (w, n), and the gap at each place, (m, w, n)."""

    least_mm: Floats
    at_travel_mm: Floats
    along_mm: Floats


class _Beside(NamedTuple):
    """An outline that moves, (m, w, n, c, 2), what it is held against at rest and at launch, and the gap wanted."""

    corners_mm: Floats
    fixed: tuple[Objects, ...]
    wanted_mm: Floats
    on_engine: bool = False
    """Whether it is held against what the engine carries."""
    told: bool = True
    """Whether the whole course of the first row is told."""


class _First(NamedTuple):
    """A plan's own outline over its travel, (m, w, c, 2), and its least gap in each sweep, (w,)."""

    corners_mm: Floats
    least_mm: Floats


_Name: TypeAlias = tuple[Hashable, ...]
"""What is held against what: a pair, or an outline with a section or a part of the powertrain; and by which rock."""
_AT_ONCE = 512
"""Rows and sweeps that are measured together, as a step costs as much for one as for some."""


class _Stack(NamedTuple):
    """Outlines, (m, o, w, n, c, 2), what each is held against, those told at all places, (o, w, n), and the travel."""

    corners_mm: Floats
    against: Objects
    told: Bools
    travel_mm: Floats

    def measure(self, asked: Bools, gap: Gap) -> None:
        """Put down the gaps that are asked for, (o, w, n)."""
        which = np.flatnonzero(asked)
        if not which.size:  # as a rule, beside a plan that has enough
            return
        corners = self.corners_mm.reshape(len(self.corners_mm), -1, *self.corners_mm.shape[-2:])[:, which]
        travel = self.travel_mm[:, which] if self.travel_mm.shape[1] > 1 else self.travel_mm
        each = np.arange(which.size)
        found = least_gaps(Body(corners, travel), each, self.against.ravel()[which], whole=self.told.ravel()[which])
        for whole, part in zip(gap, found, strict=True):
            whole.reshape(*part.shape[:-1], -1)[..., which] = part

    def at_least_mm(self, firsts: Sequence[_First]) -> Floats:
        """What gaps are at least beside those of a plan, (o, w, n).

        At each place of the travel no corner lies farther from where the plan has it than the farthest one does; nor on
        the way from place to place, but for how far both paths bow.
        """
        most = self.corners_mm.shape[-2]
        first = np.stack([_widened(one.corners_mm, most) for one in firsts], axis=1)
        strays = farthest(self.corners_mm - first[:, :, :, None]).max(axis=0)
        steps = np.zeros(strays.shape)
        if len(self.corners_mm) > 1:
            steps = farthest(first[1:] - first[:-1]).max(axis=0)[..., None] + 2.0 * strays
        at_least: Floats = np.array([one.least_mm for one in firsts])[..., None] - strays - 2.0 * most_bow_mm(steps)
        return at_least


def _widened(corners: Floats, most: int) -> Floats:
    """Outlines (..., c, 2) with as many corners as all have: the last one again."""
    lacks = most - corners.shape[-2]
    return np.concatenate([corners, *(corners[..., -1:, :] for _ in range(lacks))], axis=-2) if lacks else corners


def _stacked(some: "Sequence[_Beside]", facts: "Facts") -> _Stack:
    places, sweeps, rows = some[0].corners_mm.shape[:3]
    shape, most = (len(some), sweeps, rows), max(one.corners_mm.shape[3] for one in some)
    corners, against, told = np.empty((places, *shape, most, 2)), np.empty(shape, np.object_), np.zeros(shape, np.bool_)
    for number, one in enumerate(some):
        corners[:, number] = _widened(one.corners_mm, most)
        # Where the axle cannot be moved there is rest alone.
        against[number] = one.fixed[0]
        against[number, 1::2] = np.where(facts.travels, one.fixed[-1], one.fixed[0])
        told[number, :, 0] = one.told
    travel = np.zeros((1, 1))
    if places > 1:
        travel = facts.sweep.travel_mm
        travel = np.tile(travel, sweeps * len(some)) if travel.shape[1] > 1 else travel
    return _Stack(corners, against, told, travel)


class Carried:
    """Where the carried outlines of a block of variants go; all of it is worked out when it is asked for."""

    def __init__(self, facts: "Facts") -> None:
        self.facts: Facts = proxy(facts)
        self._kept: dict[int, GapFacts] = {}
        self._firsts: dict[_Name, _First] = {}
        self._shaped: dict[tuple[int, bool], tuple[Objects, Objects]] = {}

    # ------------------------------------------------------------------ what the axle carries

    @cached_property
    def _axle(self) -> tuple[Floats, ...]:
        """The axle's centre, x and z, and cosine and sine of its turn over the travel, (m, w, n) each."""
        facts = self.facts

        def turned(turn: Floats) -> Vector:
            return Vector(np.cos(turn * RADIAN), ZERO, np.sin(turn * RADIAN))

        there: tuple[Vector, ...] = ()
        if facts.travels.any():
            turn = facts.axle_turn_deg + facts.sweep.turn_deg + facts.wound_deg
            there = facts.travelled.poses.axle_centre, turned(turn)
        places = facts.in_the_way.over_travel(there, (facts.axle.centre, turned(facts.axle_turn_deg)))
        return places[:, 0, 0], places[:, 0, 2], places[:, 1, 0], places[:, 1, 2]

    @property
    def _measured_centre(self) -> tuple[Floats, Floats]:
        centre = point(self.facts.v, "axle.centre_mm")
        return centre.x, centre.z

    def on_axle(self, index: int) -> Floats:
        """Corners of an outline on the axle as they go over the travel, (m, w, n, c, 2)."""
        x, z, cosine, sine = (part[..., None] for part in self._axle)
        corners = np.array(self.facts.v.build.obstacles[index].outline_mm)
        ahead, above = (corners[:, axis] - np.asarray(at)[..., None] for axis, at in enumerate(self._measured_centre))
        return np.stack((x + ahead * cosine + above * sine, z + above * cosine - ahead * sine), axis=-1)

    def _from_axle(self, x: Floats, z: Floats) -> tuple[Floats, Floats]:
        """Places in the frame, (m, w, n), as they lie to the axle where it was measured."""
        at_x, at_z, cosine, sine = self._axle
        ahead, above = x - at_x, z - at_z
        was_x, was_z = self._measured_centre
        return was_x + ahead * cosine - above * sine, was_z + ahead * sine + above * cosine

    # ------------------------------------------------------------------ what the engine carries

    @cached_property
    def _crank(self) -> tuple[Floats, Floats, Floats]:
        """A point of the crankshaft's line, (x, y, z), after the plan: as entered, or of the output in line with it."""
        v, facts = self.facts.v, self.facts
        entered, output = point(v, "powertrain.crank_mm"), facts.powertrain.joint
        in_line = (v["powertrain.low_range"] == 1.0) & (not (facts.kinds.ahead or facts.kinds.both))
        there = np.isfinite(entered.x)
        x, z = self._by_engine(entered.x, entered.z)
        by_output = (np.where(in_line, part, NAN) for part in output)
        return tuple(np.where(there, *both) for both in zip((x, entered.y, z), by_output, strict=True))  # type: ignore[return-value]

    def _by_engine(self, x: Floats, z: Floats) -> tuple[Floats, Floats]:
        """Where a place of the measured engine has gone with the plan and settled mounts."""
        powertrain = self.facts.powertrain
        still = powertrain.turn_deg == 0.0
        hinge = side(self.facts.v, "powertrain.front_mount_mm")
        pivot_x, pivot_z = (np.where(still, 0.0, part) for part in hinge)
        cosine, sine = np.cos(powertrain.turn_deg * RADIAN), np.sin(powertrain.turn_deg * RADIAN)
        ahead, above = x - pivot_x, z - pivot_z
        return (
            pivot_x + ahead * cosine + above * sine + powertrain.shift.x,
            pivot_z + above * cosine - ahead * sine + powertrain.shift.z,
        )

    def _on_engine(self, index: int) -> Floats:
        """Corners of an outline on the engine after the plan, (n, c, 2)."""
        corners = np.array(self.facts.v.build.obstacles[index].outline_mm)
        placed = [np.stack(self._by_engine(x, z), axis=-1) for x, z in corners[:, :, None]]
        rows = self.facts.v.rows
        return np.stack([np.broadcast_to(one, (rows, 2)) for one in placed], axis=1)

    def _rolled(self, index: int, corners: Floats, rock_deg: Floats) -> Objects:
        """What an outline on the engine sweeps as that rocks so far, (n,)."""
        facts = self.facts
        if not np.any(rock_deg != 0.0):
            return outlines(corners)
        line = facts.powertrain.line
        size = np.hypot(line.x, line.z)
        up_x, up_z = -line.z / size, line.x / size  # square to the crankshaft, in side view
        x, y, z = self._crank
        above = (corners[..., 0].T - x) * up_x + (corners[..., 1].T - z) * up_z  # (c, n)
        left, right = (facts.v[f"obstacles.{index}.{end}_mm"] - y for end in ("left", "right"))
        still = rock_deg == 0.0
        # Ahead the left side rises, in reverse the right one, by as much: its reach is mirrored then.
        ahead, back = rise_mm(above, left, right, rock_deg), rise_mm(above, -right, -left, rock_deg)
        low, high = (
            how(*ends) for how, ends in zip((np.minimum, np.maximum), zip(ahead, back, strict=True), strict=True)
        )
        # An engine that does not rock stays where it is, though nobody knows which way it points.
        ends = [
            corners + np.stack([np.where(still, 0.0, part * way).T for way in (up_x, up_z)], axis=-1)
            for part in (low, high)
        ]
        return rolled_outlines(corners, *ends)

    @cached_property
    def _rock_deg(self) -> tuple[Floats, Floats]:
        """Rock as entered, nil where it is not, and what it may be besides: the usual where it is not entered."""
        entered = self.facts.v["powertrain.rock_deg"]
        lacks = np.isnan(entered)
        return np.where(lacks, 0.0, entered), np.where(lacks, USUAL_ROCK_DEG, entered)

    @cached_property
    def _rocks(self) -> tuple[bool, ...]:
        """By which rock gaps beside the engine are measured: as entered, and by the usual where some rows lack it."""
        return (False, True) if np.isnan(self.facts.v["powertrain.rock_deg"]).any() else (False,)

    def _shapes(self, index: int, *, usual: bool = False) -> tuple[Objects, Objects]:
        """An outline on the engine at rest and at launch, (n,) each or one for all; by its `usual` rock if so asked."""
        if (index, usual) not in self._shaped:
            corners, rock = self._on_engine(index), self._rock_deg[usual]
            self._shaped[index, usual] = outlines(corners), self._rolled(index, corners, rock)
        return self._shaped[index, usual]

    # ------------------------------------------------------------------ gaps

    @cached_property
    def _found(self) -> dict[_Name, _Swept]:
        """Every gap that the travel has a part in."""
        return self._measured(self._asked)

    @property
    def _asked(self) -> dict[_Name, Callable[[], _Beside]]:
        """What is held against what, made when it is measured."""
        obstacles, asked = self.facts.v.build.obstacles, dict[_Name, Callable[[], _Beside]]()
        for pair in pairs_of(self.facts.v.build):
            by = {obstacles[index].carried_by: index for index in pair}
            if "axle" in by:
                for usual in self._rocks if "engine" in by else (False,):
                    asked[pair, usual] = partial(self._pair_beside, pair, by, usual=usual)
        for index, obstacle in enumerate(obstacles):
            if obstacle.carried_by != "frame":
                for usual in self._rocks if obstacle.carried_by == "engine" else (False,):
                    for section in range(self.facts.kinds.pieces):
                        asked[index, section, usual] = partial(self._section_beside, index, section, usual=usual)
                for name, corners in self._standing_beside(index).items():
                    asked[index, name] = partial(self._standing, index, corners)
        return asked

    def _measured(self, asked: Mapping[_Name, Callable[[], _Beside]]) -> dict[_Name, _Swept]:
        """Least gaps of what is asked for; few rows are measured together."""
        found: dict[_Name, _Swept] = {}
        some: dict[_Name, _Beside] = {}
        for name, make in asked.items():
            one = make()
            if some and _columns(one) * (len(some) + 1) > _AT_ONCE:
                found |= self._swept(some)
                some = {}
            some[name] = one
        return found | (self._swept(some) if some else {})

    def _swept(self, some: Mapping[_Name, _Beside]) -> dict[_Name, _Swept]:
        """Least gaps of moving outlines to what is fixed at rest and at launch.

        Beside a plan that has enough a gap is only told to be at least so wide where that is enough.
        """
        stack = _stacked(list(some.values()), self.facts)
        shape = stack.against.shape
        nil = np.zeros(shape, np.intp)
        gap = Gap(np.full(shape, NAN), np.full(shape, NAN), nil, np.full((len(stack.corners_mm), *shape), np.inf))
        asked = np.ones(shape, np.bool_)
        plan = None if self.facts.plan is None else self.facts.plan.carried
        if plan is self:
            asked[..., 1:] = False
            stack.measure(asked, gap)
            for number, (name, one) in enumerate(some.items()):
                self._firsts[name] = _First(one.corners_mm[:, :, 0], gap.least_mm[number, :, 0])
            asked = ~asked
        if plan is not None and asked.any():
            at_least = self._at_least_mm(plan, some, stack)
            wanted = np.array([np.broadcast_to(one.wanted_mm, shape[2]) for one in some.values()])
            enough = asked & (at_least > wanted[:, None])
            gap.least_mm[enough] = at_least[enough]
            asked &= ~enough
        stack.measure(asked, gap)
        return {
            name: _Swept(gap.least_mm[number], gap.at_travel_mm[number], gap.along_mm[:, number])
            for number, name in enumerate(some)
        }

    def _at_least_mm(self, plan: "Carried", some: Mapping[_Name, _Beside], stack: _Stack) -> Floats:
        """What gaps are at least as they are so wide in a plan, (o, w, n); nan where that tells nothing."""
        told = plan is self or plan._found  # which works the plan's own out
        firsts = [plan._firsts[name] for name in some] if told and some.keys() <= plan._firsts.keys() else []
        if not firsts or firsts[0].corners_mm.shape[:2] != (len(stack.corners_mm), stack.against.shape[1]):
            return np.full(stack.against.shape, NAN)
        engine = np.array([one.on_engine for one in some.values()])[:, None, None]
        return np.where(engine & ~self._engine_stands, NAN, stack.at_least_mm(firsts))

    @cached_property
    def _engine_stands(self) -> Bools:
        """Rows whose engine, and what it carries, stands and rocks as in the plan beside which gaps are told."""
        plan, v = self.facts.plan, self.facts.v
        if plan is None or any(path.startswith(("powertrain.", "obstacles.")) for path in v.columns):
            return np.zeros(v.rows, np.bool_)
        here, there = self.facts.powertrain, plan.powertrain
        same: Bools = here.turn_deg == np.ravel(there.turn_deg)[0]
        for one, other in zip(here.shift, there.shift, strict=True):
            same = same & (one == np.ravel(other)[0])
        return np.broadcast_to(same, v.rows)

    def _counted(self, found: _Swept) -> Gap:
        """The gap that counts, launch's where its torque is settled and what it does is known."""
        least = np.where(np.isnan(found.least_mm), found.least_mm[0], found.least_mm)
        rest, sweep = counted(least[None, None], self.facts.launch_certain)
        at = found.at_travel_mm[0]
        if len(found.at_travel_mm) > 1:
            at = np.where(sweep[0, 0], found.at_travel_mm[1], at)
        return Gap(rest[0, 0], at, sweep[0, 0], found.along_mm[:, 0])

    def _wider(self, found: _Swept) -> Floats:
        """The least of all sweeps; nowhere known without a travel, as at ride height alone nothing is clear."""
        return np.where(self.facts.travels, np.minimum.reduce(found.least_mm, axis=0), NAN)

    @cached_property
    def pairs(self) -> list[PairGap]:
        """Every pair's gap, in the order of `pairs_of`."""
        return [self._pair(pair) for pair in pairs_of(self.facts.v.build)]

    def course_mm(self, pair: Pair) -> Floats:
        """Gap of two outlines of one row, of which the axle carries one, over the travel, (sweeps, places, 1)."""
        return np.swapaxes(self._found[pair, False].along_mm, 0, 1)

    def body_course_mm(self, index: int) -> Floats:
        """Least gap of shaft and powertrain to a carried outline at each place, (sweeps, places, rows)."""
        sections = range(self.facts.kinds.pieces)
        course = np.minimum.reduce([self._found[index, one, False].along_mm for one in sections])
        for name in self._standing_beside(index):
            course = np.fmin(course, self._found[index, name].along_mm)
        return np.swapaxes(course, 0, 1)

    def _standing_beside(self, index: int) -> dict[str, Floats]:
        """Gearbox and engine where they do not move with an outline."""
        by_axle = self.facts.v.build.obstacles[index].carried_by == "axle"
        return self.facts.in_the_way.standing_outlines if by_axle and not self.facts.kinds.ahead else {}

    def _pair(self, pair: Pair) -> PairGap:
        obstacles = self.facts.v.build.obstacles
        by = {obstacles[index].carried_by: index for index in pair}
        if "axle" not in by:
            return self._standing_pair(by["frame"], by["engine"], self._wish(pair))
        gap = self._counted(self._found[pair, False])
        others = tuple(self._wider(self._found[pair, usual]) for usual in (self._rocks if "engine" in by else (False,)))
        return PairGap(gap.least_mm, self._wish(pair), others, gap.at_travel_mm, gap.sweep == 1)

    def _wish(self, pair: Pair) -> Floats:
        """Gap wanted between two, (n,): of what each wants the wider."""
        wanted = self.facts.in_the_way.wanted_mm
        return np.maximum(wanted[pair.one], wanted[pair.two])

    def _pair_beside(self, pair: Pair, by: Mapping[Literal["frame", "axle", "engine"], int], *, usual: bool) -> _Beside:
        fixed = (self._fixed(by["frame"]),) if "frame" in by else self._shapes(by["engine"], usual=usual)
        return _Beside(self.on_axle(by["axle"]), fixed, self._wish(pair), "engine" in by, told=self.facts.v.rows == 1)

    def _standing_pair(self, frame: int, engine: int, wish: Floats) -> PairGap:
        """Of what the frame and what the engine carries: no travel has a part in it."""
        fixed = self._fixed(frame)
        rest, launch = (gaps_between(shapes, fixed) for shapes in self._shapes(engine))
        others = tuple(gaps_between(self._shapes(engine, usual=True)[1], fixed) for usual in self._rocks if usual)
        return PairGap(launch, wish, others, np.zeros(self.facts.v.rows), launch < rest)

    def _fixed(self, index: int) -> Objects:
        made = np.empty(1, np.object_)
        made[0] = safe_outline(self.facts.v.build.obstacles[index].outline_mm)
        return made

    # ------------------------------------------------------------------ the shaft and the powertrain

    def gap(self, index: int) -> GapFacts:
        """Least gap of shaft and powertrain to a carried outline, as `InTheWay.gap` tells it of one that stands."""
        if index not in self._kept:
            self._kept[index] = self._gap(index)
        return self._kept[index]

    def _gap(self, index: int) -> GapFacts:
        facts, on_axle = self.facts, self.facts.v.build.obstacles[index].carried_by == "axle"
        bodies: list[tuple[str, Gap]] = []
        wider = list[Floats]()
        for section, name in enumerate(facts.in_the_way.names):
            bodies.append((name, self._counted(self._found[index, section, False])))
            rocks = (False,) if on_axle else self._rocks
            wider += [self._wider(self._found[index, section, usual]) for usual in rocks]
        least = np.minimum.reduce([gap.least_mm for _, gap in bodies])
        others: tuple[Floats, ...] = (np.minimum.reduce(wider),)
        if on_axle and not facts.kinds.ahead:
            for name in self._standing_beside(index):
                found = self._found[index, name]
                gap = self._counted(found)
                bodies.append((name, gap))
                least = np.fmin(least, gap.least_mm)
                others += (np.where(np.isnan(gap.least_mm), least, self._wider(found)),)
            others += facts.in_the_way.unseen(index, least)
        # All of these are beside it: the nearest counts, whatever another one may do.
        others = tuple(np.minimum(other, least) for other in others)
        return GapFacts(least, facts.in_the_way.wanted_mm[index], others, tuple(bodies))

    def _section_beside(self, index: int, section: int, *, usual: bool) -> _Beside:
        on_axle = self.facts.v.build.obstacles[index].carried_by == "axle"
        fixed = (self._fixed(index),) if on_axle else self._shapes(index, usual=usual)
        wanted = self.facts.in_the_way.wanted_mm[index]
        return _Beside(self._section(section, on_axle=on_axle), fixed, wanted, not on_axle)

    def _section(self, section: int, *, on_axle: bool) -> Floats:
        """Corners of a section of the shaft, (m, w, n, 12, 2), as they lie to the frame, or to the axle."""
        way = self.facts.in_the_way
        first, last = ((joint[:, _BACK], joint[:, _UP]) for joint in (way.joints[:, section + end] for end in (0, 1)))
        if on_axle:
            first, last = self._from_axle(*first), self._from_axle(*last)
        return section_outline(first, last, *way.sizes[:, section])

    def _standing(self, index: int, corners: Floats) -> _Beside:
        """Outlines that stand in the frame, (n, c, 2), as they lie to the axle, against what that carries."""
        x, z, cosine, sine = (part[..., None] for part in self._axle)
        was_x, was_z = (np.asarray(part)[..., None] for part in self._measured_centre)
        ahead, above = corners[..., 0] - x, corners[..., 1] - z
        moved = np.stack((was_x + ahead * cosine - above * sine, was_z + ahead * sine + above * cosine), axis=-1)
        return _Beside(moved, (self._fixed(index),), self.facts.in_the_way.wanted_mm[index])


def _columns(one: _Beside) -> int:
    return math.prod(one.corners_mm.shape[1:3])
