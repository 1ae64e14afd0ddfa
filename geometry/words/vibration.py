"""What a vibration on the road may come from: orders of shaft, wheel and engine at a road speed, suspects, the next test.

What turns n times a second and is heavy on one side shakes n times a second: the first order; a joint that runs bent
shakes twice a turn: the second (order analysis as in vibration textbooks; of universal joints in any machine-design
handbook, from memory). A four-stroke engine fires half as often a turn as it has cylinders. Speeds are those of
`geometry.mechanics.loads`; what hangs on the shaft's speed is judged at the speed at which it is felt, by the lines of
the limits table. How a fault feels and under what, that a tyre out of round shakes two and three times a turn, which
test changes what, and how much each sign weighs is common practice, with no source.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from geometry.document import Build, is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.judge.codes import WORDS, Key, finding_id
from geometry.judge.limits import LIMITS
from geometry.mechanics.loads import ROLLS_MORE, rolling_radius_mm, shaft_speed_rpm
from geometry.mechanics.vectors import number
from geometry.words.finding import title_of
from geometry.words.solution import BAD, Solution, Verdict
from geometry.words.speeds import SMOOTH, smooth_at

Sounds = Literal["hum", "shudder", "growl", "clunk"]
Under = Literal["pull", "coast", "gear", "neutral", "all"]
"""Under pull, coasting in gear, in gear but gone in neutral, in neutral too, and always alike."""
OFF_SHARE, OFF_HZ = 0.04, 0.5
"""How far off speedometer and phone may be together: common practice."""
NEAR_CRITICAL = LIMITS["critical_speed"].clear / (1.0 + OFF_SHARE)
"""Share of the critical speed from which on a shaft may whirl: the line of that finding, with a speed that reads low."""
NEAR_HALF = LIMITS["half_critical_speed"].clear + OFF_SHARE
"""How near half the critical speed counts, as a share of it: the line of that finding, and what the speed may be off."""
SLOW_KMH = 45.0
"""Wind-up is felt on pulling away, below this, and a shaft out of balance above it: common practice."""
LEAST_HUM_HZ, MOST_SHUDDER_HZ = 20.0, 50.0
"""The ear hears nothing below the one (any text on hearing); a seat shakes up to the other (common practice)."""
_AS_FELT, _MAYBE, _NOT_FELT = 4, 2, -4
"""What the frequency weighs: as felt, as felt by one of many orders, and not as felt."""
_LIKE, _UNLIKE = 1, -2
"""What sound, load and road speed weigh."""
_WEIGHS: dict[Verdict, int] = {"hold": 2, "caution": 1, "unknown": 0, "clear": -1}
"""What the build's own findings weigh."""
_BY_FAR = 4
"""Points by which the first leads by far: as much as a frequency that is felt."""
_NEAR, _FAR = 2, -5
"""What it weighs that the shaft turns near a critical speed or far from it."""


@dataclass(frozen=True, slots=True)
class Felt:
    """What the person feels or hears; None where they cannot say.

    `gear` counts from 1. `engine_rpm` is read off the tachometer; else it follows from speed and gear. `cylinders` are
    those of a four-stroke engine.
    """

    speed_kmh: float | None = None
    frequency_hz: float | None = None
    sounds: Sounds | None = None
    under: Under | None = None
    gear: int | None = None
    engine_rpm: float | None = None
    cylinders: int | None = None


@dataclass(frozen=True, slots=True)
class Turning:
    """How fast things turn at that speed, turns a second; None where not known.

    Wheels and shaft turn slower by up to the share `slower`, where only the loaded radius of the tyres tells of them.
    """

    wheel_hz: float | None
    shaft_hz: float | None
    engine_hz: float | None
    critical_share: float | None
    """The shaft's speed over its lowest critical speed."""
    of_sections: tuple[tuple[str, float], ...] = ()
    """The same of each section, with what to call it, where the critical speeds of all of them are known."""
    slower: float = 0.0

    def least(self, of: str, *, read: bool) -> float:
        """The least that wheels, shaft or engine may turn, as a share of what is told here; an engine may be `read`."""
        return 1.0 if of == "engine" and read else 1.0 - self.slower


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
    finding: Key | None = None
    """The worst of the build's findings that are about it, as id and part."""
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
    """A row of the table: what it turns with and how often a turn, how it feels and under what, findings about it.

    It has one tone where `toned`; what growls or clunks may be of any frequency. `told` are causes that findings are
    about; others, such as wear, they favour where it sounds so: a part may be worn whatever its angles are. No finding
    rules out: a joint that was put together a tooth out is not as it was entered.
    """

    key: str
    title: str
    of: Literal["wheel", "shaft", "engine", ""]
    orders: tuple[float, ...]
    sounds: tuple[Sounds, ...]
    under: tuple[Under, ...]
    findings: tuple[str, ...] = ()
    may: tuple[Under, ...] = ()
    """Under what else it may be felt or not: uneven running stays in neutral, what torque does to a bent joint goes."""
    two_piece: bool = False
    told: bool = False
    toned: bool = True


