"""Ways out in words: of what was tried, what mends a finding, best first, and what it does to the whole."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import isfinite
from typing import Any, NamedTuple

import numpy as np

from geometry.document import value_at
from geometry.document.sides import end_of, other_end, swapped
from geometry.document.vehicle import Display
from geometry.judge import clamp
from geometry.judge.codes import CAUTION, HOLD, NOT_ASKED, UNKNOWN, WORDS, Key, finding_id
from geometry.judge.findings import nose_up_deg, tail_down_deg
from geometry.judge.limits import LIMITS
from geometry.judge.other_shaft import on_the_other
from geometry.judge.search import DEEPER, Tried, beyond_clear, deeper_holds, margin, worse_than_first
from geometry.judge.states import MEASURED
from geometry.judge.ways import PINION
from geometry.mechanics.vectors import Floats
from geometry.words.helps import help_beside, help_for
from geometry.words.one import One
from geometry.words.sentences.brackets import the_part
from geometry.words.sentences.shaft import judged_tube
from geometry.words.solution import BAD, Finding, Remedy, Worse
from geometry.words.told import Told
from geometry.words.wording import (
    capital,
    degrees,
    half_degrees,
    length,
    listed,
    mount_words,
    number,
    shim,
    small,
    worded,
)

MOST_TOLD = 4
"""How many ways out a finding tells."""
_AT_ITSELF = frozenset({"bearing_square", "bearing_centred"})
"""Findings that are put right where they are, at the bracket: nobody moves the shaft to square a housing to it."""
_TOOTH_OFF = 0.1
"""Share of a tooth within which a turn of the yokes counts as a whole one."""
_BETTER = 0.2
"""Share of what a value lies beyond its line that a change must take away to be told where none turns the verdict.

