"""Sentences on motion: how unevenly pinion and shaft turn."""

import numpy as np

from geometry.document import value_at
from geometry.words.one import One
from geometry.words.told import Told
from geometry.words.wants import not_judged

_FELT_NM = 0.05
"""Less than this is not worth a word."""


_OFFSET = "axle.pinion_offset_mm"


def straight_ahead(told: Told) -> str:
    """Say what of what lies seen from above is not entered, and how it is taken then."""
    if bool(told.at(told.facts.flat)):
        return " Seen from above, the lines are taken to run straight ahead."
    lines = [
        line
        for line, path in (("output", "powertrain.plan_deg"), ("pinion", "axle.pinion_plan_deg"))
        if value_at(told.build, path) is None
    ]
    middle = value_at(told.build, _OFFSET) is None and not told.facts.kinds.ahead  # nothing is taken for a front one
    says = "" if not lines else (
        f"the {lines[0]} is taken to run straight ahead" if len(lines) == 1 else "output and pinion are taken to run straight ahead"
    )  # fmt: skip
    if middle:
        says = (
            f"{says}, and the pinion to lie in the axle's middle"
            if says
            else "the pinion is taken to lie in the axle's middle"
        )
    return f" Seen from above, {says}." if says else ""


def phase_taken(told: Told) -> bool:
    """Whether the yokes count as in line because nobody entered how they are."""
    phases = told.facts.kinds.phases if told.facts.v.word("shaft.kind") is not None else ()
    return any(value_at(told.build, path) is None for path in phases)


def taken(told: Told) -> str:
    """Say what is taken for granted of the lines and of the yokes."""
    yokes = " The yokes are taken to be in line, as their phase is not entered." if phase_taken(told) else ""
    return straight_ahead(told) + yokes


def so_far(one: One) -> str:
    """Say what a value comes to that does not settle the verdict."""
    return "" if one.value is None else f"As far as entered it is {one.worded}."


def pinion_residual(one: One) -> str:
    """How unevenly the pinion is driven at cruise."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    cruise = one.other(one.number(one.told.facts.speeds.cruise_rpm), "rpm")
    joints = {"clear": "the joints cancel", "caution": "the joints do not quite cancel"}.get(
        one.verdict, "the joints do not cancel"
    )
    return (
        f"At {cruise} the pinion speeds up and slows down twice a turn by {one.worded} at its peak: {joints}; "
        f"{one.wanted}.{taken(one.told)}"
    )


def residual_at_top(one: One) -> str:
    """How unevenly the pinion is driven at the highest speed."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    speed = one.other(one.number(one.told.facts.speeds.highest_rpm), "rpm")
    bears = "a few minutes at that speed do no harm" if one.verdict == "clear" else "do not drive long at that speed"
    return f"At the highest speed, {speed}, the pinion speeds up and slows down twice a turn by {one.worded}: {bears}; {one.wanted}."


def equivalent_angle(one: One) -> str:
    """What all joints together come to where no speed is known."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    joints = "cancel" if one.verdict == "clear" else "do not cancel"
    return (
        f"All joints together {joints}: the pinion turns as unevenly as behind a single joint at {one.worded}; "
        f"{one.wanted} where no speed is known.{taken(one.told)}"
    )


def shaft_inertia(one: One) -> str:
    """How unevenly the shaft itself turns, driving or coasting, and what that asks of its tube."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    drives = one.id.endswith("drive")
    cruise = one.other(one.number(one.told.facts.speeds.cruise_rpm), "rpm")
    says = (
        f"{'Driving' if drives else 'Coasting'} at {cruise}, the shaft itself speeds up and slows down twice a turn "
        f"by {one.worded}{_on_the_tube(one, drives=drives)}"
    )
    bears = {
        "clear": "shaft and mounts bear that",
        "caution": "many drive it so, with more noise and wear",
        "hold": "that shakes the mounts and wears joints and splines",
    }[one.verdict]
    return f"{says}: {bears}; {one.wanted}."


def _on_the_tube(one: One, *, drives: bool) -> str:
    facts, told = one.told.facts, one.told
    sections = [told.number(peak) for peak in (facts.rest_peaks[:-1] if drives else facts.coast_peaks)]
    if drives == facts.kinds.ahead:
        sections.reverse()  # now front to rear
    omega2 = told.number(facts.speeds.omega2)
    known = [
        (peak * omega2, spin * peak * omega2)
        for peak, tube in zip(sections, facts.tubes, strict=True)
        if peak is not None and omega2 is not None and (spin := told.number(tube.spin_kg_m2)) is not None
    ]
    if len(known) < len(facts.tubes):
        return ""
    torque = max(known)[1]
    return f", which puts {one.other(torque, 'N·m')} on its tube" if torque >= _FELT_NM else ""


def inertia_at_top(one: One) -> str:
    """How unevenly the shaft itself turns at the highest speed."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    speed = one.other(one.number(one.told.facts.speeds.highest_rpm), "rpm")
    bears = "shaft and mounts bear that" if one.verdict == "clear" else "do not drive long at that speed"
    return f"At the highest speed, {speed}, the shaft itself speeds up and slows down twice a turn by {one.worded}: {bears}; {one.wanted}."


def speeds_agree(one: One) -> str:
    """Whether cruise is slower than the highest speed."""
    highest = one.line(one.clear)
    if one.verdict == "clear":
        return f"Cruise turns the shaft at {one.worded}, which is its highest speed."
    speeds = one.told.facts.speeds
    top, both = one.number(speeds.top_rpm), one.number(speeds.highest_rpm)
    by_top = top is not None and both is not None and bool(np.isclose(top, both))
    wrong = "the top speed" if by_top else "highest engine speed and top gear"
    return f"Cruise turns the shaft at {one.worded}, more than the {highest} that {wrong} allow{'s' if by_top else ''}: check both entries."