_CAUSES = (
    _Cause("balance", "Shaft out of balance or bent, slip loose, or a flange out of true", "shaft", (1.0,), ("hum", "shudder"), ("all", "neutral")),
    _Cause("joints", "Joint angles or phase: the shaft runs unevenly", "shaft", (2.0,), ("hum", "shudder"), ("pull", "coast", "gear"),
           ("pinion_residual", "ends_parallel", "straight_end", "equivalent_angle", "shaft_inertia_drive",
            "shaft_inertia_coast", "residual_at_top", "inertia_at_top", "operating_angle_most"), ("neutral", "all"), told=True),
    _Cause("wheel", "A wheel or tyre out of balance or out of round", "wheel", (1.0, 2.0, 3.0), ("shudder",), ("all", "neutral")),
    _Cause("bearing", "Support bearing, its rubber or its height", "shaft", (1.0,), ("growl", "shudder"), ("pull", "coast", "neutral", "all"),
           ("bearing_square", "bearing_centred", "first_joint"), two_piece=True, toned=False),
    _Cause("windup", "Springs wind up: angles change under torque", "shaft", (2.0,), ("shudder",), ("pull",), ("windup_launch", "windup_cruise"), told=True),
    _Cause("dry_joint", "A joint or the slip dry, worn or sticking", "shaft", (1.0,), ("clunk", "growl"), ("pull", "gear", "all"),
           ("operating_angle_least", "joint_life", "joint_bind"), toned=False),
    _Cause("engine", "Engine, its mounts, or an exhaust that touches", "engine", (1.0, 0.5, 1.5, 2.0, 3.0, 4.0), ("hum", "shudder", "clunk"), ("pull", "gear")),
    _Cause("gears", "Axle gears or pinion bearing", "", (), ("growl", "hum", "clunk"), ("pull", "coast", "gear"),
           ("pinion_nose_up", "pinion_nose_down"), toned=False),
    _Cause("whirl", "Shaft near its critical speed", "shaft", (1.0,), ("hum", "shudder"), ("all", "neutral"), ("critical_speed",), told=True),
    _Cause("half_whirl", "Joints stir the shaft at half its critical speed", "shaft", (2.0,), ("hum",), ("pull", "coast", "gear"), ("half_critical_speed",), ("neutral", "all"), told=True),
)  # fmt: skip
"""The usual ones first, which so come first where nothing tells them apart."""


class _Test(NamedTuple):
    """What to try, which suspects it makes go away or change, which it may, and what, once told, has answered it already.

    It tells two apart of which it changes one, and the other surely not.
    """

    says: str
    changes: frozenset[str]
    may: frozenset[str] = frozenset()
    answered: frozenset[Under | None] = frozenset()

    def moved(self, felt: Felt) -> frozenset[str]:
        """What it may change counts while nothing is told of when it is felt."""
        return self.changes | self.may if felt.under is None else self.changes