And `DEEPER` of the line itself, as less is not felt.
"""


class _Row(NamedTuple):
    """What is said of a row for whatever finding it mends: see `Remedy`; how pinion and output then lie."""

    after: Told
    changes: dict[str, object]
    orders: str
    lies: list[str]
    worse: tuple[Worse, ...]
    against: str
    verdict: str


class Ranking:
    """What was tried, held against the plan: who gets better, who worse, and in which order to tell it."""

    def __init__(self, plan: Told, tried: Tried) -> None:
        self.plan, self.tried = plan, tried
        self._rows: dict[int, _Row] = {}
        # What the other driveline comes to stands behind this one's findings: a way out must not make that worse.
        there = on_the_other(tried.facts.v, tried.changes, tried.facts.positions)
        self.keys, self.own = [*tried.found, *there], len(tried.found)
        # Value, clear line and verdict of every finding, (findings, rows); the first row is as planned.
        found = (*tried.found.values(), *there.values())
        value, clear = np.array([one.value for one in found]), np.array([one.clear for one in found])
        self.values, self.line = value, np.nan_to_num(np.abs(clear[:, 0]))
        self.codes = np.array([one.verdict for one in found])
        self.before = self.codes[:, :1]
        self.holds, self.cautions = (self.codes == HOLD).sum(axis=0), (self.codes == CAUTION).sum(axis=0)
        self.unknowns = (self.codes == UNKNOWN).sum(axis=0)
        self.margin = margin(tried.found)
        self.beyond = beyond_clear(self.keys, value, clear)
        self.holds = self.holds + deeper_holds(self.codes, self.beyond)
        held, cautioned = self.holds[0], self.cautions[0]
        self.planned = self.beyond[:, :1]
        worse, farther = worse_than_first(self.codes, self.beyond)
        self.worse = worse | farther
        new_hold = ((self.codes == HOLD) & (self.before != HOLD)).any(axis=0)
        fewer = (self.holds < held) | ((self.holds == held) & (self.cautions < cautioned))
        same = (self.holds == held) & (self.cautions == cautioned) & ~self.worse.any(axis=0)
        # What has no value any more is not mended; a bolt's length beside a wedge, which nobody has yet, is no loss.
        judged = (self.before != NOT_ASKED) & (self.before != UNKNOWN)
        clamped = np.array([finding_id(key) in clamp.NEEDS for key in self.keys])[:, None]
        lost = (np.isnan(value) & (self.codes == UNKNOWN) & judged & ~clamped).any(axis=0)
        self.offered = ~new_hold & ~lost & (fewer | same)

    def ways_out(self, key: Key) -> tuple[int, ...]:
        """Rows that mend a finding, one a kind, best first: fewest holds, fewest cautions, least work, most margin.

        Where nothing mends it, so that its verdict gets better, those that lessen it by what is worth telling.
        A pair that cancels with its ends meeting is told behind one with parallel ends, unless that holds more.
        """
        if finding_id(key) in _AT_ITSELF:
            return ()
        place = self.keys.index(key)
        code, before = self.codes[place], self.before[place, 0]
        gone = (code == UNKNOWN) & np.isnan(self.values[place])  # what has no value any more is not mended
        good = np.flatnonzero(self.offered & (code < before) & ~gone)
        if not good.size:
            less = self.beyond[place] < self.planned[place, 0] * (1.0 - _BETTER)
            less &= self.planned[place, 0] - self.beyond[place] > DEEPER * self.line[place]
            cancels = self.margin <= self.margin[0] + 1e-9  # what only lessens it may not cost the cancelling
            good = np.flatnonzero(self.offered & (code == before) & less & cancels)
        order = good[np.lexsort((
            self.beyond[place][good], self.margin[good], self.tried.effort[good], self.cautions[good], self.holds[good],
        ))]  # fmt: skip
        best: dict[tuple[tuple[str, ...], bool], int] = {}
        for row in order:
            turns = PINION in self.tried.kinds[row]
            best.setdefault((self.tried.kinds[row], turns and bool(self.tried.meets[row])), int(row))
        rows = list(best.values())
        for kinds, meets in list(best):
            parallel = best.get((kinds, False))
            if meets and parallel is not None and self.holds[parallel] <= self.holds[best[kinds, True]]:
                first, second = rows.index(best[kinds, True]), rows.index(parallel)
                if first < second:
                    rows.insert(first, rows.pop(second))
        return tuple([row for row in rows if not self._needless(place, row, rows)][:MOST_TOLD])

    def _needless(self, place: int, row: int, rows: Sequence[int]) -> bool:
        """Whether a way out does all that another one does, and more besides, without being any better for it."""
        code, kinds, meets = self.codes[place], self.tried.kinds, self.tried.meets
        return any(
            set(kinds[other]) < set(kinds[row])
            and self.holds[other] <= self.holds[row]
            and self.cautions[other] <= self.cautions[row]
            and self.unknowns[other] <= self.unknowns[row]
            and meets[other] <= meets[row]
            and code[other] <= code[row]
            and (code[row] < CAUTION or self.beyond[place, other] <= self.beyond[place, row] * (1.0 + DEEPER))
            for other in rows
        )

    def remedy(self, key: Key, row: int) -> Remedy:
        """One way out in words, with what it promises for its finding and for the whole."""
        if row not in self._rows:
            self._rows[row] = self._row(row)
        after, changes, orders, lies, worse, against, verdict = self._rows[row]
        value = after.value(key)
        return Remedy(
            says=f"{orders}: {', '.join([*lies, outcome(after, key, value)])}{against}.",
            changes=dict(changes),
            after=value,
            after_verdict=after.verdict(key) or "clear",
            verdict=verdict,  # type: ignore[arg-type]
            worse=worse,
            holds=int((self.codes[: self.own, row] == HOLD).sum()),
            cautions=int((self.codes[: self.own, row] == CAUTION).sum()),
        )

    def _row(self, row: int) -> "_Row":
        after = Told(self.plan.build, self.tried.facts, self.tried.found, row, self.tried.elsewhere)
        other = other_end(end_of(self.plan.build)) if self.plan.build.drivelines else None
        places = np.flatnonzero(self.worse[:, row]).tolist()
        worse = tuple(
            Worse(
                *self.keys[place],
                WORDS[code],  # type: ignore[arg-type]
                None if code == UNKNOWN or not isfinite(self.values[place, row]) else self.values.item(place, row),
                None if place < self.own else other,
            )
            for place in places
            for code in (self.codes.item(place, row),)
        )
        changes = document_changes(self.plan, self.tried.changes[row])
        against, lost = list[str](), list[str]()
        for one, place in zip(worse, places, strict=True):
            short = one.verdict == "unknown" and bool(self.beyond[place, row] > 0.0)
            (lost if one.verdict == "unknown" and not short else against).append(_against(self.plan, one, short=short))
        return _Row(
            after,
            changes,
            capital(listed(change_words(after, changes))),
            lie_words(after, changes),
            worse,
            (f"; against it: {listed(against)}" if against else "")
            + (f"; no longer known then: {listed(list(dict.fromkeys(lost)))}" if lost else ""),
            WORDS[int(self.codes[: self.own, row].max())],
        )


def document_changes(plan: Told, changes: Mapping[str, float]) -> dict[str, object]:
    """Changes as the document takes them: the parts of a point brought together to the whole point."""
    made: dict[str, object] = {}
    for path, value in changes.items():
        head, _, last = path.rpartition(".")
        if not last.isdecimal():
            made[path] = value
            continue
        whole: Any = made.get(head) or value_at(plan.build, head) or (0.0, 0.0)
        point = list(whole)
        point[int(last)] = value
        made[head] = tuple(point)
    return made


def change_words(after: Told, changes: Mapping[str, Any]) -> list[str]:
    """Say what to do, an order for each thing that is changed, in the order of the work; `after` is the row with them."""
    in_turn = sorted(changes.items(), key=lambda change: _turn(change[0]))
    said = (_order(path)(after, path, value, value_at(after.build, path)) for path, value in in_turn)
    return [order for order in said if order]


def order_words(after: Told, path: str, value: float) -> str:
    """Say what to do for one number that is changed, a part of a point too; "" where there are no words for it.

    `after` is the row with the change, of the build without it.
    """
    [(whole, to)] = document_changes(after, {path: value}).items()
    known = any(whole.endswith(end) for end in _ORDERS)
    return _order(whole)(after, whole, to, value_at(after.build, whole)) if known else ""


def _order(path: str) -> "Order":
    return next(order for end, order in _ORDERS.items() if path.endswith(end))


def _turn(path: str) -> int:
    """Place of a change in the order of the work."""
    return next(place for place, end in enumerate(_ORDERS) if path.endswith(end))


def _lift(after: Told, path: str, value: Any, now: Any) -> str:
    end = path.removeprefix("plan.").partition("_")[0]
    if value == 0.0:
        return f"leave the {end} as high as it was measured"
    order = f"{'lift' if value > 0.0 else 'lower'} the {end} by {length(abs(value), after.display)}"
    return f"{order} instead of {length(abs(now), after.display)}" if now and now * value > 0.0 else order


def _wedge(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return turn_words(value) if after.facts.kinds.suspension == "links" else wedge_words(value)


def _loose_pinion(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    if after.facts.kinds.suspension == "links":
        return f"turn the axle in its loose link brackets until the pinion's nose points {nose_words(after)}, then tack"
    return f"turn the axle on its loose perches until the pinion's nose points {nose_words(after)}, then tack"


def _mount(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return shim_words(value, after.display)


def _loose_engine(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return f"set the engine {tail_words(after)}"


def _engine_height(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return _rise(after, "the whole engine", value[1] - (0.0 if now is None else now[1]))


def _bearing(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return _rise(after, "the support bearing", value[2] - now[2])


def _rise(after: Told, what: str, rise: float) -> str:
    return f"{'raise' if rise > 0.0 else 'lower'} {what} by {shim(abs(rise), after.display)}" if rise else ""


def _phase(after: Told, path: str, value: Any, now: Any) -> str:
    if value == 0.0:
        teeth = _teeth(after, path, value - (now or 0.0))
        if teeth:
            some = "one tooth" if teeth == 1 else f"{teeth} teeth"
            return (
                f"pull the slip apart and put it together {some} round, with its rear yoke in line with the front one"
            )
        return "have the shaft built with its rear yoke in line with the front one"
    way = "clockwise" if value > 0.0 else "anticlockwise"
    return f"have the shaft built with its rear yoke turned {degrees(abs(value), 0)} {way} from the front one, looking rearward"


def _teeth(after: Told, path: str, turn_deg: float) -> int:
    """How many teeth of the slip in the shaft turn its yokes by so much; none where no whole number does."""
    v = after.facts.v
    sits, teeth = v.word("shaft.slip.sits"), after.number(v["shaft.slip.spline_teeth"])
    if sits not in {"output_end", "pinion_end"} or teeth is None or path == "shaft.front_phase_deg":
        return 0
    share = abs(turn_deg) * teeth / 360.0
    return round(share) if abs(share - round(share)) <= _TOOTH_OFF else 0


def _tube(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    which = (
        ""
        if path == "shaft.tube.outer_diameter_mm"
        else f"for the {path.split('.')[1].split('_', maxsplit=1)[0]} section "
    )
    return f"order {which}{length(value, after.display, 1)} tube of the same wall"


def _made_longer(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    way = "longer" if value > now else "shorter"
    return f"have the shaft made {length(abs(value - now), after.display)} {way}"


def _stroke(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return f"order a slip of {length(value, after.display)} stroke"


def _link(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    if value == 0.0:
        return "leave the lateral link as long as it is now"
    way = "longer" if value > 0.0 else "shorter"
    return f"make the lateral link {shim(abs(value), after.display)} {way} than it is now"


def _shock(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    index = int(path.split(".")[1])
    opened = after.number(after.facts.v[f"shocks.{index}.extended_mm"]) or 0.0
    lengths = f"{length(value, after.display)} closed and {length(opened, after.display)} open"
    names = [one.name for one in after.build.shock_stock if (one.compressed_mm, one.extended_mm) == (value, opened)]
    what = f"which is {names[0]}, of those to be had" if names else "a usual size"
    return f"fit {the_part(after.build.shocks, index)} of {lengths}, {what}"


def _with_it(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    return ""  # said with the length closed


def _bar(after: Told, path: str, value: Any, now: Any) -> str:
    index = int(path.split(".")[1])
    back, up = (value[axis] - now[axis] for axis in (0, 2))
    ways = [
        f"{length(abs(by), after.display)} {more if by > 0.0 else less}"
        for by, more, less in ((back, "rearward", "forward"), (up, "up", "down"))
        if abs(by) > 1e-6
    ]
    return f"move the frame bolt of {the_part(after.build.torque_bars, index)} {listed(ways)}"


def _plate(after: Told, path: str, value: Any, now: Any) -> str:  # noqa: ARG001
    where = "the gearbox's output" if "output" in path else "the pinion"
    if value == 0.0:
        return f"leave out the plate between the shaft and {where}"
    return f"put a plate of {length(value, after.display)}, drilled for both flanges, between the shaft and {where}"


Order = Callable[[Told, str, Any, Any], str]
_ORDERS: Mapping[str, Order] = {
    "plan.rear_lift_mm": _lift,
    "plan.front_lift_mm": _lift,
    "plan.mount_shim_mm": _mount,
    "plan.powertrain_slope_deg": _loose_engine,
    "plan.powertrain_shift_mm": _engine_height,
    "shaft.bearing_mm": _bearing,
    "plan.axle_shim_deg": _wedge,
    "plan.pinion_slope_deg": _loose_pinion,
    "phase_deg": _phase,
    "outer_diameter_mm": _tube,
    "slip.engaged_mm": _made_longer,
    "slip.stroke_mm": _stroke,
    "plan.lateral_link_longer_mm": _link,
    "adapter_mm": _plate,
    "compressed_mm": _shock,
    "extended_mm": _with_it,
    "frame_point_mm": _bar,
}
"""How each change is said, by the end of its entry's path; in the order of the work: the axle is set to what stands."""


