"""What a vibration on the road may come from: orders of shaft, wheel and engine at a road speed, suspects, the next test.

What turns n times a second and is heavy on one side shakes n times a second: the first order; a joint that runs bent
shakes twice a turn: the second (order analysis as in vibration textbooks; of universal joints in any machine-design
handbook, from memory). Speeds are those of `geometry.mechanics.loads`, lines of critical speeds those of the limits
table. How a fault feels and under what, which test changes what, and how much each sign weighs is common practice, with
no source.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from geometry.document import Build, is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.judge.limits import LIMITS
from geometry.mechanics.loads import rolling_radius_mm, shaft_speed_rpm
from geometry.mechanics.vectors import number
from geometry.words.solution import Solution, Verdict

Sounds = Literal["hum", "shudder", "growl", "clunk"]
Under = Literal["pull", "coast", "neutral", "all"]
OFF_SHARE, OFF_HZ = 0.04, 0.5
"""How far off speedometer and phone may be together: common practice."""
NEAR_CRITICAL = LIMITS["critical_speed"].clear / (1.0 + OFF_SHARE)
"""Share of the critical speed from which on a shaft may whirl: the line of that finding, with a speed that reads low."""
NEAR_HALF = LIMITS["half_critical_speed"].clear + OFF_SHARE
"""How near half the critical speed counts, as a share of it: the line of that finding, and what the speed may be off."""
SLOW_KMH = 45.0
"""Shudder of wind-up is felt on pulling away, below this: common practice."""
_AS_FELT, _MAYBE, _NOT_FELT = 4, 2, -4
"""What the frequency weighs: as felt, as felt by one of an engine's many orders, and not as felt."""
_LIKE, _UNLIKE = 1, -1
"""What sound and load weigh, and a speed at which wind-up is felt."""
_HOLDS, _WARNS, _CLEARED = 2, 1, -1
"""What the build's own findings weigh."""
_NEAR, _FAR, _TOO_FAST = 2, -5, -4
"""What it weighs that the shaft turns near a critical speed or far from it, and too fast for wind-up."""


@dataclass(frozen=True, slots=True)
class Felt:
    """What the person feels or hears; None where they cannot say.

    `gear` counts from 1. `engine_rpm` is read off the tachometer; else it follows from speed and gear.
    """

    speed_kmh: float | None = None
    frequency_hz: float | None = None
    sounds: Sounds | None = None
    under: Under | None = None
    gear: int | None = None
    engine_rpm: float | None = None


@dataclass(frozen=True, slots=True)
class Turning:
    """How fast things turn at that speed, turns a second; None where not known."""

    wheel_hz: float | None
    shaft_hz: float | None
    engine_hz: float | None
    critical_share: float | None
    """The shaft's speed over its lowest critical speed."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """One cause: the frequency that it would have, whether that is what is felt (None: cannot be told), and why.

    `points` rank the suspects: agreement of frequency counts most, then what the build says, then how it feels.
    """

    key: str
    title: str
    expected_hz: float | None
    agrees: bool | None
    points: int
    reasons: tuple[str, ...]
    cleared: str = ""
    """The reason that rules it out: what was read cannot be if this were the cause."""


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What turns how fast, the suspects with the likeliest first, and what to try next; `wants` are entries.

    `cleared` are the causes that the readings rule out, each saying by which.
    """

    turning: Turning
    suspects: tuple[Suspect, ...]
    cleared: tuple[Suspect, ...]
    test: str
    wants: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Cause:
    """A row of the table: what it turns with and how often a turn, how it feels and under what, findings that speak for it.

    `wholly` tells that there is no such cause where all of those findings are clear; a worn part may be bad all the same.
    """

    key: str
    title: str
    of: Literal["wheel", "shaft", "engine", ""]
    times: float
    sounds: tuple[Sounds, ...]
    under: tuple[Under, ...]
    findings: tuple[str, ...]
    two_piece: bool = False
    wholly: bool = False


