"""Which moving bodies are held against which obstacle, and the least gap between them.

The shaft's sections are swept over the travel in both views, at rest and wound up by launch torque. The powertrain does
not move with the axle; its outline counts in side view where its sizes are entered, since a guessed one judges nothing.
All sections, sweeps and rows are held against all obstacles at once.
"""

import math
from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple
from weakref import proxy

import numpy as np

from geometry.document.brackets import Obstacle
from geometry.judge.limits import GAP_NEAR_LINES_MM, LIMITS
from geometry.judge.shapes import GapFacts, counted
from geometry.mechanics.clearance import (
    SECTION_PARTS,
    VIEWS,
    Body,
    Gap,
    Objects,
    Places,
    gaps_to_each,
    least_gaps,
    most_bow_mm,
    safe_outline,
    section_outline,
    strays_mm,
)
from geometry.mechanics.outline import YOKE_MM, engine_outline, gearbox_outline
from geometry.mechanics.trade_sizes import JOINT_SERIES, least_swing_mm
from geometry.mechanics.vectors import NAN, Bools, Floats, Vector

if TYPE_CHECKING:
    from geometry.judge.facts import Facts

_SWINGS_MM = {series.name: least_swing_mm(series) for series in JOINT_SERIES}


class _Found(NamedTuple):
    """Gaps of s sections to o obstacles in w sweeps: (s, o, w, n), and at each place (m, s, o, w, n)."""

    least_mm: Floats
    at_travel_mm: Floats
    along_mm: Floats


