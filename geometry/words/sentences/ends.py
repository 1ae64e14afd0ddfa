"""Sentences on the shaft's ends and its support bearing: does what is on them go together, and what would do."""

import numpy as np

from geometry.judge.ends import GOES_TO, MATES, Fit, Size, caps_in_series, fit_of
from geometry.judge.made import caps_on_shaft, end_of
from geometry.mechanics.vectors import Floats, plan_deg, side_slope_deg
from geometry.words.one import JOINT, One
from geometry.words.told import Told
from geometry.words.wants import not_judged
from geometry.words.wording import listed, number, worded

_OURS = {"flange": "a flange", "caps": "bare caps", "spline": "a slip yoke"}
_THEIRS = {
    "flange": "a flange", "straps": "a yoke with straps", "u_bolts": "a yoke with U-bolts", "clips": "a yoke with clips",
    "spline": "a bare spline",
}  # fmt: skip
_MATE = {"gearbox": "gearbox's output", "axle": "pinion"}
_NAMES = {"cap": "caps", "span": "span over them", "bolts": "number of bolts", "bolt size": "bolts", "teeth": "teeth"}


def at_of(told: Told, part: str) -> str:
    """Which end of the shaft a joint is at: the gearbox's or the axle's."""
    return next(at for at in MATES if end_of(told.facts, at)[0] == JOINT[part])


def _fit(told: Told, part: str) -> tuple[str, Fit]:
    """Which end it is, and how its halves go together.

    Raises
    ------
    KeyError
        Where nothing is entered of either.
    """
    at = at_of(told, part)
    fit = fit_of(told.facts, at)
    if fit is None:
        raise KeyError(f"nothing is entered at the {at}")
    return at, fit


def end_fits(one: One) -> str:
    """Whether the halves at one end go together."""
    told = one.told
    at, fit = _fit(told, one.key[1])
    place, mate = f"At the {at}", _MATE[at]
    if one.verdict == "unknown":
        return not_judged(one, _by_name(told, at, fit))
    memory = _from_memory(told, at) if fit.ours == "caps" else ""
    if one.verdict == "hold":
        return f"{place} {' and '.join(_apart(told, at, fit))}{memory}."
    if told.at(fit.adapter_mm > 0.0):
        thick = one.other(told.number(fit.adapter_mm), "mm")
        return (
            f"{place} a plate of {thick} goes between the flanges, drilled for both: {_both(told, fit)}. "
            "The joint moves by its thickness, which the length counts."
        )
    return f"{place} {_OURS[fit.ours or '']} on the shaft and {_THEIRS[fit.theirs or '']} on the {mate} go together: {_both(told, fit)}."


def _from_memory(told: Told, at: str) -> str:
    """Say that sizes are from memory, where one that is told is not by caliper."""
    facts = told.facts
    lacks = any(np.isnan(told.at(facts.v[path])) for path in caps_in_series(facts, end_of(facts, at)[0]))
    return "; the series' sizes are from memory, so measure the parts" if lacks else ""


def _by_name(told: Told, at: str, fit: Fit) -> str:
    """Say that caps and yoke go together by the names of their series, where nothing but the caliper lacks."""
    ours, theirs = caps_on_shaft(told.facts, at).series, told.facts.v.word(f"{MATES[at]}.series")
    together = fit.ours == "caps" and fit.theirs in GOES_TO["caps"] and ours is not None and ours == theirs
    return f"By name both are {ours}." if together else ""


def _size(told: Told, size: Size, of: Floats) -> str:
    value = told.number(of) or 0.0
    return number(value) if size.off_by == 0.0 else worded(value, "mm", told.display, 1)


def _both(told: Told, fit: Fit) -> str:
    """The sizes of both halves, one number where they are alike."""
    said = []
    for size in fit.sizes:
        one, two = _size(told, size, size.ours), _size(told, size, size.theirs)
        said.append(f"{_NAMES.get(size.name, size.name)} {one if one == two else f'{one} and {two}'}")
    return listed(said)


def _apart(told: Told, at: str, fit: Fit) -> list[str]:
    """What does not go together."""
    said = []
    if "slip" in fit.apart:
        said.append(
            "the shaft has a slip yoke, though its slip is entered as in the shaft: it would slip twice"
            if fit.ours == "spline"
            else f"the shaft has {_OURS[fit.ours or '']}, though its slip is entered as in the gearbox"
        )
    if "type" in fit.apart:
        said.append(
            f"{_OURS[fit.ours or '']} on the shaft and {_THEIRS[fit.theirs or '']} on the {_MATE[at]} do not go together"
        )
    if "pilot" in fit.apart:
        said.append("both flanges have the same pilot, so neither centres the other")
    if "clip" in fit.apart:
        said.append("the caps' clips sit outside on one half and inside on the other")
    differ = [
        f"{_NAMES.get(size.name, size.name)} {_size(told, size, size.ours)} on the shaft and "
        f"{_size(told, size, size.theirs)} on the {_MATE[at]}"
        for size in fit.sizes
        if told.at(size.differs)
    ]
    return [*said, *([f"the halves differ: {listed(differ)}"] if differ else [])]


