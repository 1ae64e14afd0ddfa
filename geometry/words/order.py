"""What a shaft is ordered by besides its entries, of one row."""

from dataclasses import replace
from functools import partial
from math import floor
from typing import Any, cast

import numpy as np

from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS, codes
from geometry.judge.ends import CENTRE
from geometry.judge.limits import LIMITS
from geometry.judge.made import (
    ToothOut,
    caps_of,
    caps_on_shaft,
    end_of,
    largest_tubes_mm,
    tooth_deg,
    tooth_out,
)
from geometry.judge.shapes import MadeLength
from geometry.judge.states import LEAST, SETTLED, hangs
from geometry.mechanics import spread
from geometry.mechanics.vectors import NAN, ONE, Floats, number
from geometry.words.one import worst_place
from geometry.words.reasons import HUNG
from geometry.words.solution import OrderedEnd, ShaftOrder, Verdict
from geometry.words.told import Told
from geometry.words.wording import MM_PER_INCH, degrees, length, rounded, worded
from geometry.words.wording import number as in_words

_TOOTH = ("pinion_residual", "shaft_inertia_drive")
"""Findings by whose lines one tooth out is judged."""


_DRIVEN = (f"{SETTLED} and {LEAST}", SETTLED, LEAST)
"""The state to order for, of those that there are: the first of these, else as measured."""
_BY_PLACE = (
    "length_mm", "known_within_mm", "least_mm", "most_mm", "least_at_mm", "most_at_mm", "at_droop_mm", "at_bump_mm",
    "collapsed_mm", "extended_mm", "longer_mm", "shorter_mm", "slip_travel_mm",
)  # fmt: skip
"""Numbers of the order that hang on how the axle stands at ride height."""


def order_of(told: Told, alone: Told | None = None) -> ShaftOrder:
    """Lengths, phase and ends of the section that slips; no length by readings that tell nothing of ride height.

    Rows beside a plan know their gaps only to be wide enough: those of the tube are of `alone`, the same row by itself.
    """
    with np.errstate(all="ignore"):
        made = _ordered(told, told if alone is None else alone)
    if not hangs(told.facts.v):
        return made
    nothing: dict[str, Any] = dict.fromkeys(_BY_PLACE)
    return replace(made, **nothing, length_says=(f"No length is known: {HUNG}.",), length_short=())


def _ordered(told: Told, alone: Told) -> ShaftOrder:
    facts, v = told.facts, told.facts.v
    made = facts.made
    whole = MadeLength(*(told.at(part) for part in made))
    spline = told.at(v["shaft.slip.spline_diameter_mm"])
    tooth = _tooth(told)
    phase, one = told.number(v[facts.kinds.phases[facts.kinds.beside_axle]]), told.number(tooth.tooth_deg)
    omega2 = told.at(facts.speeds.omega2)
    peaks = [told.at(part) * omega2 for part in (tooth.residual, tooth.inertia)]
    numbers = {name: told.number(value) for name, value in whole._asdict().items()}
    verdict = _tooth_verdict(peaks)
    within = (
        None if not _taped(told) else told.number(spread.COVERAGE * spread.TWO_ENDS * v["gauge.tape_uncertainty_mm"])
    )
    least, most = numbers["least_mm"], numbers["most_mm"]
    shortest, longest = _where(told, 1.0), _where(told, -1.0)
    state, in_states = _in_states(told, numbers["at_ride_mm"])
    return ShaftOrder(
        section=cast("Any", facts.kinds.tubes[facts.kinds.beside_axle][0]),
        length_mm=dict(in_states).get(state, numbers["at_ride_mm"]) if state else numbers["at_ride_mm"],
        state=state,
        in_states=in_states,
        known_within_mm=within,
        least_mm=least,
        most_mm=most,
        least_at_mm=shortest,
        most_at_mm=longest,
        at_droop_mm=numbers["at_droop_mm"],
        at_bump_mm=numbers["at_bump_mm"],
        collapsed_mm=numbers["collapsed_mm"],
        extended_mm=numbers["extended_mm"],
        keep_free_mm=LIMITS["slip_left"].clear,
        keep_engaged_mm=told.number(LIMITS["slip_engaged"].clear * spline),
        longer_mm=numbers["longer_mm"],
        shorter_mm=numbers["shorter_mm"],
        slip_travel_mm=None if least is None or most is None else most - least,
        phase_deg=phase,
        phase_teeth=None if phase is None or one is None else rounded(phase / one, 6),
        tooth_deg=one,
        tooth_residual_rad_s2=told.number(peaks[0]),
        tooth_inertia_rad_s2=told.number(peaks[1]),
        tooth_verdict=verdict,
        ends=(_end(told, "gearbox"), _end(told, "axle")),
        centre=_end(told, "bearing") if facts.kinds.pieces == 2 else None,
        length_says=tuple(_length_words(told, numbers, within, state, in_states)),
        length_short=tuple(_length_short(told.display, numbers, within)),
        phase_says=tuple(_phase_words(told, one, peaks, verdict)),
        on_tubes=partial(_largest, alone),
    )


