"""All findings on any number of variants: the one engine for one build and for a million."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.document.entries import Variants
from geometry.judge import both, brackets, clamp, ends, findings, flexible, perches, square
from geometry.judge.codes import CAUTION, CLEAR, NOT_ASKED, UNKNOWN, Found, Judged, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.limits import LIMITS, SQUASH_MM
from geometry.judge.made import tooth_deg
from geometry.judge.states import Moved, hangs, has_states, open_states_of
from geometry.judge.table import Table
from geometry.mechanics.vectors import NAN, ZERO, Bools, Floats

Judge: TypeAlias = Callable[[Facts, Table], None]
"""Puts down some findings."""
_How: TypeAlias = Callable[[Facts, Sequence[Judge]], dict[Key, Judged]]
"""How judges judge: with what is taken for granted at its ends, or roughly."""
BLOCK = 8_192
"""Rows worked on at once at ride height, so that they stay in the cache."""
TRAVEL_BLOCK, CROWDED_BLOCK = 2_048, 512
"""The same with a travel or in several states, and with a travel beside obstacles."""
MOST_TOLD = 1_024
"""Of more rows nothing is said in words, so nobody asks what turned their verdicts."""
ASSUMED = (
    ("powertrain.plan_deg", (-2.0, 2.0)),
    ("axle.pinion_plan_deg", (-2.0, 2.0)),
    ("axle.pinion_offset_mm", (-25.0, 25.0)),
    ("axle.pinion_drop_mm", (-50.0, -25.0, 25.0, 50.0)),
    ("powertrain.cruise_torque_share", (0.1, 0.6)),
)
"""Entries that count as usual where they are left empty, and how far off that may be: common practice, no source.

A verdict that would not be the same there is unknown. What lies in plan is left alone while nothing of it is entered.
"""
FRONT_PLAN_DEG = (-8.0, -4.0, 4.0, 8.0)
"""How far a front shaft may run aside of output and pinion, which lie alongside each other: common practice, no source.

It passes the engine, from an output at the side to a pinion that is not in line with it. While the stick alone tells of
its line a verdict that would not be the same there is unknown. A rear shaft runs straight, or nearly so.
"""
_OFFSET = "axle.pinion_offset_mm"
_IN_LINE_MM = 25.0
"""Beyond that an output off the axle's middle tells of a pinion as far off, so that the shaft runs straight."""
TOOTH_OFF_DEG, QUARTER_DEG = 15.0, 90.0
"""The same for the yokes' phase once there is a shaft: a quarter turn, and a spline's tooth either way.

The tooth is this where the spline's teeth are not entered: of 24.
"""
_LINES = ("powertrain.plan_deg", "axle.pinion_plan_deg")
IN_PLAN = frozenset(path for path, _ in ASSUMED[:4])
"""Those of them that count only once something that lies in plan is entered."""
RIDE: tuple[Judge, ...] = (
    *findings.RIDE, flexible.lines, ends.ends, ends.bearing, brackets.standing, perches.perches, clamp.clamp,
    square.square, both.both,
)  # fmt: skip
"""All that judges at ride height."""
TRAVEL: tuple[Judge, ...] = (*findings.TRAVEL, ends.seal, brackets.travelling)
"""What only the travel can tell."""
_STILL = (
    findings.motion, findings.joints, findings.shaft, findings.readings, findings.resolution, findings.torque,
)  # fmt: skip
"""What the others can turn, which move no joint."""
_ASIDE = (
    findings.motion, findings.joints, findings.shaft, findings.resolution, findings.torque, findings.reach,
)  # fmt: skip
"""What hangs on the angles at which the shaft runs."""
_BY_TRAVEL: tuple[Judge, ...] = (findings.reach, findings.gaps, findings.pair_gaps)
_TOLD_BY_TRAVEL = frozenset({"joint_bind", "gap", "pair_gap"})
"""What these find, which the travel tells where it is known, in all states at once."""
_BY_SUNK_MOUNTS = _TOLD_BY_TRAVEL | {"slip_left", "slip_engaged", "seal_travel"}
"""What the travel tells that the engine's height may turn."""
HANG_ON_RIDE = findings.IN_STATES - {"tail_down", "tail_up"} | {
    "lift", "slip_left", "slip_engaged", "travel_reach", "lateral_shift", "axle_height", "spring_station",
    "windup_launch", "seal_travel", "line_slack", "shock_bump", "shock_droop", "shock_crossed", "shock_place",
    "shock_lean", "bar_bind", "bar_lever", "link_slope", "drag_slope",
}  # fmt: skip
"""Findings that hang on how the axle stands at ride height."""
_PLACES = (-1.0, -0.5, 0.25, 0.5, 0.75, 1.0)
"""Places between the stops, as shares of the droop and of the bump, at which a state that is not known is looked at."""
_DIPS = frozenset({"operating_angle_least"})
"""Findings whose trouble is a dip that may lie between two of those places, and so is cleared by none of them.

The same between two values of what is taken for granted: there the dip is worked out (`_least_between`).

Not half the critical speed: for a dip in between, the shaft would have to change by a twelfth of its length.
"""
BETWEEN = 16
"""Places between the states at which all is judged: a joint may pass 0° between two loads and stand in neither."""
_WORSE_BETWEEN = 0.1
"""Share of a finding's line by which it must be worse between two states than in them to be told of there."""
_AXLES, _TIE = 2, 1e-6
"""How many of what a state moves are axles; of states in which those stand alike, sunk mounts make the lower one."""
_ONE_VALUE = {"pinion_nose_down": "pinion_nose_up", "tail_up": "tail_down"}
"""Two findings on one value, of which the second one is asked where it is not known."""
_SAME = 1e-9
"""Share within which two states are as bad: the first of them is named."""