class InTheWay:
    """The bodies of a block of variants, and their gaps; all are worked out when one is asked for.

    A part of its facts, which keep it: were it to keep them too, a block's arrays would stay until Python next searches
    for garbage.
    """

    def __init__(self, facts: "Facts") -> None:
        self.facts: Facts = proxy(facts)

    def gap(self, index: int) -> GapFacts:
        """Least gap to one obstacle, over the travel where that is known, else at ride height."""
        if self.facts.v.build.obstacles[index].carried_by != "frame":
            return self.facts.carried.gap(index)
        return self._gaps[index]

    def course_mm(self, index: int) -> Floats:
        """Least gap of what moves beside one obstacle at each place of the travel, (sweeps, places, rows)."""
        if index not in self._still:
            return self.facts.carried.body_course_mm(index)
        return np.swapaxes(self.found.along_mm.min(axis=1)[:, list(self._still).index(index)], 0, 1)

    @cached_property
    def _still(self) -> dict[int, Obstacle]:
        """Obstacles that stand in the frame, by their place in the build's list."""
        return {place: one for place, one in enumerate(self.facts.v.build.obstacles) if one.carried_by == "frame"}

    @cached_property
    def wanted_mm(self) -> list[Floats]:
        """Gap wanted to each obstacle: entered or usual, never less than what holds; more to fuel and brake lines."""
        limit, wanted = LIMITS["gap"], []
        for index, obstacle in enumerate(self.facts.v.build.obstacles):
            usual = limit.clear if obstacle.carries is None else GAP_NEAR_LINES_MM
            wish = self.facts.v.given(f"obstacles.{index}.gap_mm", usual)
            wanted.append(np.maximum(wish, limit.hold if obstacle.carries is None else GAP_NEAR_LINES_MM))
        return wanted

    def swing_mm(self, joint: int) -> Floats:
        """Diameter that a joint's yokes sweep, mm: as entered, never less than its series has; nan where neither is."""
        entry = f"shaft.{self.facts.kinds.names[joint]}_joint"
        series = self.facts.v.word(f"{entry}.series")
        return np.fmax(self.facts.v[f"{entry}.swing_mm"], np.nan if series is None else _SWINGS_MM[series])

    # ------------------------------------------------------------------ the shaft

    @property
    def names(self) -> list[str]:
        """What the sections are called in a sentence, front to rear."""
        tubes = self.facts.kinds.tubes
        return ["the shaft" if name == "whole" else f"the {name} shaft section" for name, _ in tubes]

    @cached_property
    def sizes(self) -> Floats:
        """Each section's tube and the swing of its joints, mm, (2, s, n)."""
        facts = self.facts
        sizes = np.empty((2, facts.kinds.pieces, facts.v.rows))
        for section, (_, entry) in enumerate(facts.kinds.tubes):
            sizes[0, section] = facts.v[f"{entry}.outer_diameter_mm"]
            sizes[1, section] = np.maximum(self.swing_mm(section), self.swing_mm(section + 1))
        return sizes

    @cached_property
    def _axes(self) -> list[int]:
        """For each view that has obstacles the coordinate that it draws besides x."""
        return [VIEWS[view][1] for view in self._views]

    @cached_property
    def _views(self) -> list[str]:
        return list(dict.fromkeys(one.view for one in self._still.values()))

    @cached_property
    def _view_of(self) -> Places:
        """Each obstacle's place in `_views`."""
        return np.array([self._views.index(one.view) for one in self._still.values()])

    @cached_property
    def joints(self) -> Floats:
        """Joint centres over the travel, (m, joints, 3, w, n)."""
        there = self.facts.travelled.poses.joints if self.facts.travels.any() else ()
        return self.over_travel(there, self.facts.pose.joints)

    def over_travel(self, there: Sequence[Vector], at_ride: Sequence[Vector]) -> Floats:
        """Some places over the travel, told at ride height too, (m, places, 3, w, n).

        Sweeps are at rest and at launch as far as the axle surely goes, then both as far as it may go where that is
        more. Where the axle cannot go the joints stay at the last place where it can; of rows whose axle cannot be
        moved at all they are those at ride height. Where it can be moved in no row there is one place and one sweep.
        """
        facts = self.facts
        if not facts.travels.any():
            return _centres(at_ride, 1, 1, facts.v.rows)
        certain, places = facts.travelled.certain, facts.positions
        joints = _centres(there, 2, places, facts.v.rows)
        if not facts.sweep.reachable.all():
            good = np.broadcast_to(facts.sweep.reachable, (places, facts.v.rows))
            joints = _held(joints, np.argmax(good, axis=0), places - 1 - np.argmax(good[::-1], axis=0))
            joints = np.where(good.any(axis=0), joints, _centres(at_ride, 1, 1, facts.v.rows))
        if certain.all():
            return joints
        # What only a usual squash of the bump rubber reaches stays at first touch.
        last = np.broadcast_to(certain.sum(axis=0) - 1, facts.v.rows)
        return np.concatenate((_held(joints, np.zeros_like(last), last), joints), axis=3)

    @cached_property
    def _first(self) -> _Found:
        """Gaps of the sections in the first row: of a plan that was worked out by itself already as they are there."""
        plan = vars(self.facts.like).get("in_the_way") if self.facts.leads else None
        if isinstance(plan, InTheWay) and plan.joints.shape[:4] == self.joints.shape[:4]:
            return plan._first
        _, joints, _, sweeps, rows = self.joints.shape
        shape = joints - 1, len(self._fixed), sweeps
        gap = self._exact(np.arange(math.prod(shape)) * rows, (*shape, rows))
        one = (*shape, 1)
        return _Found(gap.least_mm.reshape(one), gap.at_travel_mm.reshape(one), gap.along_mm.reshape(-1, *one))

    @cached_property
    def _enough(self) -> list[bool]:
        """Whether the gap to each obstacle is as wide in the first row as is wanted."""
        rest, _ = counted(self._first.least_mm, np.ravel(self.facts.launch_certain)[:1])
        shaft, enough = np.minimum.reduce(rest, axis=0)[:, 0], []
        for place, index in enumerate(self._still):
            wish, least = self.wanted_mm[index], shaft[place]
            for _, stands in self._standing_by(place):
                least = np.fmin(least, stands[0])
            enough.append(bool(least >= np.ravel(wish)[0]))
        return enough

    @cached_property
    def found(self) -> _Found:
        """Gaps of the sections; beside a plan that has enough only told to be at least so wide where that is enough."""
        plan, (places, joints, _, sweeps, rows) = self.facts.plan, self.joints.shape
        shape = (joints - 1, len(self._fixed), sweeps, rows)
        if rows == 1:
            return self._first
        if plan is None or plan.in_the_way.joints.shape[:4] != self.joints.shape[:4]:
            gap = self._exact(np.arange(math.prod(shape)), shape)
            return _Found(
                gap.least_mm.reshape(shape), gap.at_travel_mm.reshape(shape), gap.along_mm.reshape(-1, *shape)
            )
        beside = plan.in_the_way
        strays = self._strays_mm(self.joints, beside.joints[..., :1], beside.sizes[..., :1])
        surely, at_most = beside._first.along_mm - strays, (beside._first.along_mm + strays).min(axis=0)
        # Between two places the gap may fall by a millimetre for every one that the body moves.
        steps = self._strays_mm(self.joints[1:], self.joints[:-1], self.sizes)
        between = (surely[:-1] + surely[1:] - steps) / 2.0 - most_bow_mm(steps)
        least, at = np.minimum(surely.min(axis=0), between.min(axis=0, initial=np.inf)), np.full(shape, np.nan)
        # What is surely wider than that need not be looked at.
        wide = np.empty(shape)
        for place, index in enumerate(self._still):
            wide[:, place] = self.wanted_mm[index] if beside._enough[place] else at_most[:, place]
        doubtful, near = ~(surely > wide), ~(between > wide)
        doubtful[1:] |= near
        doubtful[:-1] |= near
        if self.facts.leads:
            doubtful[..., 0] = False
            least[..., :1], at[..., :1], surely[..., :1] = self._first
        doubtful = doubtful.reshape(places, -1)
        columns = np.flatnonzero(doubtful.any(axis=0))
        if columns.size:
            exact, where = self._exact(columns, shape, doubtful[:, columns]), np.unravel_index(columns, shape)
            least[where], at[where] = exact.least_mm, exact.at_travel_mm
        return _Found(least, at, surely)

    def _exact(self, columns: Places, shape: tuple[int, ...], looked_at: Bools | None = None) -> Gap:
        """Gaps of those of (s, o, w, n) that are named by their places in one list of all."""
        section, obstacle, sweep, row = np.unravel_index(columns, shape)
        known = ~np.isnan(self.sizes[:, section, row]).any(axis=0)
        if not known.all():
            return self._unknown_but(np.flatnonzero(known), columns, shape, looked_at)
        of_all = shape[0], len(self._views), *shape[2:]
        # A body is the same for all obstacles of a view.
        places = np.ravel_multi_index((section, self._view_of[obstacle], sweep, row), of_all)
        used = np.zeros(np.prod(of_all), np.bool_)
        used[places] = True
        bodies, of = np.flatnonzero(used), (np.cumsum(used) - 1)[places]
        section, view, sweep, row = np.unravel_index(bodies, of_all)
        axis, joints, travel = np.array(self._axes)[view], self.joints, np.zeros((1, 1))
        first, last = (
            (joints[:, end, 0, sweep, row], joints[:, end, axis, sweep, row]) for end in (section, section + 1)
        )
        if len(joints) > 1:
            travel = self.facts.sweep.travel_mm
            travel = travel[:, row] if travel.shape[1] > 1 else travel
        body = Body(section_outline(first, last, *self.sizes[:, section, row]), travel, parts=SECTION_PARTS)
        first_row = columns % shape[-1] == 0  # of which the whole course is told
        return least_gaps(body, of, self._fixed[obstacle], whole=first_row, looked_at=looked_at)

    def _unknown_but(self, known: Places, columns: Places, shape: tuple[int, ...], looked_at: Bools | None) -> Gap:
        """Gaps where some sections lack their tube or swing, which are not known then."""
        places, size = len(self.joints), len(columns)
        nil = np.zeros(size, np.intp)
        found = Gap(np.full(size, NAN), np.full(size, NAN), nil, np.full((places, size), NAN))
        if known.size:
            seen = None if looked_at is None else looked_at[:, known]
            for whole, part in zip(found, self._exact(columns[known], shape, seen), strict=True):
                whole[..., known] = part
        return found

    def _strays_mm(self, here: Floats, there: Floats, sizes_there: Floats) -> Floats:
        """How far a section's corners are at most from those of one of other sizes there, (m, s, o, w, n)."""
        (first, last), (of_first, of_last) = (
            ((joints[:, :-1, :1], joints[:, :-1, self._axes]), (joints[:, 1:, :1], joints[:, 1:, self._axes]))
            for joints in (here, there)
        )
        sizes, of_sizes = self.sizes[:, :, None, None], sizes_there[:, :, None, None]
        strays = strays_mm(first, last, of_first, of_last, sizes, of_sizes)
        return strays[:, :, self._view_of]

    @cached_property
    def _fixed(self) -> Objects:
        fixed = np.empty(len(self._still), np.object_)
        fixed[:] = [safe_outline(one.outline_mm) for one in self._still.values()]
        return fixed

    # ------------------------------------------------------------------ the powertrain

    @cached_property
    def standing_outlines(self) -> dict[str, Floats]:
        """Corners of gearbox and engine in side view, (8, 2) or (n, 8, 2), where their sizes are entered.

        They run from the bell housing to a joint at the rear, so they cannot be hung on a front output.
        """
        facts = self.facts
        box, tall = (facts.v[f"powertrain.gearbox_{size}_mm"] for size in ("length", "height"))
        long, high = (facts.v[f"powertrain.engine_{size}_mm"] for size in ("length", "height"))
        hung = facts.powertrain.joint, facts.powertrain.line
        corners = {}
        if not np.isnan(box + tall).all():
            corners["the gearbox"] = gearbox_outline(*hung, box, tall)
        if not np.isnan(box + long + high).all():
            corners["the engine"] = engine_outline(*hung, box, long, high)
        return corners

    @cached_property
    def _standing(self) -> list[tuple[str, Floats]]:
        """Gaps of gearbox and engine to the obstacles in side view, (of those, n), where their sizes are entered."""
        facts, corners = self.facts, self.standing_outlines
        if not corners:
            return []
        fixed = self._fixed[[one.view == "side" for one in self._still.values()]]
        outlines = np.empty((len(corners), 1, facts.v.rows, 8, 2))
        for place, one in enumerate(corners.values()):
            outlines[place] = one
        return list(zip(corners, gaps_to_each(outlines, fixed[:, None]), strict=True))

    def _standing_by(self, place: int) -> list[tuple[str, Floats]]:
        """The gaps of gearbox and engine to one of the obstacles that stand in the frame, (n,) each."""
        obstacles = list(self._still.values())
        if obstacles[place].view != "side" or self.facts.kinds.ahead:
            return []
        beside = sum(one.view == "side" for one in obstacles[:place])
        return [(name, gaps[beside]) for name, gaps in self._standing]

    @cached_property
    def _unplaced(self) -> tuple[Bools, Bools] | None:
        """Rows whose gearbox, and whose engine, cannot be placed; None without any."""
        v = self.facts.v
        box, lies = v["powertrain.gearbox_length_mm"], self.facts.powertrain.line.x  # nan with no line to hang on
        without_box = np.isnan(box + v["powertrain.gearbox_height_mm"] + lies)
        sizes = v["powertrain.engine_length_mm"] + v["powertrain.engine_height_mm"] + lies
        without_engine = np.isnan(box + sizes)
        if not (without_box | without_engine).any():
            return None
        return without_box, without_engine

    def may_reach(self, index: int) -> tuple[Bools, Bools]:
        """Rows in which an obstacle may be nearer than is wanted to a gearbox, and to an engine, of whatever height.

        It does not reach where all of it lies behind them, along the output's line; wherever the axle takes it.
        """
        obstacle = self.facts.v.build.obstacles[index]
        on_axle = obstacle.carried_by == "axle"
        corners = self.facts.carried.on_axle(index) if on_axle else np.array(obstacle.outline_mm)
        (x, _, z), line = self.facts.powertrain.joint, self.facts.powertrain.line
        x, z, way_x, way_z = (np.asarray(part)[..., None] for part in (x, z, line.x, line.z))
        along = ((corners[..., 0] - x) * way_x + (corners[..., 1] - z) * way_z) / np.hypot(way_x, way_z)
        ahead = along.min(axis=-1)
        while ahead.ndim > 1:
            ahead = np.fmin.reduce(ahead, axis=0)
        spare, box = ahead - self.wanted_mm[index], self.facts.v.given("powertrain.gearbox_length_mm", 0.0)
        return ~(spare >= -YOKE_MM), ~(spare >= -box)

    def unseen(self, index: int, least: Floats) -> tuple[Floats, ...]:
        """Not known where the obstacle may reach to the gearbox or the engine and they cannot be placed."""
        if self._unplaced is None:
            return ()
        (without_box, without_engine), (by_box, by_engine) = self._unplaced, self.may_reach(index)
        lost = without_box & by_box | without_engine & by_engine
        return (np.where(lost, NAN, least),) if lost.any() else ()

    # ------------------------------------------------------------------ all together

    @cached_property
    def _gaps(self) -> dict[int, GapFacts]:
        facts, found = self.facts, self.found
        rest, sweep = counted(found.least_mm, facts.launch_certain)
        at = found.at_travel_mm[:, :, 0]
        if found.at_travel_mm.shape[2] > 1:
            at = np.where(sweep, found.at_travel_mm[:, :, 1], at)
        shaft = np.minimum.reduce(rest, axis=0)
        # The shaft counts whole or not at all, and at ride height alone nothing is clear.
        wider = np.where(self.facts.travels, np.minimum.reduce(found.least_mm, axis=(0, 2)), NAN)
        nil, first = np.zeros(facts.v.rows), np.zeros(facts.v.rows, np.intp)
        gaps: dict[int, GapFacts] = {}
        for place, (index, obstacle) in enumerate(self._still.items()):
            along = found.along_mm[:, :, place, 0]
            bodies = [
                (name, Gap(rest[of, place], at[of, place], sweep[of, place], along[:, of]))
                for of, name in enumerate(self.names)
            ]
            least = shaft[place]
            others: tuple[Floats, ...] = ()
            for name, stands in self._standing_by(place):
                bodies.append((name, Gap(stands, nil, first, stands[None])))
                least = np.fmin(least, stands)
            if obstacle.view == "side" and not facts.kinds.ahead:
                others += self.unseen(index, least)
            others += (np.minimum(wider[place], least),)
            gaps[index] = GapFacts(least, self.wanted_mm[index], others, tuple(bodies))
        return gaps


def _centres(points: Sequence[Vector], sweeps: int, places: int, rows: int) -> Floats:
    """Points in the first few sweeps, (places, points, 3, sweeps, rows)."""
    centres = np.empty((places, len(points), 3, sweeps, rows))
    as_poses = centres.transpose(1, 2, 3, 0, 4)
    for joint, centre in enumerate(points):
        for axis, part in enumerate(centre):
            as_poses[joint, axis] = part[:sweeps] if part.ndim == 3 else part
    return centres


def _held(joints: Floats, first: Places, last: Places) -> Floats:
    """Joints (m, joints, 3, w, n) that stay where they are before a first and after a last place, (n,) each."""
    place = np.clip(np.arange(len(joints))[:, None], first, last)
    return np.take_along_axis(joints, np.broadcast_to(place[:, None, None, None], joints.shape), axis=0)