def lie_words(after: Told, changes: Mapping[str, Any]) -> list[str]:
    """Say how pinion and output then lie where they move."""
    then = []
    if any(path.startswith("plan.") and "link" not in path for path in changes):
        if any(path in changes for path in ("plan.mount_shim_mm", "plan.powertrain_slope_deg")):
            then.append(f"output {tail_words(after)}")
        if any(path in changes for path in ("plan.axle_shim_deg", "plan.pinion_slope_deg")):
            then.append(f"pinion {nose_words(after)}")
    return [one for one in then if not one.endswith("not known")]


def outcome(after: Told, key: Key, value: float | None) -> str:
    """Say what comes of the finding: its value."""
    limit, verdict = LIMITS[finding_id(key)], after.verdict(key)
    beyond = verdict == "unknown" and bool(beyond_clear([key], *_beside(after, key))[0, 0] > 0.0)
    title = limit.trouble if verdict in BAD or beyond else limit.title
    if key[0].startswith("gap_"):
        title = f"gap to {after.build.obstacles[int(key[0][4:]) - 1].name}"
    if key[0] == "end_fits":
        return small(title)
    if value is None or verdict is None:
        return f"nothing left of this ({small(title)})"
    if key[0] == "critical_speed":  # the shaft's own speed stays what it was
        critical = after.number(judged_tube(One(after.worst(key), key)).critical_rpm)
        return f"{small(title)}, {number(value)} of {worded(critical or 0.0, limit.unit, after.display)}"
    so_far = " as far as entered" if verdict == "unknown" else ""
    left = " to spare" if key[0] == "joint_bind" else ""
    state = after.worst(key).state
    when = "" if state in {None, MEASURED} else f" {state}"
    return f"{small(title)}{so_far}, {worded(value, limit.unit, after.display)}{left}{when}"