class _Case(NamedTuple):
    """Entries taken to be off by so much in the rows that lack it."""

    paths: tuple[str, ...]
    offset: Floats | float
    lacks: Bools
    far: bool = False
    """Whether that is so far off that not even how bad a finding is may be told of where it is usual."""

    def columns(self, v: Variants) -> dict[str, Floats]:
        """The entries so, as columns of all rows."""
        return {path: np.where(self.lacks, v.given(path, 0.0) + self.offset, v[path]) for path in self.paths}


def judge(
    variants: Variants,
    *,
    positions: int = 0,
    rows: int | None = None,
    each: Callable[[slice, Found], None] | None = None,
) -> Found:
    """Judge every variant: for each finding and part its values, lines and verdicts, (rows,) each.

    Parameters
    ----------
    variants
        From `geometry.document.entries.variants`.
    positions
        Places of the axle's travel, droop to full bump; 0 leaves the travel out, and with it what only it can tell.
    rows
        Variants worked on at once.
    each
        Is handed every block's findings as they come; nothing is kept then, and the result is empty.

    Examples
    --------
    >>> from geometry.document.build import Build, edited
    >>> from geometry.document.entries import variants
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8})
    >>> found = judge(variants(build, {"axle.pinion_slope_deg": [3.5, 5.0, 8.0, np.nan]}))
    >>> found["ends_parallel", "shaft"].verdict.tolist()  # clear, caution, hold, unknown
    [1, 3, 4, 2]
    """
    size = rows or at_once(variants, positions)
    whole: dict[Key, list[NDArray[Any]]] = {}
    with np.errstate(all="ignore"):
        for part, some in variants.blocks(size):
            found = judged_block(Facts(some, positions))
            if each is not None:
                each(part, found)
            elif size >= variants.rows:
                return found
            else:
                _keep(whole, part, found, variants.rows)
    return {key: Judged(*columns) for key, columns in whole.items()}


def at_once(v: Variants, positions: int) -> int:
    """How many rows are worked on at once."""
    if positions and v.word("obstacles", 0):
        return CROWDED_BLOCK
    return TRAVEL_BLOCK if positions or has_states(v) else BLOCK


def _keep(whole: dict[Key, list[NDArray[Any]]], part: slice, found: Found, rows: int) -> None:
    """Put a block's columns where they belong; what is one number for all stays one."""
    for key, one in found.items():
        if key not in whole:
            whole[key] = [
                np.broadcast_to(column[0], rows) if _one_for_all(column) else np.empty(rows, column.dtype)
                for column in one
            ]
        blocks: tuple[NDArray[Any], ...] = one
        for place, block in enumerate(blocks):
            column = whole[key][place]
            if _one_for_all(column):
                if _one_for_all(block) and np.array_equal(column[:1], block[:1], equal_nan=True):
                    continue
                column = whole[key][place] = np.array(column)
            column[part] = block


