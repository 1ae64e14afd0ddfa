"""What the drawing says, as a welder would say it: short names, values with their limit, states, offsets."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from app.amounts import amount, telling_places
from app.drawing.palette import VERDICT_SIGNS
from app.drawing.subject import Subject
from app.drawing.wanting import begun
from app.units import LEVEL_DEG, degrees, show
from geometry.document import Build
from geometry.document.running_gear import LeafSuspension
from geometry.document.sides import end_of
from geometry.document.vehicle import Display
from geometry.judge.carried import pairs_of
from geometry.judge.states import MEASURED
from geometry.words.solution import Finding, Remedy, Solution, UsedState, Verdict, Worse
from geometry.words.wording import capital, small

if TYPE_CHECKING:
    from geometry.words.study import Band
    from geometry.words.sure import Chance

WORST_FIRST: Final[dict[Verdict, int]] = {"hold": 0, "caution": 1, "unknown": 2, "clear": 3}
SHORT: Final = {
    "pinion_residual": "uneven at pinion",
    "residual_at_top": "uneven at top",
    "equivalent_angle": "do not cancel",
    "ends_parallel": "ends apart",
    "straight_end": "single joint bent",
    "operating_angle_least": "needles stand",
    "operating_angle_most": "angle too large",
    "first_joint": "first joint bent",
    "joint_bind": "short of reach",
    "shaft_slope": "shaft steep",
    "shaft_inertia_drive": "uneven, driving",
    "shaft_inertia_coast": "uneven, coasting",
    "inertia_at_top": "shaft uneven, top",
    "critical_speed": "critical speed",
    "half_critical_speed": "half critical",
    "speeds_agree": "above highest",
    "tube_shear": "tube too weak",
    "joint_torque": "joint too weak",
    "joint_life": "joint wears early",
    "pinion_nose_up": "pinion nose high",
    "pinion_nose_down": "pinion nose low",
    "tail_down": "tail low",
    "tail_up": "tail high",
    "perches_equal": "perches unequal",
    "pad_twist": "perches twisted",
    "perch_spacing": "perches, springs",
    "perch_chain": "do not add up",
    "perch_casting": "perch at casting",
    "ubolt_reserve": "U-bolts short",
    "thrust_angle": "axle not square",
    "wheelbases_equal": "wheelbase uneven",
    "axle_centred": "axle off middle",
    "toe_before": "flanges toe",
    "camber_before": "flanges lean",
    "toe_welded": "tube bent, above",
    "camber_welded": "tube bent, behind",
    "wedge_size": "wedge too thick",
    "caster": "caster changed",
    "stick_slope": "stick and tape",
    "tape_length": "length, positions",
    "axle_station": "axle, wheelbase",
    "axle_height": "axle and tyre",
    "spring_station": "springs and tape",
    "lift": "lift out of reach",
    "front_block": "block under front",
    "block_room": "axle near spring",
    "bump_left": "little bump left",
    "shackle_lean": "shackle leans",
    "shackle_lift": "much by shackles",
    "travel_reach": "not reached",
    "slip_left": "little slip left",
    "slip_engaged": "little spline",
    "seal_travel": "seal too short",
    "end_fits": "end does not fit",
    "cap_size": "not their series'",
    "bearing_square": "not square",
    "bearing_centred": "off its middle",
    "windup_cruise": "uneven, cruise",
    "windup_launch": "wind up at launch",
    "gap": "gap",
    "pair_gap": "gap of two",
    "line_slack": "line too short",
    "lateral_shift": "drawn sideways",
    "lateral_lift": "axle off centre",
    "gauge_resolution": "gauge too coarse",
    "shock_bump": "shock too long",
    "shock_droop": "shock too short",
    "shock_crossed": "shock jams",
    "shock_place": "off mid-stroke",
    "shock_lean": "shock leans",
    "bar_bind": "bar binds",
    "bar_lever": "short of lever",
    "link_slope": "link slopes",
    "drag_slope": "drag link unlike",
    "front_against_rear": "front, rear apart",
}
"""What is wrong, of each finding, in so few words of its title that several stand side by side under the view."""
MOST_OF_A_NAME: Final = 17
_AT_AN_END_MM: Final = 0.5


def numbered(solution: Solution) -> list[tuple[int, Finding]]:
    """Findings that are not clear, worst first, each with its number in the list."""
    wrong = [one for one in solution.findings if one.bad]
    wrong.sort(key=lambda one: WORST_FIRST[one.verdict])
    return list(enumerate(wrong, 1))


def kind_of(finding: Finding | Band | Chance | Worse) -> str:
    """A finding's kind: its id without the number that tells obstacles apart.

    >>> from dataclasses import make_dataclass
    >>> kind_of(make_dataclass("Any", ["id"])("gap_2"))
    'gap'
    """
    head, _, number = finding.id.rpartition("_")
    return head if number.isdecimal() else finding.id


def short_name(finding: Finding | Band | Chance) -> str:
    """A finding in a few letters, all of them words of its title; of a gap, to what."""
    kind = kind_of(finding)
    if kind == "gap":
        name = finding.title.removeprefix("Gap to ")
        return f"gap, {name}" if len(name) <= MOST_OF_A_NAME - 5 else f"gap, {name[: MOST_OF_A_NAME - 6].rstrip()}…"
    if kind == "pair_gap":
        name = finding.title.removeprefix("Gap, ")
        return name if len(name) <= MOST_OF_A_NAME else f"{name[: MOST_OF_A_NAME - 1].rstrip()}…"
    if kind == "line_slack" and finding.bad:
        name = finding.title.removesuffix(" too short")
        return f"{name} short" if len(name) <= MOST_OF_A_NAME - 6 else f"{name[: MOST_OF_A_NAME - 7].rstrip()}… short"
    return SHORT[kind] if finding.bad else small(finding.title)


def obstacles_of(finding: Finding, build: Build) -> tuple[int, ...]:
    """Which obstacles a gap is between, by their places in the build's list; none of another finding."""
    kind = kind_of(finding)
    if kind not in {"gap", "pair_gap"}:
        return ()
    number = int(finding.id.rpartition("_")[2]) - 1
    return tuple(pairs_of(build)[number]) if kind == "pair_gap" else (number,)