_AGAIN = "the joint's place is measured again then, as the length hangs on it"
_INSTEAD = {
    ("flange", "flange"): "Another flange on either half, which leaves the length, or a plate drilled for both would "
    "do: enter its thickness in the plan, as the joint moves by as much and the shaft is made that much shorter.",
    ("spline", "spline"): "A slip yoke with the output's teeth and the shaft's caps would do; the length joint to "
    "joint stays.",
    ("flange", "yoke"): f"The shaft's bare caps in the yoke, or a flange in place of the yoke, would do; {_AGAIN}.",
    ("caps", "flange"): f"A flange yoke on the shaft's caps, or a yoke in place of the flange, would do; {_AGAIN}.",
    (
        "spline",
        "flange",
    ): f"A flange yoke in place of the slip yoke would do; the shaft then slips in itself, and {_AGAIN}.",
    ("spline", "yoke"): f"Bare caps in place of the slip yoke would do; the shaft then slips in itself, and {_AGAIN}.",
    ("flange", "spline"): f"A slip yoke with that spline would do; the slip then sits in the gearbox, and {_AGAIN}.",
    ("caps", "spline"): f"A slip yoke with that spline would do; the slip then sits in the gearbox, and {_AGAIN}.",
}
"""What would do for what is on the shaft and what it meets, and what that does to the length."""


def conversion(told: Told, part: str) -> str:
    """What would do where an end does not fit, and what that does to the length; nothing for a slip entered twice."""
    at, fit = _fit(told, part)
    if "slip" in fit.apart:
        return ""
    theirs = "yoke" if fit.theirs in GOES_TO["caps"] else fit.theirs
    return _INSTEAD.get((fit.ours or "", theirs or "")) or _cross(told, at, fit)


def _cross(told: Told, at: str, fit: Fit) -> str:
    """A cross with two sizes, where caps and yoke differ; with clips on the wrong side, the right cross."""
    if not any(told.at(size.differs) for size in fit.sizes):
        return "A cross with its clips where the yoke has them would do; the length stays."
    ours, theirs = caps_on_shaft(told.facts, at).series, told.facts.v.word(f"{MATES[at]}.series")
    named = f", {ours} to the shaft and {theirs} to the yoke," if ours and theirs and ours != theirs else ""
    return (
        f"A cross with two sizes{named} would do, if it is to be had, or the yoke of the shaft's series; "
        "either leaves the joint's centre where it is, so the length stays."
    )


def cap_size(one: One) -> str:
    """Whether caps by caliper are what their series says."""
    if one.verdict == "unknown":
        return not_judged(one)
    at = "support bearing" if one.key[1] == "centre_joint" else at_of(one.told, one.key[1])
    if one.verdict == "clear":
        return f"At the {at} caps and spans by caliper are within {one.other(one.value, 'mm', 1)} of what their series has."
    return (
        f"At the {at} caps or spans by caliper are {one.worded} off those of the series, whose sizes are from memory; "
        f"{one.wanted}. What was measured counts: see whether it is another series."
    )


def bearing_square(one: One) -> str:
    """Whether the support bearing's housing is square to the shaft."""
    told, facts = one.told, one.told.facts
    if one.verdict == "unknown":
        return not_judged(one)
    section = facts.pose.sections[-1 if facts.kinds.ahead else 0]
    shaft = told.number(side_slope_deg(section))
    aside = told.number(plan_deg(section) - facts.v["shaft.bearing_plan_deg"]) or 0.0
    above = f" and {one.other(abs(aside), 'deg')} apart from above" if abs(aside) >= 0.05 else ""
    housing = told.number(facts.v["shaft.bearing_slope_deg"])
    does = {
        "clear": "square enough",
        "caution": "the rubber works at every turn of the springs; shim or slot the bracket",
        "hold": "the bearing runs askew; turn the bracket before it is tacked",
    }[one.verdict]
    return (
        f"The shaft in the support bearing slopes {one.other(shaft, 'deg')} and the housing stands at "
        f"{one.other(housing, 'deg')}, seen from the side{above}: {one.worded} off square, {does}; {one.wanted}."
    )


def bearing_centred(one: One) -> str:
    """Whether the support bearing sits in the middle of its rubber."""
    does = "room both ways" if one.verdict == "clear" else "move the hanger until it sits in the middle at rest"
    return f"The support bearing sits {one.worded} off the middle of its rubber: {does}; {one.wanted}."


def seal_travel(one: One) -> str:
    """Whether boot or lip follows the slip."""
    if one.verdict == "unknown":
        return not_judged(one)
    made = one.told.facts.made
    least, most = (one.other(one.number(value), "mm") for value in (made.least_mm, made.most_mm))
    does = "the seal follows" if one.verdict == "clear" else "the seal is pulled off or pressed together"
    return (
        f"Over the travel the slip moves by {one.worded}, from {least} to {most} joint to joint: {does}; {one.wanted}."
    )