def _one_for_all(column: NDArray[Any]) -> bool:
    return column.strides == (0,)


class Elsewhere(NamedTuple):
    """A block of variants in all of its states, as measured first: rows state after state, behind them places between.

    `where` tells for each finding that a state may turn, and each of the block's rows, in which state it is worst: 0 as
    measured, else its place in `names`, or beyond them at a place between them.
    """

    names: tuple[str, ...]
    facts: Facts
    found: Found
    where: Mapping[Key, NDArray[np.intp]]
    sunk: Facts | None = None
    """The block over its travel with the engine let down by settled mounts; None where they do not settle."""
    sunk_found: Found = MappingProxyType({})
    sunk_worse: Mapping[Key, Bools] = MappingProxyType({})
    """For each finding that the travel tells, and each row, whether it is worse so."""

    @property
    def sunk_name(self) -> str:
        """The first state in which mounts have settled."""
        return next(name for name in self.names if name.startswith("settled"))


def judged_block(facts: Facts) -> dict[Key, Judged]:
    """All findings on one block, each as it is in its worst state."""
    return judged_in_states(facts)[0]


def judged_in_states(facts: Facts) -> tuple[dict[Key, Judged], Elsewhere | None]:
    """All findings on one block, each as in its worst state, and the block in all its states; None with one alone."""
    if hangs(facts.v):
        return _not_at_ride(_judged(facts, RIDE)), None
    moving = findings.STATES if facts.travels.all() else (*findings.STATES, findings.reach)
    moving = moving if facts.travels.any() else (*moving, findings.gaps, findings.pair_gaps)
    if len(facts.states) == 1:
        found, elsewhere = _judged(facts, RIDE), None
    else:
        found, elsewhere = _with_sunk_mounts(facts, *in_worst_state(facts, RIDE, moving, _judged, between=BETWEEN))
    return found, _with_open_states(facts, found, elsewhere, moving)


def _with_open_states(
    facts: Facts, found: dict[Key, Judged], elsewhere: Elsewhere | None, moving: Sequence[Judge]
) -> Elsewhere | None:
    """Make unknown what is not clear where the axles may stand for what is not said of the states."""
    places = open_states_of(facts.v, facts.states, ahead=facts.kinds.ahead)
    if places is None:
        return elsewhere
    moved, told, lacks = places
    there = Facts(facts.v.repeated(len(moved.driven_mm)), 0, facts.plan, Moved(*(part.reshape(-1) for part in moved)))
    where = {} if elsewhere is None else dict(elsewhere.where)
    for key, one in _judged(there, moving).items():
        name = finding_id(key)
        if name not in findings.IN_STATES:
            continue
        verdict, was = one.verdict.reshape(-1, facts.v.rows), found[key].verdict
        worst = (verdict[:told] if name == "gauge_resolution" else verdict).max(axis=0)
        doubted = worst >= np.where((was == NOT_ASKED) | (name in _TOLD_BY_TRAVEL), CAUTION, UNKNOWN)
        doubted &= (was <= CLEAR) & lacks
        if doubted.any():
            found[key] = found[key]._replace(verdict=np.where(doubted, UNKNOWN, was))
            if key in where:
                where[key] = np.where(doubted, 0, where[key])
    return None if elsewhere is None else elsewhere._replace(where=where)


