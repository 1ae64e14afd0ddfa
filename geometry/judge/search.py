"""The search for ways out: every change a row of the one judge, judged whole, by all findings.

All single changes are judged roughly, at few places of the travel and without gaps; where none of them leaves the build
without a hold, changes of two kinds together at ride height. The best of each kind are then judged in full.

The plan is judged beside its changes, roughly and then in full: a block costs as much for one row as for twenty. Only
where the full look finds other trouble than the rough one are plan and changes judged one after another.
"""

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.document.entries import Variants, range_of
from geometry.judge import findings
from geometry.judge.bracket_ways import BRACKETS, bracket_ways
from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, UNKNOWN, Codes, Found, Judged, Key, finding_id
from geometry.judge.facts import Facts
from geometry.judge.judging import Elsewhere, found_by, in_worst_state, judged_in_states
from geometry.judge.limits import LIMITS
from geometry.judge.table import Table
from geometry.judge.ways import (
    BEARING,
    LEANS,
    LENGTH,
    PINION,
    POWERTRAIN,
    SLIP,
    Way,
    coarse_pinion,
    effort,
    leaning_ways,
    link_ways,
    made_to_length,
    plate_ways,
    tube_ways,
)
from geometry.mechanics.vectors import Bools, Floats, side_slope_deg

Rows: TypeAlias = NDArray[np.intp]
"""Numbers of rows, best first."""

ROUGH_POSITIONS = 9
"""Places of the travel at which a change is judged roughly."""
FEW = 200
"""Up to so many changes are judged roughly beside the plan without a glance at it, which would cost half as much."""
DEEPER = 0.05
"""Share by which what holds may lie farther beyond its line before it counts as a hold more: less is not felt."""
NEAR = 0.5
"""Share of a line beyond which one that cancels better is judged in full as well."""
SMALLER = 5
"""How many smaller changes of a kind are judged in full where larger ones make a hold that no rough look sees."""
TOGETHER = 8
"""How many changes of two kinds together are judged in full."""
_ROUGH = (
    findings.motion, findings.joints, findings.shaft, findings.lubrication, findings.plan, findings.torque,
    findings.reach,
)  # fmt: skip
_STATES = (findings.motion, findings.joints, findings.lubrication, findings.torque)
"""Those of them that are looked at in every state."""
_GLANCE = ((findings.motion, findings.joints, findings.lubrication), (findings.shaft, findings.plan))
_SLIPS = (("slip_left", "shaft"), ("slip_engaged", "shaft"))
_MENDED_OTHERWISE = frozenset({"critical_speed", "tube_shear", "lateral_lift", "end_fits"})
_CANCEL = frozenset({"pinion_residual", "windup_cruise", "ends_parallel", "straight_end", "equivalent_angle"})


class Tried(NamedTuple):
    """A plan and changes of it, judged in full: row i has `changes[i]`, which is of `kinds[i]`; row 0 is the plan.

    `effort` (rows,) is how much work each is; `meets` (rows,) tells where a pair cancels with its ends meeting rather
    than parallel.
    """

    facts: Facts
    found: Found
    changes: tuple[Mapping[str, float], ...]
    kinds: tuple[tuple[str, ...], ...]
    effort: Floats
    meets: Bools
    elsewhere: Elsewhere | None


class _Rough:
    """Rows judged roughly: at few places of the travel, without gaps and what no change turns."""

    def __init__(self, facts: Facts, *, in_states: bool = True) -> None:
        self.facts = facts
        self.found: Found
        if in_states and len(facts.states) > 1:
            self.found, _ = in_worst_state(facts, _ROUGH, _STATES, found_by, between=0)
        else:
            self.found = found_by(facts, _ROUGH)

    @cached_property
    def to_length(self) -> Mapping[str, Floats]:
        """Engagement and stroke for each row with which both ends of the travel have spline to spare."""
        return {path: np.broadcast_to(one, self.facts.v.rows) for path, one in made_to_length(self.facts).items()}

    def slips(self, row: int) -> bool:
        """Whether a row's slip is short at either end of the travel."""
        return any(self.found[key].verdict[row] >= CAUTION for key in _SLIPS if key in self.found)


class _Trouble(NamedTuple):
    """What is wrong with a plan, as far as the search asks."""

    leans: bool
    """Whether anything is wrong that how things stand may turn, and may be changed."""
    keys: tuple[Key, ...]
    """What is wrong of all that is judged roughly too."""
    holds: bool
    """Whether any of that holds."""
    others: frozenset[str]
    """What is wrong that tubes, a lateral link or a plate mend, by its row of the limits table."""
    slips: bool
    """Whether the slip is short at either end of the travel."""
    brackets: tuple[Key, ...] = ()
    """What is wrong that other shocks, or another place for a bar's bolt, mend."""


