"""Sentences on the joints' angles."""

from geometry.judge.findings import nose_up_deg, tail_down_deg
from geometry.judge.limits import SPEED_FOR_ANGLE, allowed_angle_deg, allowed_rpm
from geometry.mechanics.vectors import number as as_number
from geometry.mechanics.vectors import side_slope_deg
from geometry.words.one import JOINT, One
from geometry.words.sentences.doubt import joint_band_deg
from geometry.words.sentences.motion import phase_taken, so_far, straight_ahead, taken
from geometry.words.wants import not_judged
from geometry.words.where import place_of

_LEVEL_DEG = 0.05
"""Nobody reads less: a line that lies nearer to level is level."""
_AS_SUBTRACTED_DEG = 0.02
"""What two angles that are each rounded to 0.01° may seem to be off when one is taken from the other."""
_IN_LINE_DEG = 0.05
"""What is worded as no turn at all."""
_KINDS = {"cardan": "", "double_cardan": "double Cardan ", "constant_velocity": "constant-velocity "}


def ends_parallel(one: One) -> str:
    """Whether a pair of joints cancels."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    told, facts = one.told, one.told.facts
    angles = [told.number(angle) for angle in facts.angles_deg]
    front, rear = (one.text(angle) for angle in angles)
    word = {"clear": "cancel", "caution": "nearly cancel"}.get(one.verdict, "do not cancel")
    tail, nose = told.number(tail_down_deg(facts)), told.number(nose_up_deg(facts))
    lines = [
        f"{what} {one.other(abs(slope), 'deg')} {up if slope >= 0.0 else down}" if abs(slope) >= _LEVEL_DEG else level
        for what, slope, up, down, level in (
            ("tail", tail, "down", "up", "tail level"),
            ("pinion's nose", nose, "up", "down", "pinion level"),
        )
        if slope is not None
    ]
    lying = f" ({', '.join(lines)})" if lines else ""
    phase = abs(told.number((one.told.facts.rest_chain.relative_phase_deg)[0]) or 0.0)
    plain = abs((angles[0] or 0.0) - (angles[1] or 0.0))
    apart, granted = f"they are {one.worded} apart", taken(told)
    if phase >= 1.0 or abs((one.value or 0.0) - plain) > _AS_SUBTRACTED_DEG:
        # A person who takes one angle from the other finds another number, and is told why.
        apart, granted = f"{_out_of_phase(one, phase)} they count as {one.worded} apart", straight_ahead(told)
    return f"Joint angles {front} and {rear} {word}{lying}: {apart}; {one.wanted}.{granted}"


def _out_of_phase(one: One, phase: float) -> str:
    """Say how far apart the planes are in which the joints bend, or how far yokes that are turned stand off those."""
    turned, off = abs(one.number(one.told.facts.phases_deg[0]) or 0.0), one.other(phase, "deg")
    if turned < _IN_LINE_DEG:
        lie = "are taken to be in line" if phase_taken(one.told) else "are in line"
        return f"the yokes {lie}, but the joints bend in planes {off} apart, seen along the shaft, so that"
    told = one.other(turned, "deg")
    apart = "" if told == off else f", which is {off} off where these lines want them"
    return f"the yokes are turned {told} out of line{apart}, so that"


def straight_end(one: One) -> str:
    """Whether the single joint opposite an even one runs straight."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    does = {
        "clear": "it runs nearly straight, as it should, since nothing cancels it",
        "caution": "nothing cancels it, so the pinion end should run straighter",
        "hold": "nothing cancels it, so it shakes the driveline",
    }[one.verdict]
    name = JOINT[one.key[1]]
    if name != one.told.facts.kinds.names[one.told.facts.kinds.pinion_joint]:
        does = does.replace("pinion end", "output end")
    return f"The single {name} joint, opposite the even one, stands at {one.worded}: {does}; {one.wanted}.{straight_ahead(one.told)}"


def needles(one: One) -> str:
    """Whether a joint turns enough to roll its needles."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    name = JOINT[one.key[1]]
    does = "its needles roll" if one.verdict == "clear" else "its needles stand still and dent the cross"
    facts = one.told.facts
    band = one.number(joint_band_deg(one.told, [one.told.at(length) for length in facts.lengths_mm], one.joint))
    if band is not None and abs((one.value or 0.0) - one.row.clear) < band:
        tool = "gauge and tape, which know" if one.told.at(facts.taped) else "gauge, which knows"
        within = f"your {tool} it within {one.text(band)}, cannot tell"
        does = (
            f"its needles roll, though {within} for sure; read it again"
            if one.verdict == "clear"
            else f"{within} whether its needles roll or stand still and dent the cross; read it again"
        )
    return f"The {name} joint runs at {one.worded}: {does}; {one.wanted}."


def first_joint(one: One) -> str:
    """Whether the first joint of a two-piece shaft is nearly straight."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    does = (
        "the front section turns nearly evenly"
        if one.verdict == "clear"
        else "it makes the section behind it turn unevenly"
    )
    if one.told.facts.kinds.ahead:
        does = does.replace("front section", "section at the output").replace("behind", "beside")
    return f"The joint at the output runs at {one.worded}: {does}; {one.wanted}."