def _with_sunk_mounts(
    facts: Facts, found: dict[Key, Judged], elsewhere: Elsewhere
) -> tuple[dict[Key, Judged], Elsewhere]:
    """The same with what the travel tells also judged with the engine let down by its settled mounts.

    How the axle stands at ride height does not matter there, as the travel ends at the same stops.
    """
    mounts = next((state.moved[2:] for state in facts.states if state.moved.sunk), None)
    if mounts is None:
        return found, elsewhere
    moved = Moved(ZERO, ZERO, *(np.broadcast_to(part, facts.v.rows) for part in mounts))
    sunk = Facts(facts.v, facts.positions, None, moved)
    besides = {key: one for key, one in _judged(sunk, _BY_TRAVEL).items() if finding_id(key) in _BY_SUNK_MOUNTS}
    worse: dict[Key, Bools] = {}
    for key, one in besides.items():
        was = found[key]
        way = 1.0 if LIMITS[finding_id(key)].sense == "most" else -1.0
        farther = way * (one.value - was.value) > _SAME * (1.0 + np.abs(was.value))
        worse[key] = (one.verdict > was.verdict) | (one.verdict == was.verdict) & farther
        found[key] = Judged(*(np.where(worse[key], one[place], was[place]) for place in range(len(one))))
    return found, elsewhere._replace(sunk=sunk, sunk_found=besides, sunk_worse=worse)


def _judged(facts: Facts, judges: Sequence[Judge]) -> dict[Key, Judged]:
    """What some judges find in one state; what is taken for granted may only turn a verdict to unknown."""
    found = found_by(facts, judges)
    cases, usual = _cases(facts), dict(found)
    _unsettle(facts, found, usual, [case for case in cases if case.paths[0] in IN_PLAN], judges, facts.positions)
    still = [judge_ for judge_ in judges if judge_ in _STILL]
    _unsettle(facts, found, usual, [case for case in cases if case.paths[0] not in IN_PLAN], still, 0)
    aside = facts.shaft_plan_open
    if aside.any():
        lines = [_Case(_LINES, offset, aside, far=True) for offset in FRONT_PLAN_DEG]
        _unsettle(facts, found, usual, lines, [judge_ for judge_ in judges if judge_ in _ASIDE], 0)
    return _told_by_gauge(facts, found)


def everywhere(facts: Facts, between: int) -> Facts:
    """A block in all of its states, as measured first, state after state, at ride height.

    Behind the states stand so many places from the one in which the driven axle stands lowest to the one in which it
    stands highest: the vehicle is driven with every load between two that are named. Where how far it stands up in one
    is not known, the stops bound it: then places between the stops follow, and what is clear at all of these is clear.
    """
    rows = facts.v.rows
    # How far the axles stand up, and where mounts sink how far those have, (2 or 4, states, rows).
    parts = range(4 if any(state.moved.sunk for state in facts.states) else 2)
    moved = np.array([[np.broadcast_to(state.moved[part], rows) for state in facts.states] for part in parts])
    lost, order = np.isnan(moved[0]), moved[0] + _TIE * moved[2:].sum(axis=0)
    ends = np.array([np.where(lost, np.inf, order).argmin(axis=0), np.where(lost, -np.inf, order).argmax(axis=0)])
    low, high = np.take_along_axis(moved, ends[None], axis=1).transpose(1, 0, 2)[:, :, None]
    if between and np.any(low != high):
        share = np.arange(1.0, between + 1.0)[:, None] / (between + 1.0)
        moved = np.concatenate([moved, low + share * (high - low)], axis=1)
    if lost.any():
        for mounts in (low[2:], high[2:]) if len(parts) > _AXLES else (low[2:],):
            stops = np.empty((len(parts), len(_PLACES), rows))
            stops[0], stops[1], stops[2:] = [np.broadcast_to(up, rows) for up in _between_stops(facts)], np.nan, mounts
            moved = np.concatenate([moved, stops], axis=1)
    there = Facts(facts.v.repeated(moved.shape[1]), 0, facts.plan, Moved(*moved.reshape(len(parts), -1)))
    if not lost.any():
        there.gauged = rows * len(facts.states)  # between them nobody asks it
    return there


def _between_stops(facts: Facts) -> list[Floats]:
    """Places from full droop to full bump, mm up from ride height; nan where the stops are not known."""
    v = facts.v
    bump = v["suspension.bump_mm"] + facts.ride.stop_gain_mm + v.given("suspension.bump_squash_mm", SQUASH_MM)
    droop = v["suspension.droop_mm"]
    return [share * (bump if share > 0.0 else droop) + 0.0 * (bump + droop) for share in _PLACES]