def told_apart(some: Sequence[Band | Chance]) -> list[str]:
    """Short names of several, each with its part where two are alike, or with which of several things it is."""
    names = [short_name(one) for one in some]
    made = []
    for one, name in zip(some, names, strict=True):
        alike = [other for other, its in zip(some, names, strict=True) if its == name]
        parts = len({other.part for other in alike}) > 1
        which = one.part.partition("_")[0] if parts else one.title.rpartition(", ")[2].partition(" ")[0]
        made.append(f"{name}, {which}" if len(alike) > 1 else name)
    return made


def where_worst(finding: Finding, solution: Solution, display: Display) -> str:
    """At which place of the travel a finding's value is, and whether under launch torque; "" of one at ride height.

    >>> from types import SimpleNamespace as Any
    >>> whole = Any(travel=Any(axle_mm=(-90.0, 0.0, 50.0)))
    >>> where_worst(Any(travel_mm=-90.0, launch=False, state=None), whole, Display())
    ' at droop'
    >>> where_worst(Any(travel_mm=25.4, launch=True, state=None), whole, Display())
    ' at launch, 1.00 in bump'
    >>> where_worst(Any(travel_mm=None, launch=False, state="settled"), whole, Display())
    ' settled'
    """
    if finding.state not in {None, MEASURED}:
        return f" {finding.state}"
    travel, place = solution.travel, finding.travel_mm
    if travel is None or place is None:
        return ""
    if place == 0.0:
        return " at launch" if finding.launch else ""
    words = at_words(place, (travel.axle_mm[0], travel.axle_mm[-1]), display)
    if not finding.launch:
        return f" {words}"
    bare = words.removeprefix("at ")
    return f" at launch{' in' if bare in {'droop', 'bump'} else ','} {bare}"


def value_words(finding: Finding, display: Display, most_deg: float | None = None, at: str = "") -> str:
    """A value and the line up to which it is clear, e.g. 349 rad/s², most 300; what is no such number in words.

    `most_deg` is the greatest angle that the joint takes, of a finding about its reach; `at` is where the value is.
    """
    if finding.value is None:
        return "see the list"
    if not at and finding.state not in {None, MEASURED}:
        at = f" {finding.state}"
    if finding.id == "joint_bind" and most_deg is not None and finding.limit is not None:
        # What is left of the joint's reach is judged; what a gauge shows is the angle itself.
        return f"{degrees(most_deg - finding.value)}{at}, most {degrees(most_deg - finding.limit)}"
    places = telling_places(finding, display)
    value = amount(finding.value, finding.unit, display, places)
    kind = kind_of(finding)
    if kind == "gauge_resolution":
        return f"± {value}"
    if kind == "travel_reach":
        return "both stops" if finding.verdict == "clear" else f"{value} short"
    if finding.limit is None or kind in {"lift", "front_block", "caster"}:
        return value
    limit = amount(finding.limit, finding.unit, display, places)
    bare = limit if limit.endswith("°") else limit.rsplit(" ", 1)[0]
    return f"{value}{at}, {finding.sense.removeprefix('at ')} {bare}"