_CAUSES = (
    _Cause("balance", "Shaft out of balance, bent or loose in its slip", "shaft", 1.0, ("hum", "shudder"), ("all", "neutral"), ()),
    _Cause("joints", "Joint angles: the shaft runs unevenly", "shaft", 2.0, ("hum", "shudder"), ("pull", "coast", "all"),
           ("pinion_residual", "ends_parallel", "straight_end", "equivalent_angle", "shaft_inertia_drive",
            "shaft_inertia_coast", "residual_at_top", "inertia_at_top", "operating_angle_most"), wholly=True),
    _Cause("windup", "Springs wind up: angles change under torque", "shaft", 2.0, ("shudder",), ("pull",), ("windup_launch", "windup_cruise"), wholly=True),
    _Cause("whirl", "Shaft near its critical speed", "shaft", 1.0, ("hum", "shudder"), ("all", "neutral"), ("critical_speed",), wholly=True),
    _Cause("half_whirl", "Joints stir the shaft at half its critical speed", "shaft", 2.0, ("hum",), ("all", "pull"), ("half_critical_speed",), wholly=True),
    _Cause("bearing", "Support bearing or its rubber", "shaft", 1.0, ("growl", "shudder"), ("pull", "all"),
           ("bearing_square", "bearing_centred", "first_joint"), two_piece=True),
    _Cause("dry_joint", "A joint dry, worn or standing still", "shaft", 1.0, ("clunk", "growl"), ("all", "pull"),
           ("operating_angle_least", "joint_life", "joint_bind")),
    _Cause("wheel", "A wheel or tyre out of balance or out of round", "wheel", 1.0, ("shudder", "hum"), ("all", "neutral"), ()),
    _Cause("engine", "Engine or its mounts", "engine", 1.0, ("hum", "shudder"), ("pull", "all"), ()),
    _Cause("gears", "Axle gears or pinion bearing", "", 0.0, ("growl",), ("pull", "coast"), ("pinion_nose_up", "pinion_nose_down")),
)  # fmt: skip
_TESTS: tuple[tuple[str, frozenset[str]], ...] = (
    (
        "Pull away gently and then hard: what comes with hard pulling alone is wind-up.",
        frozenset({"windup"}),
    ),
    (
        "Coast in neutral down through the same speed, where road and law allow it: what goes away hangs on engine or torque, what stays turns with shaft or wheels.",
        frozenset({"joints", "windup", "engine", "gears", "dry_joint", "half_whirl"}),
    ),
    (
        "Drive the same speed in another gear: what changes its tone turns with the engine, what keeps it with shaft or wheels.",
        frozenset({"engine"}),
    ),
    (
        "Swap the wheels front to rear: what moves or changes comes from a wheel.",
        frozenset({"wheel"}),
    ),
    (
        "Drive slower by a tenth: what fades fast was near a critical speed, what fades slowly is balance.",
        frozenset({"whirl", "half_whirl"}),
    ),
    (
        "Wheels chocked and engine off, mark the shaft and turn it half round on the pinion's flange: what changes then is the shaft's balance.",
        frozenset({"balance", "bearing"}),
    ),
    (
        "Paint a mark across both halves and turn the slip by one tooth: what changes hangs on the joints' phase. Turn it back if it is worse.",
        frozenset({"joints", "half_whirl"}),
    ),
)
"""Each test, and which suspects it makes go away or change; it tells two apart of which it changes one."""