_BY_HAND = (
    _Test(
        "Wheels chocked, engine off, gearbox in neutral: twist and lift the shaft by hand at each joint and at the slip; what has play, grates or is stiff is worn or dry.",
        frozenset({"dry_joint"}),
    ),
    _Test(
        "Pull away gently and then hard: what comes with hard pulling alone is wind-up.",
        frozenset({"windup"}),
    ),
)
"""Quicker than a phone."""
_TESTS = (
    _Test(
        "Coast in neutral down through the same speed, where road and law allow it: what goes away hangs on engine or torque, what stays turns with shaft or wheels.",
        frozenset({"windup", "engine", "gears"}),
        frozenset({"joints", "half_whirl"}),
        frozenset({"gear", "neutral", "all"}),
    ),
    _Test(
        "Standing in neutral with the brake on, take the engine to the same revs: what shakes there is the engine. If nothing does, drive the same speed in another gear: what keeps its tone turns with shaft or wheels.",
        frozenset({"engine"}),
    ),
    _Test(
        "Engine off, check the axle's oil and let some of it run over a magnet and a white cloth: what glitters comes from gears or bearings.",
        frozenset({"gears"}),
    ),
    _Test(
        "Swap the wheels front to rear: what moves or changes comes from a wheel.",
        frozenset({"wheel"}),
    ),
    _Test(
        "Drive slower by a tenth: what fades fast was near a critical speed, what fades slowly is not.",
        frozenset({"whirl", "half_whirl"}),
    ),
    _Test(
        "Wheels chocked, engine off, gearbox in neutral: lift and press the shaft at its support bearing; rubber that is torn or sags, or a race that grates, is the bearing.",
        frozenset({"bearing"}),
    ),
    _Test(
        "Wheels chocked and engine off, mark the shaft and turn it half round on the pinion's flange: what changes then is the balance of shaft or flange.",
        frozenset({"balance"}),
    ),
    _Test(
        "Wheels chocked and engine off, look whether the yokes at both ends of each tube are in line. If they are, put a washer of 6 mm (1/4 in) under the gearbox mount and drive again: what changes hangs on the joints' angles.",
        frozenset({"joints", "half_whirl"}),
    ),
)


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
    verdicts = _verdicts(build, solution, felt, turning)
    two = isinstance(build.shaft, TwoPieceShaft)
    causes = [one for one in _CAUSES if two or not one.two_piece]
    told = sorted((_Weighing(build, turning, felt, verdicts).of(one) for one in causes), key=lambda one: -one.points)
    suspects, cleared = (tuple(one for one in told if bool(one.cleared) == out) for out in (False, True))
    return Diagnosis(turning, suspects, cleared, _test(suspects, felt), _wants(build, solution, felt, turning))


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
    whole, sections = solution.shaft, [(one.name, one.critical_rpm) for one in solution.shaft.sections]
    of_sections = tuple(
        ("" if name == "whole" else f"{name} section's ", shaft * 60.0 / critical)
        for name, critical in sections
        if shaft is not None and critical is not None and whole.critical_rpm is not None
    )
    share = max((one for _, one in of_sections), default=None)
    slower = 0.0 if turns is not None or radius is None else ROLLS_MORE[1] / (1.0 + ROLLS_MORE[1])
    return Turning(wheel, shaft, engine, share, of_sections, slower)


def _hz(speed_kmh: float, radius_mm: float, ratio: float) -> float:
    """Turns a second of what turns `ratio` times as fast as a wheel."""
    return float(shaft_speed_rpm(number(speed_kmh), number(radius_mm), number(ratio))) / 60.0


def _verdicts(
    build: Build, solution: Solution, felt: Felt, turning: Turning
) -> Mapping[str, list[tuple[Key, Verdict]]]:
    """The build's findings by their id; what hangs on the shaft's speed as it is at the speed told, where that is known."""
    told = {(one.id, str(one.part)): one.verdict for one in solution.findings}
    if felt.speed_kmh is not None and turning.shaft_hz is not None:
        told = {key: verdict for key, verdict in told.items() if key[0] not in _BY_SPEED}
        told |= _at_speed(build, felt.speed_kmh)
    by_id = defaultdict[str, list[tuple[Key, Verdict]]](list)
    for key, verdict in told.items():
        by_id[finding_id(key)].append((key, verdict))
    return by_id


_BY_SPEED = frozenset(SMOOTH) | {"residual_at_top", "inertia_at_top"}


def _at_speed(build: Build, speed_kmh: float) -> dict[Key, Verdict]:
    """What hangs on the shaft's speed, judged as `solve` would with that for cruising speed."""
    found = smooth_at(build, np.array([speed_kmh]))
    words = {key: WORDS[one.verdict.item(0)] for key, one in found.items()}
    return {key: word for key, word in words.items() if word}  # type: ignore[misc]