def _beside(after: Told, key: Key) -> tuple[Floats, Floats]:
    """Value and clear line of a finding, (1, 1) each."""
    one = after.found[key]
    return one.value[[after.row], None], one.clear[[after.row], None]


def _against(plan: Told, worse: Worse, *, short: bool) -> str:
    """Say what gets worse; `short` of its line as far as entered, though not known for sure."""
    limit = LIMITS[finding_id((worse.id, worse.part))]
    title = limit.trouble if short or worse.verdict in BAD else limit.title
    if worse.id.startswith("gap_"):
        build = plan.build if worse.end is None else swapped(plan.build)
        title = f"gap to {build.obstacles[int(worse.id[4:]) - 1].name}"
    if sum(finding_id(key) == limit.id for key in plan.found) > 1 and worse.part.endswith("_joint"):
        title = f"{title} at the {worse.part.replace('_', ' ')}"
    value = "" if worse.value is None else f" {worded(worse.value, limit.unit, plan.display)}"
    where = "" if worse.end is None else f"on the {worse.end} shaft "
    verdict = "" if worse.verdict == "unknown" and not short else f" ({worse.verdict})"
    return f"{where}{small(title)}{value}{verdict}"


def nose_words(told: Told) -> str:
    """Say how the pinion lies on the tyres: 3.9° up."""
    nose = told.number(nose_up_deg(told.facts))
    return "not known" if nose is None else _leaning(nose, "up", "down")


