"""Outlines that axle or engine carry: where they go, and their least gap to what is fixed elsewhere.

What the axle carries moves with it over the travel, at rest and wound up by launch torque. What the engine carries
stands as the plan and settled mounts put it, and at launch is rolled by the engine's rock, to one side ahead and to
the other in reverse: everything that its corners may sweep between none and all of it. Only what is seen from the side
is held against each other.
"""

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple
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
    gaps_between,
    least_gaps,
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


class Carried:
    """Where the carried outlines of a block of variants go; all of it is worked out when it is asked for."""

    def __init__(self, facts: "Facts") -> None:
        self.facts: Facts = proxy(facts)
        self._kept: dict[int, GapFacts] = {}

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

    def _rolled(self, index: int, rock_deg: Floats) -> Objects:
        """What an outline on the engine sweeps as that rocks so far, (n,)."""
        facts, corners = self.facts, self._on_engine(index)
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
            np.where(still, 0.0, how(*ends))
            for how, ends in zip((np.minimum, np.maximum), zip(ahead, back, strict=True), strict=True)
        )
        ends = [
            np.stack([corners[..., 0] + (part * up_x).T, corners[..., 1] + (part * up_z).T], axis=-1)
            for part in (low, high)
        ]
        return rolled_outlines(corners, *ends)

    @cached_property
    def _rock_deg(self) -> tuple[Floats, Floats | None]:
        """Rock as entered, nil where it is not; and what it may be besides, None where that is entered in all rows."""
        entered = self.facts.v["powertrain.rock_deg"]
        lacks = np.isnan(entered)
        rock = np.where(lacks, 0.0, entered)
        return rock, np.where(lacks, USUAL_ROCK_DEG, entered) if lacks.any() else None

    def _shapes(self, index: int, rock_deg: Floats) -> tuple[Objects, Objects]:
        """An outline on the engine at rest and at launch, (n,) each."""
        return outlines(self._on_engine(index)), self._rolled(index, rock_deg)

    # ------------------------------------------------------------------ gaps

    def _swept(self, corners: Floats, fixed: list[Objects]) -> _Swept:
        """Least gap of moving outlines (m, w, n, c, 2) to what is fixed at rest and at launch."""
        places, sweeps, rows = corners.shape[:3]
        travel = np.zeros((1, 1))
        if places > 1:
            travel = self.facts.sweep.travel_mm
            travel = np.tile(travel, sweeps) if travel.shape[1] > 1 else travel
        body = Body(corners.reshape(places, sweeps * rows, *corners.shape[3:]), travel)
        # Where the axle cannot be moved there is rest alone.
        at_launch = np.where(self.facts.travels, fixed[-1], fixed[0])
        against = np.concatenate([np.broadcast_to(at_launch if one % 2 else fixed[0], rows) for one in range(sweeps)])
        each = np.arange(sweeps * rows)
        gap = least_gaps(body, each, against, whole=each % rows == 0)  # of the first the whole course is told
        shape = sweeps, rows
        return _Swept(gap.least_mm.reshape(shape), gap.at_travel_mm.reshape(shape), gap.along_mm.reshape(-1, *shape))

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
        return [self._pair(*pair) for pair in pairs_of(self.facts.v.build)]

    def course_mm(self, pair: Pair) -> Floats:
        """Gap of two outlines, of which the axle carries one, at each place of the travel, (sweeps, places, rows)."""
        obstacles = self.facts.v.build.obstacles
        by = {obstacles[index].carried_by: index for index in pair}
        fixed = (self._fixed(by["frame"]),) if "frame" in by else self._shapes(by["engine"], self._rock_deg[0])
        return np.swapaxes(self._swept(self.on_axle(by["axle"]), list(fixed)).along_mm, 0, 1)

    def body_course_mm(self, index: int) -> Floats:
        """Least gap of shaft and powertrain to a carried outline at each place, (sweeps, places, rows)."""
        on_axle = self.facts.v.build.obstacles[index].carried_by == "axle"
        fixed = [self._fixed(index)] if on_axle else list(self._shapes(index, self._rock_deg[0]))
        sections = range(self.facts.kinds.pieces)
        courses = [self._swept(self._section(one, on_axle=on_axle), fixed).along_mm for one in sections]
        course = np.minimum.reduce(courses)
        for corners in self._standing_beside(index).values():
            course = np.fmin(course, self._swept(self._standing(corners), fixed).along_mm)
        return np.swapaxes(course, 0, 1)

    def _standing_beside(self, index: int) -> dict[str, Floats]:
        """Gearbox and engine where they do not move with an outline."""
        by_axle = self.facts.v.build.obstacles[index].carried_by == "axle"
        return self.facts.in_the_way.standing_outlines if by_axle and not self.facts.kinds.ahead else {}

    def _pair(self, one: int, two: int) -> PairGap:
        obstacles = self.facts.v.build.obstacles
        by = {obstacles[index].carried_by: index for index in (one, two)}
        wanted = self.facts.in_the_way.wanted_mm
        wish = np.maximum(wanted[one], wanted[two])
        if "axle" not in by:
            return self._standing_pair(by["frame"], by["engine"], wish)
        moving = self.on_axle(by["axle"])
        if "frame" in by:
            found = self._swept(moving, [self._fixed(by["frame"])])
            others: tuple[Floats, ...] = (self._wider(found),)
        else:
            rock, usual = self._rock_deg
            found = self._swept(moving, list(self._shapes(by["engine"], rock)))
            others = (self._wider(found),)
            if usual is not None:
                others += (self._wider(self._swept(moving, list(self._shapes(by["engine"], usual)))),)
        gap = self._counted(found)
        return PairGap(gap.least_mm, wish, others, gap.at_travel_mm, gap.sweep == 1)

    def _standing_pair(self, frame: int, engine: int, wish: Floats) -> PairGap:
        """Of what the frame and what the engine carries: no travel has a part in it."""
        rock, usual = self._rock_deg
        fixed = self._fixed(frame)
        rest, launch = (gaps_between(shapes, fixed) for shapes in self._shapes(engine, rock))
        others = () if usual is None else (gaps_between(self._rolled(engine, usual), fixed),)
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
        facts, obstacle = self.facts, self.facts.v.build.obstacles[index]
        on_axle = obstacle.carried_by == "axle"
        fixed, wider = [self._fixed(index)], list[Floats]()
        usual: Floats | None = None
        if not on_axle:
            rock, usual = self._rock_deg
            fixed = list(self._shapes(index, rock))
        bodies: list[tuple[str, Gap]] = []
        for section, name in enumerate(facts.in_the_way.names):
            corners = self._section(section, on_axle=on_axle)
            found = self._swept(corners, fixed)
            bodies.append((name, self._counted(found)))
            wider.append(self._wider(found))
            if usual is not None:
                wider.append(self._wider(self._swept(corners, list(self._shapes(index, usual)))))
        least = np.minimum.reduce([gap.least_mm for _, gap in bodies])
        others: tuple[Floats, ...] = (np.minimum.reduce(wider),)
        if on_axle and not facts.kinds.ahead:
            for name, corners in self._standing_beside(index).items():
                found = self._swept(self._standing(corners), fixed)
                gap = self._counted(found)
                bodies.append((name, gap))
                least = np.fmin(least, gap.least_mm)
                others += (np.where(np.isnan(gap.least_mm), least, self._wider(found)),)
            others += facts.in_the_way.unseen(index, least)
        # All of these are beside it: the nearest counts, whatever another one may do.
        others = tuple(np.minimum(other, least) for other in others)
        return GapFacts(least, facts.in_the_way.wanted_mm[index], others, tuple(bodies))

    def _section(self, section: int, *, on_axle: bool) -> Floats:
        """Corners of a section of the shaft, (m, w, n, 12, 2), as they lie to the frame, or to the axle."""
        way = self.facts.in_the_way
        first, last = ((joint[:, _BACK], joint[:, _UP]) for joint in (way.joints[:, section + end] for end in (0, 1)))
        if on_axle:
            first, last = self._from_axle(*first), self._from_axle(*last)
        return section_outline(first, last, *way.sizes[:, section])

    def _standing(self, corners: Floats) -> Floats:
        """Outlines that stand in the frame, (n, c, 2), as they lie to the axle, (m, w, n, c, 2)."""
        x, z, cosine, sine = (part[..., None] for part in self._axle)
        was_x, was_z = (np.asarray(part)[..., None] for part in self._measured_centre)
        ahead, above = corners[..., 0] - x, corners[..., 1] - z
        return np.stack((was_x + ahead * cosine - above * sine, was_z + ahead * sine + above * cosine), axis=-1)