def _largest(told: Told) -> tuple[float | None, ...]:
    with np.errstate(all="ignore"):
        return tuple(told.number(largest) for largest in largest_tubes_mm(told.facts))


def _where(told: Told, sign: float) -> float | None:
    """Where over the travel the section is shortest, or with −1 longest."""
    facts = told.facts
    if not told.at(facts.travels):
        return None
    place = worst_place(told, sign * facts.travelled.poses.lengths_mm[facts.kinds.beside_axle])
    return None if place is None else place.travel_mm


def _taped(told: Told) -> bool:
    return bool(told.at(told.facts.taped))


def _tooth(told: Told) -> ToothOut:
    """One tooth out; nothing of it where the teeth are not known, or are the gearbox's, which turn both yokes."""
    return ToothOut(NAN, NAN, NAN) if np.isnan(told.at(tooth_deg(told.facts.v))) else tooth_out(told.facts)


def _tooth_verdict(peaks: list[Floats]) -> Verdict | None:
    """The worse of the verdicts on one tooth out; None where neither peak is known."""
    found = [
        codes(ONE, peak, number(LIMITS[row].clear), number(LIMITS[row].hold))
        for peak, row in zip(peaks, _TOOTH, strict=True)
        if np.isfinite(peak)
    ]
    return cast("Verdict", WORDS[int(max(found))]) if found else None


def _end(told: Told, at: str) -> OrderedEnd:
    """Joint and caps at the gearbox, at the axle, or at the support bearing between two sections."""
    facts, v = told.facts, told.facts.v
    if at == "bearing":
        name, section = "centre", CENTRE
        caps = caps_of(v, CENTRE, v.word("shaft.centre_joint.series"))
    else:
        name, section = end_of(facts, at)
        caps = caps_on_shaft(facts, at)
    joint = facts.kinds.names.index(name)
    most = facts.numbered - facts.worst_of(-facts.travelled.bent_deg[joint])[0] if facts.travels.any() else NAN
    measured = [told.number(v[f"{section}.{size}_mm"]) for size in ("cap", "span")]
    return OrderedEnd(
        end=cast("Any", at),
        joint=cast("Any", name),
        series=caps.series,
        cap_mm=told.number(caps.cap_mm),
        span_mm=told.number(caps.span_mm),
        clip=v.word(f"{section}.clip"),
        from_memory=caps.series is not None and None in measured,
        operating_deg=told.number(facts.angles_deg[joint]),
        most_deg=told.number(most),
    )


def _in_states(told: Told, measured_mm: float | None) -> tuple[str | None, tuple[tuple[str, float | None], ...]]:
    """In which state it is driven, and the section's length in each; nothing where there is but one."""
    if told.elsewhere is None:
        return None, ()
    names, beside = told.elsewhere.names, told.facts.kinds.beside_axle
    others = (told.in_state(number) for number in range(1, len(names)))
    lengths = [measured_mm, *(one.number(one.facts.lengths_mm[beside]) for one in others)]
    state = next((name for name in _DRIVEN if name in names), names[0])
    return state, tuple(zip(names, lengths, strict=True))