def tail_words(told: Told) -> str:
    """Say how the output lies on the tyres: 4.2° tail down."""
    tail = told.number(tail_down_deg(told.facts))
    return "not known" if tail is None else _leaning(tail, "tail down", "tail up")


def _leaning(angle_deg: float, over: str, under: str) -> str:
    """An angle and which way; level where nobody could read it otherwise."""
    return "level" if abs(angle_deg) < 0.05 else f"{degrees(abs(angle_deg))} {under if angle_deg < 0.0 else over}"


def wedge_words(wedge_deg: float) -> str:
    """Say what to do at the perches for a wedge in all of this size."""
    if wedge_deg == 0.0:
        return "take the wedges out at both perches"
    way = "raise" if wedge_deg > 0.0 else "lower"
    return f"at both perches fit {half_degrees(abs(wedge_deg))} wedges that {way} the pinion's nose"


def turn_words(turn_deg: float) -> str:
    """Say the same of an axle on links, which has no perches: it is turned at its links."""
    if turn_deg == 0.0:
        return "leave the axle turned as it was measured"
    way = "raise" if turn_deg > 0.0 else "lower"
    return f"set the links so that the axle turns {half_degrees(abs(turn_deg))} to {way} the pinion's nose"


def shim_words(thick_mm: float, display: Display) -> str:
    """Say what to do under the rear mount for a shim in all of this thickness."""
    return mount_words(thick_mm, shim(abs(thick_mm), display))


def with_remedies(
    plan: Told, findings: Sequence[Finding], ranking: Ranking | None
) -> tuple[tuple[Finding, ...], int | None]:
    """Findings with their ways out, and the row that is recommended: the first way out of the first that has one.

    A finding that holds and has none, or none that ends the hold, says what would help.
    """
    made, recommended = [], None
    for finding in findings:
        key = finding.id, finding.part
        # What the gauge cannot tell is mended at the gauge.
        asked = finding.bad and finding.id != "gauge_resolution"
        rows = ranking.ways_out(key) if ranking is not None and asked else ()
        if rows and ranking is not None:
            first, *others = [ranking.remedy(key, row) for row in rows]
            recommended = rows[0] if recommended is None else recommended
            more = help_beside(plan, key, first.after_verdict) if finding.verdict == "hold" else ""
            says = f"{finding.says} {more}" if more else finding.says
            made.append(replace(finding, says=says, remedy=first, alternatives=tuple(others)))
        elif finding.verdict == "hold":
            made.append(replace(finding, says=f"{finding.says} {help_for(plan, key)}"))
        else:
            made.append(finding)
    return tuple(made), recommended