_Plain: TypeAlias = tuple[tuple[str, ...], Mapping[str, float], float]
"""Kinds of a change, what it sets, and how much work it is."""
_AS_PLANNED: _Plain = ((), {}, 0.0)


class _Change(NamedTuple):
    """A change to try: its kinds, what it sets, how much work it is, and its row of what was judged roughly."""

    kinds: tuple[str, ...]
    sets: Mapping[str, float]
    work: float
    rough: _Rough
    row: int


class _Trial(NamedTuple):
    """Changes of one kind, or of two together: what every row sets, and how much work it is, (rows,)."""

    kinds: tuple[str, ...]
    sets: Mapping[str, Floats]
    work: Floats

    def row(self, row: int) -> _Plain:
        """One of them as plain numbers."""
        return self.kinds, {path: values.item(row) for path, values in self.sets.items()}, self.work.item(row)

    def some(self, rows: Rows | slice) -> "_Trial":
        """Some of them."""
        return _Trial(self.kinds, {path: values[rows] for path, values in self.sets.items()}, self.work[rows])


def _trial(way: Way, v: Variants) -> _Trial:
    """What a way sets, with its work; what changes nothing is left out, and what the document does not take."""
    work = effort(way.kind, way.changes, _now(v, way))
    able = work > 0.0
    for path, values in way.changes.items():
        least, most = range_of(path)
        able = able & (values >= least) & (values <= most)
    return _Trial((way.kind,), way.changes, work).some(np.flatnonzero(able))


def _both(one: _Trial, two: _Trial) -> _Trial:
    """Every one of these with every one of those."""
    sets = {path: np.repeat(values, two.work.size) for path, values in one.sets.items()}
    sets |= {path: np.tile(values, one.work.size) for path, values in two.sets.items()}
    return _Trial(one.kinds + two.kinds, sets, np.add.outer(one.work, two.work).ravel())


def _rows(v: Variants, trials: Sequence[_Trial]) -> Variants:
    """A row for each change to the plan, one row, trial after trial; what a trial leaves alone stays as it is."""
    columns = {
        path: np.concatenate(
            [one.sets[path] if path in one.sets else np.full(one.work.size, v[path]) for one in trials]
        )
        for path in dict.fromkeys(path for one in trials for path in one.sets)
    }
    return v.widened(columns)


def wide(v: Variants, changes: Sequence[Mapping[str, float]]) -> Variants:
    """A row for each set of changes to the plan, one row; what a set leaves alone stays as it is."""
    paths = dict.fromkeys(path for one in changes for path in one)
    now = {path: float(np.ravel(v[path])[0]) for path in paths}
    return v.widened({path: np.array([one.get(path, now[path]) for one in changes]) for path in paths})


def meeting(facts: Facts) -> Bools:
    """Rows in which a pair of joints bends opposite ways, its ends meeting, rather than lying parallel."""
    if facts.kinds.pieces != 1 or any(facts.kinds.even):
        return np.zeros(facts.v.rows, np.bool_)
    output, shaft, pinion = (
        side_slope_deg(line) for line in (facts.pose.output, facts.pose.sections[0], facts.pose.pinion)
    )
    return np.broadcast_to((shaft - output) * (shaft - pinion) < 0.0, facts.v.rows)


def tried(plan: Facts) -> Tried:
    """Judge in full a plan of one row, and the changes most worth to be told where anything is wrong and helps."""
    search = _Search(plan)
    guess = search.guess()
    some = search.chosen(guess)
    found = search.judged(some)
    really = search.trouble(found.found)
    if really != guess and (others := search.chosen(really)) != some:
        some, found = others, search.judged(others)
    smaller = search.smaller(really, found)
    return search.judged([*some, *smaller]) if smaller else found


def _glance(plan: Facts) -> Found:
    """What is found of the plan at ride height, until something is that how things stand may turn."""
    found: dict[Key, Judged] = {}
    for judges in _GLANCE:
        table = Table(1)
        for judge_ in judges:
            judge_(plan, table)
        found |= table.judged()
        if any(one.verdict[0] >= CAUTION for key, one in found.items() if key[0] in LEANS):
            break
    return found


