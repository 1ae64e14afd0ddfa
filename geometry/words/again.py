"""What was read again after the tack, after the weld and after the drive: whether it sits as set, and what to do.

Every reading is held against what was to be set, left against right, and what is read after the drive against the set
before it. The build is then judged with its lines as they were read: that, and not the angles alone, says whether the
work may go on. With two drivelines the other one is judged too, as the engine that was read turns its output with it:
while either is on hold, nothing goes on.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot, inf, sqrt
from typing import Any, Final, Literal, NamedTuple

from pydantic import ValidationError

from geometry.document import Build, edited, value_at
from geometry.document.again import ReadAgain
from geometry.document.sides import SECOND, end_of, other_end, swapped
from geometry.judge.codes import finding_id
from geometry.judge.limits import LIMITS
from geometry.judge.states import SETTLED
from geometry.words.solution import Finding, Pair, Solution, Verdict
from geometry.words.solve import Work, solved
from geometry.words.wording import capital, degrees, listed, small, worded

Stage = Literal["tacked", "welded", "driven"]

SET_DEG, SET_MM = 0.5, LIMITS["perches_equal"].clear
"""How far a line may be off what was set, and a perch off its twin, before tacks are broken: common practice."""
MOVED_DEG = 0.5
"""How far a line may move on the road before springs, U-bolts and centre pins are looked at: common practice."""
DIAGONALS_MM: Final[Pair] = (3.2, 6.4)
"""How even the two diagonals are, clear and at most: 1/8 in and twice that, common practice."""
_TURNED_DEG = 1.0
"""A line that would sit within that as set with its other sign was read the wrong way round."""
_FEW = 3
"""So many findings that are worse are named; the rest is counted."""
_SIGNS: Final[tuple[Verdict, ...]] = ("clear", "unknown", "caution", "hold")
_SLOPES: Final = (
    ("output", "Output slope", "output_slope_deg"),
    ("shaft", "Shaft slope", "shaft_slope_deg"),
    ("pinion", "Pinion slope", "pinion_slope_deg"),
)
_TURNS: Final = {
    "output_slope_deg": (
        "mounts",
        ("plan.powertrain_slope_deg", f"{SECOND}plan.powertrain_slope_deg"),
        ("powertrain.slope_deg", f"{SECOND}output.slope_deg"),
    ),
    "pinion_slope_deg": ("perches", ("plan.pinion_slope_deg",), ("axle.pinion_slope_deg",)),
}  # fmt: skip
"""What holds a line, and where its slope stands in the document, as planned and as measured."""
_CHECKS: Final[tuple[tuple[str, str, str, Verdict], ...]] = (
    ("ubolts_tight", "U-bolts to torque", "U-bolts have come loose: torque them with the weight on", "hold"),
    ("slip_in_stroke", "Slip within its stroke", "the slip comes to the end of its stroke: look at the length", "hold"),
    ("oil_right", "Oil level right", "the oil does not stand right: fill it for this pinion slope", "caution"),
    ("breather_dry", "Breather dry", "the breather is shut or wet: free it, or lead it higher", "caution"),
)
_GOES_ON: Final[dict[Stage, str]] = {
    "tacked": "It sits as set: weld it, in short passes, and read it again when it is cold.",
    "welded": "It came out of the weld as set: torque the U-bolts with the weight on, and read it again after the drive.",
    "driven": "It sits as it was set: drive on.",
}
_STOPS: Final[dict[Stage, str]] = {
    "tacked": "Break the tacks and set it again",
    "welded": "Do not drive it yet",
    "driven": "Do not drive it on",
}
_MOUNTS: Final = "Do not weld it yet, set the mounts first and read it again"
"""Where the axle is tacked as set, and the output lies otherwise."""
_HELD: Final[dict[Stage, str]] = {
    "tacked": "Do not weld it",
    "welded": "Do not drive it",
    "driven": "Do not drive it on",
}
_LOOK: Final[dict[Stage, str]] = {
    "tacked": "Look again before it is welded",
    "welded": "Look again before it is driven",
    "driven": "Look at springs, centre pins and U-bolts, and read it again",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One number that was read again: what it was to be, what it was in the set before, and what it is, in its unit.

    `off` is how far it is off what it was to be, or left from right; `moved` how far from the set before; `doubt` what
    gauge or tape leave open of `off`, None where that is not entered. `near` tells that they cannot tell on which side
    of its line it is.
    """

    name: str
    title: str
    unit: Literal["deg", "mm"]
    wanted: float | None
    before: float | None
    read: float | None
    off: float | None
    moved: float | None
    doubt: float | None
    verdict: Verdict
    near: bool = False

    @property
    def turned(self) -> bool:
        """Whether it is an angle that would sit nearly as set with its other sign."""
        if self.unit != "deg" or self.wanted is None or self.read is None or self.off is None:
            return False
        other = abs(self.read + self.wanted)
        return other <= _TURNED_DEG and abs(self.off) > max(2.0 * other, _TURNED_DEG)


