"""Sentences on the perches and on what clamps their springs."""

from geometry.judge.clamp import LEG, ROD, clamped
from geometry.judge.perches import ACROSS, PLACES, SEATS, SPACING, SPRINGS
from geometry.mechanics import clamp as sizes
from geometry.mechanics.spread import TWO_READINGS
from geometry.words.one import One
from geometry.words.sentences.doubt import known_within
from geometry.words.wants import not_judged

FROM = {"wheel_flange": "from the wheel flanges' inner faces", "housing_flange": "from the housing's end flanges"}
"""From which flange the perches are measured."""


def flanges(one: One) -> str:
    """From where the perches are measured, as far as that is told."""
    return FROM.get(one.told.facts.v.word("perches.measured_from") or "", "from their flanges")


def pad_twist(one: One) -> str:
    """Whether both seats lie in one plane."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    left, right = (one.number(v[path]) or 0.0 for path in SEATS)
    lower = "left" if left > right else "right"
    does = {
        "clear": "near enough to one plane",
        "caution": f"the {lower} one's rear end is lower; turn one perch to the other",
        "hold": f"the {lower} one's rear end is lower, and the springs would twist tube and bushes; turn one perch to the other",
    }
    band = TWO_READINGS * v["gauge.angle_uncertainty_deg"]
    return (
        f"The left seat reads {one.text(left)} and the right one {one.text(right)}, {one.worded} apart: "
        f"{does[one.verdict]}{known_within(one, band, 'gauge')}; {one.wanted}."
    )


def perch_spacing(one: One) -> str:
    """Whether the perches are as far apart as the springs."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    perches, springs = (one.number(v[path]) or 0.0 for path in (SPACING, SPRINGS))
    way = "out" if perches < springs else "in"
    move = f"move each perch {way} by {one.text(abs(springs - perches) / 2.0)}"
    does = {
        "clear": "the springs hang straight",
        "caution": f"the eyes are pressed sideways; {move}",
        "hold": f"the springs are forced sideways at every stroke; {move}",
    }
    return (
        f"The perches are {one.text(perches)} apart and the springs {one.text(springs)}, {one.worded} of difference: "
        f"{does[one.verdict]}; {one.wanted}."
    )


def perch_chain(one: One) -> str:
    """Whether perches and flanges add up."""
    if one.verdict == "unknown":
        return not_judged(one)
    v = one.told.facts.v
    across = one.number(v[ACROSS]) or 0.0
    added = sum(one.number(v[path]) or 0.0 for path in (SPACING, *PLACES))
    does = {
        "clear": "",
        "caution": ": measure again",
        "hold": ", so one of the four is wrong or taken from another flange: measure again",
    }
    return (
        f"Measured {flanges(one)}, left, spacing and right add up to {one.text(added)}, flange to flange the tape "
        f"reads {one.text(across)}: {one.worded} apart; the tape allows at most {one.line(one.clear)}{does[one.verdict]}."
    )


def perch_casting(one: One) -> str:
    """Whether weld and heat stay on the tube."""
    if one.verdict == "clear":
        return f"The nearer perch stands {one.worded} from the casting: the weld stays on the tube; {one.wanted}."
    stands = "A perch meets the casting, with" if not one.value else "A perch stands near the casting, with"
    return (
        f"{stands} {one.worded} between them: weld there only by a welding procedure for that casting, done by a "
        f"licensed welder, or put perch and spring in another place; {one.wanted}."
    )


def ubolt_reserve(one: One) -> str:
    """Whether the U-bolts at hand are long enough for all that they clamp."""
    if one.verdict == "unknown":
        return not_judged(one)
    v, held = one.told.facts.v, clamped(one.told.facts)
    bare = one.number(held.stack_mm) is None
    stack = held.bare_mm if bare else held.stack_mm
    least = one.other(one.number(sizes.leg_mm(stack, v[ROD])), "mm")
    leg, clamps = (one.other(one.number(value), "mm") for value in (v[LEG], stack))
    says = f"The U-bolts clamp {clamps}{' without the wedge' if bare else ''} and their legs are {leg} long"
    if one.verdict == "hold":
        more = " and as much more as the wedge is thick at its middle" if bare else ""
        return (
            f"{says}: {one.text(abs(one.value or 0.0))} too short to fill their nuts. Legs of {least}{more} are wanted."
        )
    does = {
        "clear": "long enough; used U-bolts have stretched and are not used again",
        "caution": f"legs of {least} are better",
    }
    return f"{says}: {one.worded} of thread stands out of the nut, {does[one.verdict]}; {one.wanted}."