def in_worst_state(
    facts: Facts, judges: Sequence[Judge], moving: Sequence[Judge], judged: _How, *, between: int
) -> tuple[dict[Key, Judged], Elsewhere]:
    """Findings as they are in their worst state; `moving` are the judges whose findings a state may turn.

    Those are judged once, for all states in one go, so that more states are more rows and not more steps; of what the
    travel tells they judge but the ride height. All the others judge the plan alone.
    """
    there = everywhere(facts, between)
    besides = judged(there, moving)
    facts.seen(there)
    rows, states = facts.v.rows, len(facts.states)
    _lost_for_both(besides, rows)
    here = slice(0, rows)
    found = {key: _some(one, here) for key, one in besides.items()}
    found |= judged(facts, [one for one in judges if one not in moving or one in _BY_TRAVEL])
    keys = [key for key in besides if finding_id(key) in findings.IN_STATES]
    columns = [
        np.array([besides[key][place] for key in keys], np.float64).reshape(len(keys), -1, rows) for place in range(4)
    ]
    for number, key in enumerate(keys):
        if finding_id(key) in _TOLD_BY_TRAVEL:
            for whole, place in zip(columns, range(4), strict=True):
                whole[number, 0] = found[key][place]
    verdict, up = columns[3], there.moved.driven_mm.reshape(-1, rows)
    lost, bounds = np.isnan(up[:states]), len(_PLACES) * (1 + there.moved.sunk)
    if lost.any():
        fine = lost & (verdict[:, :states] == UNKNOWN) & (verdict[:, -bounds:] == CLEAR).all(axis=1, keepdims=True)
        fine[[finding_id(key) in _DIPS for key in keys]] = False
        verdict[:, :states][fine], columns[0][:, :states][fine] = CLEAR, np.nan
        columns = [whole[:, :-bounds] for whole in columns]
        verdict = columns[3]
    if verdict.shape[1] > states:
        # Nothing lies between states in which the axle stands as high, or toward one in which it cannot stand.
        steps = [part.reshape(-1, rows)[states : states + 2] for part in there.moved if part.ndim]
        alike = np.array([one == two for one, two in steps[:1] + steps[_AXLES:]]).all(axis=0)
        never = ((verdict[:, :states] == UNKNOWN) & ~lost).any(axis=1) | alike
        # Where a value crosses its line between two states no gauge can tell, and that says nothing of the gauge.
        gauged = np.array([key[0] == "gauge_resolution" for key in keys])[:, None]
        verdict[:, states:] = np.where((never | gauged)[:, None], NOT_ASKED, verdict[:, states:])
    worst = _worst(keys, columns[0], columns[1], verdict, states)
    at = np.arange(len(keys))[:, None], worst, np.arange(rows)
    value, clear, hold = (whole[at] for whole in columns[:3])
    found |= zip(keys, map(Judged, value, clear, hold, verdict[at].astype(np.uint8)), strict=True)
    return found, Elsewhere(
        tuple(state.name for state in facts.states), there, besides, dict(zip(keys, worst, strict=True))
    )


def _lost_for_both(found: dict[Key, Judged], rows: int) -> None:
    """Where a value is not known in a state, make unknown whichever of its two findings it is told by as measured."""
    keys = {finding_id(key): key for key in found}
    for one, two in _ONE_VALUE.items():
        told, other = (found[keys[name]].verdict.reshape(-1, rows) for name in (one, two))
        lost = (told[0] != NOT_ASKED) & (other == UNKNOWN)
        if lost.any():
            found[keys[one]] = found[keys[one]]._replace(verdict=np.where(lost, UNKNOWN, told).reshape(-1))


def _some(one: Judged, rows: slice) -> Judged:
    return Judged(one.value[rows], one.clear[rows], one.hold[rows], one.verdict[rows])