def diagnosis(build: Build, solution: Solution, felt: Felt) -> Diagnosis:
    """Suspects of a vibration, the likeliest first, and the next test that tells the first two apart.

    Examples
    --------
    >>> from geometry import solve
    >>> from geometry.document import edited
    >>> build = edited(Build(), {"vehicle.tyre_turns_per_km": 450.0, "axle.ratio": 4.0})
    >>> found = diagnosis(build, solve(build), Felt(speed_kmh=80.0, frequency_hz=80.0))  # wheel 10, shaft 40 a second
    >>> round(found.turning.wheel_hz, 9), round(found.turning.shaft_hz, 9), found.suspects[0].key
    (10.0, 40.0, 'joints')
    """
    turning = turning_of(build, solution, felt)
    verdicts = defaultdict[str, set[Verdict]](set)
    for one in solution.findings:
        verdicts[one.id].add(one.verdict)
    two = isinstance(build.shaft, TwoPieceShaft)
    causes = [one for one in _CAUSES if two or not one.two_piece]
    told = sorted((_suspect(one, turning, felt, verdicts) for one in causes), key=lambda one: -one.points)
    suspects, cleared = (tuple(one for one in told if bool(one.cleared) == out) for out in (False, True))
    return Diagnosis(turning, suspects, cleared, _test(suspects), _wants(build, felt, turning))


def turning_of(build: Build, solution: Solution, felt: Felt) -> Turning:
    """How fast wheel, shaft and engine turn, turns a second."""
    radius = value_at(build, f"vehicle.{'front' if is_front_axle(build) else 'rear'}_tyre_radius_mm")
    turns = value_at(build, "vehicle.tyre_turns_per_km")
    if turns is not None:
        radius = float(rolling_radius_mm(number(turns)))
    wheel = None if felt.speed_kmh is None or radius is None else _hz(felt.speed_kmh, radius, 1.0)
    ratio = value_at(build, "axle.ratio")
    shaft = None if felt.speed_kmh is None or radius is None or ratio is None else _hz(felt.speed_kmh, radius, ratio)
    gears = value_at(build, "powertrain.gear_ratios") or ()
    engine = None if felt.engine_rpm is None else felt.engine_rpm / 60.0
    if engine is None and shaft is not None and felt.gear is not None and 0 < felt.gear <= len(gears):
        engine = shaft * gears[felt.gear - 1]
    critical = solution.shaft.critical_rpm
    share = None if shaft is None or critical is None else shaft * 60.0 / critical
    return Turning(wheel, shaft, engine, share)


def _hz(speed_kmh: float, radius_mm: float, ratio: float) -> float:
    """Turns a second of what turns `ratio` times as fast as a wheel."""
    return float(shaft_speed_rpm(number(speed_kmh), number(radius_mm), number(ratio))) / 60.0


def _suspect(cause: _Cause, turning: Turning, felt: Felt, verdicts: Mapping[str, set[Verdict]]) -> Suspect:
    of = {"wheel": turning.wheel_hz, "shaft": turning.shaft_hz, "engine": turning.engine_hz}.get(cause.of)
    reasons: list[str] = []
    agrees, points, order = _by_frequency(cause, of, felt, reasons)
    # What growls or clunks is no one tone: that its frequency is another one does not rule it out.
    cleared = reasons[-1] if agrees is False and not {"growl", "clunk"} & {*cause.sounds} else ""
    expected = None if of is None else of * order
    points += _by_feel(cause, felt, reasons)
    by_speed, elsewhere = _by_speed(cause, turning, felt, reasons)
    cleared = cleared or (reasons[-1] if elsewhere else "")
    by_findings, all_clear = _by_findings(cause, verdicts, reasons)
    cleared = cleared or (reasons[-1] if all_clear and cause.wholly and not agrees else "")
    return Suspect(cause.key, cause.title, expected, agrees, points + by_findings + by_speed, tuple(reasons), cleared)


def _by_frequency(cause: _Cause, of: float | None, felt: Felt, reasons: list[str]) -> tuple[bool | None, int, float]:
    """Whether the frequency agrees, how far that counts, and with how many times a turn.

    Of an engine it may be half, one, and two to four times a turn, as its cylinders fire.
    """
    if of is None or felt.frequency_hz is None:
        return None, 0, cause.times
    orders = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0) if cause.of == "engine" else (cause.times,)
    name = {"wheel": "the wheels", "shaft": "the shaft", "engine": "the engine"}[cause.of]
    for order in orders:
        if abs(order * of - felt.frequency_hz) <= OFF_SHARE * order * of + OFF_HZ:
            fires = f": the beat of {_FIRES[order]} cylinders" if cause.of == "engine" and order in _FIRES else ""
            reasons.append(f"{_times(order)} a turn of {name}, as felt{fires}")
            return True, _AS_FELT if len(orders) == 1 else _MAYBE, order
    reasons.append(
        f"{_times(orders[0])} a turn of {name} would be {orders[0] * of:.0f} Hz, not {felt.frequency_hz:.0f} Hz"
    )
    return False, _NOT_FELT, orders[0]


