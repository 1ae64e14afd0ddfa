"""Sentences on the plan: lift, blocks, shackle, wedges, lateral link, and how far oil is tipped."""

from collections.abc import Mapping

from geometry.document import value_at
from geometry.words.one import One
from geometry.words.sentences.motion import so_far
from geometry.words.wants import not_judged, wants_of

_BY = {"spring": "by the springs' arch", "block": "by a block", "shackle": "by another shackle"}


def lift(one: One) -> str:
    """Whether springs or links can do the planned lift."""
    told = one.told
    rise, kinds = told.number(told.facts.ride.lift_mm) or 0.0, told.facts.kinds
    what = f"{'lift' if rise > 0.0 else 'lowering'} of {one.worded}"
    if one.verdict == "clear":
        by = "by the springs over the links" if kinds.suspension == "links" else _BY[kinds.by]
        return f"A {what} {by} can be had with the suspension as entered."
    if one.verdict == "unknown":
        return not_judged(one, f"This is for the {what}.")
    return f"The {what} cannot be had: {_why(one, rise)}."


def _why(one: One, rise: float) -> str:
    kinds = one.told.facts.kinds
    if kinds.by == "block" and not kinds.over and kinds.suspension != "links" and rise > 0.0:
        return "a block under a spring that hangs below the axle lowers the vehicle"
    if kinds.suspension == "links":
        if kinds.by != "spring":
            return f"links have no {kinds.by}; plan it by the springs over them"
        return "the links as entered do not reach so far"
    if kinds.by == "shackle":
        return "no shackle brings the axle there without passing through the spring's line"
    return "the spring as entered cannot reach so far"


def front_block(one: One) -> str:
    """A block under a front spring."""
    lowers = (value_at(one.told.build, "plan.front_lift_mm") or 0.0) < 0.0
    what = (
        f"A block that lowers the front by {one.worded}" if lowers else f"A block of {one.worded} under a front spring"
    )
    return f"{what} is unsafe, as braking and steering turn the axle on it, and unlawful in many places."


def block_room(one: One) -> str:
    """Whether the axle's tube clears its spring with a thinner block."""
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, f"A thinner block leaves about {one.worded}." if (one.value or 0.0) > 0.0 else "")
    if one.value >= 0.0:
        room = {"clear": "room enough", "caution": "see that the lower leaves and the perch have that much"}
        return (
            f"With the thinner block {one.worded} is left between the axle tube and its main leaf: "
            f"{room[one.verdict]}; {one.wanted}."
        )
    return f"So thin a block would put the axle tube {one.text(-one.value)} into its spring; {one.wanted} of room."


def bump_left(one: One) -> str:
    """How much bump travel lowering leaves."""
    if one.value is None or (one.verdict == "unknown" and wants_of(one)):
        return not_judged(one, so_far(one))
    if one.verdict == "unknown":
        left = (
            f"{one.worded} of bump travel is left" if one.value > 0.0 else f"it stands {one.text(-one.value)} beyond it"
        )
        return (
            f"Not judged: see what the bump stop strikes. If it is the axle, {left}; "
            f"if it is the spring, the block changes nothing; {one.wanted}."
        )
    lowers = (one.told.number(one.told.facts.lift_mm) or 0.0) < 0.0
    if one.value < 0.0:
        return f"{'Lowered so far' if lowers else 'So low'} the axle would stand {one.text(-one.value)} beyond its bump stop; {one.wanted} of bump travel."
    does = {"clear": "room enough", "caution": "it will strike the stop on rough roads", "hold": "it rides on the stop"}
    what = "Lowering leaves" if lowers else "The vehicle keeps"
    return f"{what} {one.worded} of bump travel: {does[one.verdict]}; {one.wanted}."


def shackle_lean(one: One) -> str:
    """How far the new shackle leans."""
    if one.verdict == "unknown":
        return not_judged(one)
    does = {
        "clear": "it swings freely",
        "caution": "it leans so far that it may bind at one end of the travel",
        "hold": "it binds or turns inside out",
    }
    return f"The new shackle leans {one.worded} off plumb at ride height: {does[one.verdict]}; {one.wanted}."