class _Search:
    """The search for ways out of one plan's trouble; what is judged roughly is judged once."""

    def __init__(self, plan: Facts) -> None:
        self.plan = plan

    @cached_property
    def trials(self) -> list[_Trial]:
        """The plan, and all single changes of how things stand."""
        return [_Trial((), {}, np.zeros(1)), *(_trial(way, self.plan.v) for way in leaning_ways(self.plan))]

    @property
    def leans(self) -> bool:
        """Whether how things stand may be changed at all."""
        return len(self.trials) > 1

    @cached_property
    def rough(self) -> _Rough:
        """The plan and all single changes of it judged roughly."""
        plan = self.plan
        return _Rough(Facts(_rows(plan.v, self.trials), min(plan.positions, ROUGH_POSITIONS), like=plan))

    def guess(self) -> _Trouble:
        """What is wrong by a rough look; at many changes only where a glance at the plan finds need for it."""
        if not 1 < sum(trial.work.size for trial in self.trials) <= FEW:
            glance = self.trouble(_glance(self.plan))
            if not glance.leans:
                return glance
        return self.trouble(self.rough.found)

    def trouble(self, found: Found) -> _Trouble:
        """What is wrong in the first row, which is the plan."""
        wrong = [key for key, one in found.items() if one.verdict[0] >= CAUTION]
        ids = {finding_id(key) for key in wrong}
        leans = not ids.isdisjoint(LEANS) and self.leans
        rough = [key for key in wrong if key in self.rough.found] if leans else []
        return _Trouble(
            leans,
            tuple(rough),
            any(found[key].verdict[0] == HOLD for key in rough),
            frozenset(ids & _MENDED_OTHERWISE),
            any(key in wrong for key in _SLIPS),
            tuple(key for key in wrong if finding_id(key) in BRACKETS),
        )

    def chosen(self, trouble: _Trouble) -> list[_Plain]:
        """The plan, and the changes most worth to be told against this trouble."""
        plan = self.plan
        changes = self._leaning(trouble) if trouble.leans else []
        some = [_AS_PLANNED, *((one.kinds, one.sets, one.work) for one in changes)]
        for way in (*_other_ways(plan, trouble.others), *bracket_ways(plan, trouble.brackets)):
            trial = _trial(way, plan.v)
            some += [trial.row(row) for row in range(trial.work.size)]
        if plan.positions:
            some += _lengthened(plan, changes, short=trouble.slips)
        return some

    def judged(self, some: Sequence[_Plain]) -> Tried:
        """The plan and changes of it in full."""
        kinds, sets, work = zip(*some, strict=True)
        facts = plan = self.plan
        if len(some) > 1:
            facts = Facts(wide(plan.v, sets), plan.positions, like=plan, leads=True)
        found, elsewhere = judged_in_states(facts)
        return Tried(facts, found, sets, kinds, np.array(work), meeting(facts), elsewhere)

    def smaller(self, trouble: _Trouble, found: Tried) -> list[_Plain]:
        """Smaller changes, where each that mends a hold makes another one that no rough look sees, as of a gap."""
        if not (trouble.leans and trouble.holds):
            return []
        rough = self.rough.found
        seen, unseen = (
            _new_holds({key: one for key, one in found.found.items() if (key in rough) == looked})
            for looked in (True, False)
        )
        changes: dict[int, _Change] = {}
        for key in trouble.keys:
            verdict = found.found[key].verdict
            mends = (verdict < HOLD) & ~seen
            if verdict[0] == HOLD and not (mends & ~unseen).any():
                changes |= self._milder(key, {found.kinds[row][0] for row in np.flatnonzero(mends)})
        plain: list[_Plain] = [(one.kinds, one.sets, one.work) for one in changes.values()]
        return plain + (_lengthened(self.plan, list(changes.values()), short=False) if self.plan.positions else [])

    def _milder(self, key: Key, kinds: AbstractSet[str]) -> dict[int, _Change]:
        """Some of the changes of these kinds that mend a hold by a rough look, from the smallest to the largest."""
        rough, first, made = self.rough.found, 0, dict[int, _Change]()
        mends = (rough[key].verdict < HOLD) & ~_new_holds(rough, _SLIPS)
        for trial in self.trials:
            rows = np.flatnonzero(mends[first : first + trial.work.size])
            if rows.size and not kinds.isdisjoint(trial.kinds):
                rows = rows[np.argsort(self._from_plan(trial)[rows], kind="stable")]
                some = rows[np.linspace(0, rows.size - 1, SMALLER).astype(int)].tolist()
                made |= {first + row: _Change(*trial.row(row), self.rough, first + row) for row in some}
            first += trial.work.size
        return made

    def _from_plan(self, trial: _Trial) -> Floats:
        """How far each change of a kind is from the plan, in the units of what it sets."""
        now = {path: np.nan_to_num(np.ravel(self.plan.v[path])[0]) for path in trial.sets}
        far: Floats = np.sum([np.abs(values - now[path]) for path, values in trial.sets.items()], axis=0)
        return far

    def _leaning(self, trouble: _Trouble) -> list[_Change]:
        """Single changes of how things stand, and where none leaves the build without a hold, two together."""
        rough = self.rough
        meets, cancels = meeting(rough.facts), margin(rough.found)
        holds, cautions = holds_and_cautions(rough.found)
        gauged = bool(np.isfinite(self.plan.v["gauge.angle_uncertainty_deg"]).all())
        told = np.array([rough.found[key].verdict for key in trouble.keys]).reshape(-1, meets.size)
        told = told + (HOLD + 1) * _new_holds(rough.found, _SLIPS)  # nobody is offered those
        made: list[_Change] = []
        for trial, first, rows in _ranked(rough.found, self.trials)[1:]:
            for side in (~meets, meets):
                here = rows[side[rows]]
                if here.size:
                    # Besides the best of all, for each finding the best of those that mend it, or mend it most.
                    best = [here[0], *here[np.argmin(told[:, here], axis=1)]]
                    if gauged and cancels[here[0]] > NEAR:  # the gauge may not tell on which side of the line it lies
                        alike = (holds[here] == holds[here[0]]) & (cautions[here] == cautions[here[0]])
                        well = here[alike & (cancels[here] <= NEAR)]
                        best.append(well[0] if well.size else here[alike][np.argmin(cancels[here[alike]])])
                    chosen = dict.fromkeys(int(row) for row in best)
                    made += [_Change(*trial.row(row - first), rough, row) for row in chosen]
        if trouble.holds and not (holds_and_cautions(rough.found)[0][1:] == 0).any():
            made += self._together
        return made

    @cached_property
    def _together(self) -> list[_Change]:
        """Changes of two kinds at once: the pinion's with the powertrain's, or with the support bearing's."""
        plan, by_kind = self.plan, {trial.kinds[0]: trial for trial in self.trials[1:]}
        others = [by_kind[kind] for kind in (POWERTRAIN, BEARING) if kind in by_kind]
        if PINION not in by_kind or not others:
            return []
        pinion = _coarse_pinion(plan, by_kind[PINION])
        pairs = [_both(pinion, other.some(slice(None, None, max(other.work.size // 17, 1)))) for other in others]
        at_ride = _Rough(Facts(_rows(plan.v, pairs), 0, like=plan), in_states=False)
        best = [trial.some(rows[: 4 * TOGETHER] - first) for trial, first, rows in _ranked(at_ride.found, pairs)]
        rough = _Rough(Facts(_rows(plan.v, best), min(plan.positions, ROUGH_POSITIONS), like=plan))
        return [
            _Change(*trial.row(row - first), rough, row)
            for trial, first, rows in _ranked(rough.found, best)
            for row in rows[:TOGETHER].tolist()
        ]


def margin(found: Found) -> Floats:
    """How well the joints cancel in each row, as the worst share of a clear line that is used up; nil without any."""
    nil = np.zeros_like(next(iter(found.values())).value)
    most: Floats = np.fmax.reduce(
        [nil, *(one.value / one.clear for (name, _), one in found.items() if name in _CANCEL)]
    )
    return most


def _coarse_pinion(plan: Facts, trial: _Trial) -> _Trial:
    """The pinion's changes beside another: loose perches turned as far and as coarsely as by wedges."""
    return _trial(coarse_pinion(plan), plan.v) if plan.kinds.loose_perches else trial


def _ranked(found: Found, trials: Sequence[_Trial]) -> list[tuple[_Trial, int, Rows]]:
    """Each trial with its first row, and its rows by fewest holds, fewest cautions, least work, best cancelling."""
    holds, cautions = holds_and_cautions(found)
    if not trials[0].kinds:  # the first row is the plan
        keys = list(found)
        codes, value, clear = (np.array([one[place] for one in found.values()]) for place in (3, 0, 1))
        holds = holds + deeper_holds(codes, beyond_clear(keys, value, clear))
    work = np.concatenate([trial.work for trial in trials])
    order, first, ranked = np.lexsort((margin(found), work, cautions, holds)), 0, []
    for trial in trials:
        after = first + trial.work.size
        ranked.append((trial, first, order[(order >= first) & (order < after)]))
        first = after
    return ranked


def _new_holds(found: Found, besides: Sequence[Key] = ()) -> Bools:
    """Rows in which something holds that does not in the first one, `besides` some findings."""
    held = [one.verdict == HOLD for key, one in found.items() if one.verdict[0] != HOLD and key not in besides]
    new: Bools = np.any(held, axis=0)
    return new


def _lengthened(plan: Facts, changes: Sequence[_Change], *, short: bool) -> list[_Plain]:
    """The shaft made to another length: by itself where its slip is `short`, and with the changes that leave it so."""
    now = {path: float(np.ravel(plan.v[path])[0]) for path in SLIP}
    if any(np.isnan(value) for value in now.values()):
        return []
    lacking: list[tuple[_Plain, dict[str, float]]] = []
    if short:
        lacking.append((_AS_PLANNED, {path: float(np.ravel(one)[0]) for path, one in made_to_length(plan).items()}))
    lacking += [
        ((one.kinds, one.sets, one.work), {path: float(to[one.row]) for path, to in one.rough.to_length.items()})
        for one in changes
        if one.rough.slips(one.row)
    ]
    made: list[_Plain] = []
    for (kinds, sets, work), length in lacking:
        new = {path: value for path, value in length.items() if value != now[path]}
        if new and not any(np.isnan(value) for value in length.values()):
            longer = abs(length[SLIP[0]] - now[SLIP[0]])
            made.append(((*kinds, LENGTH), {**sets, **new}, work + 10.0 + 0.05 * longer))
    return made


def _other_ways(plan: Facts, wrong: AbstractSet[str]) -> Iterator[Way]:
    """Tubes, the lateral link, and a plate between flanges, where they are what is wrong."""
    if wrong & {"critical_speed", "tube_shear"}:
        yield from tube_ways(plan, _weak_tubes(plan, wrong))
    if "lateral_lift" in wrong:
        yield from link_ways(plan)
    if "end_fits" in wrong:
        yield from plate_ways(plan)


def _weak_tubes(plan: Facts, wrong: AbstractSet[str]) -> list[str]:
    weak = []
    highest = np.fmax(plan.speeds.highest_rpm, plan.speeds.cruise_rpm)
    for tube in plan.tubes:
        whirls = bool(np.all(highest > LIMITS["critical_speed"].clear * tube.critical_rpm))
        yields = bool(np.all(tube.shear_mpa > LIMITS["tube_shear"].clear * tube.shear_yield_mpa))
        if ("critical_speed" in wrong and whirls) or ("tube_shear" in wrong and yields):
            weak.append(tube.entry)
    return weak


def _now(v: Variants, way: Way) -> dict[str, float]:
    """Where the plan stands in each entry: as good as nought where it is left empty."""
    now = {path: float(np.ravel(v[path])[0]) for path in way.changes}
    return {path: 0.0 if np.isnan(value) else value for path, value in now.items()}


def holds_and_cautions(found: Found) -> tuple[Floats, Floats]:
    """How many findings hold, and how many caution, in each row."""
    codes = np.array([one.verdict for one in found.values()])
    return (codes == HOLD).sum(axis=0), (codes == CAUTION).sum(axis=0)


def beyond_clear(keys: Sequence[Key], value: Floats, clear: Floats) -> Floats:
    """How far values lie beyond their clear lines, in their own units, (findings, rows); nan without a line."""
    way = np.array([1.0 if LIMITS[finding_id(key)].sense == "most" else -1.0 for key in keys])[:, None]
    return np.maximum(way * (value - clear), 0.0)


def worse_than_first(codes: Codes, beyond: Floats) -> tuple[Bools, Bools]:
    """Where a verdict is worse than in the first row, and where it is as bad but farther beyond its line.

    What is not asked in the first row and cannot be told in another has got no worse.
    """
    before = codes[:, :1]
    worse = (codes > before) & (codes > CLEAR) & ~((before == NOT_ASKED) & (codes == UNKNOWN))
    same = (codes == before) & (codes >= CAUTION)
    return worse, same & (beyond > beyond[:, :1] * (1.0 + 1e-9) + 1e-12)


def deeper_holds(codes: Codes, beyond: Floats) -> NDArray[np.intp]:
    """How many findings hold as in the first row, but lie clearly farther beyond their line, in each row.

    What ends one hold and drives another one farther in mends nothing: each of these counts as a hold more.
    """
    held = (codes == HOLD) & (codes[:, :1] == HOLD)
    count: NDArray[np.intp] = (held & (beyond > beyond[:, :1] * (1.0 + DEEPER))).sum(axis=0)
    return count


__all__ = [
    "DEEPER", "Tried", "beyond_clear", "deeper_holds", "finding_id", "holds_and_cautions", "margin", "meeting",
    "tried", "wide", "worse_than_first",
]  # fmt: skip