@lru_cache(maxsize=256)
def place_words(travel_mm: float, display: Display) -> str:
    """Where the axle is in its travel, e.g. 60 mm bump."""
    if travel_mm == 0.0:
        return "ride height"
    size = show(abs(travel_mm), "mm", display, places=0 if display.length == "millimetre" else None)
    return f"{size} {'bump' if travel_mm > 0.0 else 'droop'}"


def at_words(travel_mm: float, ends: tuple[float, float], display: Display) -> str:
    """At which place of a travel between two ends something is, e.g. at droop, at 60 mm bump.

    >>> at_words(-90.0, (-90.0, 70.0), Display()), at_words(25.4, (-90.0, 70.0), Display())
    ('at droop', 'at 1.00 in bump')
    """
    for end, words in zip(ends, ("at droop", "at bump"), strict=True):
        if end != 0.0 and abs(travel_mm - end) < _AT_AN_END_MM:
            return words
    return f"at {place_words(travel_mm, display)}"


def whole_words(remedy: Remedy, name: str) -> str:
    """What a remedy makes of the whole build, by its name, e.g. whole build then: ▲ caution."""
    return f"{name} then: {VERDICT_SIGNS[remedy.verdict]} {remedy.verdict}"


def state_words(subject: Subject) -> tuple[str, str]:
    """Which state is drawn, in large type, and more of it beside that: with two drivelines first which of them."""
    head, more = _state_words(subject)
    shaft = [f"{end_of(subject.build)} shaft"] if subject.build.drivelines else []
    return head, ", ".join([*shaft, *([more] if more else [])])


def _state_words(subject: Subject) -> tuple[str, str]:
    display, travel = subject.build.display, subject.travel_mm
    if not subject.away:
        if not subject.drawable:
            return "Nothing to draw yet", ""
        if subject.bare:
            return "As measured, without the plan", ""
        if not subject.measured:
            missing = "positions still missing" if begun(subject.build) else "positions not measured"
            return "Angles and length only", missing
        return "Ride height", "level on the tyres"
    torque = {"none": "", "cruise": "cruise torque", "launch": "launch torque"}[subject.torque]
    used = subject.used
    if travel == 0.0:
        wound = ", springs wound up" if torque and isinstance(subject.build.suspension, LeafSuspension) else ""
        more = f"axle at ride height{wound}" if used is None else lower_words(used, display)
        return capital(", ".join(one for one in ("" if used is None else used.name, torque) if one)), more
    way = "bump" if travel > 0.0 else "droop"
    ends = subject.whole.travel
    up = 0.0 if used is None else used.driven_mm or 0.0
    full = ends is not None and abs(travel + up - ends.axle_mm[0 if travel < 0.0 else -1]) < 0.5
    size = place_words(travel, display).rpartition(" ")[0]
    head = f"Full {way}" if full else f"{size} of {way}"
    more = f"axle {size} {'above' if travel > 0.0 else 'below'} ride height" if full else ""
    head = ", ".join(one for one in (head, used.name if used is not None else "", torque) if one)
    return head, more


def lower_words(used: UsedState, display: Display) -> str:
    """How much lower the frame stands over the driven axle in a state.

    >>> lower_words(Any(driven_mm=25.4), Display()), lower_words(Any(driven_mm=-12.7), Display())
    ('frame 1.00 in lower over the driven axle', 'frame 0.50 in higher over the driven axle')
    """
    size = used.driven_mm or 0.0
    if abs(size) < 0.05:
        return "level on the tyres"
    return f"frame {show(abs(size), 'mm', display)} {'lower' if size > 0.0 else 'higher'} over the driven axle"


def offset_words(offset_mm: float, plan_deg: float | None, display: Display) -> str:
    """What the top view shows, e.g. pinion 1.77 in to the right of the output · shaft 2.0° in plan."""
    if abs(offset_mm) < 0.5:
        words = "no offset"
    else:
        side = "right" if offset_mm > 0.0 else "left"
        words = f"pinion {show(abs(offset_mm), 'mm', display)} to the {side} of the output"
    if plan_deg is None:
        return words
    return (
        f"{words} · shaft {degrees(abs(plan_deg))} in plan"
        if abs(plan_deg) >= LEVEL_DEG
        else f"{words} · straight in plan"
    )