def shackle_lift(one: One) -> str:
    """How much of a lift shackles are asked for."""
    does = {
        "clear": "as much as is usual",
        "caution": "so long that the axle moves sideways on them; springs of another arch do it better",
    }
    return f"Longer shackles lift it by {one.worded}: {does[one.verdict]}; {one.wanted}."


def wedge_size(one: One) -> str:
    """Whether the wedge is of a safe thickness."""
    does = {
        "clear": "in steel it holds",
        "caution": "only in steel and bolted to the spring",
        "hold": "no wedge holds so steep a slope; the axle is turned and welded anew",
    }
    return f"A wedge of {one.worded}: {does[one.verdict]}; {one.wanted}."


def caster(one: One) -> str:
    """What wedge or turned pinion do to a front axle's caster: it follows the axle's turn degree for degree."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    turned = told.number(facts.pinion_turn_deg - facts.ride.turn_deg) or 0.0
    what = "Turning the pinion on its loose perches" if facts.kinds.loose_perches else f"The wedge of {one.worded}"
    way, pivots = ("less", "forward") if turned < 0.0 else ("more", "rearward")
    says = f"{what} turns the caster {one.worded} to {way}: the upper pivots go {pivots}."
    measured = value_at(told.build, "axle.caster_deg")
    after = None if measured is None else told.number(facts.pinion_turn_deg + facts.ride.tilt_deg + measured)
    if after is None:
        return f"{says} Measure the caster before, and set it again after."
    says += f" With the whole plan it comes to {one.other(after, 'deg')}"
    wanted = value_at(told.build, "axle.caster_wanted_deg")
    if wanted is None:
        return f"{says}."
    more = wanted - after
    if abs(more) < 0.05:
        return f"{says}, which is what is wanted."
    return f"{says}; {one.other(wanted, 'deg')} is wanted, so the knuckles are turned by {one.other(abs(more), 'deg')}, upper pivots {'rearward' if more > 0.0 else 'forward'}."


def lateral_lift(one: One) -> str:
    """How far off centre the lateral link draws the axle by the lift."""
    if one.verdict == "unknown":
        return not_judged(one)
    shift = one.told.number(one.told.facts.ride.shift.y) or 0.0
    way = "right" if shift >= 0.0 else "left"
    does = {
        "clear": "nobody sees that",
        "caution": "the axle stands off centre",
        "hold": "tyre and spring stand visibly off to one side",
    }
    return (
        f"After the plan the lateral link draws the axle {one.worded} to the {way}: {does[one.verdict]}; {one.wanted}."
    )


def pinion_nose_up(one: One) -> str:
    """Whether oil still reaches the front pinion bearing."""
    does = {
        "clear": "its front bearing stays wet",
        "caution": "its front bearing may run dry unless the axle is filled higher",
        "hold": "its front bearing runs dry",
    }
    return _tipped(one, "The pinion's nose points", "up", does)


def pinion_nose_down(one: One) -> str:
    """Whether oil stands against the pinion's seal."""
    does = {
        "clear": "oil and seal bear that",
        "caution": "oil stands against the pinion seal and the fill plug misleads",
        "hold": "oil drowns the pinion seal and leaves the gears short",
    }
    return _tipped(one, "The pinion's nose points", "down", does)


def tail_down(one: One) -> str:
    """Whether engine and gearbox are tipped too far back."""
    does = {
        "clear": "that is usual",
        "caution": "check oil pick-up, fill levels and fan clearance",
        "hold": "oil leaves the pick-up, and fill levels mislead",
    }
    return _tipped(one, "The powertrain's tail hangs", "down", does)


def tail_up(one: One) -> str:
    """Whether engine and gearbox are tipped forward."""
    does = {
        "clear": "as good as level",
        "caution": "check oil pick-up, fill levels and the float level",
        "hold": "oil runs forward from the pick-up, and fill levels mislead",
    }
    return _tipped(one, "The powertrain's tail stands", "up", does)


def _tipped(one: One, what: str, way: str, does: Mapping[str, str]) -> str:
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    return f"{what} {one.worded} {way}: {does[one.verdict]}; {one.wanted}."