@dataclass(frozen=True, slots=True)
class _Weighing:
    """What speaks for or against a cause, all of it said."""

    build: Build
    turning: Turning
    felt: Felt
    verdicts: Mapping[str, list[tuple[Key, Verdict]]]

    def of(self, cause: _Cause) -> Suspect:
        turns = {"wheel": self.turning.wheel_hz, "shaft": self.turning.shaft_hz, "engine": self.turning.engine_hz}
        of = turns.get(cause.of)
        reasons: list[str] = []
        agrees, points, order = self._by_frequency(cause, of, reasons)
        cleared = reasons[-1] if agrees is False and cause.toned else ""
        expected = None if of is None or order is None else of * order
        points += self._by_sound(cause, expected, reasons) + self._by_load(cause, reasons)
        by_speed, elsewhere = self._by_speed(cause, reasons)
        cleared = cleared or (reasons[-1] if elsewhere else "")
        worst = max(self._findings(cause), key=lambda one: _ORDER[one[1]], default=None)
        points += by_speed + self._by_findings(cause, worst, reasons)
        return Suspect(cause.key, cause.title, expected, agrees, points, tuple(reasons), worst and worst[0], cleared)

    def _by_frequency(
        self, cause: _Cause, of: float | None, reasons: list[str]
    ) -> tuple[bool | None, int, float | None]:
        """Whether the frequency agrees, how far that counts, and with how many times a turn.

        An engine shakes as its cylinders fire, once and every other turn; where they are not told, as any may.
        """
        hz, cylinders = self.felt.frequency_hz, self.felt.cylinders
        orders, usual = cause.orders, next(iter(cause.orders), None)
        if cause.of == "engine":
            usual = None if cylinders is None else cylinders / 2.0
            orders = orders if usual is None else (usual, 1.0, 0.5)
        if of is None or hz is None:
            return None, 0, usual
        least = self.turning.least(cause.of, read=self.felt.engine_rpm is not None)
        for order in orders:
            off = OFF_SHARE * order * of + OFF_HZ
            if least * order * of - off <= hz <= order * of + off:
                reasons.append(f"{_times(order, cause.of)}, as felt{_meaning(order, cause.of, cylinders)}")
                return True, _AS_FELT if order == usual else _MAYBE, order
        would = orders[0]
        reasons.append(f"{_times(would, cause.of)} would be {would * of:.0f} Hz, not {hz:.0f} Hz")
        return False, _NOT_FELT, would

    def _by_sound(self, cause: _Cause, expected: float | None, reasons: list[str]) -> int:
        sounds = self.felt.sounds
        if sounds is None:
            return 0
        if sounds in cause.sounds and expected is not None and cause.toned:
            if sounds == "hum" and expected < LEAST_HUM_HZ:
                reasons.append(f"{expected:.0f} Hz is too slow to be heard as a hum")
                return _UNLIKE
            if sounds == "shudder" and expected > MOST_SHUDDER_HZ:
                reasons.append(f"{expected:.0f} Hz is too fast to be felt as a shudder")
                return _UNLIKE
        like = sounds in cause.sounds
        reasons.append(f"a {sounds} is {'' if like else 'not '}like it")
        return _LIKE if like else _UNLIKE

    def _by_load(self, cause: _Cause, reasons: list[str]) -> int:
        under = self.felt.under
        if under is None:
            return 0
        if under in cause.may:
            reasons.append(f"it may be felt {_UNDER[under]}")
            return 0
        fits = under in cause.under
        reasons.append(f"{'to' if fits else 'not to'} be expected {_UNDER[under]}")
        return _LIKE if fits else _UNLIKE

    def _by_speed(self, cause: _Cause, reasons: list[str]) -> tuple[int, bool]:
        """Where shaft and road speed lie; and whether that is where there is no such cause."""
        share, speed = self.turning.critical_share, self.felt.speed_kmh
        if cause.key in {"whirl", "half_whirl"} and share is not None:
            near, of, share = self._near(cause.key)
            reasons.append(f"the shaft turns at {share:.0%} of its {of}critical speed".replace("%", " %"))
            return (_NEAR, False) if near else (_FAR, True)
        if cause.key == "windup" and self.felt.under in {"coast", "neutral", "all"}:
            reasons.append("nothing winds up without pull")
            return _UNLIKE, True
        if cause.key == "windup" and speed is not None:
            slow = speed <= SLOW_KMH
            reasons.append(f"it is felt on pulling away, {'as here' if slow else 'less at this speed'}")
            even = [key for key, verdict in self.verdicts["windup_cruise"] if verdict == "clear"]
            if not slow and even:
                reasons.append(f"“{title_of(self.build, even[0], bad=False)}” is clear")
                return _UNLIKE, True
            return (_LIKE if slow else _UNLIKE), False
        if cause.key == "balance" and speed is not None and speed <= SLOW_KMH:
            reasons.append("it is hardly felt at so low a speed")
            return _UNLIKE, False
        return 0, False

    def _near(self, key: str) -> tuple[bool, str, float]:
        """Whether a section is near its critical speed, or half of it; the one that is nearest, and how near.

        Each section has both of its own; the softest is the first near its critical speed.
        """
        sections, least = self.turning.of_sections, self.turning.least("shaft", read=False)
        if key == "whirl":
            of, share = max(sections, key=lambda one: one[1])
            return share >= NEAR_CRITICAL, of, share
        near = [2.0 * one >= 1.0 - NEAR_HALF and 2.0 * least * one <= 1.0 + NEAR_HALF for _, one in sections]
        place = min(range(len(sections)), key=lambda one: (not near[one], abs(2.0 * sections[one][1] - 1.0)))
        return near[place], *sections[place]

    def _findings(self, cause: _Cause) -> list[tuple[Key, Verdict]]:
        return [one for name in cause.findings for one in self.verdicts[name]]

    def _by_findings(self, cause: _Cause, worst: tuple[Key, Verdict] | None, reasons: list[str]) -> int:
        """What the build's own findings say, the worst of them at all of its parts."""
        if worst is None or (cause.key in {"whirl", "half_whirl"} and self.turning.critical_share is not None):
            return 0
        key, verdict = worst
        here = " at this speed" if self.turning.shaft_hz is not None and finding_id(key) in SMOOTH else ""
        if verdict in BAD:
            how = "holds" if verdict == "hold" else "warns"
            reasons.append(f"“{title_of(self.build, key, bad=True)}” {how}{here}")
        elif verdict == "clear" and cause.told:
            reasons.append(f"the build's findings of it are clear{here}")
        if cause.told:
            return _WEIGHS[verdict]
        worn = self.felt.sounds in cause.sounds and self.felt.sounds != "hum"
        return int(worn and verdict in BAD)