@dataclass(frozen=True, slots=True)
class Checked:
    """Something looked at after the drive: right, not right, or not looked at."""

    name: str
    title: str
    right: bool | None
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class SetAgain:
    """One set read again, and what it comes to.

    `whole` is the verdict of the build with its lines as read, None where none of them was; `worse` are its findings
    that are worse than as set, `worse_there` those of the other driveline; `whole` is the worst of both. `lacking` names
    what is still to be read before the work goes on.
    """

    stage: Stage
    day: str
    odometer_km: float | None
    numbers: tuple[Compared, ...]
    checks: tuple[Checked, ...]
    whole: Verdict | None
    worse: tuple[Finding, ...]
    worse_there: tuple[Finding, ...]
    lacking: tuple[str, ...]
    verdict: Verdict
    says: str


def read_again(build: Build, solution: Solution) -> tuple[SetAgain, ...]:
    """All sets that were read again, in their order, held against the solution's set-points.

    >>> from geometry import solve
    >>> readings = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    >>> build = edited(Build(), readings | {"measured_again.0": ReadAgain(pinion_slope_deg=4.6)})
    >>> [(one.verdict, one.numbers[0].verdict) for one in read_again(build, solve(build))]
    [('hold', 'hold')]
    """
    as_set, sets = _AsSet(build, solution), build.measured_again
    return tuple(as_set.told(one, sets[:number]) for number, one in enumerate(sets))


