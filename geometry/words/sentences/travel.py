"""Sentences over the travel and under torque: reach, slip, gaps, wind-up, side shift."""

import numpy as np

from geometry.judge.carried import pairs_of
from geometry.judge.findings import shortfall_mm
from geometry.judge.flexible import farthest
from geometry.judge.limits import USUAL_SPLINE_MM
from geometry.mechanics.vectors import Floats
from geometry.words.flexible import where_farthest
from geometry.words.one import One
from geometry.words.place import known, pose_of
from geometry.words.sentences.motion import so_far
from geometry.words.sentences.shaft import cruise_torque, launch_torque
from geometry.words.told import Told
from geometry.words.wants import not_judged
from geometry.words.where import nearest, obstacle_of, pair_place, place_of, with_engine
from geometry.words.wording import capital, listed


def travel_reach(one: One) -> str:
    """Whether springs or links follow the axle to its stops."""
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one)
    told, facts = one.told, one.told.facts
    up, down = (told.number(short) or 0.0 for short in shortfall_mm(facts))
    bump = max(told.number(facts.v["suspension.bump_mm"] + facts.ride.stop_gain_mm) or 0.0, 0.0)
    droop = told.number(facts.v["suspension.droop_mm"]) or 0.0
    if one.verdict == "clear":
        return f"The axle reaches both stops, from {one.other(droop, 'mm')} down to {one.other(bump, 'mm')} up."
    short = [
        f"{one.text(cut)} short of the stop {one.other(asked, 'mm')} {way}"
        for cut, asked, way in ((up, bump, "up"), (down, droop, "down"))
        if cut > 0.0
    ]
    links = facts.kinds.suspension == "links"
    kind, longer = ("links", "longer links") if links else ("springs", "a longer main leaf")
    if facts.kinds.by == "spring" and (told.number(facts.lift_mm) or 0.0) > 0.0:
        return f"With this lift the {kind} as entered end {listed(short)}: take {longer}, or shorten the travel."
    return f"The {kind} as entered end {listed(short)}: measure their points again or shorten the travel."


def slip_left(one: One) -> str:
    """Whether the slip bottoms."""
    if one.verdict == "unknown" or one.value is None or (place := place_of(one)) is None:
        return not_judged(one, so_far(one))
    where = f"{capital(place.words(one.told))}{',' if place.wound else ''}"
    if one.value <= 0.0:
        return f"{where} the slip bottoms, {one.text(-one.value)} short: the shaft would push gearbox and pinion apart; {one.wanted} to spare."
    does = {"clear": "", "caution": ", which a stretched mount may use up", "hold": ", so little that it may bottom"}
    return f"{where} the slip has {one.worded} left before it bottoms{does[one.verdict]}; {one.wanted}."


def slip_engaged(one: One) -> str:
    """Whether the spline leaves its sleeve."""
    if one.verdict == "unknown" or one.value is None or (place := place_of(one)) is None:
        return not_judged(one, so_far(one))
    where = f"{capital(place.words(one.told))}{',' if place.wound else ''}"
    wish = f"{one.wanted}{_of_spline(one)}"
    if one.value <= 0.0:
        return f"{where} the slip pulls out, {one.text(-one.value)} short: the shaft would fall; {wish} engaged."
    does = {"clear": "", "caution": ", which lets it rock", "hold": ", so little that it may strip or pull out"}
    return f"{where} {one.worded} of spline is engaged{does[one.verdict]}; {wish}."


def _of_spline(one: One) -> str:
    if one.number(one.told.facts.v["shaft.slip.spline_diameter_mm"]) is None:
        return f" for a spline of {one.line(USUAL_SPLINE_MM)}, as its diameter is not entered"
    return ", one and a half spline diameters" + (" and one" if one.verdict == "hold" else "")


def gap(one: One) -> str:
    """How near the shaft or the powertrain comes to an obstacle."""
    told, index = one.told, obstacle_of(one.key)
    name = told.build.obstacles[index].name
    if one.value is None:
        return not_judged(one, f"This is for {name}.")
    what, place = nearest(told, index)
    lines = {"fuel": "fuel lines", "brakes": "brake lines", None: ""}[told.build.obstacles[index].carries]
    where = f" {place.words(told)}" if place else ""
    wish = f"{one.wanted}{f' to {lines}' if lines else ''}"
    if one.value <= 0.0 and one.verdict != "unknown":
        return f"{capital(what)} strikes {name}{where}: {one.worded} of air; {wish}."
    near = f"{capital(what)} comes within {one.worded} of {name}{where}"
    if one.verdict == "unknown":
        return not_judged(one, f"{near}.")
    does = {"clear": "", "caution": ", nearer than it should", "hold": ", so near that it may touch"}
    return f"{near}{does[one.verdict]}; {wish}."