_ORDER: dict[Verdict, int] = {"clear": 0, "unknown": 1, "caution": 2, "hold": 3}
_UNDER: dict[Under, str] = {
    "pull": "under pull",
    "coast": "coasting in gear",
    "gear": "in gear alone",
    "neutral": "in neutral",
    "all": "in neutral as in gear",
}
_TURNS = {
    1.0: "once a turn",
    0.5: "once in two turns",
    2.0: "twice a turn",
    3.0: "three times a turn",
    4.0: "four times a turn",
}
_ENGINE = {0.5: "a cylinder that misses", 1.0: "flywheel, clutch or converter"}


def _times(order: float, of: str) -> str:
    name = {"wheel": "the wheels", "shaft": "the shaft", "engine": "the engine"}[of]
    return f"{_TURNS.get(order, f'{order:g} times a turn')} of {name}"


def _meaning(order: float, of: str, cylinders: int | None) -> str:
    """What an order means of engine or wheel, as an end of its reason."""
    if of == "engine":
        fires = f"the beat of {2.0 * order:g} cylinders"
        return f": {fires if order == (cylinders or 0) / 2.0 else _ENGINE.get(order, fires)}"
    return ": a tyre out of round" if of == "wheel" and order > 1.0 else ""


def _test(suspects: Sequence[Suspect], felt: Felt) -> str:
    """The test that tells the first two apart, the quickest first; where the first leads by far, one that changes it."""
    first, *others = suspects[:2]
    second = others[0].key if others else ""
    told = [one for one in (*_BY_HAND, *_by_phone(suspects[:2], felt), *_TESTS) if felt.under not in one.answered]
    apart = [
        one
        for one in told
        if (first.key in one.moved(felt)) != (second in one.moved(felt))
        and not (felt.under is not None and {first.key, second} & one.may)
    ]
    sure = [one for one in apart if first.key in one.changes]
    far = not others or first.points - others[0].points >= _BY_FAR
    return (sure if sure and far else apart)[0].says


def _by_phone(two: Sequence[Suspect], felt: Felt) -> tuple[_Test, ...]:
    """Reading the frequency, where it tells two apart and the speed can be kept."""
    told = [(one.expected_hz, one.title) for one in two if one.expected_hz is not None and one.key in _TONED]
    if felt.frequency_hz is not None or len(told) < 2 or (felt.speed_kmh or 0.0) <= SLOW_KMH:
        return ()
    (one, first), (two_hz, second) = told
    if abs(one - two_hz) <= OFF_SHARE * (one + two_hz) + 2.0 * OFF_HZ:
        return ()
    says = (
        "Lay a phone that shows vibration on the floor and let a passenger read it at that speed: "
        f"about {one:.0f} Hz is “{_short(first)}”, about {two_hz:.0f} Hz “{_short(second)}”."
    )
    return (_Test(says, frozenset({two[0].key})),)


_TONED = frozenset(one.key for one in _CAUSES if one.toned)


def _short(title: str) -> str:
    return title.partition(":")[0].partition(",")[0]


def _wants(build: Build, solution: Solution, felt: Felt, turning: Turning) -> tuple[str, ...]:
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
    critical = next((one for one in solution.findings if one.id == "critical_speed"), None)
    if turning.shaft_hz is not None and critical is not None and critical.verdict == "unknown":
        wanted.append(critical.entry)
    return tuple(wanted)