class _AsSet:
    """The build as it is to be set, and what gauge and tape leave open."""

    def __init__(self, build: Build, solution: Solution) -> None:
        remedy = next((one.remedy for one in solution.findings if one.remedy is not None), None)
        self.build = build if remedy is None else edited(build, remedy.changes)
        self.whole = solution if remedy is None else solved(Work(self.build), with_ways=False)
        self.points = solution.setpoints
        self.settled = next((one for one in solution.states if one.name == SETTLED), None)
        self.leaf = value_at(build, "suspension.kind") != "links"
        gauge = [value_at(build, f"gauge.{name}_uncertainty_deg") for name in ("angle", "zero")]
        self.gauge_deg: float | None = None if gauge[0] is None else hypot(gauge[0], gauge[1] or 0.0)
        self.beside_deg: float | None = None if gauge[0] is None else sqrt(2.0) * gauge[0]
        tape = value_at(build, "gauge.tape_uncertainty_mm")
        self.tape_mm: float | None = tape
        self.beside_mm: float | None = None if tape is None else sqrt(2.0) * tape

    def told(self, one: ReadAgain, earlier: Sequence[ReadAgain]) -> SetAgain:
        numbers = (*self._slopes(one, earlier), *self._seats(one), *self._places(one))
        checks = tuple(_checks(one)) if one.stage == "driven" else ()
        here, there = self._judged(one)
        wholes = [part.verdict for part in (here, there) if part is not None]
        worse, worse_there = (() if part is None else part.worse for part in (here, there))
        lacking = tuple(self._lacking(one))
        verdicts: list[Verdict] = [row.verdict for row in numbers]
        verdicts += [row.verdict for row in checks]
        verdicts += [found.verdict for found in (*worse, *worse_there)]
        verdicts += ["unknown"] if lacking else []
        verdict = max(verdicts, key=_SIGNS.index)
        whole = None if here is None else max(wholes, key=_SIGNS.index)
        made = SetAgain(
            one.stage, one.day, one.odometer_km, numbers, checks, whole, worse, worse_there, lacking, verdict, says=""
        )  # fmt: skip
        says = self._says(made)
        held = [
            f"{what} hold, {_some(part.held)}"
            for what, part in (("as it was set the build is at", here), (f"{self.other} is on", there))
            if part is not None and part.held
        ]
        if held and verdict != "hold":
            # It may sit as set: what is set is not to be welded, or driven.
            own = "Else it sits as set." if verdict == "clear" else says
            says = f"{_HELD[one.stage]}: {'; '.join(held)}. {own}"
            verdict = "hold"
        return replace(made, says=says, verdict=verdict)

    def _level_deg(self, one: ReadAgain) -> float:
        """What to take into a set's slopes so that they are as on the tyres after the lift."""
        rail = self.whole.angles.frame_slope_deg
        return 0.0 if one.rail_slope_deg is None or rail is None else rail - one.rail_slope_deg

    def _wanted_deg(self, name: str, stage: Stage) -> float | None:
        of: Any = self.settled if stage == "driven" and self.settled is not None else self.points
        wanted: float | None = getattr(of, name)
        return wanted

    def _slopes(self, one: ReadAgain, earlier: Sequence[ReadAgain]) -> Iterator[Compared]:
        most = SET_DEG if one.stage == "tacked" else inf
        for name, title, entry in _SLOPES:
            before = _last_with(entry, earlier)
            read, was = (
                None if of is None or getattr(of, entry) is None else getattr(of, entry) + self._level_deg(of)
                for of in (one, before)
            )
            if read is None:
                continue
            wanted = self._wanted_deg(entry, one.stage)
            row = _compared(name, title, "deg", wanted, read, (SET_DEG, most), self.gauge_deg, was)
            if one.stage == "driven" and row.moved is not None and abs(row.moved) > MOVED_DEG:
                row = replace(row, verdict=max(row.verdict, "caution", key=_SIGNS.index))
            yield row

    def _seats(self, one: ReadAgain) -> Iterator[Compared]:
        """Both seats against each other, as what each is to be hangs on the pinion alone."""
        left, right = one.seat_left_deg, one.seat_right_deg
        if not (left is None and right is None):
            limit = LIMITS["pad_twist"]
            yield _apart(
                "seats", "Seats, left less right", "deg", (left, right), (limit.clear, limit.hold), self.beside_deg
            )

    def _places(self, one: ReadAgain) -> Iterator[Compared]:
        perch, wheelbase = LIMITS["perches_equal"], LIMITS["wheelbases_equal"]
        most = SET_MM if one.stage == "tacked" else perch.hold
        sides = one.flange_to_perch_left_mm, one.flange_to_perch_right_mm
        if sides != (None, None):
            for side, read in zip(("left", "right"), sides, strict=True):
                wanted = self.points.flange_to_perch_mm
                if wanted is not None and read is not None:
                    title = f"{capital(side)} flange to perch"
                    yield _compared(f"perch_{side}", title, "mm", wanted, read, (perch.clear, most), self.tape_mm)
            yield _apart("perches", "Perches, left less right", "mm", sides, (perch.clear, most), self.beside_mm)
        bases = one.wheelbase_left_mm, one.wheelbase_right_mm
        if bases != (None, None):
            lines = wheelbase.clear, wheelbase.hold
            yield _apart("wheelbases", "Wheelbase, left less right", "mm", bases, lines, self.beside_mm)
        diagonals = one.diagonal_left_mm, one.diagonal_right_mm
        if diagonals != (None, None):
            yield _apart("diagonals", "Diagonals, left less right", "mm", diagonals, DIAGONALS_MM, self.beside_mm)

    def _lacking(self, one: ReadAgain) -> Iterator[str]:
        """What the work must not go on without."""
        if one.pinion_slope_deg is None:
            yield "pinion slope"
        if self.leaf and one.stage != "driven":
            for side in ("left", "right"):
                if getattr(one, f"flange_to_perch_{side}_mm") is None:
                    yield f"{side} flange to perch"

    @property
    def other(self) -> str:
        """What the other driveline is called."""
        return f"the {other_end(end_of(self.build))} shaft"

    @cached_property
    def there(self) -> Solution:
        """The other driveline as it is to be set."""
        return solved(Work(swapped(self.build)), with_ways=False)

    def _judged(self, one: ReadAgain) -> "tuple[_AsRead | None, _AsRead | None]":
        """The build with output and pinion turned to where they were read, and the other driveline beside it.

        None for the first where neither was read, and for the second without one.
        """
        changes, of_engine = self._turned(one)
        turned = self.build
        try:
            turned = edited(self.build, changes)
        except ValidationError:  # turned farther than any line of a vehicle lies
            changes, of_engine = {}, False
        here = _as_read(solved(Work(turned), with_ways=False), self.whole, self.build) if changes else None
        if not self.build.drivelines:
            return here, None
        other = solved(Work(swapped(turned)), with_ways=False) if of_engine else self.there
        return here, _as_read(other, self.there, self.build, but="front_against_rear")

    def _turned(self, one: ReadAgain) -> tuple[dict[str, object], bool]:
        """Edits that turn the lines to where they were read, as planned or as measured; whether the engine turns too.

        That turns both outputs alike: by the slope that either is to be set to, else by both as they were measured.
        """
        changes: dict[str, object] = {}
        of_engine = False
        for name, (held_by, *entries) in _TURNS.items():
            read, wanted = getattr(one, name), self._wanted_deg(name, one.stage)
            if read is None or wanted is None:
                continue
            of_engine |= name == "output_slope_deg"
            loose = value_at(self.build, f"plan.{held_by}") == "loose"  # else what is planned has no effect
            planned = [path for path in entries[0] if loose and value_at(self.build, path) is not None]
            for path in planned or entries[1]:
                was = value_at(self.build, path)
                if was is not None:
                    changes[path] = was + read + self._level_deg(one) - wanted
        if changes and value_at(self.build, "axle.centre_mm") is not None and self.build.readings is not None:
            # The stick and the tape between the joints told of it as it was then.
            changes |= {"readings.shaft_slope_deg": None, "readings.shaft_length_mm": None}
        return changes, of_engine

    def _says(self, made: SetAgain) -> str:
        if made.verdict == "clear":
            return _GOES_ON[made.stage]
        if made.verdict == "unknown":
            wants = [*made.lacking, *(small(row.title) for row in made.numbers if row.verdict == "unknown")]
            wants += [small(row.title) for row in made.checks if row.right is None]
            return f"Read first: {listed(list(dict.fromkeys(wants)))}."
        head = (_STOPS if made.verdict == "hold" else _LOOK)[made.stage]
        off = {row.name for row in made.numbers if row.verdict == "hold"}
        if made.stage == "tacked" and "output" in off <= {"output", "shaft"}:
            head = _MOUNTS  # which no tack holds
        return f"{head}: {'; '.join(self._reasons(made))}."

    def _reasons(self, made: SetAgain) -> list[str]:
        """What is not clear, in words, the worst first."""
        said = [*self._of_numbers(made), *self._of_build(made)]
        for (_, _, trouble, _), check in zip(_CHECKS, made.checks, strict=False):
            if check.right is False:
                said.append((check.verdict, trouble))
        return [words for _, words in sorted(said, key=lambda one: -_SIGNS.index(one[0]))]

    def _of_numbers(self, made: SetAgain) -> Iterator[tuple[Verdict, str]]:
        for row in made.numbers:
            if row.off is None or row.verdict == "clear":
                continue
            by = worded(abs(row.off), row.unit, self.build.display)
            if row.turned:
                said = f"{row.name} slopes the other way than as set: see that it was entered the right way round"
            elif made.stage == "driven" and row.moved is not None and abs(row.moved) > MOVED_DEG:
                said = f"{small(row.title)} has moved by {degrees(abs(row.moved))} since it was read before"
            else:
                said = f"{small(row.title)} {by}" + (" off what was to be set" if row.wanted is not None else "")
            yield row.verdict, f"{said} (too near its line to tell: read it again)" if row.near else said

    def _of_build(self, made: SetAgain) -> Iterator[tuple[Verdict, str]]:
        for where, worse in (("", made.worse), (f" on {self.other}", made.worse_there)):
            for verdict in ("hold", "caution"):
                said = [_with_value(one, self.build) for one in worse if one.verdict == verdict]
                if said:
                    said = said if len(said) <= _FEW + 1 else [*said[:_FEW], f"{len(said) - _FEW} more"]
                    yield verdict, f"as it is read now, {listed(said)}{where}"