def pair_gap(one: One) -> str:
    """How near two outlines come that are fixed to different things."""
    told, index = one.told, obstacle_of(one.key)
    pair, gap = pairs_of(told.build)[index], told.facts.carried.pairs[index]
    first, last = (told.build.obstacles[place].name for place in pair)
    if one.value is None:
        return not_judged(one, f"This is for {first} and {last}.")
    place = pair_place(told, index)
    where = "" if place is None else f" {place.words(told)}"
    if told.at(gap.launch) and with_engine(told.build, pair):
        rocked = ", the engine rocked as ahead or in reverse"
        where += rocked if place is not None else f" under launch torque{rocked}"
    if one.value <= 0.0 and one.verdict != "unknown":
        return f"{capital(first)} strikes {last}{where}: {one.worded} of air; {one.wanted}."
    near = f"{capital(first)} comes within {one.worded} of {last}{where}"
    if one.verdict == "unknown":
        return not_judged(one, f"{near}.")
    does = {"clear": "", "caution": ", nearer than it should", "hold": ", so near that it may touch"}
    return f"{near}{does[one.verdict]}; {one.wanted}."


def line_slack(one: One) -> str:
    """Whether a hose, cable or wire is long enough with its ends farthest apart."""
    told, index = one.told, obstacle_of(one.key)
    line = told.build.flexible_lines[index]
    apart = one.number(farthest(told.facts, index).known_mm)
    far = "" if apart is None else f"its ends come {one.other(apart, 'mm')} apart {where_farthest(told, index)[0]}"
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, f"This is for {line.name}{f': {far}' if far else ''}.")
    rules = "its maker's least bend radius and local rules come first"
    if one.value <= 0.0:
        torn = "; torn, it leaves no brakes" if line.type == "brake_hose" else ", and would be torn off"
        return f"{capital(line.name)} is {one.text(-one.value)} too short, as {far}{torn}; {rules}; {one.wanted}."
    does = {"clear": "", "caution": ", which is little", "hold": ", so little that it may be torn off"}
    return f"{capital(line.name)} has {one.worded} to spare{does[one.verdict]}, as {far}; {rules}; {one.wanted}."


def windup_cruise(one: One) -> str:
    """How the pinion runs with the axle wound up by cruise torque."""
    told, facts = one.told, one.told.facts
    turn = told.number(facts.cruise_deg)
    winds = (
        ""
        if turn is None
        else f"Cruise torque of {cruise_torque(one)} raises the {_nose(told)} by {one.other(turn, 'deg', 1)}{_held(told, facts.cruise_deg)}"
    )
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, " ".join(part for part in (f"{winds}." if winds else "", so_far(one)) if part))
    joints = {
        "clear": "the joints still cancel",
        "caution": "the joints do not quite cancel then",
        "hold": "the joints do not cancel then",
    }
    speed = one.other(told.number(facts.speeds.cruise_rpm), "rpm")
    return f"{winds}; the pinion then speeds up and slows down twice a turn by {one.worded} at {speed}: {joints[one.verdict]}; {one.wanted}."


def windup_launch(one: One) -> str:
    """How far launch torque winds the axle up."""
    told, facts = one.told, one.told.facts
    torque = "" if told.number(facts.speeds.torque_nm) is None else launch_torque(one)
    if one.verdict == "unknown" or one.value is None:
        raises = f" raises the {_nose(told)} by {one.worded}" if one.value is not None else " reaches the shaft"
        return not_judged(one, f"{torque}{raises}." if torque else "")
    pose, phases = pose_of(told, facts.posed_at(facts.launch_deg)), tuple(told.at(one) for one in facts.phases_deg)
    angles = [known(angle) for angle in facts.operating_deg(facts.chain(pose, phases))]
    turned = ""
    if None not in angles:
        turned = f", to joint angles of {listed([one.other(angle, 'deg') for angle in angles])}"
    does = {
        "clear": "usual for leaf springs",
        "caution": "the springs wrap up and may hop",
        "hold": "the springs wrap up and hop, which breaks joints",
    }
    return f"{torque} raises the {_nose(told)} by {one.worded}{_held(told, facts.launch_deg)}{turned}: {does[one.verdict]}; {one.wanted}."


def _held(told: Told, turn_deg: Floats) -> str:
    """Say what a torque bar does to a wind-up."""
    facts = told.facts
    if not facts.fitted.bars:
        return ""
    if told.at(turn_deg >= facts.fitted.held_deg):
        return ", where the torque bar holds it"
    if told.at(facts.fitted.bars_open):
        return ", with the torque bar not counted, as it is not entered whole"
    return (
        ", as without the torque bar"
        if told.at(np.isinf(facts.fitted.held_deg))
        else ", less than its torque bar leaves free"
    )


def _nose(told: Told) -> str:
    return "axle's front" if told.facts.kinds.ahead else "pinion's nose"


def lateral_shift(one: One) -> str:
    """How far the lateral link draws the axle sideways over the travel."""
    if one.verdict == "unknown" or (place := place_of(one)) is None:
        return not_judged(one, so_far(one))
    told, facts = one.told, one.told.facts
    there = int(np.argmin(np.abs(told.at(facts.sweep.travel_mm) - place.travel_mm)))  # beside it may be nowhere
    side = "right" if told.at(facts.sweep.shift.y)[there] >= 0.0 else "left"
    does = {
        "clear": "unnoticed",
        "caution": "it steers a little over bumps",
        "hold": "it steers over bumps and may rub",
    }
    return f"The lateral link draws the axle {one.worded} to the {side} {place.words(told)}: {does[one.verdict]}; {one.wanted}."