def angle_for_speed(one: One) -> str:
    """Whether the angle of a joint that runs evenly suits its speed."""
    told, kind = one.told, one.told.facts.kinds.types[one.joint]
    name = f"{JOINT[one.key[1]]} {_KINDS[kind]}joint"
    half = kind == "double_cardan"
    angle = (
        f"The {name} runs at {one.other(told.number(told.facts.angles_deg[one.joint]), 'deg')}"
        if half
        else f"The {name} runs"
    )
    each = f"{angle}, {one.worded} in each cross" if half else f"{angle} at {one.worded}"
    good = None if one.value is None else told.number(allowed_rpm(as_number(one.value)))
    lasts = "" if good is None else f"good for up to {one.other(round(good, -1), 'rpm')}"
    if one.verdict == "unknown":
        return not_judged(one, f"{each}{f', {lasts}' if lasts else ''}." if one.value is not None else "")
    cruise = told.number(told.facts.speeds.cruise_rpm) or 0.0
    speed = one.other(cruise, "rpm")
    last = SPEED_FOR_ANGLE[-1]
    if one.clear is None:
        most = one.other(float(allowed_angle_deg(as_number(last[0]))), "deg")
        return (
            f"{each}: that is too much at {speed}; the table of angles over shaft speed ends at "
            f"{one.other(last[0], 'rpm')}, where at most {most} is wanted."
        )
    suits = (
        "it suits"
        if one.verdict == "clear"
        else "it is more than suits"
        if one.verdict == "caution"
        else "it is far too much for"
    )
    behind = f"; it is {lasts}" if lasts else ""
    return f"{each}: {suits} {speed} for a life of 5,000 h, where {one.wanted}{behind}."


def joint_bind(one: One) -> str:
    """Whether a joint keeps clear of its greatest angle over the travel."""
    told, facts = one.told, one.told.facts
    name = JOINT[one.key[1]]
    most = told.number(facts.v[f"shaft.{name}_joint.max_angle_deg"])
    if one.value is None or most is None:
        at_ride = told.number(facts.angles_deg[one.joint])
        stands = "" if at_ride is None else f"At ride height the {name} joint runs at {one.other(at_ride, 'deg')}."
        return not_judged(one, stands)
    place = place_of(one)
    where = "at ride height" if place is None else place.words(told)
    angle, end = one.text(most - one.value), one.line(most)
    if one.verdict == "unknown":
        spare = f"{one.worded} to spare" if one.value >= 0.0 else "beyond its reach"
        return not_judged(one, f"The {name} joint runs at {angle} of its {end} {where}: {spare}.")
    if one.value <= 0.0:
        over = one.text(-one.value)
        return f"The {name} joint would bind {where}: it would need {angle} and turns only {end}, {over} short; {one.wanted} to spare."
    says = f"The {name} joint reaches {angle} of its {end} {where}: {one.worded} to spare"
    does = {"clear": "", "caution": ", which leaves little for play", "hold": ", so near that it may bind"}
    return f"{says}{does[one.verdict]}; {one.wanted}."


def shaft_slope(one: One) -> str:
    """Whether a one-piece shaft with single joints lies too steep."""
    if one.verdict == "unknown":
        return not_judged(one, so_far(one))
    told = one.told
    slope = told.number(side_slope_deg(told.facts.pose.sections[0]) + told.facts.ride.tilt_deg) or 0.0
    way = "down" if slope >= 0.0 else "up"
    says = f"Toward the rear the shaft runs {one.worded} {way}"
    if one.verdict == "clear" and one.value is not None and one.clear is not None and one.value > one.clear + 1e-9:
        return f"{says}: steep, but its joints turn evenly enough for their speed, so the slope itself does no harm."
    word = {"clear": "usual", "caution": "steep, but tolerated on such a shaft", "hold": "too steep for single joints"}
    return f"{says}: {word[one.verdict]}; {one.wanted}."