def _length_words(
    told: Told, made: dict[str, float | None], within: float | None, state: str | None,
    in_states: tuple[tuple[str, float | None], ...],
) -> list[str]:  # fmt: skip
    """How far off the length may be, how well it is known, and how to check it a second time."""
    display, longer, shorter = told.display, made["longer_mm"], made["shorter_mm"]
    says = []
    if longer is not None and shorter is not None:
        says.append(_room_words(longer, shorter, display))
    if within is not None:
        says.append(f"Known within ± {length(within, display)}.")
    known = sorted((one, name) for name, one in in_states if one is not None and name != state)
    if known:
        (least, one), (most, two) = known[0], known[-1]
        others = f"from {length(least, display)} {one} to {length(most, display)} {two}"
        others = f"{length(least, display)} {one}" if len(known) == 1 else others
        says.append(f"Ordered as it stands {state}; at ride height it is {others}.")
    if made["at_droop_mm"] is not None:
        hanging = length(made["at_droop_mm"], display)
        says.append(f"Second check: with the axle hanging at full droop, joint centre to joint centre reads {hanging}.")
    return says


def _length_short(display: Display, made: dict[str, float | None], within: float | None) -> list[str]:
    """The same in a few letters."""
    longer, shorter = made["longer_mm"], made["shorter_mm"]

    def short(value: float) -> str:
        return length(value, display).partition(" (")[0]

    said = []
    if longer is not None and shorter is not None:
        up, down = _to_the_safe_side(longer, shorter, display)
        if longer >= 0.0 and shorter >= 0.0:
            said.append(f"shaft works {short(up)} longer or {short(down)} shorter")
        elif longer + shorter < 0.0:
            said.append("no length works: order a longer slip")
        else:
            by, way = (-up, "shorter") if longer < 0.0 else (-down, "longer")
            said.append(f"shaft must be {short(by)} {way}")
    return [*said, f"known within ± {short(within)}"] if within is not None else said


def _to_the_safe_side(longer: float, shorter: float, display: Display) -> tuple[float, float]:
    """How far off the length may be, rounded so that it still works."""
    step = MM_PER_INCH / 100.0 if display.length == "inch" else 1.0
    up, down = (floor(way / step + 1e-9) * step for way in (longer, shorter))
    return up, down


def _room_words(longer: float, shorter: float, display: Display) -> str:
    """How far off the length may be."""
    up, down = _to_the_safe_side(longer, shorter, display)
    if longer >= 0.0 and shorter >= 0.0:
        return f"Works if made up to {length(up, display)} longer or {length(down, display)} shorter."
    if longer + shorter < 0.0:
        return "No length works: the travel uses more than the slip has. Order a longer slip."
    by, way = (-up, "shorter") if longer < 0.0 else (-down, "longer")
    return f"Must be made at least {length(by, display)} {way}, or the slip is short over the travel."


def _phase_words(told: Told, tooth: float | None, peaks: list[Floats], verdict: Verdict | None) -> list[str]:
    """What one tooth out does, and the marks that keep it from happening."""
    if tooth is None:
        return []
    says = [f"One tooth of {in_words(360.0 / tooth)} is {degrees(tooth)}."]
    shakes = [
        f"{what} speed up and slow down by {worded(float(peak), 'rad/s²', told.display)} "
        f"(at most {worded(LIMITS[row].clear, 'rad/s²', told.display)} is wanted)"
        for what, peak, row in (("the pinion", peaks[0], _TOOTH[0]), ("the shaft itself", peaks[1], _TOOTH[1]))
        if np.isfinite(peak)
    ]
    if shakes:
        does = "that would pass" if verdict == "clear" else "it would shake"
        says.append(f"One tooth out, the worse way, makes {' and '.join(shakes)}: {does}.")
    return [*says, "Paint a mark across both halves of the slip before it comes apart."]
