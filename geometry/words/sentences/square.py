"""Sentences on how the axle stands under its frame, and on how straight its tube is: which side, which way, how much."""

import numpy as np

from geometry.judge import square
from geometry.mechanics import axle_square
from geometry.mechanics.spread import COVERAGE, TWO_ENDS, TWO_READINGS
from geometry.mechanics.vectors import RADIAN
from geometry.words.one import One
from geometry.words.sentences.doubt import known_within
from geometry.words.wants import not_judged

_GAUGE, _TAPE = "gauge.angle_uncertainty_deg", "gauge.tape_uncertainty_mm"
_FOUR = 2.0 * COVERAGE / 3.0**0.5
"""Half-width, at 95 per cent, of what comes from four readings, over the give or take of one."""

_LEANS = ("lean out at the top", "lean in at the top")


def _back(one: One) -> tuple[str, str]:
    """Which way is away from the rest of the vehicle at the driven axle, and the way home."""
    return ("forward", "back") if one.told.facts.kinds.ahead else ("back", "forward")


def wheelbases_equal(one: One) -> str:
    """Whether both sides have the same wheelbase."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    left, right = (one.number(v[path]) or 0.0 for path in square.WHEELBASES)
    longer = "left" if left > right else "right"
    _, home = _back(one)
    does = {
        "clear": "near enough to equal",
        "caution": f"one axle stands a little askew; if the other one is square, move the {longer} end {home} by {one.worded}",
        "hold": f"one axle stands askew; if the other one is square, move the {longer} end {home} by {one.worded}",
    }
    band = COVERAGE * TWO_ENDS * v[_TAPE]
    return (
        f"The wheelbase is {one.text(left)} on the left and {one.text(right)} on the right, {one.worded} apart: "
        f"{does[one.verdict]}{known_within(one, band, 'tape')}; {one.wanted}."
    )


def thrust_angle(one: One) -> str:
    """Whether the axle stands square to the frame."""
    if one.verdict == "unknown":
        return not_judged(one)
    v, ahead = one.told.facts.v, one.told.facts.kinds.ahead
    yaw = one.number(square.yaw_deg(v)) or 0.0
    farther = "right" if yaw > 0.0 else "left"
    # Without slip the vehicle turns about the point in which the lines through both axles meet.
    pulls = "left" if yaw > 0.0 else "right"
    heads, straight = (pulls, " with the steering straight") if ahead else (farther, "")
    away, home = _back(one)
    ends = one.number(v["square.ends_apart_mm"]) or 0.0
    least = "" if one.number(v[square.ABOVE]) is not None else "at least "
    by = one.other(ends * float(np.sin(abs(yaw) * RADIAN)), "mm")
    does = {
        "clear": ": square enough",
        "caution": f" a little; move the {farther} end {home} by {by}",
        "hold": f" and wears its tyres; move the {farther} end {home} by {by}",
    }
    return (
        f"By the diagonals the axle's {farther} end stands {by} farther {away} than the other, {least}{one.worded} off "
        f"square, so that its thrust line points to the {heads}, which pulls the vehicle to the {pulls}{straight}"
        f"{does[one.verdict]}"
        f"{known_within(one, square.yaw_band_deg(v), 'tape')}; {one.wanted}."
    )


def axle_centred(one: One) -> str:
    """Whether the axle stands in the frame's middle."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    aside = one.number(square.aside_mm(v)) or 0.0
    side, other = ("right", "left") if aside > 0.0 else ("left", "right")
    does = {
        "clear": "nobody sees that",
        "caution": f"move it to the {other} by that much",
        "hold": f"tyre and spring stand visibly off to one side; move it to the {other} by that much",
    }
    band = COVERAGE * TWO_ENDS * v[_TAPE] / 2.0
    return (
        f"The axle stands {one.worded} to the {side} of the frame's middle: {does[one.verdict]}"
        f"{known_within(one, band, 'tape')}; {one.wanted}."
    )


def _parallel(one: One, angle: square.Angle, how: tuple[str, str], doubt: str) -> str:
    before = one.number(angle.before_deg) or 0.0
    does = {
        "clear": "straight enough",
        "caution": "have the tube looked at before anything is welded to it",
        "hold": "the tube or a flange is bent; have it straightened before anything is welded to it",
    }
    return f"the flanges {how[0] if before >= 0.0 else how[1]} by {one.worded} together, before welding: {does[one.verdict]}{doubt}; {one.wanted}."


def toe_before(one: One) -> str:
    """Whether the flanges are parallel from above, before welding."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    band = axle_square.toe_band_deg(v[square.OVER], v[_TAPE])
    return f"Seen from above {_parallel(one, square.toe(v), ('toe in', 'toe out'), known_within(one, band, 'tape'))}"


def camber_before(one: One) -> str:
    """Whether the flanges are parallel from behind, before welding."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    doubt = known_within(one, TWO_READINGS * v[_GAUGE], "gauge")
    return f"Seen from behind {_parallel(one, square.camber(v), _LEANS, doubt)}"


def _bent(one: One, angle: square.Angle, how: tuple[str, str], drawn: tuple[str, str], doubt: str) -> str:
    before, after, bent = (one.number(part) or 0.0 for part in (angle.before_deg, angle.after_deg, angle.bent_deg))

    def told(value: float) -> str:
        return f"{how[0] if value >= 0.0 else how[1]} by {one.text(abs(value))}"

    does = {
        "clear": "straight enough",
        "caution": "see that axle shafts and seals run true, and have it straightened before more is welded to it",
        "hold": "axle shafts and bearings run askew; have the tube straightened before it is driven",
    }
    return (
        f"the flanges {told(after)} together, welded and cold, and {told(before)} before: welding drew the ends "
        f"{drawn[0] if bent >= 0.0 else drawn[1]} by {one.text(abs(bent))}{_at_flange(one, bent)}: "
        f"{does[one.verdict]}{doubt}; {one.wanted}."
    )


def _at_flange(one: One, bent_deg: float) -> str:
    """Say how far that moves each flange, where it is known how far outside of the perch it lies."""
    reach = one.number(one.told.facts.v["axle.flange_to_perch_left_mm"])
    if reach is None:
        return ""
    return f", about {one.other(reach * float(np.sin(abs(bent_deg) / 2.0 * RADIAN)), 'mm')} at each flange"


def toe_welded(one: One) -> str:
    """Whether welding has bent the tube, from above."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    doubt = known_within(one, axle_square.toe_band_deg(v[square.OVER], v[_TAPE]) * 2.0**0.5, "tape")
    return f"Seen from above {_bent(one, square.toe(v), ('toe in', 'toe out'), ('forward', 'back'), doubt)}"


def camber_welded(one: One) -> str:
    """Whether welding has bent the tube, from behind."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    doubt = known_within(one, _FOUR * v[_GAUGE], "gauge")
    return f"Seen from behind {_bent(one, square.camber(v), _LEANS, ('down', 'up'), doubt)}"
