"""The best plans over what may be changed: what they leave and what they take, found in turns, roughly and then finely."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, product
from math import prod
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pydantic import ValidationError

from geometry.document import Build, edited, value_at
from geometry.document.entries import variants
from geometry.document.sides import End, end_of, other_end, path_swapped, swapped
from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, UNKNOWN, WORDS, Codes, Found, Judged, Key
from geometry.judge.facts import Facts
from geometry.judge.judging import judge, judged_block
from geometry.judge.other_shaft import on_the_other
from geometry.judge.search import beyond_clear, deeper_holds, worse_than_first
from geometry.mechanics.vectors import Floats
from geometry.words.finding import WORST_FIRST
from geometry.words.remedies import order_words
from geometry.words.solution import Verdict
from geometry.words.solve import POSITIONS
from geometry.words.study import MOST_ROWS, Studied, Study, studied
from geometry.words.told import Told
from geometry.words.tubes import bearing_words, other_pieces

MOST_CHANGES = 3
"""Changes that one plan may have at once."""
PLANS = 4
"""Plans that are told, each of another set of changes."""
_NEVER = 1e6
_READ = {
    "plan.pinion_slope_deg": "axle.pinion_slope_deg", "plan.powertrain_slope_deg": "powertrain.slope_deg",
}  # fmt: skip
"""Entries of the plan that are set and not added, and where that stands as it is."""
_SHAFT = "shaft"
_BY = {"spring": "springs", "block": "blocks", "shackle": "longer shackles"}
"""What a lift is by, in an order."""
_TURN = 12
"""Combinations judged in a turn: some hundredths of a second, so that a hand goes on."""
_LEAST, _FIRST, _ROUGH = 2, 3, 0.4
"""Values of each entry that are looked at at the least, and at first; share of all that is looked at before the best."""
_NEAR = 8
"""Sets of changes about whose best it is looked more finely, at the least."""

_Set: TypeAlias = tuple[int, ...]
"""Numbers of the entries that a plan changes."""
_Places: TypeAlias = tuple[int, ...]
_Rank: TypeAlias = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Left:
    """A finding that a plan leaves open: its value, and the line that it is to be of at the most, or at the least.

    One that is unknown is judged without the plan. Of the other driveline those are left that get worse by the plan, or
    lie farther beyond their line; `end` tells whose it then is.
    """

    id: str
    part: str
    title: str
    verdict: Verdict
    value: float | None
    limit: float | None
    unit: str
    sense: Literal["most", "least"]
    end: End | None = None


@dataclass(frozen=True, slots=True)
class PlanFound:
    """One plan: what it changes, what the whole build then is, and what it leaves, worst first.

    With two drivelines what gets worse of the other one counts besides: in the verdict, and as a hold, a caution or an
    unknown.

    `margin` is how far the nearest line still is, as a share of that line; below nil where one is passed. `at_edge` are
    those of its changes that are the least or the most of their range, beyond which nothing was looked at.
    """

    changes: Mapping[str, Any]
    verdict: Verdict
    holds: int
    cautions: int
    unknown: int
    margin: float
    left: tuple[Left, ...]
    at_edge: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        """Whether anything at all is judged with it, so that it can be called better or worse.

        >>> plans(Build(), {"plan.axle_shim_deg": [1.0]})[0].known
        False
        """
        return self.margin < _NEVER


@dataclass(frozen=True, slots=True)
class Looked:
    """What a search has found by now: the best plans, the first the best of all, and the build as it is.

    `judged` counts the combinations looked at, `combinations` all that there are; where both are the same nothing is
    left out. `ended` tells that no more is looked at. `unjudged` are entries of which every change leaves something
    unknown that is judged as it is.
    """

    plans: tuple[PlanFound, ...]
    as_it_is: PlanFound
    judged: int
    combinations: int
    ended: bool
    unjudged: tuple[str, ...] = ()


def plans(
    build: Build,
    ranges: Mapping[str, ArrayLike],
    *,
    choices: Mapping[str, Sequence[Any]] | None = None,
    most: int = MOST_ROWS,
) -> tuple[PlanFound, ...]:
    """The best plans over some values of some entries, no more than three changed at once; the first is the best of all.

    Ranked by fewest holds, where one that a plan makes clearly worse counts as two, then cautions, then unknowns, then
    the fewest changes, the smallest ones as shares of their ranges, and the most margin; what has nothing to start from
    counts nothing there, and another choice the whole of a range. Each plan that follows changes another set of entries,
    and not merely more of them, so that there is a choice; those that are no better than to leave all as it is are left
    out, and where none is better that is the one plan. What is not known mends nothing: an unknown counts as bad as it
    is without the plan, as a caution where a value is lost that is clear.

    Parameters
    ----------
    build
        What is to be changed.
    ranges
        For each dotted path its values, in the document's unit. An entry that is not entered is judged so, as it is;
        nought of a shim or a lift is none.
    choices
        For each path what else it may be, as from `choices_of`; with another shaft nothing of the one that there is may
        be changed in the same plan.
    most
        Combinations that may be judged, over the whole travel. Where there are no more, all of them are, and nothing
        better is left out; else see `plans_in_turns`.

    Raises
    ------
    KeyError
        When a path names no numeric entry.
    ValueError
        When there are no entries, or too many to look at two values of each.

    Examples
    --------
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 9.0})
    >>> best = plans(build, {"axle.pinion_slope_deg": [2.0, 3.5, 5.0]})[0]
    >>> best.changes, best.holds
    ({'axle.pinion_slope_deg': 3.5}, 0)
    """
    *_, last = plans_in_turns(build, ranges, choices=choices, most=most)
    return last.plans


def choices_of(build: Build) -> dict[str, tuple[Any, ...]]:
    """What a build may have instead, that is no number: what a leaf spring is lifted by, and the shaft's other pieces.

    >>> choices_of(Build())
    {}
    """
    found: dict[str, tuple[Any, ...]] = {}
    if build.suspension is not None and build.suspension.kind == "leaf":
        path = f"plan.{end_of(build)}_lift_by"
        found[path] = tuple(word for word in _BY if word != (value_at(build, path) or "spring"))
    made = other_pieces(build)
    if made is not None and made.shaft is not None:
        found[_SHAFT] = (made.shaft.model_dump(),)
    return found


def plans_in_turns(
    build: Build,
    ranges: Mapping[str, ArrayLike],
    *,
    choices: Mapping[str, Sequence[Any]] | None = None,
    most: int = MOST_ROWS,
) -> Iterator[Looked]:
    """The same in turns that are short enough for a hand to go on, each no worse than the one before.

    First the build as it is and every single change; then all sets of up to three changes on some values of each, first
    on few, then on as many as two fifths of `most` allow; then finer and finer about the best plan of each of the best
    sets, until none that lies a step of one or more of its changes beside is better. Where all combinations are no more
    than `most`, the rest is then judged too.

    >>> *_, last = plans_in_turns(Build(), {"plan.axle_shim_deg": [-1.0, 1.0], "plan.mount_shim_mm": [5.0]})
    >>> last.judged, last.combinations, last.ended
    (6, 6, True)
    """
    search = _Search.of(build, ranges, choices or {}, most)
    for stage in (search.single(), search.rough(_FIRST), search.rough(search.finest), search.near(), search.rest()):
        for rows in stage:
            for first in range(0, len(rows), _TURN):
                search.judge(rows[first : first + _TURN])
                yield search.told(ended=False)
    yield search.told(ended=True)


def plan_words(build: Build, changes: Mapping[str, Any]) -> dict[str, str]:
    """What to do for each change of a plan, as the ways out say it; "" where there are no words for it.

    >>> plan_words(Build(), {"plan.axle_shim_deg": 2.0})
    {'plan.axle_shim_deg': "at both perches fit 2° wedges that raise the pinion's nose"}
    """
    with np.errstate(all="ignore"):
        made = edited(build, started(build, changes))
        after = Told(build, Facts(variants(made)), {})
        return {
            path: _choice_words(build, made, path) if _chosen(path) else order_words(after, path, value)
            for path, value in changes.items()
        }


def _chosen(path: str) -> bool:
    """Whether what stands at a path is a choice, and no number."""
    return path == _SHAFT or path.endswith("_lift_by")


def _choice_words(build: Build, made: Build, path: str) -> str:
    """Say what to do for a choice; `made` is the build that has it."""
    if path == _SHAFT:
        two = made.shaft is not None and made.shaft.kind == "two_piece"
        return f"make the shaft in {f'two pieces{bearing_words(made)}' if two else 'one piece, of its rear tube'}"
    now, then = (_BY[value_at(one, path) or "spring"] for one in (build, made))
    return f"lift the {path.removeprefix('plan.').partition('_')[0]} by {then} instead of {now}"


def started(build: Build, changes: Mapping[str, object]) -> dict[str, object]:
    """Changes as `edited` takes them: before a part of a point that is not entered the point itself, at nought.

    >>> list(started(Build(), {"plan.powertrain_shift_mm.1": 5.0}))
    ['plan.powertrain_shift_mm', 'plan.powertrain_shift_mm.1']
    """
    heads = [path.rpartition(".")[0] for path in changes if path.rpartition(".")[2].isdecimal()]
    return {head: (0.0, 0.0) for head in heads if value_at(build, head) is None} | dict(changes)


@dataclass
class _Search:
    """Entries with the values that each may be changed to, what of it is judged, and the best of every set of changes.

    A combination is a place in the values of each entry, nought where that is left as it is.
    """

    build: Build
    paths: tuple[str, ...]
    values: tuple[Floats, ...]
    """Of each entry: as it is, nan where that is not entered, then what it may be changed to, growing."""
    shares: tuple[Floats, ...]
    """How far each of them lies from where it starts, as a share of the range."""
    ends: Mapping[str, tuple[float, float]]
    choices: Mapping[str, tuple[Any, ...]]
    """Of each entry that is no number what else it may be; its values count them from one."""
    most: int
    seen: set[_Places] = field(default_factory=set)
    judged_now: dict[tuple[str, str], np.uint8] = field(default_factory=dict)
    """The verdict of every finding of the build as it is."""
    held_now: dict[tuple[str, str], Judged] = field(default_factory=dict)
    """Every finding that holds as it is, in that one row."""
    offered: set[int] = field(default_factory=set)
    """Entries of which some change alone leaves nothing unknown that is judged as it is."""
    best: dict[_Set, tuple[_Rank, _Places, PlanFound]] = field(default_factory=dict)

    @staticmethod
    def of(build: Build, ranges: Mapping[str, ArrayLike], choices: Mapping[str, Sequence[Any]], most: int) -> "_Search":
        whole = edited(build, {path: value for path, value in started(build, ranges).items() if path not in ranges})
        values = [_values(path, some, value_at(whole, path)) for path, some in ranges.items()]
        shares = [_share(some, _start(whole, path)) for path, some in zip(ranges, values, strict=True)]
        for some in choices.values():
            values.append(np.arange(1.0 + len(some)))
            shares.append(np.minimum(values[-1], 1.0))
        ends = {path: (float(np.min(some)), float(np.max(some))) for path, some in ranges.items()}
        paths, others = (*ranges, *choices), {path: tuple(some) for path, some in choices.items()}
        search = _Search(whole, paths, tuple(values), tuple(shares), ends, others, most)
        if not paths or search.rough_rows(_LEAST) > most:
            raise ValueError(f"a plan changes some entries, of which at most {most:,} combinations are judged")
        return search

    @cached_property
    def sets(self) -> tuple[_Set, ...]:
        """Every set of changes that a plan may have."""
        sizes = range(1, MOST_CHANGES + 1)
        some = (one for size in sizes for one in combinations(range(len(self.paths)), size))
        return tuple(one for one in some if self._together(one))

    def _together(self, one: _Set) -> bool:
        """Whether entries can be changed in one plan: another shaft has not what the one has that there is."""
        paths = [self.paths[entry] for entry in one]
        return _SHAFT not in paths or not any(path.startswith(f"{_SHAFT}.") for path in paths)

    @cached_property
    def combinations(self) -> int:
        """All combinations that there are, the build as it is among them."""
        return 1 + self.rough_rows(max(some.size for some in self.values))

    def rough_rows(self, count: int) -> int:
        """How many combinations change something, with so many values of each entry."""
        return sum(prod(min(self.values[entry].size - 1, count) for entry in one) for one in self.sets)

    @cached_property
    def finest(self) -> int:
        """With how many values of each entry all sets of changes are looked at."""
        room, count = _ROUGH * min(self.most, self.combinations), _LEAST
        while self.rough_rows(count) < self.rough_rows(count + 1) <= room:
            count += 1
        return count

    # ---- which combinations are looked at

    def single(self) -> Iterator[list[_Places]]:
        """The build as it is, and every change alone."""
        yield [*self._fresh((), []), *(row for one in self.sets if len(one) == 1 for row in self._some(one, None))]

    def rough(self, count: int) -> Iterator[list[_Places]]:
        """All sets of changes, on so many values of each entry."""
        yield [row for one in self.sets for row in self._some(one, count)]

    def near(self) -> Iterator[list[_Places]]:
        """About the best plan of each of the best sets, half as far each time, to single steps that are no better."""
        done: dict[_Set, tuple[_Places, int]] = {}
        while len(self.seen) < self.most:
            rows: list[_Places] = []
            going = False
            for one in self._targets():
                centre, (before, off) = self.best[one][1], done.get(one, ((), self._gap()))
                if off == 0 and centre == before:
                    continue
                going, off = True, max(off, 1)
                done[one] = centre, off // 2
                rows += self._fresh(one, [self._about(entry, centre[entry], off) for entry in one])
            if not going:
                return
            yield rows[: self.most - len(self.seen)]

    def rest(self) -> Iterator[list[_Places]]:
        """All that is left, where it is no more than may be judged."""
        if self.combinations <= self.most:
            yield [row for one in self.sets for row in self._fresh(one, [range(1, self.values[at].size) for at in one])]

    def _targets(self) -> list[_Set]:
        """The sets about whose best it is worth looking: the best of all, and those that are told."""
        ranked = sorted((one for one in self.best if one), key=lambda one: self.best[one][0])
        return list(dict.fromkeys([*self._told_sets(), *ranked[:_NEAR]]))

    def _gap(self) -> int:
        """How many steps lie between two values that were looked at, at the most."""
        return max(-(-(some.size - 2) // (self.finest - 1)) for some in self.values)

    def _about(self, entry: int, centre: int, off: int) -> list[int]:
        """Places about one, so many steps off and half as many, within the values."""
        last = self.values[entry].size - 1
        return sorted({min(max(centre + by, 1), last) for by in (-off, -(off // 2), 0, off // 2, off)})

    def _some(self, one: _Set, count: int | None) -> list[_Places]:
        """So many values of each entry of a set, evenly, with the least and the most; None takes all of them."""
        places = []
        for entry in one:
            last = self.values[entry].size - 1
            some = np.round(np.linspace(1, last, min(count or last, last)))
            places.append([int(place) for place in some])
        return self._fresh(one, places)

    def _fresh(self, one: _Set, places: Sequence[Iterable[int]]) -> list[_Places]:
        """Combinations of a set that are not judged yet."""
        made = []
        for some in product(*places):
            row = [0] * len(self.paths)
            for entry, place in zip(one, some, strict=True):
                row[entry] = place
            if tuple(row) not in self.seen:
                made.append(tuple(row))
        return made

    # ---- what is found

    def judge(self, rows: Sequence[_Places]) -> None:
        """Judge some combinations and keep the best of each set of changes; those of one choice together."""
        alike: dict[_Places, list[_Places]] = {}
        for row in rows:
            alike.setdefault(row[len(self.ends) :], []).append(row)
        for chosen, some in alike.items():
            self._judge(some, {path: place for path, place in zip(self.choices, chosen, strict=True) if place})
        self.seen.update(rows)

    def _judge(self, rows: Sequence[_Places], chosen: Mapping[str, int]) -> None:
        at, others = np.array(rows, np.intp), {path: self.choices[path][place - 1] for path, place in chosen.items()}
        try:
            build = edited(self.build, others)
        except ValidationError:  # what cannot be together is no plan
            return
        columns = {
            path: self.values[entry][at[:, entry]]
            for entry, path in enumerate(self.ends)
            if not (_SHAFT in others and path.startswith(f"{_SHAFT}."))
        }
        found = studied(build, columns, judge(variants(build, columns), positions=POSITIONS))
        moved = sum((self.shares[entry][at[:, entry]] for entry in range(len(self.paths))), np.zeros(len(rows)))
        if not (self.seen or chosen):  # the first row of all changes nothing
            self.judged_now = {(one.id, one.part): one.judged.verdict[0] for one in found.findings}
            held = [one for one in found.findings if one.judged.verdict[0] == HOLD]
            self.held_now = {(one.id, one.part): _row_of(one.judged, 0) for one in held}
        there = self._worse_there(at, build, others)
        margin, counts = _margin(found), [found.count(code) + there.count(code) for code in (HOLD, CAUTION, UNKNOWN)]
        lost, (holds, cautions) = self._lost(found)
        bad = [
            counts[0] + holds + self._deeper(found) + there.deeper,
            counts[1] + cautions,
            counts[2] - holds - cautions,
        ]
        ranks = np.array([*bad, (at > 0).sum(axis=1), np.round(moved, 9), -margin]).T
        for row in np.lexsort(ranks.T[::-1]):
            one, rank = tuple(np.nonzero(at[row])[0].tolist()), tuple(ranks[row].tolist())
            if len(one) == 1 and not lost[row]:
                self.offered.update(one)
            if one not in self.best or rank < self.best[one][0]:
                changes = {
                    path: others[path] if path in others else float(self.values[entry][at[row, entry]])
                    for entry, path in ((entry, self.paths[entry]) for entry in one)
                }
                plan = self._plan(found, there, int(row), changes, counts, margin)
                self.best[one] = rank, rows[row], plan

    def _plan(
        self,
        found: Study,
        there: "_There",
        row: int,
        changes: Mapping[str, Any],
        counts: Sequence[NDArray[np.intp]],
        margin: Floats,
    ) -> PlanFound:
        left = [_left(one, row) for one in found.findings if self._leaves(one, row)]
        of_other = there.left(row, other_end(end_of(self.build)))
        left += of_other
        left.sort(key=lambda one: ("hold", "caution", "unknown").index(one.verdict))
        holds, cautions, unknown = (int(count[row]) for count in counts)
        at_edge = tuple(path for path, value in changes.items() if path in self.ends and value in self.ends[path])
        verdicts = [found.verdict(row), *(one.verdict for one in of_other)]
        verdict = min(verdicts, key=WORST_FIRST.index)
        return PlanFound(changes, verdict, holds, cautions, unknown, float(margin[row]), tuple(left), at_edge)

    def _worse_there(self, at: NDArray[np.intp], build: Build, others: Mapping[str, Any]) -> "_There":
        """What some combinations make worse of the other driveline; nothing without one."""
        changes = [
            {path: float(self.values[entry][row[entry]]) for entry, path in enumerate(self.ends) if row[entry]}
            for row in at
        ]
        with np.errstate(all="ignore"):
            found = on_the_other(variants(build), [{}, *changes], POSITIONS)
            if build.drivelines and any(path_swapped(path) == path for path in others):
                found = self._from_as_it_is(found, build, 1 + len(changes))
        told = studied(swapped(build), {}, found).findings if found else ()
        return _There.of([one for one in told if one.id != "front_against_rear"], len(at))

    def _from_as_it_is(self, found: Found, build: Build, rows: int) -> Found:
        """The other driveline with a choice that is its own too: first as it is without that, then in so many rows."""
        before, after = (judged_block(Facts(variants(swapped(one)), POSITIONS)) for one in (self.build, build))
        if not found:
            found = {key: Judged._make(np.repeat(column, rows) for column in one) for key, one in after.items()}
        kept: dict[Key, Judged] = {}
        for key in [one for one in found if one in before]:
            parts: Any = zip(before[key], found[key], strict=True)
            kept[key] = Judged._make(np.append(was, then[1:]) for was, then in parts)
        return kept

    def _leaves(self, one: Studied, row: int) -> bool:
        """Whether a finding is bad, or unknown and was not."""
        verdict, now = one.judged.verdict[row], self.judged_now.get((one.id, one.part), NOT_ASKED)
        return bool(verdict >= CAUTION or (verdict == UNKNOWN and now not in {NOT_ASKED, UNKNOWN}))

    def _lost(self, found: Study) -> tuple[NDArray[np.bool_], NDArray[np.intp]]:
        """Rows in which a value is lost that is known as it is; how many unknowns of each row count as a hold, and as a
        caution.
        """
        lost, were = np.zeros(found.codes.size, np.bool_), np.zeros((2, found.codes.size), np.intp)
        for one in found.findings:
            now, unknown = self.judged_now.get((one.id, one.part), NOT_ASKED), one.judged.verdict == UNKNOWN
            if now not in {NOT_ASKED, UNKNOWN}:
                gone = unknown & np.isnan(one.judged.value)
                lost |= gone
                were[0 if now == HOLD else 1] += gone if now == CLEAR else unknown
        return lost, were

    def _deeper(self, found: Study) -> NDArray[np.intp]:
        """How many findings of each row hold as without it, but clearly worse."""
        deeper = np.zeros(found.codes.size, np.intp)
        for one in found.findings:
            key = one.id, one.part
            if key in self.held_now:
                columns = zip(self.held_now[key], one.judged, strict=True)
                value, clear, _, codes = (np.concatenate([now, then])[None] for now, then in columns)
                deeper += deeper_holds(codes, beyond_clear([key], value, clear))[1:]
        return deeper

    def told(self, *, ended: bool) -> Looked:
        """What is found by now."""
        as_it_is = self.best[()][2]
        plans = tuple(self.best[one][2] for one in self._told_sets()) or (as_it_is,)
        alone = {one[0] for one in self.best if len(one) == 1}
        unjudged = tuple(path for entry, path in enumerate(self.ends) if entry in alone - self.offered)
        return Looked(plans, as_it_is, len(self.seen), self.combinations, ended, unjudged)

    def _told_sets(self) -> list[_Set]:
        """The sets of changes of the plans that are told: better than as it is, and none that only changes more."""
        ranked, told = sorted(self.best, key=lambda one: self.best[one][0]), list[_Set]()
        for one in ranked[: ranked.index(())]:
            if not any(set(other) <= set(one) for other in told):
                told.append(one)
        return told[:PLANS]


@dataclass(frozen=True, slots=True)
class _There:
    """Findings of the other driveline, first as it is and then in some rows; in which it is worse, or farther beyond."""

    findings: tuple[Studied, ...]
    codes: Codes
    worse: NDArray[np.bool_]
    farther: NDArray[np.bool_]
    deeper: NDArray[np.intp]
    """How many hold as it is, but clearly worse, (rows,)."""

    @staticmethod
    def of(findings: Sequence[Studied], rows: int) -> "_There":
        """Of no findings, where there is no such driveline, in so many rows."""
        shape = (-1, 1 + rows)
        value, clear = (
            np.array([one.judged[place] for one in findings], np.float64).reshape(shape) for place in (0, 1)
        )
        codes = np.array([one.judged.verdict for one in findings], np.uint8).reshape(shape)
        beyond = beyond_clear([(one.id, one.part) for one in findings], value, clear)
        return _There(tuple(findings), codes, *worse_than_first(codes, beyond), deeper_holds(codes, beyond)[1:])

    def count(self, code: np.uint8) -> NDArray[np.intp]:
        """How many are worse and have a verdict, (rows,)."""
        count: NDArray[np.intp] = (self.worse & (self.codes == code)).sum(axis=0)[1:]
        return count

    def left(self, row: int, end: End) -> list[Left]:
        """What a row leaves of it."""
        worse = self.worse[:, row + 1] | self.farther[:, row + 1]
        return [_left(self.findings[place], row + 1, end) for place in np.flatnonzero(worse).tolist()]


def _left(one: Studied, row: int, end: End | None = None) -> Left:
    word: Verdict = WORDS[one.judged.verdict.item(row)]  # type: ignore[assignment]
    value, line = (_known(column.item(row)) for column in one.judged[:2])
    return Left(one.id, one.part, one.title, word, value, line, one.limit.unit, one.limit.sense, end)


def _adds(path: str) -> bool:
    """Whether an entry adds to what there is, so that nought of it is none."""
    return path.startswith("plan.") and path not in _READ


def _values(path: str, some: ArrayLike, now: float | None) -> Floats:
    """The values to judge: the entry as it is, nan where that is not entered, and those given, growing."""
    given = np.unique(np.asarray(some, np.float64))
    if now is not None:
        return np.append(now, given[given != now])
    return np.append(np.nan, given[given != 0.0] if _adds(path) else given)


def _start(build: Build, path: str) -> float | None:
    """What a change of an entry is counted from; None where there is nothing."""
    now = value_at(build, path)
    if now is None and path in _READ:
        now = value_at(build, _READ[path])
    return 0.0 if now is None and _adds(path) else now


def _share(values: Floats, start: float | None) -> Floats:
    """How far each value lies from where it starts, as a share of the range; nought where it is left or starts nowhere."""
    if start is None:
        return np.zeros(values.size)
    off = np.nan_to_num(np.abs(values - start))
    return off / (np.ptp(np.append(values[np.isfinite(values)], start)) or 1.0)


def _margin(found: Study) -> Floats:
    """How far the nearest line is, as a share of it, (rows,); lines at nought, and what is not known, are left out."""
    least = np.full(found.codes.size, _NEVER)
    for one in found.findings:
        value, line = one.judged.value, one.judged.clear
        way = 1.0 if one.limit.sense == "most" else -1.0
        with np.errstate(all="ignore"):
            room = way * (line - value) / np.abs(line)
        counts = np.isfinite(room) & (one.judged.verdict != 0)
        least = np.where(counts, np.fmin(least, room), least)
    return least


def _row_of(judged: Judged, row: int) -> Judged:
    """One row of a finding."""
    value, clear, hold, verdict = judged
    return Judged(value[row : row + 1], clear[row : row + 1], hold[row : row + 1], verdict[row : row + 1])


def _known(value: float) -> float | None:
    return value if np.isfinite(value) else None