_FIRES = {1.5: "three", 2.0: "four", 3.0: "six", 4.0: "eight"}
"""Cylinders of a four-stroke engine by how often a turn they fire."""


def _times(order: float) -> str:
    return {0.5: "every other", 1.0: "once", 2.0: "twice"}.get(order, f"{order:g} times")


def _by_feel(cause: _Cause, felt: Felt, reasons: list[str]) -> int:
    points = 0
    if felt.sounds is not None:
        points += _LIKE if felt.sounds in cause.sounds else _UNLIKE
        if felt.sounds in cause.sounds:
            reasons.append(f"a {felt.sounds} is like it")
    if felt.under is not None:
        fits = felt.under in cause.under
        points += _LIKE if fits else _UNLIKE
        words = {
            "pull": "under pull",
            "coast": "coasting in gear",
            "neutral": "in neutral",
            "all": "under pull and coasting alike",
        }
        reasons.append(f"{words[felt.under]} it is {'to be expected' if fits else 'not to be expected'}")
    return points


def _by_findings(cause: _Cause, verdicts: Mapping[str, set[Verdict]], reasons: list[str]) -> tuple[int, bool]:
    """What the build's own findings say, the worst of each at all of its parts; and whether all of them are clear."""
    told = set[Verdict]().union(*(verdicts[name] for name in cause.findings if name in verdicts))
    if "hold" in told:
        reasons.append("the findings hold here")
        return _HOLDS, False
    if "caution" in told:
        reasons.append("the findings warn here")
        return _WARNS, False
    if told == {"clear"}:
        reasons.append("the findings are clear here")
        return _CLEARED, True
    return 0, False


def _by_speed(cause: _Cause, turning: Turning, felt: Felt, reasons: list[str]) -> tuple[int, bool]:
    """Where the shaft's and the road speed lie; and whether that is where there is no such cause."""
    share, points, elsewhere = turning.critical_share, 0, False
    if cause.key in {"whirl", "half_whirl"} and share is not None:
        near = share >= NEAR_CRITICAL if cause.key == "whirl" else abs(2.0 * share - 1.0) <= NEAR_HALF
        points, elsewhere = (_NEAR, False) if near else (_FAR, True)
        reasons.append(f"the shaft turns at {share:.0%} of its critical speed".replace("%", " %"))
    if cause.key == "windup" and felt.speed_kmh is not None:
        slow = felt.speed_kmh <= SLOW_KMH
        points, elsewhere = (_LIKE, False) if slow else (_TOO_FAST, True)
        reasons.append(f"it is felt on pulling away, {'as here' if slow else 'not at this speed'}")
    return points, elsewhere


def _test(suspects: Sequence[Suspect]) -> str:
    """The test that tells the first two apart; of one alone, what makes it go away."""
    first, second = (*(one.key for one in suspects[:2]), "")[:2]
    return next((says for says, changes in _TESTS if (first in changes) != (second in changes)), _TESTS[0][0])


def _wants(build: Build, felt: Felt, turning: Turning) -> tuple[str, ...]:
    """Entries without which something that turns is not known."""
    if felt.speed_kmh is None:
        return ()
    wanted = []
    if turning.wheel_hz is None:
        wanted.append(f"vehicle.{'front' if is_front_axle(build) else 'rear'}_tyre_radius_mm")
    if value_at(build, "axle.ratio") is None:
        wanted.append("axle.ratio")
    if turning.engine_hz is None and felt.gear is not None and not value_at(build, "powertrain.gear_ratios"):
        wanted.append("powertrain.gear_ratios")
    return tuple(wanted)