def _worst(keys: Sequence[Key], value: Floats, clear: Floats, verdict: Floats, states: int) -> NDArray[np.intp]:
    """In which state each finding is worst, (findings, rows), of (findings, states, rows): the first of equal ones.

    Behind the states stand places between them, which are told only where they are worse by something.
    """
    ids = [finding_id(key) for key in keys]
    # What is not asked as measured is told of another state only where something is wrong there.
    quiet = (verdict[:, :1] == NOT_ASKED) & (verdict < CAUTION)
    quiet[np.array([one == "bump_left" for one in ids])] = False
    # The travel tells some, in all states at once.
    quiet[:, 1:] |= (verdict[:, 1:] == UNKNOWN) & np.array([one in _TOLD_BY_TRAVEL for one in ids])[:, None, None]
    verdict[quiet] = NOT_ASKED
    way = np.array([1.0 if LIMITS[one].sense == "most" else -1.0 for one in ids])[:, None, None]
    line = np.where(np.isfinite(clear), clear, 0.0)
    over = way * (value - line)
    over[:, states:] -= _WORSE_BETWEEN * np.abs(line[:, states:])
    worst = verdict == verdict.max(axis=1, keepdims=True)
    over = np.where(worst & np.isfinite(over), over, -np.inf)
    most = over.max(axis=1, keepdims=True)
    near = worst & (over >= np.where(np.isfinite(most), most - _SAME * (1.0 + np.abs(most)), -np.inf))
    first: NDArray[np.intp] = near.argmax(axis=1)
    return first


def _not_at_ride(found: dict[Key, Judged]) -> dict[Key, Judged]:
    """Findings of a vehicle whose axle hung when it was measured: how it stands at ride height nobody knows."""
    made = dict(found)
    for key, one in found.items():
        if finding_id(key) in HANG_ON_RIDE:
            made[key] = one._replace(verdict=np.where(one.verdict == NOT_ASKED, NOT_ASKED, UNKNOWN))
    return made