class _AsRead(NamedTuple):
    """One driveline with its lines as read: its verdict, what is worse than as set, and what was at hold and still is."""

    verdict: Verdict
    worse: tuple[Finding, ...]
    held: list[str]


def _as_read(now: Solution, as_set: Solution, build: Build, but: str = "") -> _AsRead:
    """What a driveline comes to, held against itself as set; `but` is told elsewhere."""
    was = {(found.id, found.part): found.verdict for found in as_set.findings}
    told = [
        found
        for found in now.findings
        if found.verdict in {"caution", "hold"} and found.part != "readings" and found.id != but
    ]  # readings tell of the first ones
    worse = tuple(
        found for found in told if _SIGNS.index(found.verdict) > _SIGNS.index(was.get((found.id, found.part), "clear"))
    )
    held = [_with_value(found, build) for found in told if found.verdict == "hold" and found not in worse]
    return _AsRead(now.verdict, worse, held)


def _some(held: list[str]) -> str:
    more = [f"{len(held) - _FEW} more"] if len(held) > _FEW else []
    return listed([*held[:_FEW], *more])


def _last_with(entry: str, earlier: Sequence[ReadAgain]) -> ReadAgain | None:
    """The last set before in which something was read; what was read before it was tacked anew does not count."""
    for one in reversed(earlier):
        if getattr(one, entry) is not None:
            return one
        if one.stage == "tacked":
            break
    return None


