"""Sentences on the measurements: do they agree, and can the gauge tell?"""

import numpy as np

from geometry.judge.codes import WORDS, codes
from geometry.judge.limits import LIMITS
from geometry.mechanics.vectors import ONE as UNIT
from geometry.mechanics.vectors import number, slope_deg
from geometry.words.one import One
from geometry.words.sentences.perches import flanges
from geometry.words.wants import not_judged


def stick_slope(one: One) -> str:
    """Whether the stick's slope agrees with the joints as taped."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    read, taped = facts.v["readings.shaft_slope_deg"], slope_deg(facts.measured.sections[-1])
    says = f"The stick reads {one.text(told.number(read))}, the joints as taped give {one.text(told.number(taped))}"
    return f"{says}: {_allowed(one, 'gauge and tape')}."


def _allowed(one: One, what: str, again: str = "measure both again") -> str:
    """Say how far apart two ways to the same measurement are, and how far they may be."""
    band = f"{one.worded} apart; {what} allow{'' if ' and ' in what else 's'} at most {one.line(one.clear)}"
    end = {"clear": "", "caution": f": {again}", "hold": ", so one of them is wrong"}
    return band + end[one.verdict]


def tape_length(one: One) -> str:
    """Whether the length taped along the shaft agrees with the joints' places."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    read, given = (told.number(value) for value in (facts.v["readings.shaft_length_mm"], facts.measured.lengths_mm[-1]))
    says = f"The tape along the shaft reads {one.text(read)}, the joints' places give {one.text(given)}"
    return f"{says}: {_allowed(one, 'the tape')}."


def axle_station(one: One) -> str:
    """Whether the axle lies where the wheelbase says."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    taped = told.number(facts.v["axle.centre_mm.0"])
    if facts.kinds.ahead:
        says = f"The front axle's centre is taped {one.text(taped)} from the front axle's own line"
    else:
        said = one.text(told.number(facts.v["vehicle.wheelbase_mm"]))
        says = f"The axle centre is taped {one.text(taped)} behind the front axle, the wheelbase says {said}"
    return f"{says}: {_allowed(one, 'the tape')}."


def axle_height(one: One) -> str:
    """Whether the axle lies as high as its loaded tyres say."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    taped, radius = (told.number(value) for value in (facts.v["axle.centre_mm.2"], facts.tyre_radius_mm))
    says = f"The axle centre is taped {one.text(taped)} up, the tyre's loaded radius is {one.text(radius)}"
    return f"{says}: {_allowed(one, 'the tape')}."


def spring_station(one: One) -> str:
    """Whether the springs put the axle where the tape found it."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, facts = one.told, one.told.facts
    put, taped = (told.number(value) for value in (facts.ride.predicted_x_mm, facts.v["axle.centre_mm.0"]))
    again = "measure eye, shackle and halves again; the taped place is kept, and the springs only move it"
    says = f"The springs as entered put the axle at {one.text(put)}, the tape found it at {one.text(taped)}"
    return f"{says}: {_allowed(one, 'the tape', again)}."


def gauge_resolution(one: One) -> str:
    """Whether the verdict on the pinion's motion is the same all over the band of gauge and tape."""
    if one.verdict == "unknown":
        known = "" if one.value is None else f"The difference between the joint angles is known within {one.worded}."
        return not_judged(one, known)
    says = f"Your gauge and tape know the difference between the joint angles within {one.worded}"
    if one.verdict == "clear":
        return f"{says}; the verdict on the pinion's running is the same all over that band."
    speed = one.other(one.number(one.told.facts.speeds.cruise_rpm), "rpm")
    now, others = _verdicts(one)
    return (
        f"{says}; at {speed} that alone could turn {now} into {' or '.join(others)}: "
        "read each angle several times, or use a finer gauge."
    )


def _verdicts(one: One) -> tuple[str, list[str]]:
    told, facts = one.told, one.told.facts
    limit, omega2 = LIMITS["pinion_residual"], facts.speeds.omega2
    values = (told.at(facts.residual * omega2), *told.at(facts.doubted_residual * omega2))
    now, *words = (WORDS[code] for code in codes(UNIT, np.array(values), number(limit.clear), number(limit.hold)))
    return now, [word for word in dict.fromkeys(words) if word not in {now, "unknown"}]


def perches_equal(one: One) -> str:
    """Whether both perches are the same distance from their flanges."""
    if one.verdict == "unknown":
        return not_judged(one)
    told, v = one.told, one.told.facts.v
    left, right = (one.text(told.number(v[f"axle.flange_to_perch_{side}_mm"])) for side in ("left", "right"))
    does = {
        "clear": "near enough to equal",
        "caution": "the axle would sit off to one side; move one perch by that much",
        "hold": "the axle would sit visibly off to one side; move one perch by that much",
    }
    return f"The perches sit {left} and {right} {flanges(one)}, {one.worded} apart: {does[one.verdict]}; {one.wanted}."