def _unsettle(
    facts: Facts,
    found: dict[Key, Judged],
    usual: Found,
    cases: Sequence[_Case],
    judges: Sequence[Judge],
    positions: int,
) -> None:
    """Make a verdict unknown where it is clear in some cases and not in others; as many cases as fit judged at once.

    `usual` is what is found with all taken as usual.
    """
    v = facts.v
    size = max(at_once(v, positions) // v.rows, 1)
    dips: dict[tuple[Key, tuple[str, ...]], list[tuple[_Case, Floats]]] = {}
    for first in range(0, len(cases), size):
        some = cases[first : first + size]
        stack = v.stacked([one.columns(v) for one in some])
        others = found_by(Facts(stack, positions, facts.plan, facts.moved.repeated(len(some))), judges)
        if not others:  # these judges have nothing to say of such a build
            return
        here = np.array([usual[key].verdict for key in others])[:, None]
        there = np.array([one.verdict for one in others.values()]).reshape(len(here), len(some), -1)
        lacking = np.array([np.broadcast_to(case.lacks, v.rows) for case in some])
        far = np.array([case.far for case in some])[:, None]
        differs = ((here == CLEAR) != (there == CLEAR)) | (far & (here > UNKNOWN) & (there > UNKNOWN) & (here != there))
        turns = differs & lacking
        if v.rows <= MOST_TOLD:
            _note(facts, list(others), some, turns & (here != UNKNOWN))
        for key, turned in zip(others, turns.any(axis=1), strict=True):
            if turned.any():
                verdict = found[key].verdict
                turned_to = np.where(turned & (verdict != NOT_ASKED), UNKNOWN, verdict)
                found[key] = found[key]._replace(verdict=turned_to)
        for key in (key for key in others if finding_id(key) in _DIPS):
            values = others[key].value.reshape(len(some), -1)
            for case, value in zip(some, values, strict=True):
                dips.setdefault((key, case.paths), []).append((case, value))
    for (key, paths), cased in dips.items():
        _unsettle_dip(facts, found, usual[key], (key, paths), [one for one in cased if not one[0].far])


def _unsettle_dip(
    facts: Facts,
    found: dict[Key, Judged],
    usual: Judged,
    of: tuple[Key, tuple[str, ...]],
    cased: Sequence[tuple[_Case, Floats]],
) -> None:
    """Make a verdict unknown that is clear in all cases of some entries, and not for something between two of them."""
    key, paths = of
    least = _least_between([(0.0, usual.value), *((case.offset, value) for case, value in cased)])
    turned = (usual.verdict == CLEAR) & (least < usual.clear)
    if turned.any():
        turned &= cased[0][0].lacks
        found[key] = found[key]._replace(verdict=np.where(turned, UNKNOWN, found[key].verdict))
        _turned(facts, key, paths[0], turned)


def _least_between(angles: Sequence[tuple[Floats | float, Floats]]) -> Floats:
    """Least joint angle at any value of an entry between those at which it is known, degrees; inf where none is less.

    The square of a small angle between two lines is a parabola of whatever turns or shifts one of them evenly: one is
    laid through every three values that follow each other.
    """
    order = sorted(angles, key=lambda angle: float(np.ravel(angle[0])[0]))
    least: Floats = np.full_like(order[0][1], np.inf)
    for (a, at_a), (b, at_b), (c, at_c) in zip(order, order[1:], order[2:], strict=False):
        rise = (at_b**2 - at_a**2) / (b - a)
        bend = ((at_c**2 - at_b**2) / (c - b) - rise) / (c - a)
        bottom = (a + b) / 2.0 - rise / (2.0 * bend)
        squared = at_a**2 + rise * (bottom - a) + bend * (bottom - a) * (bottom - b)
        inside = (bend > 0.0) & (bottom >= a) & (bottom <= c)
        least = np.where(inside, np.minimum(least, np.sqrt(np.maximum(squared, 0.0))), least)
    return least


def _note(facts: Facts, keys: Sequence[Key], cases: Sequence[_Case], turns: Bools) -> None:
    """Put down which entry turns which verdict, (findings, cases, rows); a case of several says nothing of one."""
    for number, place in np.argwhere(turns.any(axis=2)).tolist():
        path, *others = cases[place].paths
        if not others:
            _turned(facts, keys[number], path, turns[number, place])


def _turned(facts: Facts, key: Key, path: str, rows: Bools) -> None:
    """Put down in which rows an entry turns a verdict."""
    by = facts.turned_by.setdefault(key, {})
    by[path] = by.get(path, np.zeros(1, np.bool_)) | rows


def _told_by_gauge(facts: Facts, found: dict[Key, Judged]) -> dict[Key, Judged]:
    """Where the verdict on the residual is not known, nor is whether the gauge could turn it."""
    key = ("gauge_resolution", "readings")
    if key in found:
        residual = next(one for (name, _), one in found.items() if name == "pinion_residual").verdict
        lost = residual == UNKNOWN
        if lost.any():
            verdict = np.where(lost, UNKNOWN, found[key].verdict)
            found[key] = found[key]._replace(verdict=np.broadcast_to(verdict, facts.v.rows))
    return found


def _cases(facts: Facts) -> list[_Case]:
    """What is taken for granted in any row, at each of its ends."""
    phases = facts.kinds.phases if facts.v.word("shaft.kind") is not None else ()
    cases: list[_Case] = []
    tooth = tooth_deg(facts.v) if phases else NAN
    tooth = np.where(np.isnan(tooth), TOOTH_OFF_DEG, tooth)
    off: tuple[Floats | float, ...] = (-tooth, tooth, QUARTER_DEG)
    for path, offsets in (*ASSUMED, *((path, off) for path in phases)):
        lacks = np.isnan(facts.v[path])
        if path in IN_PLAN:
            lacks = lacks & ~facts.flat
        if path == _OFFSET and facts.kinds.ahead:
            continue  # nothing is taken for it
        if path == "powertrain.cruise_torque_share":
            lacks = lacks & np.isfinite(facts.speeds.cruise_nm)
        if lacks.any():
            cases += [_Case((path,), offset, lacks) for offset in offsets]
            if path == _OFFSET:
                cases += [_Case((path,), offset, lacks, far=True) for offset in _aside(facts)]
    return cases


def _aside(facts: Facts) -> tuple[Floats, ...]:
    """Where else a rear pinion may lie that has no offset entered: in line with an output off the axle's middle, mm."""
    in_line = facts.v["powertrain.output_joint_mm.1"] - facts.v["axle.centre_mm.1"]
    far = np.abs(in_line) > _IN_LINE_MM
    return (np.where(far, in_line, 0.0),) if far.any() else ()


def found_by(facts: Facts, judges: Sequence[Judge] = RIDE) -> dict[Key, Judged]:
    """What some judges find on one block, with the travel if it has one; nothing of what is taken for granted."""
    table = Table(facts.v.rows)
    for judge_ in (*judges, *(TRAVEL if facts.positions else ())):
        judge_(facts, table)
    return table.judged()