def _with_value(found: Finding, build: Build) -> str:
    unit = LIMITS[finding_id((found.id, found.part))].unit
    return small(found.title) + ("" if found.value is None else f" {worded(found.value, unit, build.display)}")


def _compared(
    name: str, title: str, unit: Literal["deg", "mm"], wanted: float | None, read: float, lines: Pair,
    doubt: float | None, before: float | None = None,
) -> Compared:  # fmt: skip
    off = None if wanted is None else read - wanted
    moved = None if before is None else read - before
    return Compared(name, title, unit, wanted, before, read, off, moved, doubt, *_verdict(off, lines, doubt))


def _apart(
    name: str, title: str, unit: Literal["deg", "mm"], sides: tuple[float | None, float | None], lines: Pair,
    doubt: float | None,
) -> Compared:  # fmt: skip
    """Left less right."""
    left, right = sides
    off = None if left is None or right is None else left - right
    return Compared(name, title, unit, None, None, off, off, None, doubt, *_verdict(off, lines, doubt))


def _verdict(off: float | None, lines: Pair, doubt: float | None) -> tuple[Verdict, bool]:
    """What a number that is off by so much comes to, and whether gauge or tape cannot tell."""
    if off is None:
        return "unknown", False
    by = abs(off)
    verdict: Verdict = "clear" if by <= lines[0] * _GRAIN else "caution" if by <= lines[1] * _GRAIN else "hold"
    near = doubt is not None and any(abs(by - line) < doubt for line in lines)
    return verdict, near and verdict != "clear"


_GRAIN: Final = 1.0 + 1e-9
"""What two readings leave of rounding in their difference."""


def _checks(one: ReadAgain) -> Iterator[Checked]:
    for name, title, _, wrong in _CHECKS:
        right: bool | None = getattr(one, name)
        yield Checked(name, title, right, "unknown" if right is None else "clear" if right else wrong)


def stage_words(stage: Stage) -> str:
    """When a set was read, as a heading.

    >>> stage_words("driven")
    'After the drive'
    """
    return {"tacked": "Tacked", "welded": "Welded, cold", "driven": "After the drive"}[stage]
